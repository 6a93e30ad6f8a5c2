"""The sections ``crane``, ``telehandler`` and ``relocation``: what lifts, and how gantry and tent come and go."""

from __future__ import annotations

from typing import Literal

from sitesim.policies import COMING, SETTLING, GantryMoves, Relocation, SetUpOrder, TakeDown
from sitesim.scenario.quantities import Mass, MoneyPerHour, SomeHours, Speed
from sitesim.scenario.sections.money import Hired
from sitesim.scenario.sections.section import Count, Section
from sitesim.scenario.sections.wall import MaturityGoal
from sitesim.scenario.sections.work import Work

_SOME_WAY = 100.0


class LiftingMachine(Hired):
    """A machine that lifts, hired by the call or to stay: the crane, or a telehandler."""

    count: Count = 1
    rate: MoneyPerHour = 0.0
    """With its operator, for every shift hour that it is on call, waiting for wind included."""
    stays: bool = False
    """Whether it stays from its first lift to its last, paid also in between, and is not called each time."""
    lifts: Mass | None = None
    """The mass that it lifts at its working radius, hook and slings taken off; by its chart."""


class TravelWork(Work):
    """Carrying or rolling gantry or tent over from the slab before; ``time`` is that of loading and unloading.

    It takes the way between the two buildings besides: by ``per_100_m`` or by ``speed``, one of the two.
    """

    per_100_m: SomeHours | None = None
    """The time that each 100 m of the way take, there and back if it goes more than once."""
    speed: Speed | None = None
    """The speed over the way."""

    @property
    def pace(self) -> float:
        """The time [h] for each metre of the way."""
        if self.speed is not None:
            return 1.0 / (3600.0 * self.speed)
        return 0.0 if self.per_100_m is None else self.per_100_m / _SOME_WAY


class MovingTasks(Section):
    """The tasks of setting up, moving and taking down: five that are always there, others where they are written."""

    gantry_up: Work
    """The gantry set up in full: for the first time on the site, or each time where it is taken down in between."""
    tent_up: Work
    calibrate: Work
    tent_down: Work
    gantry_down: Work
    """The gantry taken down in full: for good, or each time."""
    gantry_travel: TravelWork | None = None
    """The gantry's way from the slab before; not played when it comes to the site."""
    tent_travel: TravelWork | None = None
    """The tent's way from the slab before; not played when it comes to the site."""
    ballast: Work | None = None
    """Ballast and columns lifted into place, before the gantry is set up in full."""
    gantry_on: Work | None = None
    """The gantry in one piece rolled or lifted onto a slab, from beside the one before."""
    align: Work | None = None
    """The gantry levelled and aligned on its slab, once the tent stands."""
    test_bead: Work | None = None
    """A bead printed for acceptance, after the calibration; a hold point may follow it."""
    gantry_off: Work | None = None
    """The gantry in one piece rolled or lifted off its slab; on rails also before it is taken down for good."""
    ballast_off: Work | None = None
    """Ballast and columns lifted away, after the gantry has been taken down in full."""

    @property
    def written(self) -> dict[str, Work]:
        """The tasks that are written, by name."""
        named = {name: getattr(self, name) for name in type(self).model_fields}
        return {name: work for name, work in named.items() if work is not None}


class RelocationEntry(Section):
    """The method of set-up, when gantry and tent leave a building, and how the gantry gets to the next."""

    order: SetUpOrder = SetUpOrder.GANTRY_FIRST
    gantry_lift: Literal["crane", "telehandler"] = "crane"
    """What lifts the gantry when it is set up or taken down in full."""
    gantry_moves: GantryMoves = GantryMoves.TAKEN_DOWN
    """How it gets from slab to slab: taken down and set up again, on rails, or lifted by crane in one piece."""
    gantry_leaves: TakeDown = TakeDown.CURE
    """After the last layer (walls), the beam, its cure, or the ``strength`` of the walls."""
    tent_leaves: TakeDown = TakeDown.CURE
    """After one of these, or for the roof: once all else is done that the tasks waiting for ``released`` wait for."""
    strength: MaturityGoal | None = None
    """The maturity of the walls' concrete, counted from the last layer, at which the engineer is asked for release."""
    tasks: MovingTasks

    @property
    def policy(self) -> Relocation:
        """The method of set-up, and how and when gantry and tent leave."""
        return Relocation(self.order, self.gantry_leaves, self.tent_leaves, self.gantry_moves)

    @property
    def in_play(self) -> dict[str, Work]:
        """The tasks that are written and that this way of moving has, by name."""
        played = {step for thing in COMING for step in (*self.policy.may_come(thing), *self.policy.may_go(thing))}
        return {step: work for step, work in self.tasks.written.items() if step in played or step in SETTLING}
