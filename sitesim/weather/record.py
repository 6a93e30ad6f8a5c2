"""Weather records as they are read: consecutive civil days at one place, by the day or by the hour."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

_MOST_FAULTS = 10


class RecordFault(NamedTuple):
    """One thing that is wrong with a weather file: its line, counted from 1, and what is wrong.

    path: the file, where a record has several.
    """

    line: int
    message: str
    path: Path | None = None

    def of(self, path: Path) -> RecordFault:
        """Give the same with its file, unless it has one."""
        return self if self.path is not None else self._replace(path=path)


class WeatherRecordError(ValueError):
    """A weather file that cannot be used.

    path: the file, of several the first. found: what is wrong, line by line. faults: the same to be told; of very many
    only the first, and the rest counted.
    """

    def __init__(self, path: Path, faults: Sequence[RecordFault]) -> None:
        super().__init__(path, faults)
        self.path = path
        self.found = tuple(faults)
        kept = list(faults[:_MOST_FAULTS])
        if len(faults) > _MOST_FAULTS:
            more = f"and {len(faults) - _MOST_FAULTS} more from here on"
            kept.append(faults[_MOST_FAULTS]._replace(message=more))
        self.faults = kept

    def __str__(self) -> str:
        return "\n".join(f"{fault.path or self.path}:{fault.line}: {fault.message}" for fault in self.faults)


@dataclass(frozen=True, eq=False, kw_only=True)
class CivilDays:
    """What all records have: consecutive civil days at one place; leap days are days like any other.

    name: what the record is called. origin: where it comes from. first_day: civil date of the first row.
    precipitation: total of the day, or of the hour [mm]; rows are days.
    remarks: what was done to it on loading, sentence by sentence. doubts: what about it looks wrong and was let be.
    latitude: that the file gives [degrees], or None.
    """

    name: str
    origin: str
    first_day: date
    precipitation: NDArray[np.float64]
    remarks: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    latitude: float | None = None

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

    def too_short(self) -> str:
        """Say how long it would have to be for one whole year; nothing where it is."""
        if self.whole_years >= 1:
            return ""
        last = anniversary(self.first_day, 1) - timedelta(days=1)
        return f"{len(self)} days from {self.first_day} are less than one whole year, which would go to {last}"

    @property
    def days_of_whole_years(self) -> int:
        """Number of days that those whole years have."""
        return anniversary(self.first_day, self.whole_years).toordinal() - self.first_day.toordinal()

    @property
    def years(self) -> tuple[int, ...]:
        """The calendar years in which the record's whole years begin."""
        return tuple(self.first_day.year + year for year in range(self.whole_years))


@dataclass(frozen=True, eq=False, kw_only=True)
class DailyRecord(CivilDays):
    """A record by the day.

    high, low: extremes of air temperature [°C]. wind: mean of the day [m/s].
    humidity: mean relative humidity of the day as a share, or None.
    All arrays have shape (days,).
    """

    high: NDArray[np.float64]
    low: NDArray[np.float64]
    wind: NDArray[np.float64]
    humidity: NDArray[np.float64] | None = None


@dataclass(frozen=True, eq=False, kw_only=True)
class HourlyObservations(CivilDays):
    """A record by the hour, in civil time with 24 hours a day.

    temperature: of the air [°C]. wind: mean of the hour [m/s].
    humidity: relative humidity as a share, or None. gust: highest of the hour [m/s], nan where none was noted, or None.
    All arrays have shape (days, 24).
    """

    temperature: NDArray[np.float64]
    wind: NDArray[np.float64]
    humidity: NDArray[np.float64] | None = None
    gust: NDArray[np.float64] | None = None


WeatherRecord: TypeAlias = DailyRecord | HourlyObservations


def anniversary(day: date, years: int) -> date:
    """Give the same month and day so many years later; that of 29 February is 1 March where there is none."""
    if (day.month, day.day) == (2, 29) and not calendar.isleap(day.year + years):
        return date(day.year + years, 3, 1)
    return day.replace(year=day.year + years)
