"""A whole scenario as one checked model."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from sitesim.policies import Plot, building_order, taking_turns
from sitesim.scenario.sections.calendar import Calendar, WorkingWeek
from sitesim.scenario.sections.crews import Gang
from sitesim.scenario.sections.finishing import Finishing, FinishingTask
from sitesim.scenario.sections.inspections import Inspections, LearningEntry
from sitesim.scenario.sections.money import CostRates, Promise
from sitesim.scenario.sections.printing import Breakdown, Concrete, Printer, Pump, Tent
from sitesim.scenario.sections.relocation import LiftingMachine, RelocationEntry
from sitesim.scenario.sections.section import Name, Section
from sitesim.scenario.sections.site import Site
from sitesim.scenario.sections.supply import Supply
from sitesim.scenario.sections.trouble import Trouble
from sitesim.scenario.sections.wall import MaybeWall, Wall
from sitesim.scenario.sections.weather import Weather
from sitesim.scenario.sections.work import Work

SITE_CALENDAR = "site"
"""The calendar of the site, whose longest day is one working day (wd)."""


class ScenarioModel(Section):
    """What a scenario file may say."""

    name: Name
    units: Literal["us", "metric"] = "metric"
    """What pages and terminal show; tables are always SI."""
    site: Site
    calendar: dict[Name, Calendar] = Field(default_factory=dict)
    weather: Weather | None = None
    wall: MaybeWall = None
    printer: Printer | None = None
    tent: Tent | None = None
    pump: Pump | None = None
    concrete: Concrete | None = None
    supply: Supply | None = None
    crews: dict[Name, Gang] = Field(default_factory=dict)
    crane: LiftingMachine = LiftingMachine()
    telehandler: LiftingMachine = LiftingMachine()
    relocation: RelocationEntry | None = None
    inspections: Inspections = Inspections()
    learning: LearningEntry = LearningEntry()
    finishing: Finishing | None = None
    breakdowns: tuple[Breakdown, ...] = ()
    costs: CostRates = CostRates()
    promise: Promise = Promise()
    trouble: Trouble = Trouble()

    @property
    def calendars(self) -> dict[str, WorkingWeek]:
        """The calendars by name; the site's own is always among them."""
        return {SITE_CALENDAR: WorkingWeek(), **self.calendar}

    @property
    def day_hours(self) -> float:
        """The hours [h] of one working day (wd)."""
        return self.calendars[SITE_CALENDAR].longest_day

    @property
    def building_order(self) -> tuple[str, ...]:
        """The buildings in the order in which they are built; of several fronts one of each in turn."""
        if self.site.fronts:
            return taking_turns([*self.site.fronts.values(), self.unfronted])
        return self.site.order or building_order(self.site.order_by, self.plots)

    @property
    def unfronted(self) -> tuple[str, ...]:
        """The buildings that no front names, as they are listed."""
        named = {name for front in self.site.fronts.values() for name in front}
        return tuple(name for name in self.site.buildings if name not in named)

    def front_of(self, building: str) -> str:
        """Name the front of a building; empty where it is of none."""
        return next((front for front, names in self.site.fronts.items() if building in names), "")

    @property
    def plots(self) -> tuple[Plot, ...]:
        """The buildings as plots, as they are listed."""
        return tuple(
            Plot(name, entry.at, None if entry.promised is None else entry.promised.toordinal())
            for name, entry in self.site.buildings.items()
        )

    def wall_of(self, building: str) -> Wall | None:
        """Give the wall of a building, or None if it is not printed."""
        entry = self.site.buildings[building]
        return entry.wall if entry.own_wall else self.wall

    @property
    def walls(self) -> dict[str, Wall]:
        """The walls of the printed buildings, by building."""
        walls = {building: self.wall_of(building) for building in self.site.buildings}
        return {building: wall for building, wall in walls.items() if wall is not None}

    def layers_a_day(self, building: str) -> int | None:
        """Give the most layers that a day prints in a building, or None where there is no limit."""
        own = self.site.buildings[building].layers_a_day
        wall = self.wall_of(building)
        return own if own is not None or wall is None else wall.layers_a_day

    def sequence_of(self, building: str) -> str:
        """Give the name of the finishing sequence of a building, empty if there is none."""
        if self.finishing is None:
            return ""
        return self.site.buildings[building].sequence or self.finishing.usual_sequence

    def calendar_of(self, skill: str) -> str:
        """Name the calendar of the first gang that has a skill."""
        return next(gang.calendar for name, gang in self.crews.items() if skill in (gang.skills or (name,)))

    @property
    def moving_tasks(self) -> dict[str, Work]:
        """The tasks of setting up, moving and taking down that are written, by name."""
        return {} if self.relocation is None else self.relocation.tasks.written

    @property
    def finishing_tasks(self) -> dict[str, FinishingTask]:
        """The finishing tasks by name."""
        return {} if self.finishing is None else self.finishing.tasks
