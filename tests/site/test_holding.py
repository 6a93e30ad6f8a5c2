"""A stirred holding hopper: takes a whole load, lets its truck go, counts all in it as old as the oldest.

A hopper of 2.5 m³ that a truck fills at 10 m³/h, before a pump whose own hopper holds a quarter of a cubic metre. Times
are worked out by hand; no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rigs import entries_of, play_plan, printing_plan, ready_mix

from sitesim.hours import NEVER, TICKS_AN_HOUR
from sitesim.ledger.book import Concrete
from sitesim.plan import DROP, HoldingHopper, in_drops
from sitesim.site.engine import Engine
from sitesim.site.holding import HoldingGate
from sitesim.site.pump import Draw, Lot, Pump
from sitesim.site.supply import Truckload
from sitesim.site.world import Process

HOLDING = HoldingHopper(capacity=2.5, rate=10.0)
OWN_HOPPER = 0.25


class Stand:
    """A gate with a holding hopper, and trucks that come when they are told to."""

    def __init__(self, holding: HoldingHopper = HOLDING, waived: float = 0.0) -> None:
        self.env = Engine()
        self.concrete = Concrete()
        pump = Pump(self.env, OWN_HOPPER + holding.capacity, self.concrete, waived)
        self.gate = HoldingGate(self.env, pump, self.concrete, "A", holding=holding)
        self.pump = pump

    def come(self, number: int, at: float, volume: float = 2.5, batched: float = 0.0, life: float = 9.0) -> Truckload:
        load = Truckload("A", number, volume, at, batched=batched, expires=batched + life)
        self.pump.expect(volume)

        def arrive() -> Process:
            yield self.env.timeout(at)
            self.concrete.batched += volume
            yield from self.gate.receive(load)
            load.left_site = self.env.now

        self.env.process(arrive())
        return load

    def draw(self, volume: float, pace: float, begin: float = 0.0) -> list[Draw]:
        """Draw from an instant on, an eighth at a time, until so much is there or nothing more comes."""
        found: list[Draw] = []

        def drawing() -> Process:
            yield self.env.timeout(begin)
            left = volume
            while left > 0.0:
                met = yield from self.pump.draw(min(left, 0.125), pace)
                self.concrete.in_place += met.taken
                left -= met.taken
                found.append(met)
                if not met.taken and met.waited_from is None:
                    return

        self.env.process(drawing())
        self.env.run()
        return found

    def end_the_day(self) -> None:
        self.gate.is_open = False
        in_hopper, in_truck = self.pump.clear_out()
        self.concrete.washed_out += in_hopper
        self.concrete.returned += in_truck


def test_a_truck_empties_at_the_hoppers_rate_and_goes() -> None:
    # 2.5 m³ at 10 m³/h take a quarter of an hour, whatever the printer does; then all of it is there at once.
    stand = Stand()
    load = stand.come(1, at=1.0)
    stand.env.run(until=1.24)
    assert stand.pump.content == 0.0
    stand.env.run(until=1.26)
    assert stand.pump.content == 2.5
    assert (load.discharge_begun, load.discharge_ended, load.left_site) == (1.0, 1.25, 1.25)


def test_the_next_load_waits_until_the_holding_hopper_is_empty() -> None:
    # The first is in at 1.25; drawn at 1 m³/h from then on. Left in the holding hopper is what the pump's own does not
    # hold: nothing, once 0.25 m³ are left, at 3.5. The second is in at 3.75, when the pump has just run dry.
    stand = Stand()
    stand.come(1, at=1.0)
    second = stand.come(2, at=1.125)
    met = stand.draw(5.0, 1.0, begin=1.25)
    assert (second.discharge_begun, second.discharge_ended) == (3.5, 3.75)
    assert sum(draw.taken for draw in met) == 5.0
    assert stand.env.now >= 6.25


def test_a_hopper_that_is_refilled_early_lets_the_next_load_in_as_soon_as_it_fits() -> None:
    # Loads of 1.5 m³ into 2.5: refilled at one cubic metre, so with 1.25 left before the pump, at 1.15 + 0.25.
    holding = replace(HOLDING, refill_at=1.0)
    stand = Stand(holding)
    stand.come(1, at=1.0, volume=1.5)
    second = stand.come(2, at=1.0, volume=1.5)
    stand.draw(3.0, 1.0, begin=1.25)
    assert (second.discharge_begun, second.discharge_ended) == (1.5, pytest.approx(1.65, abs=1 / TICKS_AN_HOUR))
    # Refilled at two it still has to fit: at one.
    stand = Stand(replace(HOLDING, refill_at=2.0))
    stand.come(1, at=1.0, volume=1.5)
    second = stand.come(2, at=1.0, volume=1.5)
    stand.draw(3.0, 1.0, begin=1.25)
    assert second.discharge_begun == 1.5


def test_all_that_is_stirred_is_as_old_as_the_oldest_of_it() -> None:
    # First water at 0 and at 1; the second comes in at 1.65, when 1.35 m³ of the first are left.
    stand = Stand(replace(HOLDING, refill_at=1.0))
    stand.come(1, at=1.0, volume=1.5, batched=0.0, life=4.0)
    second = stand.come(2, at=1.0, volume=1.5, batched=1.0, life=4.0)
    met = stand.draw(2.5, 1.0, begin=1.25)
    assert second.lot is not None
    assert second.lot.born == 0.0
    assert met[-1].age == 3.75  # at 3.75, 2.5 m³ after 1.25
    # What is left, half a cubic metre, is thrown away at the end of the first load's life and not of its own.
    assert second.rejected == 0.5
    assert stand.concrete.rejected == 0.5
    assert stand.pump.content == 0.0


def test_a_younger_load_whose_life_ends_sooner_takes_the_rest_with_it() -> None:
    stand = Stand(replace(HOLDING, refill_at=1.0))
    first = stand.come(1, at=1.0, volume=1.0, batched=0.0, life=9.0)
    second = stand.come(2, at=2.0, volume=1.0, batched=1.0, life=3.0)
    stand.env.run(until=3.99)
    assert stand.pump.content == 2.0
    stand.env.run(until=4.01)
    assert stand.pump.content == 0.0
    assert (first.rejected, second.rejected) == (1.0, 1.0)


def test_what_comes_into_an_empty_hopper_keeps_its_own_age() -> None:
    stand = Stand()
    stand.come(1, at=1.0, batched=0.0)
    second = stand.come(2, at=1.0, batched=1.0)
    stand.draw(5.0, 1.0, begin=1.25)
    assert second.lot is not None
    assert second.lot.born == 1.0


@pytest.mark.parametrize(("factor", "waived", "thrown"), [(1.0, 0.0, 4.0), (1.5, 0.0, 6.0), (1.5, 0.5, 6.5)])
def test_stirring_lengthens_the_agreed_life_and_no_waiver(factor: float, waived: float, thrown: float) -> None:
    # An agreed life of four hours, 1.5 times as long in the hopper, and half an hour of waiver on top.
    stand = Stand(replace(HOLDING, life_factor=factor), waived)
    load = stand.come(1, at=1.0, life=4.0 + waived)
    stand.env.run(until=thrown - 0.01)
    assert load.rejected == 0.0
    stand.env.run(until=thrown + 0.01)
    assert load.rejected == 2.5


def test_ends_of_lives_are_on_the_clock_whatever_the_factor() -> None:
    stand = Stand(replace(HOLDING, life_factor=1.3))
    load = stand.come(1, at=1.0, life=4.1)
    stand.env.run(until=2.0)
    assert load.lot is not None
    assert (load.lot.expires * TICKS_AN_HOUR) % 1.0 == 0.0


def test_a_load_that_grows_too_old_while_it_empties_is_turned_away() -> None:
    stand = Stand()
    load = stand.come(1, at=1.0, life=1.125)
    stand.env.run()
    assert (load.rejected, load.verdict, stand.pump.content, stand.pump.coming) == (2.5, "too old", 0.0, 0.0)


def test_a_load_that_grows_too_old_before_there_is_room_is_turned_away() -> None:
    stand = Stand()
    stand.come(1, at=1.0)
    late = stand.come(2, at=1.0, life=3.0)
    stand.draw(5.0, 1.0, begin=1.25)
    assert (late.rejected, late.verdict, late.discharge_begun) == (2.5, "too old", NEVER)
    assert late.left_site == 3.0  # at the end of its life, and not at 3.5, when there is room
    assert stand.pump.coming == 0.0


def test_a_load_behind_one_that_waits_for_room_is_turned_away_at_the_end_of_its_life() -> None:
    # The second waits for room until 3.5, the third behind it; its life ends at 3.25.
    stand = Stand()
    stand.come(1, at=1.0)
    second = stand.come(2, at=1.0)
    third = stand.come(3, at=1.0, life=3.25)
    stand.draw(5.0, 1.0, begin=1.25)
    assert (third.left_site, third.rejected, third.verdict) == (3.25, 2.5, "too old")
    assert (second.discharge_begun, second.rejected) == (3.5, 0.0)
    assert stand.pump.coming == 0.0
    assert stand.concrete.rejected == 2.5


def test_at_the_end_of_the_day_what_the_hoppers_hold_is_washed_out_and_no_truck_takes_any_back() -> None:
    stand = Stand()
    stand.come(1, at=1.0)
    stand.env.run(until=2.0)
    stand.end_the_day()
    assert (stand.concrete.washed_out, stand.concrete.returned) == (2.5, 0.0)
    assert stand.concrete.batched == stand.concrete.accounted


def test_a_load_still_emptying_when_the_day_ends_goes_back() -> None:
    stand = Stand()
    load = stand.come(1, at=1.0)
    waiting = stand.come(2, at=1.0)
    stand.env.run(until=1.125)
    stand.end_the_day()
    stand.env.run()
    assert (load.returned, load.verdict, load.left_site) == (2.5, "returned", 1.25)
    assert (waiting.returned, waiting.discharge_begun) == (2.5, NEVER)
    assert stand.pump.content == 0.0
    assert stand.concrete.batched == stand.concrete.accounted == 5.0


drops = st.integers(1, 2_600_000)
ticks = st.integers(0, 12_000)


@given(
    loads=st.lists(st.tuples(ticks, drops, st.integers(1, 30_000)), max_size=6),
    draws=st.lists(st.tuples(ticks, drops), max_size=6),
    refill=st.integers(0, 2_000_000),
    factor=st.sampled_from([1.0, 1.3, 2.0]),
    end=st.integers(1, 60_000),
)
@settings(max_examples=150, deadline=None)
def test_no_drop_is_lost_whatever_comes_goes_and_ends(
    loads: list[tuple[int, int, int]], draws: list[tuple[int, int]], refill: int, factor: float, end: int
) -> None:
    stand = Stand(HoldingHopper(2_700_000 * DROP, 8.0, refill * DROP, factor), waived=0.25)
    come = [
        stand.come(n, wait / TICKS_AN_HOUR, volume * DROP, wait / TICKS_AN_HOUR, life / TICKS_AN_HOUR)
        for n, (wait, volume, life) in enumerate(loads)
    ]

    def drawing() -> Process:
        for wait, volume in draws:
            yield stand.env.timeout(wait / TICKS_AN_HOUR)
            met = yield from stand.pump.draw(volume * DROP, 1.2)
            stand.concrete.in_place += met.taken
            assert stand.pump.content == sum(lot.volume for lot in stand.pump.lots)
            if stand.env.now >= end / TICKS_AN_HOUR:
                break
        stand.end_the_day()

    stand.pump.wait_until(end / TICKS_AN_HOUR, 0.0)
    stand.env.process(drawing())
    stand.env.run()
    assert stand.pump.content == 0.0
    assert stand.concrete.batched == stand.concrete.accounted
    assert all(load.left_site % (1 / TICKS_AN_HOUR) == 0.0 for load in come)
    assert all(load.volume >= load.rejected + load.returned >= 0.0 for load in come)


def test_a_print_day_with_a_holding_hopper() -> None:
    # The first truck, of 2.5 m³, is emptied from 07:07:30 to 07:22:30; primed by 07:37:30, the first layer is in place
    # at 08:15. The second is due at nine, passes its tests at 09:07:30 (177.125) and waits until 0.25 m³ are left of
    # the first: 0.23 + 0.375 used, and 1.645 more at 1.2 m³/h after 176.25. It is in nine minutes later (1.5 m³).
    supply = ready_mix(holding=HOLDING)
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=supply)
    played = play_plan(plan, keep_diary=True)
    one, two = sorted(played.ledger.loads, key=lambda load: load.number)
    assert (one.discharge_begun, one.discharge_ended) == (175.125, 175.375)
    assert (played.ledger.layers or [])[0].end == 176.25
    room = 176.25 + (2.5 - 0.23 - 0.375 - OWN_HOPPER) / 1.2
    assert two.discharge_begun == pytest.approx(room, abs=4 / TICKS_AN_HOUR)
    assert two.discharge_ended == pytest.approx(room + 0.15, abs=4 / TICKS_AN_HOUR)
    # The printer lays 0.18 m³ meanwhile, so it does not wait: ten layers without a break.
    assert entries_of(played)["A/print day 1"].end == 176.25 + 9 * 0.3125 + 1.25
    # The trucks stand for no longer than that: free time is 9 min a m³.
    assert one.standby == 0.0
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


def test_lots_that_are_stirred_end_together() -> None:
    env, concrete = Engine(), Concrete()
    pump = Pump(env, 5.0, concrete)
    pump.add(Lot(in_drops(1.0), 0.0, 4.0))
    pump.stir_in(Lot(in_drops(1.0), 1.0, 3.0))
    assert [(lot.born, lot.expires) for lot in pump.lots] == [(0.0, 3.0), (0.0, 3.0)]
    env.run(until=3.5)
    assert (pump.content, concrete.rejected) == (0.0, 2.0)
    env.run()
    assert concrete.rejected == 2.0  # the timer of the old end finds nothing left
