"""One print day, from the go in the morning to the last bucket of wash water."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sitesim.hours import Calendar, on_clock
from sitesim.ledger.rows import Layer, Piece
from sitesim.plan import DROP, Cause, PrintDay, State, Wall, in_drops
from sitesim.site.breakdowns import Wear
from sitesim.site.pump import Draw
from sitesim.site.supply import Gate
from sitesim.site.world import Process, World


class DayEnd(StrEnum):
    """Why the nozzle was shut for the day."""

    TARGET = "the day's last layer"
    WEATHER = "weather"
    CONCRETE = "the last of the ordered concrete"
    SHIFT = "the end of the shift"


@dataclass(slots=True)
class WallProgress:
    """How far a wall has come: whole ``layers``, and concrete [m³] of the next one already ``in_part``."""

    layers: int = 0
    in_part: float = 0.0


@dataclass(slots=True)
class Below:
    """The bead that the next one is laid on: when it began [h], when it ended [h], and its time without a stop [h]."""

    began: float
    ended: float
    hours: float

    def rest(self, now: float, share: float) -> float:
        """Tell how long [h] the bead under a given share of the path has rested.

        Stops are taken to have come before that share, but for the very beginning of the path, which was laid first.
        """
        return now - (self.ended - self.hours * (1.0 - share) if share > 0.0 else self.began)

    def may_carry_from(self, interval: float, next_hours: float) -> float:
        """Give the first instant [h] from which a bead taking ``next_hours`` lies on one that has rested everywhere.

        The faster of the two beads decides: at the beginning of the path where that is the one below, else at its end.
        """
        return self.ended + interval - min(self.hours, next_hours)


class DayAtThePrinter:
    """A print day under way: prints towards a target layer, and accounts for every minute of crew and printer.

    Parameters: ``target``, the last layer planned for the day; ``hours``, the hours that weather and shift leave open;
    ``shift``, the shift alone.
    """

    def __init__(
        self,
        world: World,
        wall: Wall,
        done: WallProgress,
        target: int,
        gate: Gate,
        wear: Wear,
        hours: Calendar,
        shift: Calendar,
    ) -> None:
        rules = world.plan.print_day
        assert rules is not None
        self._world = world
        self._env = world.env
        self._rules: PrintDay = rules
        self._wall = wall
        self.done = done
        self._first = done.layers + 1
        self._target = target
        self._gate = gate
        self._pump = gate.pump
        self._wear = wear
        self._hours = hours
        self._shift_end = shift.close_after(world.env.now)
        self._below: Below | None = None
        self._accounted = world.env.now
        self.began = world.env.now
        self.pieces: list[Piece] = []
        self.nozzle_hours = 0.0

    def lay(self) -> Process:
        """Tell the day until the nozzle is shut; returns why it was."""
        yield from self._pass(self._rules.align, State.WORKING)
        end = yield from self._wait_for_concrete()
        end = end or (yield from self._wait_for_weather())
        if end is None:
            yield from self._prime()
            end = yield from self._print_layers()
        self._remark("layers {} to {} are in place; the day ended with {}", *self._printed(), end)
        self._shut_the_gate()
        return end

    def wash_out(self) -> Process:
        """Wash out pump and hose, which ends the day."""
        yield from self._pass(self._rules.wash_out, State.WORKING)
        self._remark("washed out")

    def _printed(self) -> tuple[int, int]:
        return self._first, self.done.layers

    def _print_layers(self) -> Process:
        while True:
            if self.done.layers >= self._target:
                return DayEnd.TARGET
            end = self._reason_to_end()
            if end is not None:
                return end
            yield from self._let_set()
            if not (yield from self._print_layer()):
                return DayEnd.CONCRETE
            yield from self._planned_stops()

    def _reason_to_end(self) -> DayEnd | None:
        """Tell whether the next layer fits what is left of concrete, weather and shift, by its expected time."""
        now = self._env.now
        layer = self.done.layers
        left = self._wall.volume[layer] - self.done.in_part
        if self._pump.content + self._pump.coming < left:
            return DayEnd.CONCRETE
        expected_end = max(now, self._earliest_start()) + self._layer_hours(layer)
        if expected_end > self._hours.close_after(now):
            return DayEnd.SHIFT if expected_end > self._shift_end - self._rules.wash_out else DayEnd.WEATHER
        if expected_end > self._shift_end - self._rules.wash_out:
            return DayEnd.SHIFT
        return None

    def _pace(self, layer: int) -> float:
        """Give the pace [m³/h] at which a layer is laid, turns and travel included; the day's first is slower."""
        pace = self._wall.volume[layer] / self._wall.nozzle_hours[layer]
        return pace if self._below is not None else pace * self._rules.first_layer_share

    def _layer_hours(self, layer: int) -> float:
        """Give the hours [h] that the rest of a layer takes without a stop."""
        return on_clock((self._wall.volume[layer] - self.done.in_part) / self._pace(layer))

    def _earliest_start(self) -> float:
        """Give the first instant [h] at which the layer below can carry the next."""
        if self._below is None:
            return self._env.now
        layer_hours = self._layer_hours(self.done.layers)
        return on_clock(self._below.may_carry_from(self._rules.shortest_interval, layer_hours))

    def _let_set(self) -> Process:
        wait = self._earliest_start() - self._env.now
        if wait > 0.0:
            yield from self._pass(wait, State.WAITING, Cause.SETTING)

    def _print_layer(self) -> Process:
        """Lay one layer, with whatever stops it; returns whether it was finished."""
        layer = self.done.layers
        volume = self._wall.volume[layer] - self.done.in_part
        pace = self._pace(layer)
        began = self._env.now
        joints = yield from self._mind_the_joint(0.0)
        bead_began = self._env.now
        laid = 0.0
        age = 0.0
        while laid < volume:
            part = self._until_next_stop(volume - laid, pace)
            met: Draw = yield from self._pump.draw(part, pace)
            self._account_for(met, met.taken / pace)
            laid += met.taken
            age = met.age or age
            self._world.ledger.concrete.in_place += met.taken
            stopped = met.waited_from is not None
            if met.taken < part and not stopped:
                self.done.in_part += laid
                return False
            if self._wear.is_due:
                yield from self._clear_a_stop()
                stopped = True
            if stopped and laid < volume and (yield from self._mind_the_joint(laid / volume)):
                joints += 1
                bead_began = self._env.now - laid / pace  # what has been laid of this layer is prepared with the rest
        self._below = Below(bead_began, self._env.now, volume / pace)
        self.done.layers += 1
        self.done.in_part = 0.0
        if self._world.ledger.layers is not None:
            self._world.ledger.layers.append(
                Layer(self._gate.building, self.done.layers, began, self._env.now, age, joints > 0)
            )
        return True

    def _until_next_stop(self, left: float, pace: float) -> float:
        """Give the part of ``left`` [m³] that can be laid before the next stop is due: at least one drop."""
        hours = self._wear.until_next
        return left if hours >= left / pace else max(in_drops(hours * pace), DROP)

    def _account_for(self, met: Draw, nozzle_hours: float) -> None:
        self._wear.run(nozzle_hours)
        self.nozzle_hours += nozzle_hours
        if met.waited_from is None:
            self._account(State.WORKING)
        else:
            self._account(State.WORKING, until=met.waited_from)
            self._account(State.WAITING, Cause.CONCRETE)

    def _mind_the_joint(self, share: float) -> Process:
        """Prepare the joint where the bead below has lain open too long; returns how many joints that makes."""
        if self._below is None or self._below.rest(self._env.now, share) <= self._rules.open_time:
            return 0
        ledger = self._world.ledger
        ledger.counts.unplanned_joints += 1
        self._remark("unplanned joint on layer {}", self.done.layers)
        yield from self._pass(self._rules.joint_time, State.WORKING)
        ledger.concrete.joint_preparation += self._pump.lose(self._rules.joint_concrete)
        now = self._env.now
        self._below = Below(now, now + self._below.hours * (1.0 - share), self._below.hours)
        return 1

    def _clear_a_stop(self) -> Process:
        stop, hours = self._wear.stop()
        ledger = self._world.ledger
        ledger.counts.blockages_and_faults += 1
        self._remark("{}: stopped for {:.0f} min", stop.name, hours * 60)
        yield from self._pass(hours, State.DOWN, Cause.BREAKDOWN)
        if stop.loses_hose:
            ledger.concrete.lost_to_blockages += self._pump.lose(self._rules.hose)

    def _planned_stops(self) -> Process:
        for stop in self._wall.stops.get(self.done.layers, ()):
            self._remark("{} on layer {}", stop.name, self.done.layers)
            yield from self._pass(stop.hours, State.WORKING)

    def _wait_for_concrete(self) -> Process:
        """Wait until there is concrete to prime with; tells if none will come."""
        while self._pump.content <= 0.0:
            if self._pump.coming <= 0.0:
                self._account(State.WAITING, Cause.CONCRETE)
                return DayEnd.CONCRETE
            yield self._pump.arrival()
        self._account(State.WAITING, Cause.CONCRETE)
        return None

    def _wait_for_weather(self) -> Process:
        """Wait for the hours to open, if they do so while there is still a day worth printing."""
        opening = self._hours.next_open(self._env.now)
        last = self._shift_end - self._rules.wash_out
        if opening > last:
            yield from self._pass(max(0.0, min(last, self._shift_end) - self._env.now), State.WAITING, Cause.WEATHER)
            return DayEnd.WEATHER
        yield from self._pass(opening - self._env.now, State.WAITING, Cause.WEATHER)
        return None

    def _prime(self) -> Process:
        rules = self._rules
        yield from self._pass(rules.prime, State.WORKING)
        primed = self._pump.take(rules.priming + rules.specimens)
        self._world.ledger.concrete.priming += primed
        # The hose is full from now on: what it holds is thrown away at wash-out.
        self._world.ledger.concrete.washed_out += self._pump.take(rules.hose)
        self._remark("primed")

    def _shut_the_gate(self) -> None:
        """Send back what stands at the gate; what is in the hopper will be washed out."""
        concrete = self._world.ledger.concrete
        self._gate.is_open = False
        in_hopper, in_truck = self._pump.clear_out()
        concrete.washed_out += in_hopper
        concrete.returned += in_truck

    def _pass(self, hours: float, state: State, cause: Cause | None = None) -> Process:
        if hours > 0.0:
            yield self._env.timeout(hours)
            self._account(state, cause)

    def _account(self, state: State, cause: Cause | None = None, until: float | None = None) -> None:
        """Put the time since the last account down to a state and a cause."""
        until = self._env.now if until is None else until
        if until <= self._accounted:
            return
        pieces = self.pieces
        if pieces and pieces[-1].state is state and pieces[-1].cause is cause:
            pieces[-1] = Piece(pieces[-1].start, until, state, cause)
        else:
            pieces.append(Piece(self._accounted, until, state, cause))
        self._accounted = until

    def _remark(self, text: str, *values: object) -> None:
        self._world.ledger.remark(self._env.now, self._gate.building, text, *values)
