"""Shifts: the working week laid over civil days, and cut by the hours that weather leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import numpy.typing as npt

from sitesim.hours.calendar import Calendar
from sitesim.hours.clock import on_clock


@dataclass(frozen=True, slots=True)
class WeekPattern:
    """A working week: the spans of each weekday and the dates on which nobody works.

    Parameters: ``spans``, for each weekday 0 (Monday) to 6 the spans of work as hours of the day
    (``((7.0, 15.0),)``); ``closed``, ordinals of the dates without work; ``away``, those of the dates on which whoever
    keeps this week does not come, though others work.
    """

    spans: Mapping[int, tuple[tuple[float, float], ...]]
    closed: frozenset[int] = frozenset()
    away: frozenset[int] = frozenset()

    @property
    def day_length(self) -> float:
        """The hours [h] of the longest working day."""
        return max((sum(end - start for start, end in spans) for spans in self.spans.values()), default=0.0)

    def relieved_by(self, other: WeekPattern) -> WeekPattern:
        """Give the week in which others carry on where these end; dates without these stay without."""
        spans = {weekday: _merged((*own, *other.spans.get(weekday, ()))) for weekday, own in self.spans.items()}
        return WeekPattern(spans, self.closed, self.away)

    def over(self, first: date, days: int) -> Calendar:
        """Lay the pattern over ``days`` civil days, the first of which begins at hour 0."""
        ordinal, without = first.toordinal(), self.closed | self.away
        calendar = Calendar.of(
            (on_clock(24 * day + start), on_clock(24 * day + end))
            for day in range(days)
            if ordinal + day not in without
            for start, end in self.spans.get((ordinal + day - 1) % 7, ())
        )
        if self.away:
            calendar.usual = replace(self, away=frozenset()).over(first, days)
        return calendar


def _merged(spans: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Join spans of a day that overlap or touch."""
    merged: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if merged and start <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(end, merged[-1][1])
        else:
            merged.append((start, end))
    return tuple(merged)


class Shifts:
    """The hours of a calendar cut into slots of at most one clock hour.

    A slot lies within one clock hour, so that an hourly yes or no of the weather opens or shuts it whole.
    """

    def __init__(self, calendar: Calendar) -> None:
        starts: list[float] = []
        ends: list[float] = []
        for start, end in calendar.intervals():
            while start < end:
                cut = min(end, float(int(start) + 1))
                starts.append(start)
                ends.append(cut)
                start = cut
        self.calendar = calendar
        self._starts = np.array(starts)
        self._ends = np.array(ends)
        self._hour = self._starts.astype(np.int64)
        self._joins = self._starts[1:] == self._ends[:-1]
        self._usual = None if calendar.usual is None else Shifts(calendar.usual)

    def opened(self, hours: npt.NDArray[np.bool_]) -> Calendar:
        """Keep of the calendar what the weather leaves open.

        Parameters: ``hours``, shape (clock hours,), true where the hour is open.
        """
        is_open = hours.take(self._hour)
        cut = ~(is_open[1:] & is_open[:-1] & self._joins)
        begins, closes = is_open, is_open.copy()
        closes[:-1] &= cut
        begins[1:] &= cut
        opened = Calendar.packed(self._starts.compress(begins), self._ends.compress(closes))
        if self._usual is not None:
            opened.usual = self._usual.opened(hours)
        return opened
