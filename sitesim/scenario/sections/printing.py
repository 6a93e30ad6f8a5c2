"""The sections ``printer``, ``tent``, ``pump``, ``concrete`` and ``breakdowns``."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema

from sitesim.scenario.quantities import (
    BuildUp,
    ClockHours,
    Density,
    Factor,
    Growth,
    Length,
    LongerLife,
    Mass,
    Moment,
    Power,
    Quantity,
    Share,
    SomeClockHours,
    SomeShare,
    SomeVolume,
    Speed,
    Stress,
    Temperature,
    TemperatureRise,
    Volume,
    Waste,
    Wind,
    wrong,
)
from sitesim.scenario.sections.section import Name, Section
from sitesim.scenario.spreads import ClockTime, Exposure
from sitesim.trade.bead import hose_contents
from sitesim.trade.working_life import PUBLISHED_LIMITS, published_limit

_MOST_MACHINES = 1000


def _count(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise wrong(f"{value} is not a whole number")
    if not 1 <= value <= _MOST_MACHINES:
        raise wrong(f"{value} should be from 1 to {_MOST_MACHINES}")
    return value


def _machines(value: Any) -> int | dict[str, int]:
    return {str(front): _count(count) for front, count in value.items()} if isinstance(value, dict) else _count(value)


Machines = Annotated[
    int | dict[str, int],
    PlainValidator(_machines),
    WithJsonSchema({"type": ["integer", "object"], "examples": [2, {"west": 1, "east": 2}]}),
]
"""A number of machines: of the site, or by front."""


class Meal(Section):
    """A meal for which the nozzle stops."""

    after: SomeClockHours
    """From the start of the day."""
    time: SomeClockHours


class Printer(Section):
    """The gantry printer and its print day."""

    count: Machines = 1
    """How many there are; with ``site.fronts`` for each front, one number for all or one by the name of each."""
    crew: Name
    """The skill of those who print."""
    second_crew: Name | None = None
    """The skill of those who carry on when the first ones' shift has ended; nobody does unless given."""
    speed: Speed
    travel: Waste = 0.15
    """Time for travel and turns, as a share of nozzle time."""
    first_layer: SomeShare = 0.5
    """Speed of a day's first layer, as a share of the usual."""
    go_before: ClockHours = 0.5
    """How long before the shift it is go or no go."""
    align: ClockHours = 1.0
    least_day: ClockHours = 4.0
    """A shorter day is not begun."""
    slump_check: ClockHours = 0.0
    """On the day's first concrete, before the pump is primed."""
    turn: Moment = 0.0
    """Of the nozzle at a corner or the end of a path; counted by ``wall.path.turns``."""
    rated_lift: Mass | None = None
    """The mass up to which the gantry lifts lintels."""
    meal: Meal | None = None
    """A meal for which the nozzle stops; the crew relieve each other unless given."""
    limits: Name | None = None


class Heater(Section):
    """How much the tent's heater warms, and up to where."""

    rise: TemperatureRise
    set_point: Temperature
    power: Power = 0.0
    """At its full rise."""


class TentSides(Section):
    """Sides that are let down before a storm, so that the tent is less of a sail."""

    down_at: SomeShare = 0.8
    """Share of the rated gust above which they have to be down."""
    up_below: SomeShare | None = None
    """Share of the rated gust up to which the riggers handle them; that at which the work stops unless given."""
    time: SomeClockHours
    """To let them down, and as long to put them up, in the hours of those who raise the tent."""


class Tent(Section):
    """The weather tent."""

    count: Machines = 1
    """How many there are; with ``site.fronts`` for each front, one number for all or one by the name of each."""
    rated_gust: Wind
    stops_at: SomeShare = 0.6
    """Share of the rated gust at which the work under it stops."""
    wind_share: Share = 0.1
    """Share of the wind that still reaches the work."""
    heater: Heater | None = None
    sides: TentSides | None = None
    """Sides that come down before a storm; they stay up unless given."""


class Hose(Section):
    """The hose from pump to nozzle."""

    length: Length
    bore: Length

    @property
    def contents(self) -> float:
        """The concrete [m³] that fills it."""
        return hose_contents(self.length, self.bore)


class Pump(Section):
    """The pump and its hose."""

    hopper: SomeVolume = 0.25
    hose: Hose
    priming: Volume = 0.14
    prime: ClockHours = 0.25
    wash_out: ClockHours = 1.25


class JointPreparation(Section):
    """What an unplanned joint takes before printing goes on."""

    time: ClockHours = 0.75
    concrete: Volume = 0.02


class PlannedJoint(Section):
    """What yesterday's top layer takes in the morning, besides the alignment."""

    time: ClockHours
    concrete: Volume = 0.0


class Accelerator(Section):
    """Concrete dosed at the pump: it stiffens within minutes, and sets in a hose that stands still."""

    life: SomeClockHours
    """How long it may stand in the hose."""
    build_up: BuildUp
    clear: ClockHours = 0.75
    """The time to clear a hose in which it has set."""


class Waiver(Section):
    """Producer and engineer allow concrete to be used past its agreed life, in writing."""

    until: SomeClockHours
    """From first water, at 20 °C."""
    by: Annotated[str, Field(min_length=3)]
    """Who has allowed it."""


class Warmth(Section):
    """The temperature of concrete at first water: that of the air and a rise, but never below a least."""

    rise: TemperatureRise = 0.0
    least: Temperature = -100.0


class FreshStrength(Section):
    """Strength and stiffness of the fresh wall, for the warning of a fall; from tests of the mix."""

    strength: Stress
    strength_growth: Growth
    stiffness: Stress
    stiffness_growth: Growth


def _life(value: Any) -> Any:
    if not isinstance(value, str) or value[:1].isdecimal():
        return value
    if value not in PUBLISHED_LIMITS:
        raise wrong(f"{value} is not a working life; write 300 min, or one of {', '.join(PUBLISHED_LIMITS)}")
    return f"{published_limit(value)} h"


WorkingLife = Annotated[SomeClockHours, BeforeValidator(_life)]


class Concrete(Section):
    """The printed concrete."""

    density: Density = 2100.0
    waste: Waste = 0.04
    """Share added to what stays in the wall."""
    specimens: Volume = 0.03
    """Taken for tests on each print day."""
    working_life: WorkingLife
    """From first water to the nozzle, at 20 °C; a time, or the name of a published limit."""
    heat: bool = True
    """Whether working life falls with heat."""
    warmth: Warmth = Warmth()
    """How warm concrete is at first water, against the air."""
    retarder: LongerLife = 1.0
    """How many times as long a retarder makes working life; it slows the build-up as many times."""
    accelerator: Accelerator | None = None
    """Dosed at the pump."""
    waiver: Waiver | None = None
    open_time: SomeClockHours
    """The longest time from bead to bead before the joint is unplanned."""
    build_up: BuildUp | None = None
    """Structural build-up, which gives the shortest layer interval."""
    layer_interval: ClockHours | None = None
    """The shortest layer interval, where it is known."""
    joint: JointPreparation = JointPreparation()
    planned_joint: PlannedJoint | None = None
    """Preparation of yesterday's top layer."""
    fresh: FreshStrength | None = None

    @property
    def retarded_life(self) -> float:
        """The agreed working life [h], with what a retarder adds."""
        return self.working_life * self.retarder

    @property
    def waived(self) -> float:
        """The time [h] past it for which a waiver lets concrete be used."""
        return 0.0 if self.waiver is None else max(0.0, self.waiver.until - self.retarded_life)

    @property
    def build_up_at_nozzle(self) -> float | None:
        """The structural build-up [Pa/s] of what is laid: accelerated, or slowed by a retarder."""
        if self.accelerator is not None:
            return self.accelerator.build_up
        return None if self.build_up is None else self.build_up / self.retarder


class OldConcrete(Section):
    """Old concrete brings a stop sooner."""

    after: SomeClockHours
    """The age from which it does."""
    counts: Factor
    """How many times an hour of laying then counts."""


class LongPause(Section):
    """A standstill of the pump brings a stop sooner."""

    after: ClockHours
    """The length from which it does."""
    counts: Annotated[float, Quantity("", "3", "factor", least=0.0, bare=True)]
    """The hours of laying that each further hour of it counts for."""


class Breakdown(Section):
    """A kind of unplanned stop."""

    name: Name
    per: Literal["pumped", "nozzle"]
    """The hours that count: those in which concrete is pumped, or in which the nozzle lays it."""
    every: Exposure
    """Mean hours between two stops."""
    time: ClockTime
    loses_hose: bool = False
    """Whether the concrete in the hose is thrown away."""
    old: OldConcrete | None = None
    pause: LongPause | None = None
