"""The pump: lots drawn oldest first at the printer's pace, expiry, trucks that wait for room, and no drop lost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st
from rigs import play_plan, printing_plan, ready_mix, site_mix

from sitesim.chance import Triangular
from sitesim.hours import NEVER
from sitesim.ledger import Concrete
from sitesim.plan import DROP, Cause, Plan, SiteMix
from sitesim.policies import FixedSpacing, LoadSizes
from sitesim.site import Played, Stage, play
from sitesim.site.engine import Engine
from sitesim.site.pump import Draw, Lot, Pump
from sitesim.site.supply import Gate, Truckload
from sitesim.site.world import Process

PACE = 0.864  # m³/h: 200 mm/s × 20 mm × 60 mm
TICK = 1 / 4096
LONG = 1000.0  # h: a working life that nothing here comes to the end of


def pump_with(*lots: Lot, hopper: float = 0.25) -> Pump:
    pump = Pump(Engine(), hopper, Concrete())
    for lot in lots:
        pump.add(lot)
    return pump


def env_of(pump: Pump) -> simpy.Environment:
    return pump._env


def drawn(pump: Pump, volume: float, pace: float = PACE) -> Draw:
    """Draw and let time pass until that is done."""
    return env_of(pump).run(env_of(pump).process(pump.draw(volume, pace)))


def later(env: simpy.Environment, hours: float, do: Callable[[], None]) -> None:
    env.timeout(hours).callbacks.append(lambda _: do())


def test_a_truck_of_six_cubic_metres_takes_almost_seven_hours_to_empty() -> None:
    # Recomputed: 6 m³ ÷ 0.864 m³/h = 6.94 h, in one stretch as long as nothing else happens.
    pump = pump_with(Lot(6.0, 0.0, LONG))
    met = drawn(pump, 6.0)
    assert met.taken == 6.0
    assert env_of(pump).now == pytest.approx(6.94, abs=0.005)
    assert pump.content == 0.0


def test_in_ninety_minutes_a_printer_places_little_more_than_a_cubic_metre() -> None:
    # Recomputed: 0.864 m³/h × 1.5 h = 1.30 m³; the rest is past its working life.
    pump = pump_with(Lot(6.0, 0.0, 1.5))
    met = drawn(pump, 6.0)
    assert met.taken == pytest.approx(1.296, abs=2 * DROP)
    assert pump._concrete.rejected == 6.0 - met.taken
    assert env_of(pump).now == pytest.approx(1.5, abs=TICK)


def test_a_layer_may_need_more_than_the_hopper_holds() -> None:
    pump = pump_with(Lot(2.0, 0.0, LONG), hopper=0.25)
    met = drawn(pump, 0.75, pace=1.5)
    assert met == Draw(taken=0.75, age=0.5, waited_from=None)
    assert pump.content == 1.25


def test_the_oldest_concrete_goes_first() -> None:
    old, young = Lot(0.25, -2.0, LONG), Lot(2.0, -0.5, LONG)
    pump = pump_with(old, young)
    assert drawn(pump, 0.25, pace=1.0).age == 2.25
    assert (old.volume, young.volume) == (0.0, 2.0)
    assert drawn(pump, 0.5, pace=1.0).age == 1.25


def test_the_age_is_that_of_what_came_through_last() -> None:
    pump = pump_with(Lot(0.25, -2.0, LONG), Lot(2.0, -0.5, LONG))
    assert drawn(pump, 0.5, pace=1.0).age == 1.0


def test_concrete_grows_too_old_while_nobody_draws() -> None:
    lot = Lot(1.0, 0.0, 2.0)
    pump = pump_with(lot, Lot(1.0, 0.0, 5.0))
    env_of(pump).run(until=2.5)
    assert lot.rejected == pump._concrete.rejected == 1.0
    assert pump.content == 1.0
    env_of(pump).run(until=6.0)
    assert pump.content == 0.0


def test_concrete_behind_the_one_that_is_drawn_grows_too_old_as_well() -> None:
    behind = Lot(1.0, 0.0, 0.5)
    pump = pump_with(Lot(1.0, 0.0, LONG), behind)
    met = drawn(pump, 1.0, pace=1.0)
    assert met.taken == 1.0
    assert behind.rejected == 1.0
    assert pump.content == 0.0


def test_what_is_left_when_a_layer_ends_as_its_concrete_grows_too_old_is_rejected() -> None:
    pump = pump_with(Lot(1.0, 0.0, 0.5))
    assert drawn(pump, 0.5, pace=1.0).taken == 0.5
    env_of(pump).run(until=0.75)
    assert pump.content == 0.0
    assert pump._concrete.rejected == 0.5


def test_two_lots_of_the_same_age_and_volume_are_not_the_same_concrete() -> None:
    first, second = Lot(1.0, 0.0, 1.0), Lot(1.0, 0.0, 0.5)
    pump = pump_with(first, second)
    second.expires = first.expires
    env_of(pump).run(until=0.75)  # the second one's event came at half past, when the two were equal
    assert (first.volume, second.volume) == (1.0, 0.0)


def test_a_draw_goes_on_with_the_next_lot_when_one_grows_too_old() -> None:
    pump = pump_with(Lot(2.0, 0.0, 0.5), Lot(2.0, 0.0, LONG))
    met = drawn(pump, 1.5, pace=1.0)
    assert (met.taken, met.waited_from) == (1.5, None)
    assert env_of(pump).now == 1.5
    assert pump._concrete.rejected == 1.5
    assert pump.content == 1.0


def test_the_printer_says_since_when_it_has_waited() -> None:
    pump = pump_with(Lot(0.5, 0.0, LONG))
    pump.expect(1.0)
    later(env_of(pump), 2.0, lambda: pump.add(Lot(1.0, 0.0, LONG)))
    met = drawn(pump, 1.0, pace=1.0)
    assert met == Draw(taken=0.5, age=0.5, waited_from=0.5)
    assert env_of(pump).now == 2.0


def test_without_anything_to_come_it_does_not_wait() -> None:
    pump = pump_with(Lot(0.5, 0.0, LONG))
    met = drawn(pump, 1.0, pace=1.0)
    assert (met.taken, met.waited_from) == (0.5, None)
    assert env_of(pump).now == 0.5


def test_a_load_called_off_ends_the_wait() -> None:
    pump = pump_with()
    pump.expect(1.0)
    later(env_of(pump), 2.0, lambda: pump.no_longer_expect(1.0))
    met = drawn(pump, 1.0)
    assert (met.taken, met.waited_from, env_of(pump).now) == (0.0, 0.0, 2.0)
    assert drawn(pump, 1.0).waited_from is None


def test_what_is_taken_at_once_is_the_oldest_and_no_more_than_there_is() -> None:
    pump = pump_with(Lot(0.25, 0.0, LONG), Lot(0.5, 0.0, LONG))
    assert pump.take(0.5) == 0.5
    assert pump.take(1.0) == 0.25
    assert env_of(pump).now == 0.0


def connected(volume: float, expires: float = LONG, hopper: float = 0.25) -> tuple[Gate, Truckload]:
    """Let a truck stand at the gate from hour 0."""
    env = Engine()
    concrete = Concrete()
    gate = Gate(env, Pump(env, hopper, concrete), concrete, "A")
    load = Truckload("A", 1, volume, 0.0, batched=0.0, expires=expires)
    gate.pump.expect(volume)
    env.process(gate.receive(load))
    while env.peek() == 0.0:
        env.step()
    return gate, load


def test_a_truck_may_leave_exactly_when_its_rest_fits_the_hopper() -> None:
    gate, load = connected(2.5)
    drawn(gate.pump, 2.5, pace=0.5)
    assert (load.discharge_begun, load.discharge_ended) == (0.0, 4.5)  # (2.5 − 0.25) ÷ 0.5
    assert load.verdict == "placed"


def test_the_event_of_a_truck_leaving_does_not_hold_up_the_printer() -> None:
    gate, _ = connected(2.5)
    met = drawn(gate.pump, 2.5, pace=0.5)
    assert (met.taken, gate.pump._env.now) == (2.5, 5.0)


def test_a_load_that_fits_the_hopper_keeps_no_truck() -> None:
    gate, load = connected(0.25)
    gate.pump._env.run(until=1.0)
    assert load.discharge_ended == 0.0


def test_a_truck_leaves_when_its_concrete_has_grown_too_old() -> None:
    gate, load = connected(2.5, expires=1.0)
    drawn(gate.pump, 2.5, pace=0.5)
    assert load.discharge_ended == 1.0
    assert (load.rejected, load.verdict) == (2.0, "too old")


def test_trucks_are_connected_one_at_a_time() -> None:
    gate, first = connected(2.5)
    env = gate.pump._env
    second = Truckload("A", 2, 2.5, 0.0, batched=0.0, expires=LONG)
    gate.pump.expect(2.5)
    env.process(gate.receive(second))
    drawn(gate.pump, 5.0, pace=0.5)
    assert (second.discharge_begun, second.discharge_ended) == (first.discharge_ended, 9.5)


def test_a_truck_whose_turn_comes_too_late_is_turned_away() -> None:
    gate, _ = connected(2.5)
    late = Truckload("A", 2, 2.5, 0.0, batched=0.0, expires=4.5)
    gate.pump.expect(2.5)
    gate.pump._env.process(gate.receive(late))
    met = drawn(gate.pump, 5.0, pace=0.5)
    assert met.taken == 2.5
    assert (late.rejected, late.verdict, late.discharge_begun) == (2.5, "too old", NEVER)


def test_at_the_end_of_the_day_the_truck_takes_back_what_the_hopper_does_not_hold() -> None:
    gate, load = connected(2.5)
    drawn(gate.pump, 1.0, pace=0.5)
    gate.is_open = False
    assert gate.pump.clear_out() == (0.25, 1.25)
    gate.pump._env.run()
    assert (load.returned, load.verdict, load.discharge_ended) == (1.25, "returned in part", 2.0)


def test_a_truck_that_comes_after_the_end_is_sent_back() -> None:
    gate, _ = connected(0.25)
    gate.is_open = False
    late = Truckload("A", 2, 2.5, 0.0, batched=0.0, expires=LONG)
    gate.pump._env.process(gate.receive(late))
    gate.pump._env.run(until=1.0)
    assert (late.returned, late.verdict, late.discharge_begun) == (2.5, "returned", NEVER)
    assert gate.concrete.returned == 2.5


class Bookkeeping:
    """Draws and lots in any order; what went in must be what came out, to the drop."""

    def __init__(self, hopper: float) -> None:
        self.env = Engine()
        self.concrete = Concrete()
        self.pump = Pump(self.env, hopper, self.concrete)
        self.added = 0.0
        self.taken = 0.0

    def lots(self, lots: list[tuple[int, int, int]]) -> Process:
        for wait, volume, life in lots:
            self.pump.expect(volume * DROP)
            yield self.env.timeout(wait * TICK)
            self.pump.no_longer_expect(volume * DROP)
            self.pump.add(Lot(volume * DROP, self.env.now, self.env.now + life * TICK))
            self.added += volume * DROP

    def draws(self, draws: list[tuple[int, int]]) -> Process:
        for wait, volume in draws:
            yield self.env.timeout(wait * TICK)
            met = yield from self.pump.draw(volume * DROP, PACE)
            self.taken += met.taken
            assert self.pump.content == sum(lot.volume for lot in self.pump.lots)

    def levels(self, levels: list[tuple[int, int]]) -> Process:
        """Wait for room now and then, which cuts the draws into other parts."""
        for wait, level in levels:
            yield self.env.timeout(wait * TICK)
            yield self.pump.below(level * DROP)


drops = st.integers(1, 3_000_000)
ticks = st.integers(0, 8_000)


@given(
    lots=st.lists(st.tuples(ticks, drops, st.integers(1, 20_000)), max_size=6),
    draws=st.lists(st.tuples(ticks, drops), max_size=6),
    levels=st.lists(st.tuples(ticks, st.integers(0, 2_000_000)), max_size=4),
)
@settings(max_examples=150, deadline=None)
def test_no_drop_is_lost_whatever_comes_and_goes(
    lots: list[tuple[int, int, int]], draws: list[tuple[int, int]], levels: list[tuple[int, int]]
) -> None:
    books = Bookkeeping(0.25)
    for process in (books.lots(lots), books.draws(draws), books.levels(levels)):
        books.env.process(process)
    books.env.run()
    in_hopper, in_truck = books.pump.clear_out()
    assert books.added == books.taken + books.concrete.rejected + in_hopper + in_truck
    assert books.taken % DROP == 0.0
    assert min(books.taken, books.concrete.rejected, in_hopper, in_truck) >= 0.0
    # Everything has a working life, and all of it is over.
    assert in_hopper == in_truck == 0.0


def concrete_waits(played: Played) -> float:
    """Add up the hours [h] in which a printer waited for concrete on its print days."""
    pieces = [piece for entry in played.ledger.entries for piece in entry.pieces]
    return sum(piece.end - piece.start for piece in pieces if piece.cause is Cause.CONCRETE)


def one_load_at_dawn() -> Plan:
    plan = printing_plan(supply=ready_mix(ordering=FixedSpacing(LoadSizes(9.0, 0.5, 0.5), 2.0, 6.0), gate=0.0))
    assert plan.print_day is not None
    return replace(plan, print_day=replace(plan.print_day, working_life=24.0))


def a_mixer_faster_than_the_printer(supply: SiteMix | None = None) -> Plan:
    return printing_plan(supply=supply or site_mix(cycle=Triangular(0.05, 0.1, 0.15)))


@pytest.mark.parametrize("plan", [one_load_at_dawn(), a_mixer_faster_than_the_printer()], ids=["truck", "mixer"])
def test_a_printer_with_more_concrete_than_it_can_lay_never_waits_for_it(plan: Plan) -> None:
    played = play_plan(plan)
    assert played.finished
    assert played.ledger.counts.print_days == 4
    assert concrete_waits(played) == 0.0
    assert played.ledger.counts.unplanned_joints == 0


def test_a_mixer_slower_than_the_printer_makes_it_wait() -> None:
    # 0.25 m³ every quarter of an hour is 1 m³/h, and the printer lays 1.2.
    assert concrete_waits(play_plan(a_mixer_faster_than_the_printer(site_mix(cycle=Triangular(0.2, 0.25, 0.3))))) > 0.0


def with_spacing(spacing: float) -> Plan:
    """Make one print day of trucks on an uncertain road, whose joints may lie open as long as they like."""
    supply = ready_mix(
        ordering=FixedSpacing(LoadSizes(1.5, 0.5, 0.5), spacing, 7.0), haul=Triangular(0.5, 1.0, 1.75), trucks=6, bays=2
    )
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), layer_hours=0.375, supply=supply)
    assert plan.print_day is not None
    return replace(plan, print_day=replace(plan.print_day, working_life=2.5, open_time=100.0))


def test_trucks_too_close_waste_concrete_and_trucks_too_far_apart_starve_the_printer() -> None:
    # Direction from common practice; averages of 40 runs with the same luck for every spacing. Each step may go against
    # the trend by 0.1 m³ or 0.1 h, a tenth of what the whole sweep changes.
    rejected, waited = [], []
    for spacing in (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5):
        stage = Stage(with_spacing(spacing))
        runs = [play(stage, 1, run) for run in range(40)]
        rejected.append(np.mean([played.ledger.concrete.rejected for played in runs]))
        waited.append(np.mean([concrete_waits(played) for played in runs]))
    assert all(after <= before + 0.1 for before, after in pairwise(rejected))
    assert all(after >= before - 0.1 for before, after in pairwise(waited))
    assert rejected[0] > rejected[-1] + 2.0
    assert waited[-1] > waited[0] + 2.0


def test_a_truck_that_waits_is_turned_away_at_the_end_of_its_life_and_not_when_its_turn_would_come() -> None:
    gate, first = connected(2.5)
    env = gate.pump._env
    late = Truckload("A", 2, 2.5, 0.0, batched=0.0, expires=3.0)
    third = Truckload("A", 3, 2.5, 0.0, batched=0.0, expires=LONG)
    left: dict[int, float] = {}

    def come(load: Truckload) -> Process:
        yield from gate.receive(load)
        left[load.number] = env.now

    for load in (late, third):
        gate.pump.expect(load.volume)
        env.process(come(load))
    drawn(gate.pump, 5.0, pace=0.5)
    assert left == {2: 3.0, 3: 9.5}
    assert (late.rejected, late.verdict, late.discharge_begun) == (2.5, "too old", NEVER)
    # The one behind it is next, as before.
    assert (first.discharge_ended, third.discharge_begun) == (4.5, 4.5)
    assert gate.pump.coming == 0.0
