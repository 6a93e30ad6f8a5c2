"""A task as the user writes it: who does it, for how long, under which limits."""

from __future__ import annotations

from typing import Literal

from sitesim.scenario.quantities import (
    ClockHours,
    Mass,
    Money,
    MoneyPerVolume,
    Share,
    SomeClockHours,
    SomeVolume,
    VolumeRate,
)
from sitesim.scenario.sections.printing import WorkingLife
from sitesim.scenario.sections.section import Name, Names, Section
from sitesim.scenario.spreads import ClockTime, WorkingTime


class PourEntry(Section):
    """Ordinary concrete that a task pours in one go, an order of its own."""

    volume: SomeVolume
    rate: VolumeRate
    """How fast it can be placed."""
    by: Literal["pump", "printer", "bucket"] = "pump"
    """What places it; a bucket hangs from the crane."""
    load: SomeVolume
    """The largest load."""
    spacing: SomeClockHours | None = None
    """Between two loads; as long as a load takes to place unless given."""
    prepare: ClockHours = 0.5
    """From the beginning of the work to the first load."""
    finish: ClockHours = 0.5
    """From the last concrete to the end of the work."""
    working_life: WorkingLife = 1.5
    longest_break: ClockHours = 0.5
    """A longer wait for the next load counts as a break in the pour."""
    price: MoneyPerVolume = 0.0
    loading: ClockTime | None = None
    """As for the printed concrete unless given, and so are ``haul``, ``gate`` and ``refused``."""
    haul: ClockTime | None = None
    gate: ClockHours | None = None
    refused: Share | None = None


class Work(Section):
    """What is done, by which crew, in which time."""

    time: WorkingTime
    """A number or [low, likely, high] in working days, or quantities."""
    crew: Names = ()
    """The skill that it needs, or several that work together."""
    crane: bool = False
    telehandler: bool = False
    lifts: Mass | None = None
    """The heaviest piece that it lifts, held against what the machine lifts at its working radius."""
    limits: Name | None = None
    """The kind of work, among ``weather.limits``, whose weather limits hold."""
    split: bool = True
    """Whether it may be left overnight; false for a pour or a lift."""
    pour: PourEntry | None = None
    """Concrete that it pours; ``split`` is then false."""
    calendar: Name | None = None
    """The calendar where no crew gives one."""
    milestone: Name | None = None
    """The name of the milestone that its end is."""
    price: Money = 0.0
    """A lump sum each time that it is done: a subcontract, or what it takes in material."""
