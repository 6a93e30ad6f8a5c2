"""The section ``trouble``: what goes wrong in a scenario on top of its luck."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import Annotated

from pydantic import Field

from sitesim.chance import Fixed
from sitesim.plan import HourlyRecord, Kind, Plan, Task
from sitesim.plan.absences import absent, interrupted
from sitesim.plan.harsher import colder, in_one_year, with_longer_rain, with_stronger_wind
from sitesim.scenario.quantities import CivilDate, ElapsedDays, Factor, TemperatureRise
from sitesim.scenario.sections.section import LayerNumber, Name, Section

_RIGGING_RANK = 3


class HarsherWeather(Section):
    """How the weather differs from the record."""

    rain_lasts: Factor = 1.0
    """Factor on the hours of every spell of rain."""
    wind: Factor = 1.0
    """Factor on the wind."""
    colder: TemperatureRise = 0.0
    """By how much the air is colder."""
    year: Annotated[int, Field(strict=True)] | None = None
    """One year of the record alone, by the year in which it begins."""
    none: bool = False
    """No weather at all: a yardstick for what the weather costs."""

    def changed(self, plan: Plan) -> Plan:
        """Give the plan under this weather; a plan without a record stays as it is."""
        if plan.climate.record is None:
            return plan
        climate = plan.climate if self.year is None else in_one_year(plan.climate, self.year)
        harsher = replace(plan, climate=replace(climate, record=self._record(climate.record or plan.climate.record)))
        return replace(harsher, weather_holds=False) if self.none else harsher

    def _record(self, record: HourlyRecord) -> HourlyRecord:
        return colder(with_stronger_wind(with_longer_rain(record, self.rain_lasts), self.wind), self.colder)


class Missing(Section):
    """A gang, or the crane, that does not come for a while."""

    gang: Name
    """Its name; of several alike the first is missing."""
    first: CivilDate
    """The first date on which it does not come."""
    lasts: ElapsedDays
    """For how many days, weekends counted."""

    def changed(self, plan: Plan) -> Plan:
        """Give the plan without it on these dates; raises ValueError if there is no such gang."""
        first = self.first.toordinal()
        return absent(plan, unit_named(plan, self.gang), frozenset(range(first, first + ceil(self.lasts))))


class Interruption(Section):
    """Printing that stands still in a building."""

    building: Name
    after_layer: LayerNumber
    """The last layer before it."""
    lasts: ElapsedDays
    """Until it can go on, day and night."""


class PrinterDown(Interruption):
    """The printer breaks down in the middle of a wall and has to be repaired."""

    def changed(self, plan: Plan) -> Plan:
        """Give the plan in which printing waits for the repair."""
        steps = [("printer repaired", _wait("printer repaired", Kind.GANTRY, self.lasts))]
        return interrupted(plan, index_of(plan, self.building), self.after_layer, steps)


class TentLost(Interruption):
    """A storm takes the tent in the middle of a wall; another one has to come and be raised."""

    def changed(self, plan: Plan) -> Plan:
        """Give the plan in which printing waits for another tent, its raising and its inspection."""
        building = index_of(plan, self.building)
        shell = plan.buildings[building].shell
        steps = [("another tent comes", _wait("another tent comes", Kind.TENT, self.lasts))]
        if shell is not None:
            steps.append(("tent_up again", plan.nodes[shell.tent_up].task))
        return interrupted(plan, building, self.after_layer, steps)


class Trouble(Section):
    """What goes wrong, whatever the luck of a run."""

    weather: HarsherWeather = HarsherWeather()
    missing: tuple[Missing, ...] = ()
    """Gangs that do not come for a while."""
    printer_down: tuple[PrinterDown, ...] = ()
    tent_lost: tuple[TentLost, ...] = ()

    def changed(self, plan: Plan) -> Plan:
        """Give the plan in which all this goes wrong."""
        plan = self.weather.changed(plan)
        wrong: tuple[Missing | PrinterDown | TentLost, ...] = (*self.missing, *self.printer_down, *self.tent_lost)
        for one in wrong:
            plan = one.changed(plan)
        return plan


def unit_named(plan: Plan, name: str) -> int:
    """Give the index of a gang or crane by its name, of several alike the first; raises ValueError if there is none."""
    names = [unit.name for unit in plan.units]
    for called in (name, f"{name} 1"):
        if called in names:
            return names.index(called)
    raise ValueError(f"there is no gang {name}")


def index_of(plan: Plan, building: str) -> int:
    """Give the index of a building; raises ValueError if there is none of that name."""
    return [one.name for one in plan.buildings].index(building)


def _wait(name: str, kind: Kind, days: float) -> Task:
    return Task(name, kind, _RIGGING_RANK, (), Fixed(24.0 * days), "", shares_fortune=False)
