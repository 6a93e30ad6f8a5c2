"""The sections ``printer``, ``tent``, ``pump``, ``concrete`` and ``breakdowns``."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from sitesim.scenario.quantities import (
    BuildUp,
    ClockHours,
    Density,
    Length,
    Share,
    SomeClockHours,
    SomeShare,
    SomeVolume,
    Speed,
    Temperature,
    TemperatureRise,
    Volume,
    Waste,
    Wind,
    wrong,
)
from sitesim.scenario.sections.section import Count, Name, Section
from sitesim.scenario.spreads import ClockTime, Exposure
from sitesim.trade.bead import hose_contents
from sitesim.trade.working_life import PUBLISHED_LIMITS, published_limit


class Printer(Section):
    """The gantry printer and its print day."""

    count: Count = 1
    crew: Name
    """The skill of those who print."""
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
    limits: Name | None = None


class Heater(Section):
    """How much the tent's heater warms, and up to where."""

    rise: TemperatureRise
    set_point: Temperature


class Tent(Section):
    """The weather tent."""

    count: Count = 1
    rated_gust: Wind
    stops_at: SomeShare = 0.6
    """Share of the rated gust at which the work under it stops."""
    wind_share: Share = 0.1
    """Share of the wind that still reaches the work."""
    heater: Heater | None = None


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
    open_time: SomeClockHours
    """The longest time from bead to bead before the joint is unplanned."""
    build_up: BuildUp | None = None
    """Structural build-up, which gives the shortest layer interval."""
    layer_interval: ClockHours | None = None
    """The shortest layer interval, where it is known."""
    joint: JointPreparation = JointPreparation()


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
