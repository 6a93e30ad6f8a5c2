"""Reading a record by the hour."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from sitesim.weather import believing
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.findings import Findings
from sitesim.weather.hours_of_days import HoursOfDays, HoursPart, gather_hours
from sitesim.weather.parts import read_each
from sitesim.weather.record import HourlyObservations
from sitesim.weather.text_table import Column, TextTable

_NEEDED = ("time", "precipitation", "temperature", "wind")
_WELCOME = ("humidity", "gust")
_MIDNIGHT = re.compile(r"(\d{4}-\d{2}-\d{2})[T ]24:00(?::00)?")
_A_MOMENT = timedelta(microseconds=1)


def read_hourly(
    files: Path | Sequence[Path],
    columns: Mapping[str, Column] | None = None,
    latitude: float | None = None,
    clock: CivilClock | None = None,
    at_end: bool = False,
) -> HourlyObservations:
    """Read an hourly record from a comma-separated file, or from several that follow one another.

    files: text files; lines that start with ``#`` come first and say where the record is from, then a line of column
        names, then one line an hour: time as yyyy-mm-dd hh:mm, total precipitation, air temperature, mean wind, and,
        where they are there, relative humidity and gust.
    columns: where they are not those of ``COLUMNS``.
    latitude: of the place [degrees], by which a season's temperatures are doubted; None doubts none.
    clock: what the file's times are; civil time unless given.
    at_end: whether a line's time is the end of its hour, and not its beginning.

    Civil time has 24 hours every day: the hour that spring leaves out repeats its predecessor, the second copy of an
    hour in autumn is dropped. Other hours and values that are missing are counted and filled
    (`filling.RULE_OF_HOURS`), up to a limit.

    Raises WeatherRecordError for missing columns, unreadable numbers or times, hours that come twice, values that
    cannot be true, too many gaps, or less than one whole year; ValueError for a quantity in ``columns`` that is not
    one.
    """
    civil = clock or CivilClock()
    return gather_hours(read_each(files, lambda path: _read_file(path, columns, latitude, civil, at_end)), civil)


def _moment(written: str) -> datetime:
    """Read a time; 24:00 is the midnight at which a day ends. Raises ValueError for what is none."""
    at_the_end = _MIDNIGHT.fullmatch(written)
    if at_the_end is not None:
        try:
            return datetime.fromisoformat(at_the_end[1]) + timedelta(days=1)
        except OverflowError:
            raise ValueError(f"{written!r} ends after the last day that there is") from None
    return datetime.fromisoformat(written)


def _read_file(
    path: Path, columns: Mapping[str, Column] | None, latitude: float | None, clock: CivilClock, at_end: bool
) -> HoursPart:
    table = TextTable(path, columns)
    places = table.places(_NEEDED, _WELCOME)
    findings = Findings(path, table.columns, table.header_line, lines_a_year=24 * 365.25)
    hours = HoursOfDays(clock, findings)
    moments: list[datetime] = []
    for line, cells in table.rows():
        moment = findings.when(line, cells, places, "time", _moment, "time (yyyy-mm-dd hh:mm)")
        if moment is None:
            continue
        moments.append(moment)
        written = {quantity: cells[place] for quantity, place in places.items() if quantity != "time"}
        values = findings.read(line, written, believing.OF_AN_HOUR)
        # What ends on the hour belongs to the hour before it, what ends at 01:53 to the hour from 01:00.
        shown = moment - _A_MOMENT if at_end else moment
        hour = hours.add(line, shown, values)
        if hour is not None:
            temperature = values["temperature"]
            doubt = believing.out_of_season(hour.date(), latitude, temperature, temperature)
            if doubt is not None:
                findings.disbelieve("temperature", line, doubt)
    findings.refuse()
    findings.refuse_unless(bool(hours), table.header_line, "the file has no hours")
    first, last = moments[0], moments[-1]
    if not at_end and (first.hour, first.minute, last.hour, last.minute) == (1, 0, 0, 0):
        findings.doubt(
            "the first hour is 01:00 and the last 00:00, as where times are the ends of hours. Check "
            "weather.hour_stamp."
        )
    return hours.part(path, table.origin, table.last_line, places)
