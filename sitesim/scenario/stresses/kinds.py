"""The kinds of stresses: small frozen values, each with one pure method that changes a draft."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import chain, count
from math import ceil
from typing import Annotated, Any, Literal, Protocol

from pydantic import AfterValidator, ConfigDict, RootModel, ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticCustomError

from sitesim.plan import Building, Link
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.quantities import (
    USUAL_DAY_HOURS,
    CivilDate,
    ElapsedDays,
    Factor,
    Share,
    TemperatureRise,
    wrong,
)
from sitesim.scenario.sections.calendar import Dates
from sitesim.scenario.sections.section import Count, LayerNumber, Name, Section
from sitesim.scenario.variants.amounts import longer
from sitesim.scenario.variants.draft import DoesNotApply, Draft
from sitesim.scenario.variants.paths import added_hours, unknown_in

BUSIEST = "busiest"
"""Stands for the gang with most hours of work in the plain plan."""

_CLOSED = "plant closed"
_WAYS_TO_BEGIN = "starts: 2027-06-07, week: 12, at: 40 %"
_WAYS_TO_CLOSE = f"{_WAYS_TO_BEGIN}, when: most printing"
_LEAD = "finishing.tasks.*.delivery.lead"
_WHOLE_SHARE = 1.0
_DAYS_A_WEEK = 7


class Change(Protocol):
    """What a kind of stress does to a draft."""

    def changed(self, draft: Draft) -> Draft:
        """Give the changed draft; raises DoesNotApply if the scenario has nothing to change."""


class Later(RootModel[dict[str, Any]]):
    """Time added to durations, by their dotted paths: to the lowest, the likely and the highest alike."""

    model_config = ConfigDict(frozen=True)

    @model_validator(mode="after")
    def _can_be_added(self) -> Later:
        faults: list[InitErrorDetails] = []
        for path, time in self.root.items():
            try:
                if not unknown_in(path):
                    added_hours(path, time, USUAL_DAY_HOURS)
            except PydanticCustomError as error:  # each path has its own line
                faults.append({"type": error, "loc": (path,), "input": time})
        if faults:
            raise ValidationError.from_exception_data("later", faults)
        return self

    def apart(self) -> dict[str, Later]:
        """Give the time for each path by itself."""
        return {path: Later({path: time}) for path, time in self.root.items()}

    def changed(self, draft: Draft) -> Draft:
        """Add the time to what is written."""
        for path, time in self.root.items():
            usual = draft.unwritten(path) if draft.document.get(tuple(path.split("."))) is None else None
            if isinstance(usual, float):
                more = added_hours(path, time, draft.scenario.day_hours)
                draft = draft.with_value(tuple(path.split(".")), f"{usual + more:.12g} h")
                continue
            for trail in draft.trails(path):
                draft = _made_longer(draft, trail, path, time)
        return draft


def _made_longer(draft: Draft, trail: Trail, path: str, time: Any) -> Draft:
    day_hours = draft.scenario.day_hours
    longer_one = longer(draft.document.get(trail), added_hours(path, time, day_hours), day_hours)
    return draft.with_value(trail, longer_one)


def _added_to_a_lead(time: Any) -> Any:
    added_hours(_LEAD, time, USUAL_DAY_HOURS)
    return time


class DeliveryLate(Section):
    """Ordered material that comes later than ordered."""

    of: Name
    """What is ordered: a word in the name of the delivery, or of the task that needs it."""
    by: Annotated[Any, AfterValidator(_added_to_a_lead)]
    """How much later: a length of working time such as 20 wd; a number without a unit is of working days."""

    def changed(self, draft: Draft) -> Draft:
        """Lengthen the lead time."""
        deliveries = {
            f"{task} {entry.delivery.name or ''}": task
            for task, entry in draft.scenario.model.finishing_tasks.items()
            if entry.delivery is not None
        }
        meant = [task for names, task in deliveries.items() if self.of.casefold() in names.casefold()]
        if not meant:
            raise DoesNotApply(f"the scenario has no delivery of {self.of}")
        for task in meant:
            draft = _made_longer(draft, ("finishing", "tasks", task, "delivery", "lead"), _LEAD, self.by)
        return draft


class SlowerLearning(RootModel[Share]):
    """Crews that learn less: the share of what repetition gains that is left, 0 for no learning at all."""

    model_config = ConfigDict(frozen=True)

    def changed(self, draft: Draft) -> Draft:
        """Bring every rate of learning nearer to 1."""
        learning = draft.scenario.model.learning
        rates: dict[Trail, float] = {("learning", "tasks", task): rate for task, rate in learning.tasks.items()}
        rates[("learning", "default")] = learning.default
        learned = {trail: rate for trail, rate in rates.items() if rate < 1.0}
        if not learned:
            raise DoesNotApply("nobody learns in the scenario")
        if self.root == _WHOLE_SHARE:
            return draft
        for trail, rate in learned.items():
            draft = draft.with_value(trail, round(1.0 - (1.0 - rate) * self.root, 12))
        return draft


class WeatherChange(Section):
    """Weather that is harsher than the record."""

    rain_lasts: Factor | None = None
    """Factor on the hours of every spell of rain."""
    wind: Factor | None = None
    """Factor on the wind."""
    colder: TemperatureRise | None = None
    """By how much the air is colder."""
    none: Literal[True] | None = None
    """No weather at all: a yardstick for what the weather costs."""

    def changed(self, draft: Draft) -> Draft:
        """Have the trouble of the weather said."""
        _need_weather(draft)
        for key in type(self).model_fields:
            value = getattr(self, key)
            if value is not None:
                written = f"{value:.12g} delta_degC" if key == "colder" else value
                draft = draft.with_value(("trouble", "weather", key), written)
        return draft


class WorstYear(RootModel[Literal[True]]):
    """The year of the record in which the site would finish last, come again."""

    model_config = ConfigDict(frozen=True)

    def changed(self, draft: Draft) -> Draft:
        """Take that year alone."""
        record = _need_weather(draft)
        if record < 2:
            raise DoesNotApply("the weather record has one year only")
        return draft.with_value(("trouble", "weather", "year"), draft.facts.worst_year)


def _need_weather(draft: Draft) -> int:
    """Give the number of years of the weather record; raises DoesNotApply if no weather is played."""
    record = draft.scenario.plan().climate.record
    if record is None:
        raise DoesNotApply("the scenario plays no weather")
    return record.years


class Beginning(Section):
    """When something goes wrong."""

    starts: CivilDate | None = None
    """Its first date."""
    week: Count | None = None
    """Or the week of the work in which it begins, counted from 1."""
    at: Share | None = None
    """Or the share of the plain plan's duration after which it begins."""

    @property
    def beginnings(self) -> int:
        """How many of the ways to say when it begins are taken."""
        return sum(value is not None for value in (self.starts, self.week, self.at))

    def first(self, draft: Draft) -> date:
        """Give its first date; where that is not named it is a Monday."""
        if self.starts is not None:
            return self.starts
        days = _DAYS_A_WEEK * (self.week - 1) if self.week is not None else (self.at or 0.0) * draft.facts.plain_days
        begins = draft.start + timedelta(days=int(days))
        return begins - timedelta(days=begins.weekday())


class GangMissing(Beginning):
    """A gang, or the crane, that does not come for a while."""

    gang: Name
    """Its name, or ``busiest`` for the one with most work."""
    lasts: ElapsedDays
    """For how many days, weekends counted."""

    @model_validator(mode="after")
    def _begins_once(self) -> GangMissing:
        if self.beginnings != 1:
            raise wrong(f"should say when it begins, by one of: {_WAYS_TO_BEGIN}")
        return self

    def changed(self, draft: Draft) -> Draft:
        """Have the gang missing."""
        gangs = [*draft.scenario.model.crews, *(unit.name for unit in draft.scenario.plan().units)]
        if not draft.scenario.model.crews:
            raise DoesNotApply("the scenario has no gangs")
        name = draft.facts.busiest_gang if self.gang == BUSIEST else self.gang
        if name not in gangs:
            raise DoesNotApply(f"there is no gang {name}: {nearest(name, gangs)}")
        first = self.first(draft)
        entry = {"gang": name, "first": first.isoformat(), "lasts": f"{self.lasts:.12g} d"}
        draft = draft.within_the_plan(first, first + timedelta(days=ceil(self.lasts) - 1))
        return draft.with_entry(("trouble", "missing"), entry)


class PlantClosed(Beginning):
    """A concrete plant that is known to be closed, on named dates or for a while."""

    on: Dates = ()
    """The dates, if they are named."""
    when: Literal["most printing"] | None = None
    """Or in the week that holds most print days of the plain plan."""
    lasts: ElapsedDays | None = None
    """Or for how many days, weekends counted."""

    @model_validator(mode="after")
    def _is_either(self) -> PlantClosed:
        named, a_while = bool(self.on), self.lasts is not None
        if named == a_while or self.beginnings != int(a_while):
            raise wrong(f"should say on: [2027-05-03, 2027-05-10], or how long it lasts and one of: {_WAYS_TO_CLOSE}")
        return self

    def changed(self, draft: Draft) -> Draft:
        """Have the plant closed."""
        if draft.document.get(("supply", "mode")) != "ready-mix" or not draft.scenario.model.walls:
            raise DoesNotApply("no concrete comes from a plant in the scenario")
        known = {outage.get("name") for outage in draft.document.get(("supply", "outages")) or []}
        numbered = (f"{_CLOSED} {number}" for number in count(2))
        name = next(name for name in chain([_CLOSED], numbered) if name not in known)
        dates = self._dates(draft)
        entry = {"name": name, "of": Link.PLANT.value, "on": [day.isoformat() for day in dates]}
        draft = draft.within_the_plan(min(dates), max(dates))
        return draft.with_entry(("supply", "outages"), entry)

    @property
    def beginnings(self) -> int:
        """How many of the ways to say when it begins are taken."""
        return super().beginnings + (self.when is not None)

    def first(self, draft: Draft) -> date:
        """Give its first date, a Monday where that is not named."""
        return super().first(draft) if self.when is None else _week_of_most_printing(draft)

    def _dates(self, draft: Draft) -> list[date]:
        if self.lasts is None:
            return list(self.on)
        first = self.first(draft)
        return [first + timedelta(days=day) for day in range(ceil(self.lasts))]


def _week_of_most_printing(draft: Draft) -> date:
    """Give the Monday of the week with most print days of the plain plan, of several the first."""
    printed = [draft.start + timedelta(days=day) for day in draft.facts.print_days]
    if not printed:
        raise DoesNotApply("nothing is printed in the scenario")
    weeks = Counter(day - timedelta(days=day.weekday()) for day in printed)
    return max(sorted(weeks), key=lambda monday: weeks[monday])


class InTheWall(Section):
    """A stop of printing in the middle of a wall."""

    building: Name | None = None
    """The building; the middle one of those printed unless given."""
    after_layer: LayerNumber | None = None
    """The last layer before it; the end of the print day in the middle of the wall unless given."""
    lasts: ElapsedDays
    """For how many days printing cannot go on, weekends counted."""

    def entry(self, draft: Draft) -> dict[str, Any]:
        """Give what the section ``trouble`` says of it."""
        printed = {one.name: one for one in draft.scenario.plan().buildings if one.shell is not None}
        if not printed:
            raise DoesNotApply("nothing is printed in the scenario")
        name = self.building or list(printed)[(len(printed) - 1) // 2]
        if name not in printed:
            raise DoesNotApply(f"nothing is printed in {name}: {nearest(name, printed)}")
        layer = self.after_layer or _middle_of(printed[name])
        return {"building": name, "after_layer": layer, "lasts": f"{self.lasts:.12g} d"}


def _middle_of(building: Building) -> int:
    """Give the layer at which the print day in the middle of the wall ends."""
    assert building.shell is not None
    wall = building.shell.wall
    layer = 0
    while 2 * layer < wall.layers:
        layer = wall.day_target(layer)
    return layer


class PrinterDown(InTheWall):
    """The printer breaks down in the middle of a wall."""

    def changed(self, draft: Draft) -> Draft:
        """Have it repaired before printing goes on."""
        return draft.with_entry(("trouble", "printer_down"), self.entry(draft))


class TentLost(InTheWall):
    """A storm takes the tent in the middle of a wall."""

    def changed(self, draft: Draft) -> Draft:
        """Have another one come before printing goes on."""
        if draft.scenario.model.tent is None:
            raise DoesNotApply("the scenario has no tent")
        return draft.with_entry(("trouble", "tent_lost"), self.entry(draft))
