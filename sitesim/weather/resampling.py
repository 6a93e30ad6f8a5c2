"""Drawing weather from few years: season-matched blocks of days, keyed by civil date."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import numpy as np
from numpy.typing import NDArray

from sitesim.plan.climate import HourlyRecord

Uniforms = Callable[[NDArray[np.int64]], NDArray[np.float64]]
"""Maps block numbers to uniform numbers in (0, 1); its owner keys them by seed and run."""

_LEAP_YEAR = 2000


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
