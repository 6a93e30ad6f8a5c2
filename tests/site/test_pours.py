"""A pour in one go: its loads one after the other, its breaks, its concrete, and the day on which it can be had."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from rigs import WEEKDAYS, network_plan, play_plan

from sitesim.chance import Exponential, Fixed, Luck
from sitesim.ledger.rows import REFUSED
from sitesim.plan import Cause, Plan, Pour
from sitesim.policies import LoadSizes
from sitesim.site.pour import Placing

BEAM = Pour(
    volume=5.0,
    rate=4.0,
    sizes=LoadSizes(3.0, 0.5, 1.0),
    prepare=0.5,
    spacing=0.75,
    finish=0.5,
    working_life=2.5,
    longest_break=0.25,
    cut_off=15.0,
    loading=Fixed(0.25),
    haul=Fixed(1.0),
    gate=0.25,
    refused=0.0,
    price=200.0,
    short_load=50.0,
    short_under=2.5,
    standby=100.0,
    standby_free=0.1,
    disposal=80.0,
)


def plan_with(pour: Pour, length: float = 1.0) -> Plan:
    """A cage of three hours and then the pour, by one gang in a week of eight hours a day."""
    plan = network_plan(
        {"cage": ((), Fixed(3.0)), "beam": (("cage",), Fixed(length))}, {"steel": ["cage", "beam"]}, 60, WEEKDAYS
    )
    cage, beam = plan.nodes
    return replace(plan, nodes=(cage, replace(beam, task=replace(beam.task, splittable=False, pour=pour))))


def placing(pour: Pour, run: int = 0, start: float = 7.0) -> Placing:
    plan = plan_with(pour)
    under_way = Placing(pour, plan.nodes[1], Luck(1, run), start)
    under_way.place_all()
    return under_way


def test_two_loads_are_placed_one_after_the_other() -> None:
    beam = placing(BEAM)
    # First due 7:30, tests until 7:45, 3 m³ at 4 m³/h until 8:30. Second due 8:15, tested 8:30, 2 m³ until 9:00.
    assert [(load.begun, load.ended) for load in beam.loads] == [(7.75, 8.5), (8.5, 9.0)]
    assert [load.placed for load in beam.loads] == [3.0, 2.0]
    assert beam.breaks == 0
    assert BEAM.expected_hours == pytest.approx(0.5 + 1.5 + 0.5)  # to be placed from 7:30 to 9:00, and finished


def test_a_late_load_is_a_break() -> None:
    beam = placing(replace(BEAM, spacing=1.25))
    assert [(load.begun, load.ended) for load in beam.loads] == [(7.75, 8.5), (9.0, 9.5)]  # half an hour of nothing
    assert beam.breaks == 1


def test_what_is_past_its_life_is_thrown_away_and_ordered_again() -> None:
    # Batched 6:15 and used until 8:00: a quarter of an hour at 4 m³/h is 1 m³, 2 m³ of the load are too old.
    beam = placing(replace(BEAM, working_life=1.75))
    first, second, third, fourth, fifth = beam.loads
    assert (first.placed, first.rejected, first.verdict) == (1.0, 2.0, "too old")
    assert second.begun == 8.5  # the other load comes as it was ordered
    assert second.placed == 1.0  # batched 7:00, so until 8:45
    # Then what is missing is called for anew from 8:45 on and comes at 10:00, tested 10:15, used for 15 min.
    assert (third.ordered, third.begun, third.placed) == (3.0, 10.25, 1.0)
    assert (fourth.begun, fifth.begun) == (10.5 + 1.5, 12.25 + 1.5)
    assert sum(load.placed for load in beam.loads) == 5.0


def test_the_concrete_of_a_pour_adds_up_whatever_happens() -> None:
    wild = replace(BEAM, haul=Exponential(1.0), refused=0.3)
    for run in range(200):
        loads = placing(wild, run).loads
        assert sum(load.placed for load in loads) == wild.volume
        for load in loads:
            assert load.ordered == load.placed + load.rejected + load.returned
            assert min(load.placed, load.rejected, load.returned, load.standby) >= 0.0
            if load.placed:  # nothing is placed past its life
                assert load.ended <= load.batched + wild.working_life + 1e-6
        placed = [load for load in loads if load.placed]
        assert all(earlier.ended <= later.begun for earlier, later in pairwise(placed))


def test_refusals_come_as_often_as_said() -> None:
    runs = 2000
    tested = [load for run in range(runs) for load in placing(replace(BEAM, refused=0.1), run).loads]
    refused = sum(load.verdict == REFUSED for load in tested)
    error = (0.1 * 0.9 / len(tested)) ** 0.5
    assert refused / len(tested) == pytest.approx(0.1, abs=3 * error)


def test_a_pour_that_could_be_foreseen_is_ordered_for_the_next_morning() -> None:
    played = play_plan(plan_with(BEAM))
    cage, beam = played.ledger.entries
    assert cage.end == 10.0  # Monday
    assert (beam.start, beam.end) == (31.0, 31.0 + 2.5)  # Tuesday 7:00
    assert [hold.cause for hold in beam.holds] == [Cause.CONCRETE]
    assert sum(load.placed for load in played.ledger.poured) == BEAM.volume


def test_after_the_cut_off_a_pour_waits_a_day_longer() -> None:
    late = replace(BEAM, cut_off=6.0)  # before the gang even comes
    played = play_plan(plan_with(late))
    assert played.ledger.entries[-1].start == 48.0 + 7.0


def test_a_pour_takes_as_long_as_the_gang_or_the_trucks_whichever_is_longer() -> None:
    assert play_plan(plan_with(BEAM, 4.0)).ledger.entries[-1].end == 31.0 + 4.0
    slow = replace(BEAM, spacing=2.0)
    # Second load due 9:30, tested 9:45, placed 10:15, finished 10:45.
    assert play_plan(plan_with(slow)).ledger.entries[-1].end == 24.0 + 10.75
