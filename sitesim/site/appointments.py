"""Inspectors: they come by appointment, on their own days, and a visit that finds nothing to see is lost."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from sitesim.chance import Luck
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.plan import Inspector, Node


class Appointments:
    """The diaries of the inspectors: how many visits each day already has."""

    def __init__(self, inspectors: Sequence[Inspector], shifts: Sequence[Calendar], luck: Luck) -> None:
        self._inspectors = inspectors
        self._shifts = shifts
        self._luck = luck
        self._booked: dict[tuple[int, float], int] = {}

    def book(self, node: Node, inspector: int, attempt: int, now: float, expected: float) -> float:
        """Book a visit at ``now`` [h] for work expected to be ready at ``expected`` [h].

        The inspector comes on the first of their days that begins after the notice and not before the work is expected,
        with a visit to spare, at an hour of their own choosing. Returns the end of the visit [h], or `NEVER`.
        """
        who = self._inspectors[inspector]
        days = self._shifts[inspector].days_of_work()
        notice = on_clock(self._luck.draw(who.notice, node.notice_stream, attempt))
        earliest = max(self._shifts[inspector].finish(now, notice), expected)
        if earliest == NEVER:
            return NEVER
        for day in range(bisect_left(days.starts, earliest), len(days.starts)):
            start, end = days.starts[day], days.ends[day]
            taken = self._booked.get((inspector, start), 0)
            if taken >= who.visits_a_day:
                continue
            self._booked[inspector, start] = taken + 1
            slack = max(0.0, end - start - who.visit)
            share = self._luck.uniform(node.visit_stream, attempt) if who.at_any_hour else 0.5
            wait = on_clock(slack * share)
            return start + wait + who.visit
        return NEVER
