"""One print day, from the go in the morning to the last bucket of wash water."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger.book import Concrete
from sitesim.ledger.rows import Layer, Piece, as_piece
from sitesim.plan import DROP, Cause, Doing, PrintDay, State, Wall, in_drops
from sitesim.site.breakdowns import Wear
from sitesim.site.day_notes import DayNotes
from sitesim.site.pump import Draw
from sitesim.site.supply import Gate
from sitesim.site.world import Process, World


class DayEnd(StrEnum):
    """Why the nozzle was shut for the day."""

    TARGET = "the day's last layer"
    WEATHER = "weather"
    CONCRETE = "the last of the ordered concrete"
    SHIFT = "no time for another layer before wash-out"


SET_IN_THE_HOSE = "concrete has set in the hose"
"""The name of the stop that follows a standstill longer than concrete lives in the hose."""


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
        return now - (self.ended - self.hours * (1.0 - share) if share else self.began)


class DayAtThePrinter:
    """A print day under way: prints towards a target layer, and accounts for every minute of crew and printer.

    Parameters: ``target``, the last layer planned for the day; ``hours``, the hours that weather and shift leave open;
    ``shift``, the shift alone; ``see``, told of each layer that somebody is invited to witness, and from when to when
    [h] it was laid.
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
        see: Callable[[int, float, float], None],
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
        self._see = see
        self._gate = gate
        self._pump = gate.pump
        self._wear = wear
        self._hours = hours
        self._shift_end = shift.close_after(world.env.now)
        self._last_end = self._shift_end - rules.wash_out
        self._pump.wait_until(self._last_end, rules.open_time)
        self._sides = world.hours.sides_over(rules.limits)
        limits = world.plan.climate.limits.get(rules.limits)
        self._keeps_wet = limits is not None and limits.evaporation is not None and limits.evaporation.measures > 0.0
        self._open_until = world.env.now
        self._below: Below | None = None
        self._accounted = world.env.now
        self.began = world.env.now
        self._minds_pauses = rules.minds_pauses
        self._beyond_draw = 0.0
        self._pump.on_dry = None if gate.look_ahead is None else self._look_ahead_when_dry
        self._stood_since = world.env.now
        self._meal_at = world.env.now + rules.meal_after
        self.pieces: list[Piece] = []
        self.concrete = Concrete()
        """Where the concrete of this day went, but for what was rejected."""
        self.notes = None if world.ledger.layers is None else DayNotes.of(world.env, self._pump)
        self.nozzle_hours = 0.0

    def lay(self) -> Process:
        """Tell the day until the nozzle is shut; returns why it was."""
        yield from self._pass(self._rules.align, State.WORKING, doing=Doing.ALIGNING)
        if self.done.layers:
            yield from self._pass(self._rules.planned_joint_time, State.WORKING, doing=Doing.PLANNED_JOINT)
        end = yield from self._wait_for_concrete()
        end = end or (yield from self._wait_for_weather())
        if end is None:
            yield from self._prime()
            end = yield from self._print_layers()
            self._account(State.WORKING)
        self._remark("{}; the day ended with {}", self._printed(), end)
        if self._gate.is_open:
            self._shut_the_gate()
        return end

    def wash_out(self) -> Process:
        """Wash out pump and hose, which ends the day."""
        yield from self._pass(self._rules.wash_out, State.WORKING, doing=Doing.WASHING_OUT)
        self._remark("washed out")
        sides = self._sides
        while sides is not None and sides.lowering.is_open(self._env.now):
            yield from self._see_to_the_sides("let down before a storm", sides.lowering.close_after(self._env.now))

    def _printed(self) -> str:
        first, last = self._first, self.done.layers
        if last < first:
            return "no layer is finished"
        return f"layer {last} is in place" if last == first else f"layers {first} to {last} are in place"

    def _print_layers(self) -> Process:
        """Lay layer upon layer; returns why it ended."""
        env, done, target = self._env, self.done, self._target
        while done.layers < target:
            now = env.now
            if now >= self._meal_at:
                yield from self._have_a_meal()
                continue
            volume, pace, start, expected_end = self._next_layer(now)
            wetting = self._world.hours.measures(self._rules.limits, start) if self._keeps_wet else 0.0
            end = self._reason_to_end(volume, now, expected_end + wetting)
            if end is not None:
                return end
            if start > now:
                self._account(State.WORKING)
                yield start - now
                self._account(State.WAITING, Cause.SETTING)
            if wetting:
                yield from self._pass(wetting, State.WORKING, doing=Doing.KEEPING_WET)
            if not (yield from self._print_layer(volume, pace)):
                return DayEnd.CONCRETE
            if done.layers == target:
                self._shut_the_gate()  # no truck stands by while a lintel is set on the day's last layer
            if done.layers in self._wall.stops:
                yield from self._planned_stops()
        return DayEnd.TARGET

    def _look_ahead(self, volume: float) -> None:
        """Let somebody see what is left to lay, ``volume`` [m³] of this layer first, and call for more concrete."""
        if self._gate.look_ahead is None:
            return
        done, wall = self.done.layers, self._wall
        need = volume + wall.day_need(done + 1, self._target)
        pace = wall.day_need(done, self._target) / wall.day_hours(done, self._target)
        self._gate.look_ahead(need, volume, pace, self._last_end)

    def _look_ahead_when_dry(self, wanted: float) -> None:
        self._look_ahead(wanted + self._beyond_draw)

    def _have_a_meal(self) -> Process:
        self._meal_at = NEVER
        self._remark("meal")
        yield from self._pass(self._rules.meal, State.WORKING, doing=Doing.MEAL)

    def _next_layer(self, now: float) -> tuple[float, float, float, float]:
        """Look at the next layer: the day's first is slower, any other waits until the one below can carry it.

        Returns what is left of it [m³], its pace [m³/h], the earliest start [h] and the end [h] expected then.
        """
        layer = self.done.layers
        volume = self._wall.volume[layer]
        pace = volume / self._wall.nozzle_hours[layer]
        left = volume - self.done.in_part
        below = self._below
        if below is None:
            pace *= self._rules.first_layer_share
            return left, pace, now, now + on_clock(left / pace)
        hours = on_clock(left / pace)
        start = max(now, on_clock(self._rules.may_cover(below.ended, below.hours, hours)))
        return left, pace, start, start + hours

    def _reason_to_end(self, volume: float, now: float, expected_end: float) -> DayEnd | None:
        """Tell whether the next layer fits what is left of concrete, weather and shift, by its expected time.

        Only where there is time for it does somebody look ahead, and may call for more concrete.
        """
        no_time = self._no_time(now, expected_end)
        if no_time is None and self._gate.look_ahead is not None:
            self._look_ahead(volume)
        return DayEnd.CONCRETE if self._pump.content + self._pump.coming < volume else no_time

    def _no_time(self, now: float, expected_end: float) -> DayEnd | None:
        stops = self._wall.stops.get(self.done.layers + 1)
        if expected_end + (sum(stop.hours for stop in stops) if stops else 0.0) > self._last_end:
            return DayEnd.SHIFT
        if now >= self._open_until:
            self._open_until = self._hours.close_after(now)
        return DayEnd.WEATHER if expected_end > self._open_until else None

    def _print_layer(self, volume: float, pace: float) -> Process:
        """Lay ``volume`` [m³] of a layer, with whatever stops it; returns whether it was finished."""
        env, pump, wear, done = self._env, self._pump, self._wear, self.done
        began = env.now
        joints = 0
        if self._minds_pauses or self._is_cold(0.0):
            self._beyond_draw = volume
            joints = yield from self._go_on(0.0)
        bead_began = env.now if joints else began
        laid = age = 0.0
        while laid < volume:
            if self._minds_pauses:
                yield from self._see_to_the_pause()
            age_before = pump.age if wear.minds_age else 0.0
            part = self._until_next_stop(volume - laid, pace)
            self._beyond_draw = volume - laid - part
            met: Draw = yield from pump.draw(part, pace)
            taken, its_age, dry_since, missing = met
            laid += taken
            age = its_age or age
            self._count_laid(taken, taken / pace, age_before, dry_since)
            stopped = dry_since is not None
            if stopped:
                self._account(State.WORKING, None, dry_since)
                self._account(State.WAITING, missing)
                self._beyond_draw = volume - laid  # should the hose be filled or a joint prepared before the next draw
            elif taken < part:
                done.in_part += laid
                return False
            if wear.is_due():
                yield from self._clear_a_stop()
                stopped = True
            if stopped and laid < volume and (yield from self._go_on(laid / volume)):
                joints += 1
                bead_began = env.now - laid / pace  # what has been laid of this layer is prepared with the rest
        now = env.now
        self._below = Below(bead_began, now, volume / pace)
        done.layers += 1
        done.in_part = 0.0
        if done.layers in self._wall.witnessed:
            self._see(done.layers, began, now)
        layers = self._world.ledger.layers
        if layers is not None:
            layers.append(Layer(self._gate.building, done.layers, began, now, age, joints > 0))
        return True

    def _go_on(self, share: float) -> Process:
        """See to the hose and then to the bead before printing goes on; returns how many joints were prepared."""
        if self._minds_pauses:
            yield from self._see_to_the_pause()
        if not self._is_cold(share):
            return 0
        yield from self._prepare_the_joint(share)
        return 1

    def _see_to_the_pause(self) -> Process:
        """Let the pump's standstill have its consequences: wear, and concrete that has set in the hose.

        It lasts as long as there is nothing to pump.
        """
        standstill = self._env.now - self._stood_since
        if standstill <= 0.0 or self._pump.content <= 0.0:
            return
        self._wear.pause(standstill)
        if standstill > self._rules.hose_life:
            ledger = self._world.ledger
            ledger.counts.blockages_and_faults += 1
            self._remark("{}: cleared in {:.0f} min", SET_IN_THE_HOSE, self._rules.hose_clear * 60)
            yield from self._pass(self._rules.hose_clear, State.DOWN, Cause.BREAKDOWN, Doing.STOPPED, SET_IN_THE_HOSE)
            yield from self._lose_the_hose()
        self._stood_since = self._env.now

    def _until_next_stop(self, left: float, pace: float) -> float:
        """Give the part of ``left`` [m³] that can be laid before the next stop is due: at least one drop."""
        wear, pump = self._wear, self._pump
        if wear.minds_age:  # then concrete of one age at a time, and no further than it counts the same
            left = min(left, pump.of_one_age or left)
            hours = min(wear.until_next(pump.age), wear.until_older(pump.age))
        else:
            hours = wear.until_next(0.0)
        return left if hours >= left / pace else max(in_drops(hours * pace), DROP)

    def _count_laid(self, taken: float, nozzle_hours: float, age: float, dry_since: float | None) -> None:
        """Count what one draw laid: concrete [m³] that was of an ``age`` [h] at its beginning, until the pump was dry.

        Laying itself is accounted for when it stops.
        """
        self._wear.run(nozzle_hours, age)
        if taken:
            self._stood_since = self._env.now if dry_since is None else dry_since
        self.nozzle_hours += nozzle_hours
        self.concrete.in_place += taken

    def _is_cold(self, share: float) -> bool:
        """Tell whether there is concrete, and the bead below a share of the path has lain open too long for it."""
        below = self._below
        return (
            below is not None and self._pump.content > 0.0 and below.rest(self._env.now, share) > self._rules.open_time
        )

    def _prepare_the_joint(self, share: float) -> Process:
        """Prepare an unplanned joint from a share of the path on."""
        assert self._below is not None
        self._world.ledger.counts.unplanned_joints += 1
        self._remark("unplanned joint on layer {}", self.done.layers)
        yield from self._pass(self._rules.joint_time, State.WORKING, doing=Doing.UNPLANNED_JOINT)
        joint = yield from self._use(self._rules.joint_concrete, self._pump.lose)
        self.concrete.joint_preparation += joint
        now = self._env.now
        self._below = Below(now, now + self._below.hours * (1.0 - share), self._below.hours)

    def _clear_a_stop(self) -> Process:
        stop, hours = self._wear.stop()
        ledger = self._world.ledger
        ledger.counts.blockages_and_faults += 1
        self._remark("{}: stopped for {:.0f} min", stop.name, hours * 60)
        yield from self._pass(hours, State.DOWN, Cause.BREAKDOWN, Doing.STOPPED, stop.name)
        if stop.loses_hose:
            yield from self._lose_the_hose()
            self._stood_since = self._env.now

    def _planned_stops(self) -> Process:
        for stop in self._wall.stops.get(self.done.layers, ()):
            self._remark("{} on layer {}", stop.name, self.done.layers)
            yield from self._pass(stop.hours, State.WORKING, doing=Doing.PLANNED_STOP, name=stop.name)

    def _wait_for_concrete(self) -> Process:
        """Wait until there is concrete to prime with; tells if none will come before it is time to wash out."""
        while self._pump.content <= 0.0:
            if not self._pump.is_worth_waiting:
                return DayEnd.CONCRETE
            missing: Cause = yield self._pump.arrival()
            self._account(State.WAITING, missing)
        return None

    def _wait_for_weather(self) -> Process:
        """Wait for the hours to open, if they do so while there is still a day worth printing."""
        opening = self._hours.next_open(self._env.now)
        if opening > self._last_end:
            yield from self._wait_under_the_tent(self._last_end)
            return DayEnd.WEATHER
        yield from self._wait_under_the_tent(opening)
        return None

    def _wait_under_the_tent(self, until: float) -> Process:
        """Wait for the weather up to an instant [h], and meanwhile put up what sides of the tent are to be put up."""
        if self._sides is not None:
            for start, end in self._sides.raising.within(self._env.now, until):
                yield from self._pass(start - self._env.now, State.WAITING, Cause.WEATHER)
                yield from self._see_to_the_sides("put up after a storm", end)
        yield from self._pass(until - self._env.now, State.WAITING, Cause.WEATHER)

    def _see_to_the_sides(self, done: str, until: float) -> Process:
        self._remark("the tent's sides are {}", done)
        yield from self._pass(until - self._env.now, State.WORKING, doing=Doing.TENT_SIDES, name=done)

    def _prime(self) -> Process:
        rules = self._rules
        yield from self._pass(rules.slump_check, State.WORKING, doing=Doing.TESTING)
        yield from self._pass(rules.prime, State.WORKING, doing=Doing.PRIMING)
        self._wear.run_pump(rules.prime)
        self._beyond_draw = self._wall.volume[self.done.layers] - self.done.in_part
        used = yield from self._use(rules.priming + rules.specimens, self._pump.take)
        self.concrete.priming += used
        # The hose is full from now on: what it holds is thrown away at wash-out.
        used = yield from self._use(rules.hose, self._pump.take)
        self.concrete.washed_out += used
        if self.done.layers:
            used = yield from self._use(rules.planned_joint_concrete, self._pump.take)
            self.concrete.joint_preparation += used
        self._stood_since = self._env.now
        self._remark("primed")

    def _lose_the_hose(self) -> Process:
        """Throw away what is in the hose, and fill it anew."""
        lost = yield from self._use(self._rules.hose, self._pump.lose)
        self.concrete.lost_to_blockages += lost

    def _use(self, volume: float, take: Callable[[float], float]) -> Process:
        """Use concrete [m³] besides the wall, and wait where the pump does not hold as much at once; gives how much."""
        used = take(volume)
        while used < volume:
            self._look_ahead_when_dry(volume - used)
            if not self._pump.is_worth_waiting:
                break
            missing: Cause = yield self._pump.arrival()
            self._account(State.WAITING, missing)
            used += take(volume - used)
        return used

    def _shut_the_gate(self) -> None:
        """Send back what stands at the gate; what is in the hopper will be washed out."""
        self._gate.is_open = False
        in_hopper, in_truck = self._pump.clear_out()
        self.concrete.washed_out += in_hopper
        self.concrete.returned += in_truck

    def _pass(
        self, hours: float, state: State, cause: Cause | None = None, doing: Doing | None = None, name: str = ""
    ) -> Process:
        if hours > 0.0:
            self._account(State.WORKING)  # what was laid up to here
            yield hours
            self._account(state, cause, doing=doing, name=name)

    def _account(
        self,
        state: State,
        cause: Cause | None = None,
        until: float | None = None,
        doing: Doing | None = None,
        name: str = "",
    ) -> None:
        """Put the time since the last account down to a state and a cause; work that has no name is laying."""
        until = self._env.now if until is None else until
        if until <= self._accounted:
            return
        if self.notes is not None:
            self.notes.add(self._accounted, until, state, cause, doing, name)
        pieces, start = self.pieces, self._accounted
        if pieces:
            last_start, _, last_state, last_cause = pieces[-1]
            if last_state is state and last_cause is cause:
                start = last_start
                pieces.pop()
        pieces.append(as_piece((start, until, state, cause)))
        self._accounted = until

    def _remark(self, text: str, *values: object) -> None:
        if self._world.ledger.diary is not None:
            self._world.ledger.remark(self._env.now, self._gate.building, text, *values)
