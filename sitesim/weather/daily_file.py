"""Reading a record by the day."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from sitesim.weather import believing, filling
from sitesim.weather.findings import Findings
from sitesim.weather.parts import (
    Part,
    doubts_of,
    end_to_end,
    name_of,
    origin_of,
    read_each,
    refuse_holes,
    remarks_of,
    shared_quantities,
)
from sitesim.weather.record import DailyRecord
from sitesim.weather.text_table import Column, TextTable

_NEEDED = ("date", "precipitation", "high", "low", "wind")
_WELCOME = ("humidity",)
_A_DAY = timedelta(days=1)


def read_daily(
    files: Path | Sequence[Path], columns: Mapping[str, Column] | None = None, latitude: float | None = None
) -> DailyRecord:
    """Read a daily record from a comma-separated file, or from several that follow one another.

    files: text files; lines that start with ``#`` come first and say where the record is from, then a line of column
        names, then one line a day: date as yyyy-mm-dd, total precipitation, highest and lowest air temperature, mean
        wind, and, where it is there, mean relative humidity.
    columns: where they are not those of ``COLUMNS``.
    latitude: of the place [degrees], by which a season's temperatures are doubted; None doubts none.

    Days and values that are missing are counted and filled (`filling.RULE_OF_DAYS`), up to a limit.

    Raises WeatherRecordError for missing columns, unreadable numbers or dates, days that come twice, values that cannot
    be true, too many gaps, or less than one whole year; ValueError for a quantity in ``columns`` that is not one.
    """
    return _gather(end_to_end(read_each(files, lambda path: _read_file(path, columns, latitude)), _A_DAY))


def _read_file(path: Path, columns: Mapping[str, Column] | None, latitude: float | None) -> Part[date]:
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
    return Part(
        path=path,
        findings=findings,
        origin=table.origin,
        values=days,
        lines=lines,
        quantities=tuple(quantity for quantity in places if quantity != "date"),
        last_line=table.last_line,
    )


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


def _gather(parts: Sequence[Part[date]]) -> DailyRecord:
    first, last = parts[0].first, parts[-1].last
    count = (last - first).days + 1
    days = {day: values for part in parts for day, values in part.values.items()}
    at_end = parts[-1]
    refuse_holes(parts, sorted(days))
    quantities = {name: np.full(count, math.nan) for name in shared_quantities(parts)}
    for day, values in days.items():
        row = (day - first).days
        for name, column in quantities.items():
            column[row] = values[name]
    # A day's high and low belong together: a day that lacks one takes both from another day.
    neither = np.isnan(quantities["high"]) | np.isnan(quantities["low"])
    quantities["high"][neither] = quantities["low"][neither] = math.nan
    at_end.findings.refuse_gaps(first, quantities, at_end.last_line)
    filled = {name: filling.filled_days(values) for name, values in quantities.items()}
    record = DailyRecord(
        name=name_of(parts),
        origin=origin_of(parts),
        first_day=first,
        remarks=(*remarks_of(parts, _A_DAY), *filling.told(quantities)),
        doubts=doubts_of(parts),
        precipitation=filled["precipitation"],
        high=filled["high"],
        low=filled["low"],
        wind=filled["wind"],
        humidity=filled.get("humidity"),
    )
    at_end.findings.refuse_unless(not record.too_short(), at_end.last_line, record.too_short())
    return record
