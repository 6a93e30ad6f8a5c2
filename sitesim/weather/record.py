"""Daily weather records: reading them from a file, and refusing what cannot be true."""

from __future__ import annotations

import calendar
import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "date": "date",
        "precipitation": "precipitation_mm",
        "high": "temperature_max_c",
        "low": "temperature_min_c",
        "wind": "wind_mean_m_s",
    }
)
"""The column of a daily file that holds each quantity, unless the reader is told otherwise."""

COLDEST_BELIEVED, HOTTEST_BELIEVED = -60.0, 60.0
WINDIEST_DAY_BELIEVED = 40.0
WETTEST_DAY_BELIEVED = 2000.0


class WeatherRecordError(ValueError):
    """A weather file that cannot be used, with the place of the fault.

    path: the file. line: line of the fault, counted from 1. message: what is wrong.
    """

    def __init__(self, path: Path, line: int, message: str) -> None:
        super().__init__(path, line, message)
        self.path = path
        self.line = line
        self.message = message

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.message}"


@dataclass(frozen=True, eq=False)
class DailyRecord:
    """Consecutive civil days of weather at one place; leap days are days like any other.

    name: what the record is called. origin: where it comes from. first_day: civil date of the first row.
    precipitation: total of the day [mm]. high, low: extremes of air temperature [°C]. wind: mean of the day
        [m/s].
    All arrays have shape (days,).
    """

    name: str
    origin: str
    first_day: date
    precipitation: NDArray[np.float64]
    high: NDArray[np.float64]
    low: NDArray[np.float64]
    wind: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.precipitation)

    @property
    def days(self) -> NDArray[np.int64]:
        """Proleptic ordinals of the civil days, shape (days,)."""
        return np.arange(len(self), dtype=np.int64) + self.first_day.toordinal()

    @property
    def whole_years(self) -> int:
        """Number of whole years that fit in the record, counted from its first day."""
        day_after = self.first_day + timedelta(days=len(self))
        years = day_after.year - self.first_day.year
        return years if anniversary(self.first_day, years) <= day_after else years - 1


def anniversary(day: date, years: int) -> date:
    """Give the same month and day so many years later; that of 29 February is 1 March where there is none."""
    if (day.month, day.day) == (2, 29) and not calendar.isleap(day.year + years):
        return date(day.year + years, 3, 1)
    return day.replace(year=day.year + years)


def read_daily(path: Path, columns: Mapping[str, str] | None = None) -> DailyRecord:
    """Read a daily record from a comma-separated file.

    path: text file; lines that start with ``#`` come first and say where the record is from, then a line of
        column
    names, then one line a day: date as yyyy-mm-dd, total precipitation [mm], highest and lowest air
    temperature [°C], mean wind [m/s].
    columns: the file's names for ``date``, ``precipitation``, ``high``, ``low``, ``wind``, where they are not
    those of ``COLUMNS``.

    Raises WeatherRecordError for a missing column, an unreadable number or date, a gap in the dates, a value
    that cannot be true, or less than one whole year; ValueError for a quantity in ``columns`` that is not
    one.
    """
    names = _column_names(columns)
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    rows = _numbered_rows(text)
    header_line, header = next(rows, (1, []))
    places = _places(path, header_line, header, names)
    days: list[_Day] = []
    line = header_line
    for line, cells in rows:
        days.append(_read_day(path, line, cells, places, names))
        _refuse_gap(path, line, days)
    if not days:
        raise WeatherRecordError(path, line, "the file has no days")
    record = _gather(path.stem, _origin(text), days)
    if record.whole_years < 1:
        raise WeatherRecordError(path, line, f"{len(days)} days are less than one whole year")
    return record


@dataclass(frozen=True)
class _Day:
    date: date
    precipitation: float
    high: float
    low: float
    wind: float


def _column_names(columns: Mapping[str, str] | None) -> Mapping[str, str]:
    unknown = sorted(set(columns or ()) - set(COLUMNS))
    if unknown:
        raise ValueError(f"unknown quantities {', '.join(unknown)}: a daily record has {', '.join(COLUMNS)}")
    return {**COLUMNS, **(columns or {})}


def _numbered_rows(text: str) -> Iterator[tuple[int, list[str]]]:
    for line, content in enumerate(text.splitlines(), start=1):
        if content.strip() and not content.startswith("#"):
            yield line, [cell.strip() for cell in next(csv.reader([content]))]


def _origin(text: str) -> str:
    return " ".join(line.lstrip("# ").rstrip() for line in text.splitlines() if line.startswith("#"))


def _places(path: Path, line: int, header: list[str], names: Mapping[str, str]) -> Mapping[str, int]:
    missing = [name for name in names.values() if name not in header]
    if missing:
        raise WeatherRecordError(path, line, f"no column {', '.join(missing)}; the file has {', '.join(header)}")
    return {quantity: header.index(name) for quantity, name in names.items()}


def _read_day(path: Path, line: int, cells: list[str], places: Mapping[str, int], names: Mapping[str, str]) -> _Day:
    if len(cells) <= max(places.values()):
        raise WeatherRecordError(path, line, f"only {len(cells)} values, {max(places.values()) + 1} are needed")

    def number(quantity: str) -> float:
        return _number(path, line, names[quantity], cells[places[quantity]])

    day = _Day(
        date=_date(path, line, cells[places["date"]]),
        precipitation=number("precipitation"),
        high=number("high"),
        low=number("low"),
        wind=number("wind"),
    )
    disbelief = _disbelief(day)
    if disbelief:
        raise WeatherRecordError(path, line, disbelief)
    return day


def _date(path: Path, line: int, cell: str) -> date:
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise WeatherRecordError(path, line, f"{cell!r} is not a date (yyyy-mm-dd)") from None


def _number(path: Path, line: int, name: str, cell: str) -> float:
    try:
        value = float(cell)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise WeatherRecordError(path, line, f"{name}: {cell!r} is not a number")
    return value


def _disbelief(day: _Day) -> str | None:
    """Say what about a day cannot be true; the usual cause is a code for a missing value or another unit."""
    if day.low > day.high:
        return f"the lowest temperature, {day.low} °C, is above the highest, {day.high} °C"
    if day.low < COLDEST_BELIEVED or day.high > HOTTEST_BELIEVED:
        return f"temperatures of {day.low} to {day.high} °C are not believed"
    if not 0.0 <= day.wind <= WINDIEST_DAY_BELIEVED:
        return f"a mean wind of {day.wind} m/s is not believed"
    if not 0.0 <= day.precipitation <= WETTEST_DAY_BELIEVED:
        return f"{day.precipitation} mm of rain in a day is not believed"
    return None


def _refuse_gap(path: Path, line: int, days: list[_Day]) -> None:
    if len(days) < 2:
        return
    expected = days[-2].date + timedelta(days=1)
    if days[-1].date != expected:
        raise WeatherRecordError(path, line, f"{days[-1].date} follows {days[-2].date}, {expected} is missing")


def _gather(name: str, origin: str, days: list[_Day]) -> DailyRecord:
    return DailyRecord(
        name=name,
        origin=origin,
        first_day=days[0].date,
        precipitation=np.array([day.precipitation for day in days]),
        high=np.array([day.high for day in days]),
        low=np.array([day.low for day in days]),
        wind=np.array([day.wind for day in days]),
    )
