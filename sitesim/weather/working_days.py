"""Working hours laid over the days of a record: how many of them each limit shuts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sitesim.hours import Calendar
from sitesim.plan.climate import HOURS_A_DAY

Hours = NDArray[np.float64]


class WorkingDays:
    """The working hours of a span of civil days, by clock hour.

    calendar: the working hours, hour 0 being the midnight before the first civil day. days: number of civil days.
    """

    def __init__(self, calendar: Calendar, days: int) -> None:
        by_day = _by_clock_hour(calendar, days)
        # Days of work are alike but for a few patterns: what a record's day loses is reckoned once for each of these.
        self._patterns, pattern = np.unique(by_day, axis=0, return_inverse=True)
        self._pattern = pattern.reshape(-1)
        self.of_day: Hours = by_day.sum(axis=1)

    def within(self, hours: NDArray[np.bool_], rows: NDArray[np.int64]) -> Hours:
        """Count the working hours of civil days that lie in marked hours of the record [h].

        hours: the marked hours of the record, shape (record days, 24). rows: of the record, one for each civil day,
            shape (..., days).

        Returns an array of the shape of ``rows``.
        """
        counted = hours.astype(np.float64) @ self._patterns.T
        return np.asarray(counted[rows, self._pattern])


def _by_clock_hour(calendar: Calendar, days: int) -> Hours:
    """Give the open part of each clock hour [h], shape (days, 24)."""
    hours = np.zeros(days * HOURS_A_DAY)
    for start, end in calendar.intervals():
        first, last = int(start), min(int(np.ceil(end)), len(hours))
        for hour in range(first, last):
            hours[hour] += min(end, hour + 1.0) - max(start, float(hour))
    return hours.reshape(days, HOURS_A_DAY)


def spells(wet: NDArray[np.bool_]) -> tuple[float, float, int]:
    """Give the mean length of wet spells [days], the chance that a wet day is followed by one, and the longest spell.

    wet: whether each day is wet, shape (..., days); spells end where their row ends. Without a wet day all are 0.
    """
    rows = np.atleast_2d(wet)
    starts = rows.copy()
    starts[:, 1:] &= ~rows[:, :-1]
    count = int(np.count_nonzero(starts))
    if not count:
        return 0.0, 0.0, 0
    before, after = rows[:, :-1], rows[:, 1:]
    goes_on = int(np.count_nonzero(before & after)) / max(1, int(np.count_nonzero(before)))
    length = np.zeros(len(rows), dtype=np.int64)
    longest = 0
    for day in range(rows.shape[1]):
        length = np.where(rows[:, day], length + 1, 0)
        longest = max(longest, int(length.max()))
    return float(np.count_nonzero(rows) / count), goes_on, longest
