"""What a print day needs to know: layers, printer, pump, concrete and the stops of machines."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf

from sitesim.chance import Distribution, stream
from sitesim.policies import Course

DROP = 2.0**-20
"""The grain [m³] of all concrete volumes, about a cubic centimetre: sums of them are exact in binary."""


def in_drops(volume: float) -> float:
    """Round a volume [m³] to whole drops."""
    return round(volume / DROP) * DROP


@dataclass(frozen=True, slots=True)
class PlannedStop:
    """Work by hand that stops the nozzle after a layer: joint steel, lintels.

    Parameters: ``name``; ``hours`` [h].
    """

    name: str
    hours: float


@dataclass(frozen=True, slots=True)
class WitnessPoint:
    """A layer that an inspector is invited to see laid; nothing waits for them.

    Parameters: ``name``; ``inspector``, its index in the plan; ``comes``, chance that an invitation is followed where
    it can be, 0 to 1.
    """

    name: str
    inspector: int
    comes: float = 1.0


@dataclass(frozen=True, slots=True)
class Wall:
    """The printed wall of one building, layer by layer (layer 1 is index 0).

    Parameters: ``nozzle_hours`` [h] and ``volume`` [m³] for each layer, travel and waste included;
    ``stops``, by layer the planned stops after it; ``day_ends``, the layers at which a print day is to end, the last of
    them the wall's last; ``layers_a_day``, the most a day prints; ``witnessed``, by layer who is invited to see it.
    """

    nozzle_hours: tuple[float, ...]
    volume: tuple[float, ...]
    stops: dict[int, tuple[PlannedStop, ...]]
    day_ends: tuple[int, ...]
    layers_a_day: int
    witnessed: dict[int, tuple[WitnessPoint, ...]] = field(default_factory=dict)

    @property
    def layers(self) -> int:
        """How many layers the wall has."""
        return len(self.volume)

    def day_target(self, done: int) -> int:
        """Name the last layer planned for a day that begins with ``done`` layers in place."""
        named = next((end for end in self.day_ends if end > done), self.layers)
        return min(named, done + self.layers_a_day)

    def day_need(self, done: int, target: int) -> float:
        """Sum the concrete [m³] of the layers after ``done`` up to ``target``."""
        return sum(self.volume[done:target])

    def day_hours(self, done: int, target: int) -> float:
        """Sum the expected nozzle and stop hours [h] of the layers after ``done`` up to ``target``."""
        stops = sum(stop.hours for layer in range(done + 1, target + 1) for stop in self.stops.get(layer, ()))
        return sum(self.nozzle_hours[done:target]) + stops


NOZZLE, PUMPED = "nozzle", "pumped"
"""The hours that count as exposure to a stop: those of laying, or those of the pump, which runs for priming too."""


@dataclass(frozen=True, slots=True)
class Stop:
    """A kind of unplanned stop, counted as exposure.

    Parameters: ``measure``, `NOZZLE` or `PUMPED`: the hours that count; ``every`` [h of exposure] between stops;
    ``time`` [h] to clear one; ``loses_hose``, whether the hose contents are thrown away; ``old_after`` [h] of age, from
    which an hour of laying counts ``old_counts`` times; ``pause_after`` [h], a standstill longer than which counts as
    ``pause_counts`` [h of exposure] for each further hour of it.
    """

    name: str
    measure: str
    every: Distribution
    time: Distribution
    loses_hose: bool
    old_after: float = inf
    old_counts: float = 1.0
    pause_after: float = inf
    pause_counts: float = 0.0
    every_stream: int = field(init=False)
    time_stream: int = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "every_stream", stream("exposure", self.name))
        object.__setattr__(self, "time_stream", stream("clearing", self.name))


@dataclass(frozen=True, slots=True)
class PrintDay:
    """How a print day runs, the same for every building.

    Parameters: ``crew``, unit indices that can print; ``second_crew``, those of whom one takes over when the first's
    shift ends, and ``hours``, the calendar in which printer and tent count as on shift, empty where there is no second
    shift; ``limits``, the kind of work whose weather limits hold;
    times in [h], volumes in [m³]. ``first_layer_share`` is the first layer's speed as a share of the usual;
    ``shortest_interval`` the least time between the starts of two layers, bead to bead;
    ``open_time`` the longest before the joint counts as unplanned; ``least_hours`` the shortest day worth starting.
    ``slump_check`` is made on the first concrete of the day; the planned joint on yesterday's top takes
    ``planned_joint_time`` and ``planned_joint_concrete``; where meals are not relieved the nozzle stops for ``meal``
    after ``meal_after`` of the day. Concrete that has been accelerated at the pump sets in the hose after ``hose_life``
    without moving, and is cleared in ``hose_clear``. ``waived`` is how far past the agreed life a waiver lets concrete
    be used. At first water concrete is ``warmth`` [°C] warmer than the air, and never colder than ``least_warmth``.
    """

    crew: tuple[int, ...]
    limits: str
    rank: int
    go_before: float
    align: float
    prime: float
    wash_out: float
    least_hours: float
    priming: float
    specimens: float
    hose: float
    hopper: float
    first_layer_share: float
    shortest_interval: float
    open_time: float
    working_life: float
    life_falls_with_heat: bool
    joint_time: float
    joint_concrete: float
    stops: tuple[Stop, ...]
    slump_check: float = 0.0
    planned_joint_time: float = 0.0
    planned_joint_concrete: float = 0.0
    meal_after: float = inf
    meal: float = 0.0
    hose_life: float = inf
    hose_clear: float = 0.0
    waived: float = 0.0
    warmth: float = 0.0
    least_warmth: float = -inf
    second_crew: tuple[int, ...] = ()
    hours: str = ""

    @property
    def day_extra(self) -> float:
        """Concrete [m³] that every print day needs besides its layers."""
        return self.priming + self.specimens + self.hose

    @property
    def needs(self) -> tuple[tuple[int, ...], ...]:
        """Who is wanted for a print day: a gang, or one and the next."""
        return (self.crew, self.second_crew) if self.second_crew else (self.crew,)

    @property
    def minds_pauses(self) -> bool:
        """Tell whether a standstill of the pump has consequences besides its own length."""
        return self.hose_life < inf or any(stop.pause_after < inf for stop in self.stops)

    @property
    def until_first_layer(self) -> float:
        """The time [h] from the first concrete at the pump to the first layer."""
        return self.slump_check + self.prime

    def day_need(self, wall: Wall, done: int, in_part: float, target: int) -> float:
        """Give all the concrete [m³] of a day from layer ``done``, and ``in_part`` [m³] of the next, to ``target``."""
        return wall.day_need(done, target) - in_part + self._before_layers(done)

    def _before_layers(self, done: int) -> float:
        """Give the concrete [m³] that a day uses besides its layers; yesterday's top is prepared where there is one."""
        return self.day_extra + (self.planned_joint_concrete if done else 0.0)

    def course(self, wall: Wall, done: int, in_part: float, target: int, morning: float, first_load: float) -> Course:
        """Work out how a day is expected to use its concrete, from layer ``done`` to ``target``.

        Parameters: ``in_part`` [m³] of the next layer that is laid already; ``morning`` [h], when the day begins, and
        ``first_load`` [h], when the first concrete is at the gate.
        """
        crew_ready = morning + self.align + (self.planned_joint_time if done else 0.0)
        now = max(crew_ready, first_load) + self.until_first_layer
        used = self._before_layers(done)
        instants, uses = [now], [used]
        meal_at = morning + self.meal_after
        laid = hours_below = 0.0
        for layer in range(done, target):
            if now >= meal_at:
                now, meal_at = now + self.meal, inf
            hours, volume = wall.nozzle_hours[layer], wall.volume[layer]
            if layer == done:
                hours *= (1.0 - in_part / volume) / self.first_layer_share
                volume -= in_part
            else:
                now = max(now, self.may_cover(laid, hours_below, hours))
            if now > instants[-1]:
                instants.append(now)
                uses.append(used)
            laid = now = now + hours
            hours_below = hours
            used += volume
            instants.append(now)
            uses.append(used)
            now += sum(stop.hours for stop in wall.stops.get(layer + 1, ()))
        return Course(tuple(instants), tuple(uses))

    def may_cover(self, ended: float, hours: float, next_hours: float) -> float:
        """Give the first instant [h] from which a bead taking ``next_hours`` lies on one that has rested everywhere.

        The faster of the two beads decides: at the beginning of the path where that is the one below, else at its end.
        Parameters: ``ended`` [h], when the bead below was laid; ``hours`` [h] that it took.
        """
        return ended + self.shortest_interval - min(hours, next_hours)
