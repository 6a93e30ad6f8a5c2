"""A printed building's story, from the slab to the day on which gantry and tent have gone."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger.rows import NOBODY, Hold, OrderedDay, PrintedDay, pieces_between
from sitesim.plan import Building, Cause, Kind, Node, Shell, UnitKind
from sitesim.policies import COMING, GOING, SETTLING, Course, Relocation, TakeDown
from sitesim.site.activity import (
    held_by_absence,
    held_by_unit,
    hold_machine,
    is_away,
    never,
    perform,
    see_as_a_witness,
)
from sitesim.site.breakdowns import Wear
from sitesim.site.network import Network
from sitesim.site.print_day import DayAtThePrinter, DayEnd, WallProgress
from sitesim.site.supply import Order, Supply
from sitesim.site.whereabouts import Whereabouts
from sitesim.site.world import Front, Process, World

_CAUSE_OF_DAY_END = {
    DayEnd.TARGET: Cause.PRINTER,
    DayEnd.SHIFT: Cause.PRINTER,
    DayEnd.WEATHER: Cause.WEATHER,
    DayEnd.CONCRETE: Cause.CONCRETE,
}


_KINDS = {"printer": UnitKind.PRINTER, "tent": UnitKind.TENT}


@dataclass(slots=True)
class Campaign:
    """The print days of one building: how far the wall is, and what has been ordered for the next morning.

    Parameters: ``days``, how many there have been; ``latest``, the day of the run that was the last of them;
    ``between``, what is waited for until the next.
    """

    done: WallProgress
    days: int = 0
    latest: int = -1
    between: Cause = Cause.CONCRETE
    standing: Order | None = None


class PrintedBuilding:
    """Plays one building's shell.

    Parameters: ``wear``, by printer unit the exposure to stops that goes with it from building to building;
    ``whereabouts`` of gantries and tents.
    """

    def __init__(
        self,
        world: World,
        network: Network,
        building: int,
        supply: Supply,
        wear: dict[int, Wear],
        whereabouts: Whereabouts,
    ) -> None:
        self._world = world
        self._network = network
        self._index = building
        self._building: Building = world.plan.buildings[building]
        shell = self._building.shell
        relocation = world.plan.relocation
        assert shell is not None
        assert relocation is not None
        self._shell: Shell = shell
        self._relocation: Relocation = relocation
        self._targets = world.stage.day_targets[building]
        self._supply = supply
        self._wear = wear
        self._whereabouts = whereabouts
        self._serving = {thing: whereabouts.serving(shell, kind) for thing, kind in _KINDS.items()}
        self._moves = {
            "gantry_up": shell.gantry_up,
            "tent_up": shell.tent_up,
            "calibrate": shell.calibrate,
            "gantry_down": shell.gantry_down,
            "tent_down": shell.tent_down,
            **shell.moving,
        }
        self._held: dict[str, int] = {}
        self._visits: dict[int, float] = {}
        """Visits [h] booked ahead for a layer at which printing is held, by node."""

    def play(self) -> Process:
        """Tell the story."""
        front: Front = yield from self._network.reached(self._shell.ready)
        front = yield from self._set_up(front)
        front = yield from self._print_the_walls(front)
        front = yield from self._take_down(TakeDown.WALLS, front)
        beside = self._begin_to_leave_by_strength()
        front = yield from self._leave_to_cure(self._shell.walls, front)
        for index in self._shell.finish:
            front = yield from self._step(index, front)
            front = yield from self._leave_to_cure(index, front)
        cured: Front = yield from self._network.reached(self._shell.cure)
        front = yield from self._take_down(TakeDown.CURE, _later(front, cured))
        front = yield from self._take_down(TakeDown.ROOF, front)
        front = yield from self._after_all(beside, front)
        self._network.milestone(self._shell.released, front)

    def _leave_to_cure(self, index: int, front: Front) -> Process:
        """After the pour, or after walls on which nothing is poured, begin the cure, and take down meanwhile."""
        if index != self._shell.beam:
            return front
        self._world.env.process(self._cure(front))
        return (yield from self._take_down(TakeDown.BEAM, front))

    def _cure(self, front: Front) -> Process:
        """Let the beam cure from its pour on, whatever is taken down meanwhile."""
        yield from self._step(self._shell.cure, front)

    def _set_up(self, front: Front) -> Process:
        """Ask for gantry and tent in the order of the method, and bring each onto the slab; then make them ready."""
        whereabouts = self._whereabouts
        for thing in self._relocation.asked_for():
            group = self._serving[thing]
            rank = partial(self._hours_to_bring, thing)
            front, unit = yield from hold_machine(self._world, _KINDS[thing], group, self._index, front, rank)
            self._held[thing] = unit
            steps = self._relocation.coming(thing, whereabouts.has_been_here(unit))
            way = whereabouts.way(unit, self._index)
            whereabouts.comes(unit, self._index, group)
            front = yield from self._move(COMING[thing], steps, front, unit, way)
        return (yield from self._move(SETTLING, SETTLING, front, self._held["printer"]))

    def _hours_to_bring(self, thing: str, unit: int) -> float:
        """Give the time [h] that it is expected to take to bring a thing onto this slab from where it stands.

        One that has not been here yet is out of question where those that stand here in one piece are all needed.
        """
        whereabouts = self._whereabouts
        again = whereabouts.has_been_here(unit)
        stays, group = self._relocation.stays_here(thing), self._serving[thing]
        if stays and not again and not whereabouts.takes_more_than_stand(group):
            return NEVER
        way = whereabouts.way(unit, self._index)
        steps = self._relocation.coming(thing, again)
        tasks = [self._world.plan.nodes[self._moves[step]].task for step in steps if step in self._moves]
        return sum(task.duration.mean + task.pace * way for task in tasks)

    def _take_down(self, event: TakeDown, front: Front) -> Process:
        """Bring off the slab what leaves after an event; it is free then for the building that asks next."""
        for thing in self._relocation.leave_after(event):
            front = yield from self._after_all(self._shell.stays_for.get(thing, ()), front)
            unit = self._held.pop(thing)
            again = self._whereabouts.leaves(self._serving[thing])
            steps = self._relocation.going(thing, again)
            front = yield from self._move(GOING[thing], steps, front, unit)
            if self._relocation.can_come_again(thing, again):
                self._world.crews.give_back((unit,), front.by)
        return front

    def _begin_to_leave_by_strength(self) -> tuple[int, ...]:
        """Let go, beside the story, what leaves once the walls have their maturity; gives the nodes that end that."""
        leaving = self._relocation.leave_after(TakeDown.STRENGTH)
        if leaving:
            self._world.env.process(self._leave_by_strength())
        return tuple(self._moves[step] for thing in leaving for step in GOING[thing] if step in self._moves)

    def _leave_by_strength(self) -> Process:
        assert self._shell.strength is not None
        ripe: Front = yield from self._network.reached(self._shell.strength)
        yield from self._take_down(TakeDown.STRENGTH, ripe)

    def _after_all(self, awaited: Sequence[int], front: Front) -> Process:
        """Wait until other nodes are done as well; returns the front of whatever came last."""
        for index in awaited:
            other: Front = yield from self._network.reached(index)
            front = _later(front, other)
        return front

    def _move(self, steps: Sequence[str], played: Sequence[str], front: Front, unit: int, way: float = 0.0) -> Process:
        """Do the steps of a move that this building has; those that this move does not need are done with.

        Parameters: ``steps``, all that there may be; ``played``, those that this move takes; ``way`` [m] from the slab
        before.
        """
        for step in steps:
            index = self._moves.get(step)
            if index is None:
                continue
            if step in played:
                front = yield from self._step(index, front, unit, way)
            else:
                self._network.done(index, front)
        return front

    def _step(self, index: int, front: Front, machine: int | None = None, way: float = 0.0) -> Process:
        node: Node = self._world.plan.nodes[index]
        machines = () if machine is None else (machine,)
        booked = self._visits.pop(index, None)
        front = yield from perform(self._world, node, front, machines, on_clock(node.task.pace * way), booked)
        self._network.done(index, front)
        return front

    def _print_the_walls(self, front: Front) -> Process:
        wall = self._shell.wall
        held_at = dict(self._world.plan.state.layers).get(self._building.name, 0)
        campaign = Campaign(WallProgress(held_at))
        while campaign.done.layers < wall.layers:
            front = yield from self._print_day(campaign, front)
            if campaign.done.layers > held_at:
                held_at = campaign.done.layers
                for index in self._shell.holds.get(held_at, ()):
                    front = yield from self._step(index, front)
                    campaign.between = Cause.CONCRETE
        return self._network.milestone(self._shell.walls, front)

    def _print_day(self, campaign: Campaign, front: Front) -> Process:
        """Get the crew, order, wait for a morning that lets us go, and print."""
        world, rules = self._world, self._world.plan.print_day
        assert rules is not None
        name = f"{self._building.name}/print day {campaign.days + 1}"
        printer = self._held["printer"]
        rank = self._building.rank
        ask = world.crews.ask(name, rank, rules.rank, rules.needs, self._days_of, lead=rules.go_before)
        yield ask.granted
        names, shift = self._hours_of(ask.units), ask.shift
        front = held_by_unit(world, front, ask)
        target = self._targets[campaign.done.layers]
        front, order = yield from self._wait_for_go(campaign, front, target, names, name)
        go = world.env.now
        gate = self._supply.open_gate(rules.hopper, self._building.name, self._line_of(printer))
        self._supply.begin(order, gate)
        if order.morning > world.env.now:
            yield order.morning - world.env.now
        campaign.days += 1
        campaign.latest = int(world.env.now // 24)
        day = DayAtThePrinter(
            world,
            self._shell.wall,
            campaign.done,
            target,
            gate,
            self._wear[printer],
            world.hours.open(rules.limits, names, through_breaks=True),
            shift,
            self._see,
        )
        first, expected = campaign.done.layers, self._layers_after(target)
        end: DayEnd = yield from day.lay()
        self._supply.last_call(gate)
        campaign.between = _CAUSE_OF_DAY_END[end]
        campaign.standing = self._order_ahead(campaign, first, expected, shift)
        yield from day.wash_out()
        front = self._note_the_day(name, front, day, ask.units)
        self._count(day, end)
        if day.notes is not None:
            self._write_down(day, name, go, first, target, end, order, campaign.standing)
        world.crews.give_back(ask.units, front.by)
        return front

    def _call_the_inspector(self, target: int, expected: float) -> None:
        """Book the visit to a layer at which printing is held, with the concrete of the day that is to reach it.

        Parameters: ``expected`` [h], when that day ends.
        """
        world = self._world
        for index in self._shell.holds.get(target, ())[:1]:
            node = world.plan.nodes[index]
            inspection = node.task.inspection
            if node.task.kind is Kind.MILESTONE and inspection is not None and index not in self._visits:
                self._visits[index] = world.appointments.book(node, inspection.inspector, 0, world.env.now, expected)

    def _see(self, layer: int, began: float, ended: float) -> None:
        """Let whoever is invited witness a layer that was laid from ``began`` to ``ended`` [h]."""
        for point in self._shell.wall.witnessed[layer]:
            key = f"{self._building.name}/{point.name}"
            see_as_a_witness(self._world, key, self._index, point, began, ended)

    def _note_the_day(self, name: str, front: Front, day: DayAtThePrinter, gangs: tuple[int, ...]) -> Front:
        """Leave an entry for each gang of the day: the second takes over when the first's shift has ended.

        Where the second is not there the first goes on to the end, on overtime.
        """
        stage, start, end = self._world.stage, day.began, self._world.env.now
        for gang, following in zip(gangs, (*gangs[1:], None), strict=True):
            until = end
            if following is not None:
                shift_end = stage.days(stage.names_of((gang,))).close_after(start)
                if stage.days(stage.names_of((following,))).is_open(shift_end):
                    until = min(end, shift_end)
            entry = self._world.ledger.note(
                NOBODY,
                name,
                Kind.PRINTING,
                self._index,
                front,
                start,
                until,
                (gang, *self._held.values()),
                pieces=pieces_between(day.pieces, start, until) if len(gangs) > 1 else tuple(day.pieces),
            )
            front, start = Front.after(entry), until
            if until == end:
                break
        return front

    def _wait_for_go(self, campaign: Campaign, front: Front, target: int, names: tuple[str, ...], name: str) -> Process:
        """Order for the first morning that can be had, and call it off as long as the forecast says no."""
        world, rules = self._world, self._world.plan.print_day
        assert rules is not None
        shift = world.stage.days(names)
        cause = campaign.between
        called_off: float | None = None
        while True:
            order = self._order(campaign, target, shift, called_off, front.by)
            if order is None:
                yield never(world, name, "no working day is left within the horizon")
                return front, order
            self._call_the_inspector(target, shift.close_after(order.morning))
            go_at = max(world.env.now, order.morning - rules.go_before)
            if go_at > world.env.now:
                yield go_at - world.env.now
            promised = world.hours.forecast(rules.limits, names, order.morning)
            if is_away(shift, front.reached, order.morning):
                front = held_by_absence(front, shift, shift, order.morning, cause)
            else:
                front = front.held(Hold(order.morning, cause, NOBODY))
            if promised >= rules.least_hours:
                return front, self._confirm(order, campaign, target)
            counts = world.ledger.counts
            others = counts.loads_called_off
            self._supply.call_off(order, self._building.name, world.env.now)
            counts.loads_called_off_by_weather += counts.loads_called_off - others
            counts.days_called_off += 1
            world.ledger.remark(world.env.now, self._building.name, "no go: the forecast leaves {:.1f} h", promised)
            cause = Cause.WEATHER
            called_off = order.morning

    def _order(self, campaign: Campaign, target: int, shift: Calendar, after: float | None, by: int) -> Order | None:
        """Order for the first morning possible: what stands on order already, or what the layers ahead need."""
        now = self._world.env.now
        rules = self._world.plan.print_day
        assert rules is not None
        standing, campaign.standing = campaign.standing, None
        foreseen = self._foreseen_since(now, by)
        if not campaign.days and self._building.name in self._world.plan.state.ordered:
            foreseen -= 24.0  # ordered the day before the run began
        for morning in self._mornings(campaign, shift, after):
            if standing is not None and standing.morning == morning:
                return standing
            if self._supply.can_be_ordered(morning, foreseen, shift):
                break
        else:
            return None
        if standing is not None:
            self._supply.call_off(standing, self._building.name, min(now, standing.morning - rules.go_before))
        done = campaign.done
        need = rules.day_need(self._shell.wall, done.layers, done.in_part, target)
        return self._supply.order(need, morning, self._course(done.layers, done.in_part, target, morning))

    def _confirm(self, order: Order, campaign: Campaign, target: int) -> Order:
        """Say to the plant with the go what of its order comes, by how far the wall really is."""
        world, rules, done = self._world, self._world.plan.print_day, campaign.done
        assert rules is not None
        need = rules.day_need(self._shell.wall, done.layers, done.in_part, target)
        counts = world.ledger.counts
        before = counts.loads_called_off
        course = self._course(done.layers, done.in_part, target, order.morning)
        confirmed = self._supply.confirm(order, need, course)
        called_off = counts.loads_called_off - before
        if campaign.between is Cause.WEATHER:
            counts.loads_called_off_by_weather += called_off
        if world.ledger.diary is not None and (told := confirmed.told_in_the_morning()):
            world.ledger.remark(world.env.now, self._building.name, told)
        return confirmed

    def _course(self, done: int, in_part: float, target: int, morning: float) -> Callable[[float], Course]:
        """Give what works out the expected use of concrete of a day that begins with ``done`` layers."""
        rules = self._world.plan.print_day
        assert rules is not None
        return partial(rules.course, self._shell.wall, done, in_part, target, morning)

    def _line_of(self, printer: int) -> int:
        """Number the printers from 0."""
        return list(self._wear).index(printer)

    def _foreseen_since(self, now: float, by: int) -> float:
        """Tell since when today [h] it could be seen that printing goes on: a step under way, and done the same day.

        A print day that ended after the cut-off has its own order by expectation.
        """
        if by == NOBODY:
            return now
        entry = self._world.ledger.entries[by]
        if entry.kind is Kind.PRINTING or entry.end // 24 != now // 24:
            return now
        return max(entry.start, 24.0 * (now // 24))

    def _mornings(self, campaign: Campaign, shift: Calendar, after: float | None) -> Iterator[float]:
        """Give the starts of the shifts to come, after an instant [h] if one is named.

        Where none is, this very instant comes first, if enough of today's shift is left and today is no print day yet.
        """
        rules = self._world.plan.print_day
        assert rules is not None
        now = self._world.env.now
        fresh = int(now // 24) > campaign.latest
        if after is None and fresh and shift.close_after(now) - now >= rules.least_hours:
            yield now
        starts = shift.starts
        for following in range(_shift_of(shift, now if after is None else after) + 1, len(starts)):
            morning = starts[following]
            if int(morning // 24) > campaign.latest:  # another gang's day may begin later today
                yield morning

    def _layers_after(self, done: int) -> tuple[int, int] | None:
        """Give the layers that a day beginning with ``done`` layers would print; None if other work comes first."""
        if done >= self._shell.wall.layers or done in self._shell.holds:
            return None
        return done, self._targets[done]

    def _order_ahead(
        self, campaign: Campaign, first: int, expected: tuple[int, int] | None, shift: Calendar
    ) -> Order | None:
        """Give the order for the morning after a print day, where printing goes on.

        It is for what is left when the nozzle is shut or, once the cut-off has passed, for what was expected at it.

        Parameters: ``first``, the layers that the day began with; ``expected``, those that follow its target.
        """
        rules = self._world.plan.print_day
        assert rules is not None
        now, done = self._world.env.now, campaign.done
        morning = next(filter(self._supply.works_on, self._mornings(campaign, shift, now)), NEVER)
        if morning == NEVER:
            return None
        in_part = 0.0
        if self._supply.can_be_ordered(morning, now, shift):
            nothing_done = done.layers == first  # whatever was to be done at this layer has been
            expected = (first, self._targets[first]) if nothing_done else self._layers_after(done.layers)
            in_part = done.in_part
        if expected is None:
            return None
        done_by_then, target = expected
        need = rules.day_need(self._shell.wall, done_by_then, in_part, target)
        return self._supply.order(need, morning, self._course(done_by_then, in_part, target, morning))

    def _days_of(self, crew: tuple[int, ...]) -> tuple[Calendar, Calendar]:
        """Give the crew's days of work, whatever the weather: the morning's forecast decides over that."""
        days = self._world.stage.days(self._hours_of(crew))
        return days, days

    def _hours_of(self, crew: tuple[int, ...]) -> tuple[str, ...]:
        """Name the calendars of a print day: those of its gang, or of two that follow each other."""
        stage = self._world.stage
        return (stage.relay(*crew),) if len(crew) > 1 else stage.names_of(crew)

    def _write_down(
        self,
        day: DayAtThePrinter,
        key: str,
        go: float,
        first: int,
        target: int,
        end: DayEnd,
        order: Order,
        tomorrow: Order | None,
    ) -> None:
        """Write the whole of a print day down, for somebody who reads this run."""
        notes, printed, concrete = day.notes, self._world.ledger.printed, day.concrete
        assert notes is not None
        assert printed is not None
        printed.append(
            PrintedDay(
                self._building.name,
                key,
                go,
                day.began,
                self._world.env.now,
                first + 1,
                target,
                day.done.layers,
                end.value,
                _ordered(order),
                None if tomorrow is None else _ordered(tomorrow),
                concrete.in_place,
                concrete.joint_preparation,
                concrete.priming,
                concrete.lost_to_blockages,
                concrete.washed_out,
                tuple(notes.spans),
                tuple(notes.flows),
                None if order.placed is None else _ordered(order.placed),
            )
        )

    def _count(self, day: DayAtThePrinter, end: DayEnd) -> None:
        self._world.ledger.concrete.add_use(day.concrete)
        counts = self._world.ledger.counts
        counts.print_days += 1
        counts.days_short_of_concrete += end is DayEnd.CONCRETE
        counts.nozzle_hours += day.nozzle_hours
        counts.day_hours += self._world.env.now - day.began


def _later(one: Front, other: Front) -> Front:
    """Give the front that was reached later, the first where both were reached at once."""
    return max(one, other, key=lambda front: front.ready)


def _ordered(order: Order) -> OrderedDay:
    return OrderedDay(order.morning, order.need, tuple((one.volume, one.due) for one in order.deliveries))


def _shift_of(shift: Calendar, instant: float) -> int:
    """Give the index of the last shift that began at or before an instant [h], -1 if none did."""
    return bisect_right(shift.starts, instant) - 1
