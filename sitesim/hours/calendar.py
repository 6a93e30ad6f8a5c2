"""A calendar: the hours in which something may go on, as sorted intervals that do not touch."""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from itertools import accumulate
from operator import sub

import numpy as np
import numpy.typing as npt

from sitesim.hours.clock import NEVER

Hours = npt.NDArray[np.float64]

HOURS_A_DAY = 24.0
LONGEST_BREAK = 2.0
"""The longest gap [h] that is a break rather than the end of the day's work (assumed)."""


class Calendar:
    """Open intervals ``[start, end)`` in clock hours, with the hours that lie before each of them.

    Parameters: ``starts`` and ``ends`` [h], equally long, sorted, each interval of positive length;
    intervals that touch are to be joined by the caller (`Calendar.of` does so).

    Work is inverted rather than stepped: `finish` finds the end of a three-week task with two
    binary searches.

    ``usual`` is the same calendar as if nobody were ever away, or None where nobody is.
    """

    __slots__ = ("_arrays", "_days_of_work", "_shared", "_without_breaks", "before", "ends", "starts", "total", "usual")

    def __init__(self, starts: Sequence[float], ends: Sequence[float]) -> None:
        before = list(accumulate(map(sub, ends, starts), initial=0.0))
        total = before.pop()
        self._hold(starts, ends, before, total)

    def _hold(self, starts: Sequence[float], ends: Sequence[float], before: Sequence[float], total: float) -> None:
        """Take the columns as they are, with the hours [h] before each interval and all in all."""
        self.starts = starts
        self.ends = ends
        self.before = before
        self.total = total
        self._arrays: tuple[Hours, Hours, Hours] | None = None
        self._without_breaks: Calendar | None = None
        self._days_of_work: Calendar | None = None
        self._shared: dict[int, tuple[Calendar, Calendar]] | None = None
        self.usual: Calendar | None = None

    @classmethod
    def packed(cls, starts: Hours, ends: Hours) -> Calendar:
        """Make a calendar of columns, as the constructor does, but packed.

        Weather makes ten calendars in every run; as lists they would be ten thousand objects, made and thrown away.
        """
        calendar = cls.__new__(cls)
        lengths = ends - starts
        after = lengths.cumsum()  # exact: whole ticks
        total = float(after[-1]) if len(after) else 0.0
        calendar._hold(_packed(starts), _packed(ends), _packed(after - lengths), total)
        return calendar

    @classmethod
    def of(cls, intervals: Iterable[tuple[float, float]]) -> Calendar:
        """Make a calendar of intervals in any order, joining those that overlap or touch."""
        starts: list[float] = []
        ends: list[float] = []
        for start, end in sorted(intervals):
            if end <= start:
                continue
            if ends and start <= ends[-1]:
                ends[-1] = max(ends[-1], end)
            else:
                starts.append(start)
                ends.append(end)
        return cls(starts, ends)

    def __repr__(self) -> str:
        return f"Calendar({len(self.starts)} intervals, {self.total} h)"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Calendar) and self.intervals() == other.intervals()

    __hash__ = None  # type: ignore[assignment]  # the lists inside may be long; never used as a key

    def intervals(self) -> list[tuple[float, float]]:
        """List the open intervals [h]."""
        return list(zip(self.starts, self.ends, strict=True))

    def is_open(self, instant: float) -> bool:
        """Tell whether work may go on right after ``instant`` [h]."""
        i = bisect_right(self.starts, instant) - 1
        return i >= 0 and instant < self.ends[i]

    def next_open(self, instant: float) -> float:
        """Give the first instant at or after ``instant`` [h] at which work may go on, or `NEVER`."""
        i = bisect_right(self.ends, instant)
        if i == len(self.ends):
            return NEVER
        start = self.starts[i]
        return start if start > instant else instant

    def last_open(self, instant: float) -> float:
        """Give the last instant at or before ``instant`` [h] until which work may go on; -`NEVER` if there is none."""
        i = bisect_right(self.starts, instant) - 1
        return min(instant, self.ends[i]) if i >= 0 else -NEVER

    def close_after(self, instant: float) -> float:
        """Give the end [h] of the interval that is open at ``instant``; ``instant`` itself if none is."""
        i = bisect_right(self.starts, instant) - 1
        return self.ends[i] if i >= 0 and instant < self.ends[i] else instant

    def hours_before(self, instant: float) -> float:
        """Count the open hours before ``instant`` [h]."""
        i = bisect_right(self.starts, instant) - 1
        if i < 0:
            return 0.0
        end = self.ends[i]
        return self.before[i] + (instant if instant < end else end) - self.starts[i]

    def worked(self, start: float, end: float) -> float:
        """Count the open hours [h] between two instants."""
        starts, ends = self.starts, self.ends
        until = bisect_right(starts, end) - 1
        if until < 0:
            return -self.hours_before(start)
        closes = ends[until]
        before = self.before[until] + (end if end < closes else closes) - starts[until]
        return before - self.hours_before(start)

    def worked_in_each(self, starts: Hours, ends: Hours) -> Hours:
        """Count the open hours [h] between many pairs of instants at once, equal to `worked` pair by pair."""
        before = self._hours_before_each(np.concatenate((starts, ends)))
        return before[len(starts) :] - before[: len(starts)]

    def _hours_before_each(self, instants: Hours) -> Hours:
        if self._arrays is None:  # an interval of no length before all others spares a case
            self._arrays = (
                np.array([-np.inf, *self.starts]),
                np.array([0.0, *map(sub, self.ends, self.starts)]),
                np.array([0.0, *self.before]),
            )
        starts, lengths, before = self._arrays
        i = np.searchsorted(starts, instants, side="right") - 1
        within = np.minimum(instants - starts[i], lengths[i])
        found: Hours = before[i] + within
        return found

    def finish(self, start: float, hours: float) -> float:
        """Tell when ``hours`` [h] of work begun at ``start`` are done, or `NEVER`.

        Work counts open hours only. No hours at all are done at the first open instant.
        """
        i = bisect_right(self.ends, start)
        if i == len(self.ends):
            return NEVER
        opened, before = self.starts[i], self.before
        begin = start if start > opened else opened
        if hours <= 0.0:
            return begin
        target = before[i] + (begin - opened) + hours
        if target > self.total:
            return NEVER
        i = bisect_left(before, target, i) - 1
        return self.starts[i] + (target - before[i])

    def next_window(self, instant: float, length: float) -> float:
        """Find the first instant at or after ``instant`` from which ``length`` [h] fit into one interval.

        Returns `NEVER` if no interval is long enough.
        """
        starts, ends = self.starts, self.ends
        for i in range(bisect_right(ends, instant), len(ends)):
            start = starts[i] if starts[i] > instant else instant
            if start + length <= ends[i]:
                return start
        return NEVER

    def within(self, start: float, end: float) -> list[tuple[float, float]]:
        """List the open intervals between two instants [h], cut to them."""
        first, last = bisect_right(self.ends, start), bisect_left(self.starts, end)
        if first >= last or start >= end:
            return []
        found = list(zip(self.starts[first:last], self.ends[first:last], strict=True))
        found[0] = max(found[0][0], start), found[0][1]
        found[-1] = found[-1][0], min(found[-1][1], end)
        return found

    def without_breaks(self) -> Calendar:
        """Give the calendar with breaks bridged: gaps of up to `LONGEST_BREAK`, through which some of a gang go on."""
        if self._without_breaks is None:
            gaps = [i for i in range(1, len(self.starts)) if self.starts[i] - self.ends[i - 1] > LONGEST_BREAK]
            if len(gaps) + 1 < len(self.starts):
                starts = [self.starts[i] for i in (0, *gaps)]
                ends = [self.ends[i - 1] for i in (*gaps, len(self.ends))]
                self._without_breaks = Calendar(starts, ends)
                if self.usual is not None:
                    self._without_breaks.usual = self.usual.without_breaks()
            else:
                self._without_breaks = self
        return self._without_breaks

    def days_of_work(self) -> Calendar:
        """Give the calendar as days of work: breaks are bridged, and what goes on day and night is cut at midnight."""
        if self._days_of_work is None:
            starts: list[float] = []
            ends: list[float] = []
            for start, end in self.without_breaks().intervals():
                while end - start > HOURS_A_DAY:
                    midnight = HOURS_A_DAY * (start // HOURS_A_DAY + 1.0)
                    starts.append(start)
                    ends.append(midnight)
                    start = midnight
                starts.append(start)
                ends.append(end)
            self._days_of_work = Calendar(starts, ends)
            if self.usual is not None:
                self._days_of_work.usual = self.usual.days_of_work()
        return self._days_of_work

    def intersect(self, other: Calendar) -> Calendar:
        """Give the calendar that is open when both are."""
        few, many = (self, other) if len(self.starts) < len(other.starts) else (other, self)
        starts: list[float] = []
        ends: list[float] = []
        for start, end in zip(few.starts, few.ends, strict=True):
            first, last = bisect_right(many.ends, start), bisect_left(many.starts, end)
            if first < last:
                cut = len(starts)
                starts += many.starts[first:last]
                ends += many.ends[first:last]
                starts[cut] = max(starts[cut], start)
                ends[-1] = min(ends[-1], end)
        both = Calendar(starts, ends)
        if self.usual is not None or other.usual is not None:
            both.usual = (self.usual or self).intersect(other.usual or other)
        return both

    def without(self, spans: Iterable[tuple[float, float]]) -> Calendar:
        """Give the calendar without some spans [h], which are in order and do not overlap."""
        edges = [0.0, *(edge for span in spans for edge in span), NEVER]
        return self.intersect(Calendar.of(zip(edges[::2], edges[1::2], strict=True)))

    def shared_with(self, other: Calendar) -> Calendar:
        """Give `intersect`, worked out once for each calendar that lasts as long as this one."""
        if self._shared is None:
            self._shared = {}
        found = self._shared.get(id(other))
        if found is None:  # the other is kept too, so that its number is not another calendar's one day
            found = self._shared[id(other)] = other, self.intersect(other)
        return found[1]


def _packed(column: Hours) -> array[float]:
    return array("d", column.tobytes())


def everlasting(horizon: float) -> Calendar:
    """Give the calendar that never shuts before the horizon [h]."""
    return Calendar([0.0], [horizon])
