"""The section ``site``: its start, its buildings and their homes."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from sitesim.policies import OrderBy
from sitesim.scenario.quantities import CivilDate, ClockHours, Coordinate, ElapsedDays, Latitude, Share
from sitesim.scenario.sections.section import Count, Name, Names, Section
from sitesim.scenario.sections.wall import MaybeWall


class SharedFortune(Section):
    """The spread, as a share, that all durations of the site and of one building have in common."""

    site: Share = 0.0
    building: Share = 0.0


class BuildingEntry(Section):
    """One building: its homes, when its slab can be loaded, and what is particular to it."""

    homes: Names = ()
    slab: CivilDate | None = None
    """The date on which the slab can be loaded; the start of the site unless given."""
    at: tuple[Coordinate, Coordinate] | None = None
    """Where it lies: east and north of a point of the site."""
    promised: CivilDate | None = None
    """The date for which its last home is promised."""
    layers_a_day: Count | None = None
    """The most layers printed in a day."""
    wall: MaybeWall = None
    """What differs from the wall of the site, or none for a building that is not printed."""
    sequence: Name | None = None
    """The finishing sequence, where it is not that of the site."""

    @property
    def own_wall(self) -> bool:
        """Whether the building says anything about its wall."""
        return "wall" in self.model_fields_set


def _nothing_said(value: Any) -> Any:
    return {} if value is None else value


MaybeBuilding = Annotated[BuildingEntry, BeforeValidator(_nothing_said, json_schema_input_type=BuildingEntry | None)]
"""A building, of which nothing need be said but its name."""


class Site(Section):
    """Where and when: the start, the horizon and the buildings in the order in which they are built."""

    start: CivilDate
    """The first day; its midnight is hour 0."""
    horizon: ElapsedDays = 900.0
    """How long a run is played; what is not done by then counts as unfinished."""
    latitude: Latitude | None = None
    """Of the weather station, for sunrise."""
    fortune: SharedFortune = SharedFortune()
    slab_cure: ClockHours = 0.0
    """Time from the date of a slab until it carries the gantry."""
    order: Names = ()
    """The building order, where it is not the order of the list."""
    order_by: OrderBy = OrderBy.LISTED
    """What decides the order where none is given: the list, the nearest plot, or the dates promised."""
    fronts: dict[Name, Names] = Field(default_factory=dict)
    """Fronts that are built side by side, each with its buildings in their order and its own gantries and tents."""
    buildings: Annotated[dict[Name, MaybeBuilding], Field(min_length=1)]
