"""The print days of one building: its crew, its orders of concrete, go or no go, and the account of each."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping
from functools import partial

import simpy

from sitesim.hours import NEVER, Calendar
from sitesim.ledger.rows import NOBODY, Hold, OrderedDay, PrintedDay, pieces_between
from sitesim.plan import Building, Cause, Kind, PrintDay, Shell
from sitesim.policies import Course
from sitesim.site.activity import see_as_a_witness
from sitesim.site.breakdowns import Wear
from sitesim.site.comings import AFTER_ALL_DECISIONS
from sitesim.site.engaging import held_by_absence, held_by_unit, is_away, never
from sitesim.site.print_day import DayAtThePrinter, DayEnd, WallProgress
from sitesim.site.supply import Order, Supply
from sitesim.site.world import Front, Process, World

_CAUSE_OF_DAY_END = {
    DayEnd.TARGET: Cause.PRINTER,
    DayEnd.SHIFT: Cause.PRINTER,
    DayEnd.WEATHER: Cause.WEATHER,
    DayEnd.CONCRETE: Cause.CONCRETE,
}


class Campaign:
    """Plays the print days of one building, one at a time.

    ``done`` is how far the wall is; ``between``, what is waited for until the next print day; ``visits`` [h], by node,
    those booked ahead for a layer at which printing is held.

    Parameters: ``building``, its index; ``wear``, by printer unit its exposure to stops; ``held``, the gantry and the
    tent that stand on the slab.
    """

    def __init__(
        self, world: World, building: int, supply: Supply, wear: Mapping[int, Wear], held: Mapping[str, int]
    ) -> None:
        self._world = world
        self._index = building
        self._building: Building = world.plan.buildings[building]
        shell, rules = self._building.shell, world.plan.print_day
        assert shell is not None
        assert rules is not None
        self._shell: Shell = shell
        self._rules: PrintDay = rules
        self._targets = world.stage.day_targets[building]
        self._supply = supply
        self._wear = wear
        self._held = held
        self.done = WallProgress(dict(world.plan.state.layers).get(self._building.name, 0))
        self.between = Cause.CONCRETE
        self.visits: dict[int, float] = {}
        self._days = 0
        self._latest = -1  # the day of the run that was the last print day
        self._standing: Order | None = None  # what has been ordered for the next morning

    def print_day(self, front: Front) -> Process:
        """Get the crew, order, wait for a morning that lets us go, and print."""
        world, rules = self._world, self._rules
        name = f"{self._building.name}/print day {self._days + 1}"
        printer = self._held["printer"]
        rank = self._building.rank
        ask = world.crews.ask(name, rank, rules.rank, rules.needs, self._days_of, lead=rules.go_before)
        yield ask.granted
        names, shift = self._hours_of(ask.units), ask.shift
        front = held_by_unit(world, front, ask)
        target = self._targets[self.done.layers]
        front, order = yield from self._wait_for_go(front, target, names, name)
        go = world.env.now
        gate = self._supply.open_gate(rules.hopper, self._building.name, self._line_of(printer))
        self._supply.begin(order, gate)
        if order.morning > world.env.now:
            yield order.morning - world.env.now
        self._days += 1
        self._latest = int(world.env.now // 24)
        day = DayAtThePrinter(
            world,
            self._shell.wall,
            self.done,
            target,
            gate,
            self._wear[printer],
            world.hours.open(rules.limits, names, through_breaks=True),
            shift,
            self._see,
        )
        first, expected = self.done.layers, self._layers_after(target)
        end: DayEnd = yield from day.lay()
        self._supply.last_call(gate)
        self.between = _CAUSE_OF_DAY_END[end]
        self._standing = self._order_ahead(first, expected, shift)
        if self._standing is not None and self._supply.asks_for_notice:
            self._see_who_takes_it_on(self._standing)
        yield from day.wash_out()
        front = self._note_the_day(name, front, day, ask.units)
        self._count(day, end)
        if day.notes is not None:
            self._write_down(day, name, go, first, target, end, order, self._standing)
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
            if node.task.kind is Kind.MILESTONE and inspection is not None and index not in self.visits:
                self.visits[index] = world.appointments.book(node, inspection.inspector, 0, world.env.now, expected)

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

    def _wait_for_go(self, front: Front, target: int, names: tuple[str, ...], name: str) -> Process:
        """Order for the first morning that can be had, and call it off as long as the forecast says no."""
        world, rules = self._world, self._rules
        shift = world.stage.days(names)
        cause = self.between
        called_off: float | None = None
        while True:
            order = self._order(target, shift, called_off, front.by)
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
                return front, self._confirm(order, target)
            counts = world.ledger.counts
            others = counts.loads_called_off
            self._supply.call_off(order, self._building.name)
            counts.loads_called_off_by_weather += counts.loads_called_off - others
            counts.days_called_off += 1
            world.ledger.remark(world.env.now, self._building.name, "no go: the forecast leaves {:.1f} h", promised)
            cause = Cause.WEATHER
            called_off = order.morning

    def _order(self, target: int, shift: Calendar, after: float | None, by: int) -> Order | None:
        """Order for the first morning possible: what stands on order already, or what the layers ahead need."""
        now = self._world.env.now
        rules = self._rules
        standing, self._standing = self._standing, None
        foreseen = self._foreseen_since(now, by)
        if not self._days and self._building.name in self._world.plan.state.ordered:
            foreseen -= 24.0  # ordered the day before the run began
        for morning in self._mornings(shift, after):
            if standing is not None and standing.morning == morning:
                return standing
            if self._supply.can_be_ordered(morning, foreseen, shift):
                break
        else:
            return None
        if standing is not None:
            self._supply.call_off(standing, self._building.name)
        done = self.done
        need = rules.day_need(self._shell.wall, done.layers, done.in_part, target)
        return self._supply.order(need, morning, self._course(done.layers, done.in_part, target, morning))

    def _confirm(self, order: Order, target: int) -> Order:
        """Say to the plant with the go what of its order comes, by how far the wall really is."""
        world, rules, done = self._world, self._rules, self.done
        need = rules.day_need(self._shell.wall, done.layers, done.in_part, target)
        counts = world.ledger.counts
        before = counts.loads_called_off
        course = self._course(done.layers, done.in_part, target, order.morning)
        confirmed = self._supply.confirm(order, need, course)
        called_off = counts.loads_called_off - before
        if self.between is Cause.WEATHER:
            counts.loads_called_off_by_weather += called_off
        if world.ledger.diary is not None and (told := confirmed.told_in_the_morning()):
            world.ledger.remark(world.env.now, self._building.name, told)
        return confirmed

    def _course(self, done: int, in_part: float, target: int, morning: float) -> Callable[[float], Course]:
        """Give what works out the expected use of concrete of a day that begins with ``done`` layers."""
        return partial(self._rules.course, self._shell.wall, done, in_part, target, morning)

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

    def _mornings(self, shift: Calendar, after: float | None) -> Iterator[float]:
        """Give the starts of the shifts to come, after an instant [h] if one is named.

        Where none is, this very instant comes first, if enough of today's shift is left and today is no print day yet.
        """
        rules = self._rules
        now = self._world.env.now
        fresh = int(now // 24) > self._latest
        if after is None and fresh and shift.close_after(now) - now >= rules.least_hours:
            yield now
        starts = shift.starts
        for following in range(_shift_of(shift, now if after is None else after) + 1, len(starts)):
            morning = starts[following]
            if int(morning // 24) > self._latest:  # another gang's day may begin later today
                yield morning

    def _layers_after(self, done: int) -> tuple[int, int] | None:
        """Give the layers that a day beginning with ``done`` layers would print; None if other work comes first."""
        if done >= self._shell.wall.layers or done in self._shell.holds:
            return None
        return done, self._targets[done]

    def _order_ahead(self, first: int, expected: tuple[int, int] | None, shift: Calendar) -> Order | None:
        """Give the order for the morning after a print day, where printing goes on.

        It is for what is left when the nozzle is shut or, once the cut-off has passed, for what was expected at it.

        Parameters: ``first``, the layers that the day began with; ``expected``, those that follow its target.
        """
        rules = self._rules
        now, done = self._world.env.now, self.done
        morning = next(filter(self._supply.works_on, self._mornings(shift, now)), NEVER)
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

    def _see_who_takes_it_on(self, order: Order) -> None:
        """Call an order for the morning after off when that has come, where no crew is there to print."""

        def look(_: simpy.Event) -> None:
            if self._standing is order:
                self._standing = None
                self._supply.call_off(order, self._building.name)

        env = self._world.env
        env.call_later(look, AFTER_ALL_DECISIONS, max(0.0, order.morning - env.now))

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


def _ordered(order: Order) -> OrderedDay:
    return OrderedDay(order.morning, order.need, tuple((one.volume, one.due) for one in order.deliveries))


def _shift_of(shift: Calendar, instant: float) -> int:
    """Give the index of the last shift that began at or before an instant [h], -1 if none did."""
    return bisect_right(shift.starts, instant) - 1
