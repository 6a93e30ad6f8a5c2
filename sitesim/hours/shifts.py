"""Shifts: the working week laid over civil days, and cut by the hours that weather leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from sitesim.hours.calendar import Calendar
from sitesim.hours.clock import on_clock


@dataclass(frozen=True, slots=True)
class WeekPattern:
    """A working week: the spans of each weekday and the dates on which nobody works.

    Parameters: ``spans``, for each weekday 0 (Monday) to 6 the spans of work as hours of the day
    (``((7.0, 15.0),)``); ``closed``, ordinals of the dates without work.
    """

    spans: Mapping[int, tuple[tuple[float, float], ...]]
    closed: frozenset[int] = frozenset()

    @property
    def day_length(self) -> float:
        """The hours [h] of the longest working day."""
        return max((sum(end - start for start, end in spans) for spans in self.spans.values()), default=0.0)


class Shifts:
    """A week pattern laid over ``days`` civil days from ``first``, cut into slots of at most an hour.

    A slot lies within one clock hour, so that an hourly yes or no of the weather opens or shuts it whole.
    """

    def __init__(self, pattern: WeekPattern, first: date, days: int) -> None:
        starts: list[float] = []
        ends: list[float] = []
        shifts: list[tuple[float, float]] = []
        ordinal = first.toordinal()
        for day in range(days):
            if ordinal + day in pattern.closed:
                continue
            for begin, close in pattern.spans.get((ordinal + day - 1) % 7, ()):
                start, end = on_clock(24 * day + begin), on_clock(24 * day + close)
                shifts.append((start, end))
                while start < end:
                    cut = min(end, float(int(start) + 1))
                    starts.append(start)
                    ends.append(cut)
                    start = cut
        self.calendar = Calendar.of(shifts)
        self._starts = np.array(starts)
        self._ends = np.array(ends)
        self._hour = self._starts.astype(np.int64)
        joins = np.empty(len(starts), dtype=bool)
        joins[:1] = False
        joins[1:] = self._starts[1:] == self._ends[:-1]
        self._joins = joins

    def opened(self, hours: npt.NDArray[np.bool_]) -> Calendar:
        """Keep of the shifts what the weather leaves open.

        Parameters: ``hours``, shape (days × 24,), true where the hour is open.
        """
        is_open = hours[self._hour]
        goes_on = np.zeros(len(is_open), dtype=bool)
        goes_on[1:] = is_open[1:] & is_open[:-1] & self._joins[1:]
        begins = is_open & ~goes_on
        closes = is_open.copy()
        closes[:-1] &= ~goes_on[1:]
        return Calendar(self._starts[begins].tolist(), self._ends[closes].tolist())
