"""The kinds of reliefs: small values that change a draft and know which paths they change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from sitesim.scenario.document import Trail
from sitesim.scenario.inheritance import followed
from sitesim.scenario.keys import names_are_free
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.sections.calendar import WEEKDAYS
from sitesim.scenario.variants.amounts import longer
from sitesim.scenario.variants.draft import DoesNotApply, Draft
from sitesim.scenario.variants.values import Factors, Values

SATURDAY, SUNDAY = WEEKDAYS.index("sat"), WEEKDAYS.index("sun")


class Relieving(Protocol):
    """What a kind of relief does to a draft."""

    @property
    def paths(self) -> frozenset[str]:
        """The dotted paths of what it changes."""

    def changed(self, draft: Draft) -> Draft:
        """Give the changed draft; raises DoesNotApply if the scenario has nothing to change."""


class NewValues(Values):
    """Other values by their dotted paths; where users choose the names, such as those of crews, new ones may come."""

    @property
    def paths(self) -> frozenset[str]:
        """The dotted paths of what it changes."""
        return frozenset(self.root)

    def _trail(self, draft: Draft, path: str) -> Trail:
        wanted: Trail = tuple(int(part) if part.isdecimal() else part for part in path.split("."))
        trail, unknown = followed(draft.document, wanted, ScenarioModel)
        if unknown and names_are_free(ScenarioModel, trail[:-1]):
            return tuple(path.split("."))
        if unknown:
            raise DoesNotApply(unknown)
        return trail


class NewFactors(Factors):
    """Factors on values, by their dotted paths."""

    @property
    def paths(self) -> frozenset[str]:
        """The dotted paths of what it changes."""
        return frozenset(self.root)


@dataclass(frozen=True, slots=True)
class Shorter:
    """A duration that is shorter: ``path`` to it, and by how many working ``days``."""

    path: str
    days: float

    @property
    def paths(self) -> frozenset[str]:
        """The dotted path of what it changes."""
        return frozenset((self.path,))

    def changed(self, draft: Draft) -> Draft:
        """Shorten what is written, each of its values by the same and none below nothing."""
        day_hours = draft.scenario.day_hours
        for trail in draft.trails(self.path):
            shortened = longer(draft.document.get(trail), -self.days * day_hours, day_hours)
            draft = draft.with_value(trail, shortened)
        return draft


@dataclass(frozen=True, slots=True)
class SaturdaysToo:
    """Gangs that work on Saturdays too, paid their overtime rate then, or what they are paid on weekends already.

    Parameters: ``gangs``; ``site``, whether the site's overhead runs on Saturdays too, spread over its other days.
    """

    gangs: tuple[str, ...]
    site: bool = False

    @property
    def paths(self) -> frozenset[str]:
        """The dotted paths of what it changes."""
        return frozenset(f"crews.{gang}.{key}" for gang in self.gangs for key in ("calendar", "weekend"))

    def changed(self, draft: Draft) -> Draft:
        """Give each gang a calendar of its own with Saturdays in it, and their dearer hours."""
        for gang in self.gangs:
            draft = _with_saturdays(draft, gang)
        return _overhead_on_saturdays(draft) if self.site else draft


def _with_saturdays(draft: Draft, name: str) -> Draft:
    model = draft.scenario.model
    gang = model.crews[name]
    usual = model.calendars[gang.calendar]
    called = f"{gang.calendar} with saturdays"
    written: Any = draft.document.get(("calendar", gang.calendar))
    days = [WEEKDAYS[day] for day in sorted({*usual.days, SATURDAY})]
    draft = draft.with_value(("calendar", called), {**(written if isinstance(written, dict) else {}), "days": days})
    draft = draft.with_value(("crews", name, "calendar"), called)
    if not gang.rate or gang.weekend is not None or SUNDAY in usual.days:
        return draft
    return draft.with_value(("crews", name, "weekend"), max(gang.overtime_rate, gang.rate))


def _overhead_on_saturdays(draft: Draft) -> Draft:
    model = draft.scenario.model
    days = model.calendars[SITE_CALENDAR].days
    overhead = model.costs.overhead
    if not overhead or SATURDAY in days:
        return draft
    return draft.with_value(("costs", "overhead"), round(overhead * (len(days) + 1) / len(days), 2))
