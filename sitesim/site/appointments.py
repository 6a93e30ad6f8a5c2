"""Inspectors: they come by appointment, on their own days, and a visit that finds nothing to see is lost.

A witness is told beforehand and comes if they can; nobody waits for them.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from sitesim.chance import Luck, stream
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

    def can_be_moved_until(self, inspector: int, visit: float) -> float:
        """Give the last instant [h] at which a visit that ends at ``visit`` [h] can be moved to another day.

        It lies in the inspector's own hours, since nobody answers outside them; -`NEVER` where it never can.
        """
        who = self._inspectors[inspector]
        return self._shifts[inspector].last_open(visit - who.visit - who.moved_until)

    def call_off(self, inspector: int, visit: float) -> None:
        """Give up a visit that ends at ``visit`` [h] in time, so that somebody else may have it."""
        begins = visit - self._inspectors[inspector].visit
        day = self._day_of(inspector, begins)
        self._booked[inspector, day] -= 1

    def witness(self, key: str, inspector: int, comes: float, begins: float, ends: float) -> float:
        """Tell when an invited witness sees work that goes on from ``begins`` to ``ends`` [h]; `NEVER` if they do not.

        They know of it in time, from whoever looks ahead, and come with the chance ``comes`` if the work goes on in
        their hours, on a day with a visit to spare. Parameters: ``key`` of the work.
        """
        there = self._shifts[inspector].next_open(begins)
        if there > ends or self._luck.uniform(stream("comes", key)) >= comes:
            return NEVER
        day = self._day_of(inspector, there)
        taken = self._booked.get((inspector, day), 0)
        if taken >= self._inspectors[inspector].visits_a_day:
            return NEVER
        self._booked[inspector, day] = taken + 1
        return there

    def _day_of(self, inspector: int, instant: float) -> float:
        """Give the beginning [h] of the inspector's day in which an instant lies."""
        days = self._shifts[inspector].days_of_work()
        return days.starts[bisect_right(days.starts, instant) - 1]
