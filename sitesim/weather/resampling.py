"""Drawing weather from a record: season-matched blocks of days, or whole years, keyed by civil date."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from sitesim.plan import Climate
from sitesim.plan.climate import HourlyRecord

Uniforms = Callable[[NDArray[np.int64]], NDArray[np.float64]]
"""Maps block numbers to uniform numbers in (0, 1); its owner keys them by seed and run."""

MANY_YEARS = 20
"""From so many record years on whole years are replayed unless the scenario says otherwise; below, blocks are drawn."""

_LEAP_YEAR = 2000


class WeatherDays(Protocol):
    """One span of civil days, ready to be given weather from a record many times."""

    def draw(self, uniforms: Uniforms) -> NDArray[np.int64]:
        """Draw a row of the record for each civil day, shape (days,), out of keyed uniform numbers."""


def days_of_weather(climate: Climate, record: HourlyRecord, first_ordinal: int, days: int) -> WeatherDays:
    """Give the civil days that are to have weather from a record, drawn as the plan says: in blocks, or whole years.

    climate: how a run draws from the record. first_ordinal: proleptic ordinal of the first civil day. days: number
        of civil days.
    """
    if climate.replayed:
        return YearCalendar(record, first_ordinal, days, climate.replayed)
    return BlockCalendar(record, first_ordinal, days, climate.block, climate.window)


class BlockCalendar:
    """The blocks that cover one span of civil days, ready to be drawn from a record many times.

    Civil days are cut into blocks by ``ordinal // block``, so that a civil day belongs to the same block
    whatever the first day of the span is. A block is taken whole from the record: its first day falls on the
    same month and day of the drawn year, moved by the drawn offset, and its other days follow in the record's
    own order; so spells of weather stay whole inside a block. The record counts as a ring of whole years:
    moving past either end comes in at the other, in the same season. A block that begins on 29 February
    begins on 1 March of a drawn year that has none.

    record: whole years of hourly weather.
    first_ordinal: proleptic ordinal of the first civil day.
    days: number of civil days.
    block: length of a block [days].
    window: how far a block may be moved from its own date, either way [days].

    Raises ValueError when days or block is below 1, or window below 0.
    """

    def __init__(self, record: HourlyRecord, first_ordinal: int, days: int, block: int, window: int) -> None:
        if days < 1 or block < 1 or window < 0:
            raise ValueError(f"days {days} and block {block} must be 1 or more, window {window} 0 or more")
        ordinals = np.arange(first_ordinal, first_ordinal + days, dtype=np.int64)
        numbers = ordinals // block
        self.blocks = np.arange(numbers[0], numbers[-1] + 1, dtype=np.int64)
        self._record_days = len(record.days)
        self._offsets = 2 * window + 1
        self._choices = record.years * self._offsets
        self._place = numbers - numbers[0]
        self._rows = _first_rows(record, self.blocks * block, window)
        self._first_choice = np.arange(len(self.blocks), dtype=np.int64) * self._choices
        self._day_of_block = ordinals - numbers * block

    def draw(self, uniforms: Uniforms) -> NDArray[np.int64]:
        """Draw a row of the record for each civil day.

        uniforms: gives one number in (0, 1) for each block number.

        Returns row numbers, shape (days,).
        """
        choice = (uniforms(self.blocks) * self._choices).astype(np.int64)
        first_row = self._rows[self._first_choice + choice]
        rows: NDArray[np.int64] = (first_row[self._place] + self._day_of_block) % self._record_days
        return rows


class YearCalendar:
    """Whole years of a record laid over one span of civil days.

    Each civil day has the weather of the same month and day. One number is drawn: it says which of the years stands
    first, and from one anniversary of the record's first day to the next the years follow one another, round and
    round, as they do in the record. So weather belongs to the civil date whatever the first day of the span is, and a
    winter is cut only where the last of the years leads to the first. 29 February has the weather of the day after
    28 February where a year has none.

    record: whole years of hourly weather.
    first_ordinal: proleptic ordinal of the first civil day.
    days: number of civil days.
    years: places of the years in the record, counted from 0, that are replayed; one alone comes again and again.

    Raises ValueError when there is no day or no year, or a year is not in the record.
    """

    def __init__(self, record: HourlyRecord, first_ordinal: int, days: int, years: Sequence[int]) -> None:
        if days < 1 or not years or not all(0 <= year < record.years for year in years):
            raise ValueError(f"days {days} must be 1 or more, years {list(years)} some of 0 to {record.years - 1}")
        dates = [date.fromordinal(first_ordinal + day) for day in range(days)]
        of_date = _rows_of_calendar_days(record)[[_calendar_day(day) for day in dates]]
        anniversary = _calendar_day(date.fromordinal(int(record.days[0])))
        civil_year = np.array([day.year - (_calendar_day(day) < anniversary) for day in dates], dtype=np.int64)
        self._years = np.array(years, dtype=np.int64)
        self._rows = of_date
        self._day = np.arange(days)
        self._civil_year = civil_year

    def draw(self, uniforms: Uniforms) -> NDArray[np.int64]:
        """Draw a row of the record for each civil day.

        uniforms: gives one number in (0, 1) for the number 0.

        Returns row numbers, shape (days,).
        """
        first = int(uniforms(np.zeros(1, dtype=np.int64))[0] * len(self._years))
        year = self._years[(first + self._civil_year) % len(self._years)]
        rows: NDArray[np.int64] = self._rows[self._day, year]
        return rows


def day_indices(
    first_ordinal: int, days: int, record: HourlyRecord, block: int, window: int, uniforms: Uniforms
) -> NDArray[np.int64]:
    """Draw a row of the record for each of ``days`` civil days from ``first_ordinal`` on.

    Takes what ``BlockCalendar`` takes, which is the faster way to draw the same span again and again.
    """
    return BlockCalendar(record, first_ordinal, days, block, window).draw(uniforms)


def _first_rows(record: HourlyRecord, first_days: NDArray[np.int64], window: int) -> NDArray[np.int64]:
    """Give the row on which each block begins for each choice of year and offset, block after block."""
    of_date = _rows_of_calendar_days(record)
    dates = [date.fromordinal(int(ordinal)) for ordinal in first_days]
    same_day = of_date[[_calendar_day(day) for day in dates]]
    moved = same_day[:, :, np.newaxis] + np.arange(-window, window + 1)
    return (moved % len(record.days)).reshape(-1)


def _rows_of_calendar_days(record: HourlyRecord) -> NDArray[np.int64]:
    """Give the row of each month and day in each year of the record, shape (366, years)."""
    rows = np.full((366, record.years), -1, dtype=np.int64)
    seen = np.zeros(366, dtype=np.int64)
    for row, ordinal in enumerate(record.days):
        day = _calendar_day(date.fromordinal(int(ordinal)))
        rows[day, seen[day]] = row
        seen[day] += 1
    return _with_leap_days(rows, len(record.days))


def _with_leap_days(rows: NDArray[np.int64], record_days: int) -> NDArray[np.int64]:
    """Let 29 February stand for the day after 28 February where the year has none."""
    day_before, leap_day = _calendar_day(date(_LEAP_YEAR, 2, 28)), _calendar_day(date(_LEAP_YEAR, 2, 29))
    rows[leap_day] = (rows[day_before] + 1) % record_days
    return rows


def _calendar_day(day: date) -> int:
    """Number a month and day from 0 to 365, the same in every year."""
    return day.replace(year=_LEAP_YEAR).timetuple().tm_yday - 1
