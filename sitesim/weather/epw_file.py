"""Reading an EPW file: hourly weather of a real or a typical year, in the open format of EnergyPlus."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from math import nan
from pathlib import Path

from sitesim.weather import believing
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.findings import Findings
from sitesim.weather.hours_of_days import HoursOfDays, HoursPart, gather_hours
from sitesim.weather.parts import Part, read_each
from sitesim.weather.record import HourlyObservations, RecordFault, WeatherRecordError
from sitesim.weather.text_table import Column, cells_of, read_number

HEADER_LINES = 8
_NOMINAL_YEAR = 2001
_POLE, _DATE_LINE = 90.0, 180.0
_FAR = 0.25
_STANDARD_TIME = (
    "The file is in standard time all year, taken as the site's time: name weather.time_zone and summer is moved by "
    "its hour."
)
_A_GAP = 11
"""Months that may be missing in a file of one stretch of time; more lie between months of different years."""
_LONGEST = 4
_SHOWN = 24

_PLACES: Mapping[str, int] = {"temperature": 6, "humidity": 8, "wind": 21, "precipitation": 33}
_MISSING = {"temperature": 99.9, "humidity": 999.0, "wind": 999.0, "precipitation": 999.0}
_COLUMNS = {
    "temperature": Column("dry bulb temperature (7th column)"),
    "humidity": Column("relative humidity (9th column)", factor=0.01),
    "wind": Column("wind speed (22nd column)"),
    "precipitation": Column("liquid precipitation depth (34th column)"),
}


def read_epw(
    files: Path | Sequence[Path], latitude: float | None = None, clock: CivilClock | None = None
) -> HourlyObservations:
    """Read an EPW file, or several that follow one another.

    files: text files; the first line names the place, the data begin on the ninth: year, month, day, hour 1 to 24 (the
        value at the hour's end), ..., temperature [°C], relative humidity [%], wind [m/s], rain [mm].
    latitude: of the site [degrees], by which a season's temperatures are doubted; the file's own where it is None.
    clock: the rules of the site's civil time; the file itself is in standard time all year.

    A typical year is made of months of different years; it is laid on one year, beside others on the first that is
    free after theirs. Gaps are counted and filled as those of an hourly record.

    Raises WeatherRecordError for a line that cannot be read, values that cannot be true, files of different places or
    that overlap, too many gaps, or less than one whole year.
    """
    standard = CivilClock("standard", clock.zone if clock else None)
    contents = read_each(files, _Content)
    several = len(contents) > 1
    nominal = _nominal_years(contents)
    parts = read_each(
        [content.path for content in contents],
        lambda path: _hours_of(
            next(content for content in contents if content.path == path),
            nominal.get(path),
            latitude,
            standard,
            several,
        ),
    )
    _refuse_other_places([each.part for each in parts])
    record = gather_hours(parts, standard)
    if not several or standard.zone is not None:
        return record
    return replace(record, remarks=(*record.remarks, _STANDARD_TIME))


class _Content:
    """The lines of a file, taken apart: its ``location``, its ``rows``, the ``years`` they are of."""

    def __init__(self, path: Path) -> None:
        self.path = path
        lines = path.read_text(encoding="utf-8-sig", errors="replace").splitlines()
        findings = self.findings = Findings(path, _COLUMNS, HEADER_LINES, lines_a_year=24 * 365.25)
        self.location = _location(lines, findings)
        self.rows = [(line, cells) for line, cells in _rows(lines) if _is_whole(line, cells, findings)]
        findings.refuse()
        findings.refuse_unless(bool(self.rows), len(lines), "the file has no hours after its eight header lines")
        self.years = sorted({int(cells[0]) for _, cells in self.rows})
        self.is_typical = _is_typical(self.rows)
        self.last_line = len(lines)


def _nominal_years(contents: Sequence[_Content]) -> dict[Path, int]:
    """Give the year on which each typical year is laid: after all that are there, or the usual one."""
    actual = [year for content in contents if not content.is_typical for year in content.years]
    first = max(actual) + 1 if actual else _NOMINAL_YEAR
    typical = [content.path for content in contents if content.is_typical]
    return {path: first + place for place, path in enumerate(typical)}


def _hours_of(
    content: _Content, nominal_year: int | None, latitude: float | None, clock: CivilClock, several: bool
) -> HoursPart:
    findings, location = content.findings, content.location
    place = _coordinate(location.get("latitude", ""), _POLE), _coordinate(location.get("longitude", ""), _DATE_LINE)
    hours = HoursOfDays(clock, findings)
    doubted_at = latitude if latitude is not None else place[0]
    for line, cells in content.rows:
        moment = _moment(line, cells, nominal_year, findings)
        if moment is None:
            continue
        written = {quantity: cells[place] for quantity, place in _PLACES.items()}
        values = findings.read(line, written, believing.OF_AN_HOUR, _read_cell)
        hour = hours.add(line, moment, values)
        warmth = values["temperature"]
        if hour is not None and (doubt := believing.out_of_season(hour.date(), doubted_at, warmth, warmth)):
            findings.disbelieve("temperature", line, doubt)
    findings.refuse()
    return hours.part(
        content.path,
        f"EPW file of {location['city']}, {location['country']}, source {location['source']}.",
        content.last_line,
        _PLACES,
        _told(content.years, nominal_year, clock, several),
        place,
    )


def _refuse_other_places(parts: Sequence[Part[datetime]]) -> None:
    """Refuse files whose first lines name places that are not one."""
    first, *others = parts
    faults = [
        RecordFault(
            1,
            f"is of another place, {_latitude_and_longitude(part)}, than {first.path.name}, "
            f"{_latitude_and_longitude(first)}; a record is of one place",
            part.path,
        )
        for part in others
        if any(
            one is not None and two is not None and abs(one - two) > _FAR
            for one, two in zip(part.place, first.place, strict=True)
        )
    ]
    if faults:
        raise WeatherRecordError(first.path, faults)


def _latitude_and_longitude(part: Part[datetime]) -> str:
    return ", ".join("unknown" if each is None else f"{each:g}°" for each in part.place)


def _read_cell(quantity: str, column: Column, cell: str) -> float:
    """Read a cell; nan for the number that stands for a missing value of its quantity."""
    value = read_number(quantity, column, cell)
    return nan if value == read_number(quantity, column, str(_MISSING[quantity])) else value


def _location(lines: list[str], findings: Findings) -> dict[str, str]:
    """Read the first line: LOCATION, city, state, country, source, station, latitude, longitude, time zone, height."""
    try:
        cells = cells_of(lines[0]) if lines else []
    except csv.Error:
        cells = []
    findings.refuse_unless(
        len(cells) >= HEADER_LINES and cells[0].upper() == "LOCATION",
        1,
        "an EPW file begins with LOCATION, city, state, country, source, station, latitude, ...",
    )
    names = ("", "city", "state", "country", "source", "station", "latitude", "longitude")
    return dict(zip(names[1:], cells[1:], strict=False))


def _rows(lines: list[str]) -> list[tuple[int, list[str]]]:
    data = enumerate(lines[HEADER_LINES:], start=HEADER_LINES + 1)
    return [(line, [cell.strip() for cell in content.split(",")]) for line, content in data if content.strip()]


def _is_whole(line: int, cells: list[str], findings: Findings) -> bool:
    needed = max(_PLACES.values()) + 1
    if len(cells) < needed:
        findings.say(line, f"only {len(cells)} values, {needed} are needed")
        return False
    if not all(_is_date_part(cell) for cell in cells[:4]):
        written = ", ".join(cell[:_SHOWN] for cell in cells[:4])
        findings.say(line, f"{written!r} is not a year, a month, a day and an hour, such as 2021, 1, 31, 24")
        return False
    if doubt := believing.out_of_time(int(cells[0])):
        findings.say(line, f"{', '.join(cells[:4])!r}: {doubt}")
        return False
    return True


def _is_date_part(cell: str) -> bool:
    """Tell whether a cell has one to four plain digits: a superscript counts as a digit too, but is no number."""
    return cell.isascii() and cell.isdecimal() and len(cell) <= _LONGEST


def _is_typical(rows: list[tuple[int, list[str]]]) -> bool:
    """Tell whether the months of one year are taken from different years, so that time jumps from one to the next."""
    dates = [(int(cells[0]), int(cells[1]), int(cells[2])) for _, cells in rows]
    return any(later < earlier or _months_apart(earlier, later) > _A_GAP for earlier, later in pairwise(dates))


def _months_apart(earlier: tuple[int, int, int], later: tuple[int, int, int]) -> int:
    return 12 * (later[0] - earlier[0]) + later[1] - earlier[1]


def _moment(line: int, cells: list[str], nominal_year: int | None, findings: Findings) -> datetime | None:
    year, month, day, hour = (int(cell) for cell in cells[:4])
    if nominal_year is not None and (month, day) == (2, 29):
        return None
    try:
        return datetime(year if nominal_year is None else nominal_year, month, day, hour - 1)
    except ValueError:
        findings.say(line, f"{year}-{month:02}-{day:02} hour {hour} is no hour of a year; hours run from 1 to 24")
        return None


def _coordinate(cell: str, most: float) -> float | None:
    """Read a latitude or longitude [degrees] of at most so many; None for what is none."""
    try:
        degrees = float(cell)
    except ValueError:
        return None
    return degrees if abs(degrees) <= most else None


def _told(years: list[int], nominal_year: int | None, clock: CivilClock, several: bool) -> tuple[str, ...]:
    told = []
    if nominal_year is not None:
        stands = f" It stands as the year {nominal_year} of the record." if several else ""
        told.append(
            f"A typical year, made of months of {years[0]} to {years[-1]}: it has neither the best nor the worst "
            f"years.{stands}"
        )
    if clock.zone is None and not several:
        told.append(_STANDARD_TIME)
    return tuple(told)
