"""When plant, road or trucks are lost: on dates that are known, and on days that luck picks."""

from __future__ import annotations

from collections.abc import Sequence

from sitesim.chance import Luck
from sitesim.hours import NEVER, on_clock
from sitesim.plan import Link, Outage

Span = tuple[float, float]
"""From an instant to another [h]."""


class Outages:
    """The spans in which a link between plant and site is lost, worked out day by day when they are asked for.

    Parameters: ``first_ordinal``, the ordinal of the date of hour 0.
    """

    def __init__(self, outages: Sequence[Outage], luck: Luck, first_ordinal: int) -> None:
        self._outages = outages
        self._luck = luck
        self._first_ordinal = first_ordinal
        self._found: dict[tuple[Link, int], list[Span]] = {}
        self._latest_ends: dict[Link, list[float]] = {}

    def restored(self, link: Link, instant: float) -> float:
        """Give the first instant [h] at or after one at which the link is there."""
        if not self._outages:
            return instant
        while True:
            day = int(instant // 24)
            begun = [ends for begins, ends in self.spans(link, day) if begins <= instant]
            until = max([self._latest_end(link, day), *begun])
            if until <= instant:
                return instant
            instant = until

    def _latest_end(self, link: Link, day: int) -> float:
        """Give the latest end [h] of whatever began before a day of the run, however long it lasts."""
        ends = self._latest_ends.setdefault(link, [-NEVER])
        while len(ends) <= day:
            began = len(ends) - 1
            ends.append(max([ends[-1], *(end for _, end in self.spans(link, began))]))
        return ends[day]

    def known(self, link: Link, day: int) -> list[Span]:
        """Give the spans [h] of a day of the run that everybody knows of beforehand."""
        midnight, ordinal = 24.0 * day, self._first_ordinal + day
        return [
            (midnight + begins, midnight + ends)
            for outage in self._outages
            if outage.link is link and ordinal in outage.dates
            for begins, ends in outage.hours
        ]

    def spans(self, link: Link, day: int) -> list[Span]:
        """Give all spans [h] that begin on a day of the run."""
        found = self._found.get((link, day))
        if found is None:
            found = self._found[link, day] = self.known(link, day) + self._by_chance(link, day)
        return found

    def _by_chance(self, link: Link, day: int) -> list[Span]:
        midnight, ordinal = 24.0 * day, self._first_ordinal + day
        spans = []
        for outage in self._outages:
            if outage.link is not link or not outage.chance:
                continue
            if self._luck.uniform(outage.chance_stream, ordinal) >= outage.chance:
                continue
            begins = on_clock(midnight + outage.hour_at(self._luck.uniform(outage.hour_stream, ordinal)))
            spans.append((begins, begins + on_clock(self._luck.draw(outage.time, outage.time_stream, ordinal))))
        return spans
