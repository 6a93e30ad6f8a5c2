"""What held the date: the driving chain behind the last thing done, and its days by cause."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from operator import attrgetter

import numpy as np

from sitesim.hours import Calendar
from sitesim.hours.calendar import HOURS_A_DAY
from sitesim.ledger.chain import Account, Stretch
from sitesim.ledger.rows import Entry
from sitesim.plan import Cause

_end_of = attrgetter("end")
_CAUSES = tuple(Cause)
_WORDS = {cause: cause.value for cause in _CAUSES}
_PLACE = {cause: place for place, cause in enumerate(_CAUSES)}


def driving_chain(account: Account) -> list[Stretch]:
    """Walk back from the end of what ended last; latest first, nothing where nothing was done."""
    entries = account.entries
    if not entries:
        return []
    finish = max(map(_end_of, entries))
    return account.behind(next(entry for entry in reversed(entries) if entry.end == finish))


def days_held(
    chain: Sequence[Stretch], entries: Sequence[Entry], site_shift: Calendar
) -> Iterable[tuple[str, str, float, float]]:
    """Give the days of the finish by cause and activity, and how many of them were nights and weekends."""
    starts, ends = np.array([(start, end) for start, end, _, _ in chain]).reshape(-1, 2).T
    off_shift = ends - starts - site_shift.worked_in_each(starts, ends)
    held: dict[tuple[Cause, str], tuple[float, float]] = {}
    for (start, end, cause, serial), off in zip(chain, off_shift.tolist(), strict=True):
        key = cause, entries[serial].key
        days, off_days = held.get(key, (0.0, 0.0))
        held[key] = days + (end - start) / HOURS_A_DAY, off_days + off / HOURS_A_DAY
    for (cause, activity), (days, off_days) in held.items():
        yield _WORDS[cause], activity, days, off_days


class WorkingDays:
    """The working days of a site as a scale: how many there are up to an instant, a day under way in part.

    Parameters: ``site_shift``, the site's shifts. A day counts by its shift hours, however many they are.
    """

    def __init__(self, site_shift: Calendar) -> None:
        self._begins: list[float] = []
        instants, days = [0.0], [0.0]
        of_day: dict[int, float] = {}
        self._calendar = site_shift.days_of_work()
        intervals = self._calendar.intervals()
        for start, end in intervals:
            of_day[int(start // HOURS_A_DAY)] = of_day.get(int(start // HOURS_A_DAY), 0.0) + end - start
        seen: set[int] = set()
        for start, end in intervals:
            day = int(start // HOURS_A_DAY)
            if day not in seen:
                seen.add(day)
                self._begins.append(start)
            instants += [start, end]
            days += [days[-1], days[-1] + (end - start) / of_day[day]]
        self._instants, self._days = np.array(instants), np.array(days)

    def begun_before(self, instant: float) -> int:
        """Count the working days that have begun before an instant [h]."""
        return bisect_left(self._begins, instant)

    def within(self, span: tuple[float, float]) -> int:
        """Count the working days of which there are shift hours within a span [h]."""
        return len({int(start // HOURS_A_DAY) for start, _ in self._calendar.within(*span)})

    def by_cause(self, chain: Sequence[Stretch], until: float) -> dict[Cause | None, float]:
        """Tell whose the working days up to an instant [h] are: those of the causes that held the date on them.

        A day that several held is shared by its shift hours. The last day, of which only the hours up to ``until``
        count, is a whole one all the same. What the chain does not reach is nobody's, None.
        """
        count = self.begun_before(until)
        if not count:
            return {}
        held: dict[Cause | None, float] = {}
        if chain:
            starts, ends, causes, _ = zip(*chain, strict=True)
            bounds = np.interp(np.minimum((starts, ends), until), self._instants, self._days)
            last = float(np.interp(until, self._instants, self._days)) - (count - 1)
            bounds = np.where(bounds > count - 1, count - 1 + (bounds - (count - 1)) / last, bounds)
            places = list(map(_PLACE.__getitem__, causes))
            sums = np.bincount(places, bounds[1] - bounds[0], len(_CAUSES)).tolist()
            held = {cause: days for cause, days in zip(_CAUSES, sums, strict=True) if days > 0.0}
        left = count - sum(held.values())
        if left > 1e-6:
            held[None] = left
        return held
