"""What a change is laid over: a scenario as it is written, and what is known of the site as planned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, Protocol

from sitesim.scenario.document import Document, Place, Trail, dotted, plain_copy
from sitesim.scenario.faults import closest
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.telling.measures import day


class DoesNotApply(Exception):
    """The scenario has nothing that this could change; the text says what is missing."""


class SiteFacts(Protocol):
    """What has to be played to be known of a site as planned."""

    @property
    def plain_days(self) -> float:
        """The duration [d] of the plain plan."""

    @property
    def busiest_gang(self) -> str:
        """The gang with most hours of work in the plain plan."""

    @property
    def print_days(self) -> tuple[int, ...]:
        """For each print day of the plain plan, how many days after the start it is, in order."""

    @property
    def worst_year(self) -> int:
        """The year of the weather record in which the site would finish last."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A scenario on its way to a stressed one.

    Parameters: ``document``, what is written so far; ``scenario``, as planned; ``facts`` of it; ``place``, where the
    stress is written, so that what cannot be is told there; ``doubts``, why what has been laid over may change little.
    """

    document: Document
    scenario: Scenario
    facts: SiteFacts
    place: Place
    doubts: tuple[str, ...] = ()

    @property
    def start(self) -> date:
        """The date on which the site begins, as written so far."""
        return date.fromisoformat(self.document.text(("site", "start")))

    def within_the_plan(self, first: date, last: date) -> Draft:
        """Give the draft, with a doubt if what goes wrong from ``first`` to ``last`` comes after the plain plan's end.

        Runs take longer than the plain plan, so that it may still be felt; raises DoesNotApply for what is over before
        the site begins.
        """
        begins = self.start
        ends = begins + timedelta(days=int(self.facts.plain_days))
        outside = f"lies outside the plan: the work goes from {day(begins)} to {day(ends)} (plain plan)"
        if last < begins:
            raise DoesNotApply(f"{_span(first, last)} {outside}")
        if first > ends:
            return replace(self, doubts=(*self.doubts, f"{_span(first, last)} {outside}; only a later run can feel it"))
        return self

    def with_value(self, trail: Trail, value: Any) -> Draft:
        """Give the draft with a value in place of what is written there."""
        document = self.document.copied()
        document.put(trail, plain_copy(value), self.place)
        return replace(self, document=document)

    def with_entry(self, trail: Trail, entry: Any) -> Draft:
        """Give the draft with one more entry in a list, which need not be there yet."""
        written = self.document.get(trail)
        return self.with_value(trail, [*(written if isinstance(written, list) else []), entry])

    def trails(self, path: str) -> list[Trail]:
        """Give the places that a dotted path means, in which ``*`` stands for every name.

        Raises DoesNotApply if nothing is written there.
        """
        found: list[Trail] = [()]
        for part in path.split("."):
            inside = [trail for before in found for trail in self._inside(before, part)]
            if not inside:
                raise DoesNotApply(self._missing(found, part, path))
            found = inside
        return found

    def _inside(self, trail: Trail, part: str) -> list[Trail]:
        value = self.document.get(trail)
        if isinstance(value, dict):
            return [(*trail, key) for key in (value if part == "*" else [part]) if value.get(key) is not None]
        if isinstance(value, list):
            return [(*trail, i) for i in range(len(value)) if part in ("*", str(i))]
        return []

    def _missing(self, reached: list[Trail], part: str, path: str) -> str:
        value = self.document.get(reached[0])
        names = list(value) if isinstance(value, dict) and part != "*" else []
        close = closest(part, names) if len(reached) == 1 and reached[0] else ""
        where = dotted((*reached[0], part)) if len(reached) == 1 and part != "*" else path
        return f"the scenario says nothing of {where}" + (f"; did you mean {close}?" if close else "")

    def unwritten(self, path: str) -> Any:
        """Give the model's own value at a path at which nothing is written; None where there is none."""
        found: Any = self.scenario.model
        for part in path.split("."):
            found = found.get(part) if isinstance(found, dict) else getattr(found, part, None)
        return found


def _span(first: date, last: date) -> str:
    return day(first) if first == last else f"{day(first)} to {day(last)}"
