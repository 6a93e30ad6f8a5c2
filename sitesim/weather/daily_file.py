"""Reading a record by the day."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import numpy as np

from sitesim.weather import believing, filling
from sitesim.weather.findings import Findings
from sitesim.weather.record import DailyRecord
from sitesim.weather.text_table import Column, TextTable

_NEEDED = ("date", "precipitation", "high", "low", "wind")
_WELCOME = ("humidity",)


def read_daily(path: Path, columns: Mapping[str, Column] | None = None, latitude: float | None = None) -> DailyRecord:
    """Read a daily record from a comma-separated file.

    path: text file; lines that start with ``#`` come first and say where the record is from, then a line of column
        names, then one line a day: date as yyyy-mm-dd, total precipitation, highest and lowest air temperature, mean
        wind, and, where it is there, mean relative humidity.
    columns: where they are not those of ``COLUMNS``.
    latitude: of the place [degrees], by which a season's temperatures are doubted; None doubts none.

    Days and values that are missing are counted and filled (`filling.RULE_OF_DAYS`), up to a limit.

    Raises WeatherRecordError for missing columns, unreadable numbers or dates, days that come twice, values that cannot
    be true, too many gaps, or less than one whole year; ValueError for a quantity in ``columns`` that is not one.
    """
    table = TextTable(path, columns)
    places = table.places(_NEEDED, _WELCOME)
    findings = Findings(path, table.columns, table.header_line, lines_a_year=365.25)
    days: dict[date, dict[str, float]] = {}
    lines: dict[date, int] = {}
    for line, cells in table.rows():
        day = findings.when(line, cells, places, "date", date.fromisoformat, "date (yyyy-mm-dd)")
        if day is None:
            continue
        if day in lines:
            findings.say(line, f"{day} is there twice, first on line {lines[day]}")
        lines[day] = line
        days[day] = _values_of(day, line, cells, places, latitude, findings)
    findings.refuse()
    findings.refuse_unless(bool(days), table.header_line, "the file has no days")
    return _gather(table, places, days, latitude, findings)


def _values_of(
    day: date, line: int, cells: list[str], places: Mapping[str, int], latitude: float | None, findings: Findings
) -> dict[str, float]:
    written = {quantity: cells[place] for quantity, place in places.items() if quantity != "date"}
    values = findings.read(line, written, believing.OF_A_DAY)
    high, low = values["high"], values["low"]
    if low > high:
        findings.say(line, f"the lowest temperature, {low:g} °C, is above the highest, {high:g} °C")
    elif doubt := believing.out_of_season(day, latitude, low, high):
        findings.disbelieve("high", line, doubt)
    return values


def _gather(
    table: TextTable,
    places: Mapping[str, int],
    days: Mapping[date, Mapping[str, float]],
    latitude: float | None,
    findings: Findings,
) -> DailyRecord:
    first, last = min(days), max(days)
    count = (last - first).days + 1
    findings.refuse_holes(sorted(days))
    quantities = {name: np.full(count, math.nan) for name in places if name != "date"}
    for day, values in days.items():
        row = (day - first).days
        for name, value in values.items():
            quantities[name][row] = value
    # A day's high and low belong together: a day that lacks one takes both from another day.
    neither = np.isnan(quantities["high"]) | np.isnan(quantities["low"])
    quantities["high"][neither] = quantities["low"][neither] = math.nan
    findings.refuse_gaps(first, quantities, table.last_line)
    filled = {name: filling.filled_days(values) for name, values in quantities.items()}
    record = DailyRecord(
        name=table.path.stem,
        origin=table.origin,
        first_day=first,
        remarks=filling.told(quantities),
        doubts=findings.doubts(),
        precipitation=filled["precipitation"],
        high=filled["high"],
        low=filled["low"],
        wind=filled["wind"],
        humidity=filled.get("humidity"),
    )
    findings.refuse_unless(
        record.whole_years >= 1, table.last_line, f"{count} days from {first} are less than one whole year"
    )
    return record
