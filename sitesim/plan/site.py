"""The plan: everything that a worker needs to play one site, in SI numbers and hours."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from sitesim.hours import WeekPattern
from sitesim.plan.climate import HourlyRecord, Limits, Shelter
from sitesim.plan.printing import PrintDay, Wall
from sitesim.plan.promises import Promise
from sitesim.plan.sharing import Sharing
from sitesim.plan.supply import Supply
from sitesim.plan.terms import UnitKind
from sitesim.plan.work import Inspector, Node, Unit
from sitesim.policies import Relocation


@dataclass(frozen=True, slots=True)
class Shell:
    """The nodes by which a printed building's story goes: node indices.

    ``ready`` must be done before ``gantry_up`` and ``tent_up``, which come in the order of the method, and then
    ``calibrate``; ``holds`` are done, in turn, after the layer that names them; ``finish`` in turn after the ``walls``;
    ``cure`` from the ``beam`` on; ``gantry_down`` and ``tent_down`` when the relocation policy says so; ``released`` is
    reached when the last of them has gone.

    ``moving`` are the further steps of a move, by the names that the relocation policy gives them; ``strength`` is
    reached when the walls have the maturity at which the engineer is asked; ``stays_for`` names for gantry
    (``printer``) or tent the nodes that it waits for, its own event past, before it leaves; ``served_by`` are the
    units of which any one serves this building, all of the kind where none are named.
    """

    wall: Wall
    ready: int
    gantry_up: int
    tent_up: int
    calibrate: int
    holds: dict[int, tuple[int, ...]]
    walls: int
    finish: tuple[int, ...]
    beam: int
    cure: int
    gantry_down: int
    tent_down: int
    released: int
    moving: dict[str, int] = field(default_factory=dict)
    strength: int | None = None
    stays_for: dict[str, tuple[int, ...]] = field(default_factory=dict)
    served_by: dict[UnitKind, tuple[int, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Building:
    """One building: its name, its place in the building order (``rank``) and its homes; ``shell`` if it is printed.

    Parameters: ``at`` [m], where it lies, if that is known.
    """

    name: str
    rank: int
    homes: tuple[str, ...]
    shell: Shell | None
    at: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Climate:
    """The weather record and how a run draws from it.

    Parameters: ``record``, or None where no work has weather limits; ``limits`` by kind of work; ``gust_factor``,
    gust over hourly mean wind; ``block`` [days] drawn together; ``window`` [days] to either side of the civil date;
    ``forecast_skill``, chance that the morning's forecast is right; ``replayed``, the places, counted from 0, of the
    record's years that are replayed whole, none where blocks are drawn.
    """

    record: HourlyRecord | None
    limits: dict[str, Limits]
    gust_factor: float
    block: int
    window: int
    forecast_skill: float
    replayed: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Fortune:
    """The spread (coefficient of variation) that all durations of a site, and of a building, share."""

    site: float
    building: float


@dataclass(frozen=True, slots=True)
class Costs:
    """Rates that belong to no gang, no machine and no load.

    Parameters: ``currency``, its code; ``overhead`` [currency/working day of the site]; ``crane_call`` [currency/call];
    ``reinspection`` and ``lost_visit`` [currency/visit]; ``heater_hour`` [currency/h] of a tent heated at full power;
    ``heater_day`` [currency/day] of a tent's heater while the tent is on site.
    """

    currency: str
    overhead: float = 0.0
    crane_call: float = 0.0
    reinspection: float = 0.0
    lost_visit: float = 0.0
    heater_hour: float = 0.0
    heater_day: float = 0.0


@dataclass(frozen=True, slots=True)
class StartingState:
    """What has been done when a run begins: empty for a plan.

    ``done``: keys of nodes that are finished; ``spent``: open hours already worked on nodes, by key; ``layers``: layers
    in place, by the name of the building; ``ordered``: names of the buildings whose first print day may begin on the
    first day, its concrete having been ordered the day before.
    """

    done: frozenset[str] = frozenset()
    spent: tuple[tuple[str, float], ...] = ()
    layers: tuple[tuple[str, int], ...] = ()
    ordered: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Plan:
    """One scenario in numbers. Made once; all that a worker gets.

    Parameters: ``start``, the date whose midnight is hour 0; ``days``, the horizon; ``calendars``, week patterns by
    name (``site`` is the site's own); ``units``, resources in the order of the time account; ``nodes`` in an order in
    which each comes after what it waits for, but for those that a building's story performs; ``promises``, dates that
    have been promised; ``sharing``, the rules for several gangs in one home, if there are any.
    """

    name: str
    start: date
    days: int
    units_of_measure: str
    calendars: dict[str, WeekPattern]
    climate: Climate
    units: tuple[Unit, ...]
    inspectors: tuple[Inspector, ...]
    buildings: tuple[Building, ...]
    nodes: tuple[Node, ...]
    relocation: Relocation | None
    print_day: PrintDay | None
    supply: Supply | None
    fortune: Fortune
    costs: Costs
    state: StartingState = StartingState()
    weather_holds: bool = True
    promises: tuple[Promise, ...] = ()
    sharing: Sharing | None = None

    @property
    def printing_shelter(self) -> Shelter | None:
        """What stands over the print, by the limits of printing; None in the open or where nothing is printed."""
        limits = None if self.print_day is None else self.climate.limits.get(self.print_day.limits)
        return None if limits is None else limits.shelter

    @property
    def horizon(self) -> float:
        """The last hour [h] that is played."""
        return 24.0 * self.days

    @property
    def kinds_of_work(self) -> tuple[str, ...]:
        """The kinds of work with weather limits that occur, in the order of the limits."""
        named = {node.task.limits for node in self.nodes}
        if self.print_day is not None:
            named.add(self.print_day.limits)
        return tuple(kind for kind in self.climate.limits if kind in named)

    @property
    def homes(self) -> tuple[tuple[str, str], ...]:
        """Every home with its building, as (building, home)."""
        return tuple((building.name, home) for building in self.buildings for home in building.homes)
