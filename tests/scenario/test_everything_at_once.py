"""A scenario that uses everything at once: each value reaches the plan, and its runs end and add up.

Numbers are converted by hand from what the scenario says.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from cases import changed
from everything import everything, everything_mixed

from sitesim.chance import Exponential, Fixed, Pert
from sitesim.plan import Cause, HoldingHopper, Link, Outage, Plan, PrintDay, ReadyMix, SiteMix, Stop, Traffic, in_drops
from sitesim.policies import DaysNeed, FixedSpacing, LoadSizes, WillCall
from sitesim.scenario import load
from sitesim.site import Stage, play

TICK = 1 / 4096
RUNS = range(25)


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return load(everything(tmp_path_factory.mktemp("plant"))).plan()


@pytest.fixture(scope="module")
def mixed(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return load(everything_mixed(tmp_path_factory.mktemp("mixer"))).plan()


def supply_of(plan: Plan) -> ReadyMix:
    assert isinstance(plan.supply, ReadyMix)
    return plan.supply


def rules_of(plan: Plan) -> PrintDay:
    assert plan.print_day is not None
    return plan.print_day


# ------------------------------------------------------------------------------------------------ into the plan


def test_the_plant_of_the_plan(plan: Plan) -> None:
    supply = supply_of(plan)
    sizes = LoadSizes(4 * in_drops(0.5), in_drops(0.5), 2 * in_drops(0.5))
    assert supply.ordering == WillCall(sizes, 7.0, 1.5, pytest.approx(1 / 3, abs=TICK))
    assert (supply.hours, supply.other_customers, supply.refused) == ("plant", 0.6, 0.02)
    assert plan.calendars["plant"].spans == dict.fromkeys(range(5), ((5.0, 17.0),))
    assert supply.traffic == (Traffic(7.0, 9.0, 1.2), Traffic(16.0, 18.0, 1.2))
    stocktaking, bridge, axle = supply.outages
    dates = frozenset({date(2027, 5, 14).toordinal(), date(2027, 6, 18).toordinal()})
    assert stocktaking == Outage("stocktaking", Link.PLANT, dates)
    assert bridge == Outage("bridge", Link.ROAD, frozenset({date(2027, 5, 20).toordinal()}), ((9.0, 10.5),))
    assert (axle.link, axle.dates, axle.hours, axle.chance) == (Link.TRUCK, frozenset(), ((6.0, 12.0),), 0.05)
    assert axle.time == Pert(1.0, 4.0, 30.0)


def test_the_holding_hopper_of_the_plan(plan: Plan) -> None:
    # 2.5 m³ in 12 min are 12.5 m³/h.
    holding = supply_of(plan).holding
    assert isinstance(holding, HoldingHopper)
    assert (holding.capacity, holding.refill_at) == (in_drops(2.5), in_drops(0.2))
    assert (holding.life_factor, holding.day) == (1.25, 90.0)
    assert holding.rate == pytest.approx(12.5, rel=2e-3)


def test_the_print_day_of_the_plan(plan: Plan) -> None:
    rules = rules_of(plan)
    assert rules.slump_check == pytest.approx(1 / 6, abs=TICK)
    assert (rules.meal_after, rules.meal) == (4.0, 0.5)
    assert rules.planned_joint_time == pytest.approx(1 / 3, abs=TICK)
    assert rules.planned_joint_concrete == in_drops(0.02)
    assert (rules.warmth, rules.least_warmth) == (pytest.approx(4.0), pytest.approx(10.0))
    assert rules.working_life == pytest.approx(5.5)  # 300 min, 1.1 times as long
    assert rules.waived == pytest.approx(0.5, abs=TICK)  # until 360 min
    assert (rules.hose_life, rules.hose_clear) == (0.75, pytest.approx(2 / 3, abs=TICK))
    # 2100 · 9.81 · 0.04/(√3 · 0.8 Pa/s) = 594.7 s: accelerated concrete, whatever the retarder did to it before.
    assert rules.shortest_interval == pytest.approx(2100 * 9.81 * 0.04 / (math.sqrt(3) * 0.8) / 3600, abs=TICK)


def test_the_stops_of_the_plan(plan: Plan) -> None:
    block, fault = rules_of(plan).stops
    assert isinstance(block, Stop)
    assert (block.every, block.loses_hose) == (Exponential(12.0), True)
    assert (block.old_after, block.old_counts) == (3.0, 2.0)
    assert (block.pause_after, block.pause_counts) == (pytest.approx(1 / 3, abs=TICK), 3.0)
    assert (fault.old_after, fault.old_counts, fault.pause_after, fault.pause_counts) == (math.inf, 1.0, math.inf, 0.0)


def test_the_wall_of_the_plan(plan: Plan) -> None:
    shell = plan.buildings[0].shell
    assert shell is not None
    # 90 m at 95 % of 150 mm/s, 15 % on top for travel: 726.3 s, and 40 turns of 2 s; the upper layers have none.
    assert shell.wall.nozzle_hours[0] == pytest.approx(90 / 0.1425 * 1.15 / 3600 + 40 * 2 / 3600, abs=TICK)
    assert shell.wall.nozzle_hours[-1] == pytest.approx(105 / 0.15 * 1.15 / 3600, abs=TICK)
    # Six lintels of 8 min and 12 min of bedding; the joint steel is laid beside the nozzle and stops nothing.
    assert {layer: [stop.hours for stop in stops] for layer, stops in shell.wall.stops.items()} == {
        30: [pytest.approx(1 / 6, abs=TICK)],
        50: [pytest.approx(1.0, abs=8 * TICK)],
    }


def test_the_mixer_of_the_plan(mixed: Plan) -> None:
    supply = mixed.supply
    assert isinstance(supply, SiteMix)
    assert (supply.clean_every, supply.clean_time) == (3.0, pytest.approx(1 / 6, abs=TICK))
    store = supply.store
    assert store is not None
    assert (store.capacity, store.reorder_at, store.delivery) == (in_drops(12.0), in_drops(4.0), in_drops(9.0))
    assert store.lead == Pert(8.0, 16.0, 32.0)  # working days of eight hours


def test_other_ways_of_ordering(tmp_path: Path) -> None:
    sizes = LoadSizes(4 * in_drops(0.5), in_drops(0.5), 2 * in_drops(0.5))
    (tmp_path / "need").mkdir()
    by_need = load(changed(tmp_path / "need", ("spacing: 120 min", "ordering: days-need"))).plan()
    assert supply_of(by_need).ordering == DaysNeed(sizes, 7.0, 0.25)
    topped = load(changed(tmp_path, ("spacing: 120 min", "spacing: 120 min\n  top_up: true\n  lead: 2 h"))).plan()
    assert supply_of(topped).ordering == FixedSpacing(sizes, 2.0, 7.0, 2.0)


def test_what_is_not_said_changes_nothing(tmp_path: Path) -> None:
    plan = load(changed(tmp_path)).plan()
    supply, rules = supply_of(plan), rules_of(plan)
    assert (supply.hours, supply.other_customers, supply.traffic, supply.outages, supply.holding) == (
        "",
        0,
        (),
        (),
        None,
    )
    assert isinstance(supply.ordering, FixedSpacing)
    assert supply.ordering.top_up is None
    assert (rules.slump_check, rules.meal_after, rules.planned_joint_time, rules.waived) == (0.0, math.inf, 0.0, 0.0)
    assert (rules.hose_life, rules.warmth, rules.least_warmth) == (math.inf, 0.0, -100.0)
    assert not rules.minds_pauses


# --------------------------------------------------------------------------------------------------- said back


def test_everything_is_said_back(tmp_path: Path) -> None:
    told = "\n".join(load(everything(tmp_path)).description())
    for words in (
        "each further one called 90 min ahead",
        "The plant batches in the hours of plant.",
        "Other customers' loads take 60 % of the loading bay's time.",
        "A truck that leaves in 07:00-09:00 and 16:00-18:00 takes 1.2 times as long.",
        "Lost (plant): stocktaking, on 14 May 2027 and 18 June 2027.",
        "Lost (road): bridge, on 20 May 2027, 09:00-10:30.",
        # (1 + 4 · 4 + 30)/6 = 7.83 h
        "Lost (truck): axle, with a chance of 5 % a day for 470 min on average, from 06:00-12:00 on.",
        "A stirred holding hopper of 2.50 m³",
        "1.25 times as long",
    ):
        assert words in told, words


def test_a_store_is_said_back(tmp_path: Path) -> None:
    told = "\n".join(load(everything_mixed(tmp_path)).description())
    assert "The mixer is cleaned every 3 h for 10 min." in told
    assert "Dry material for 12.00 m³ of concrete stands on site; at 4.00 m³ material for 9.00 m³ is ordered" in told


# ------------------------------------------------------------------------------------------------------ played


@pytest.mark.parametrize("which", ["plan", "mixed"])
def test_runs_end_and_balance_exactly(which: str, request: pytest.FixtureRequest) -> None:
    stage = Stage(request.getfixturevalue(which))
    blockages = joints = past = 0.0
    for run in RUNS:
        played = play(stage, 7, run)
        assert played.unfinished == ""
        concrete, loads = played.ledger.concrete, played.ledger.loads
        assert concrete.batched == concrete.accounted == sum(one.ordered for one in loads)
        assert concrete.rejected == sum(one.rejected for one in loads)
        assert concrete.returned == sum(one.returned for one in loads)
        walls = [building.shell.wall for building in stage.plan.buildings if building.shell]
        assert concrete.in_place == sum(sum(wall.volume) for wall in walls)
        assert 0.0 <= concrete.past_agreed_life <= concrete.in_place
        blockages += played.ledger.counts.blockages_and_faults
        joints += concrete.joint_preparation
        past += concrete.past_agreed_life
    assert blockages > 0
    assert joints > 0.0


def test_the_same_seed_gives_the_same_ledger(plan: Plan, mixed: Plan) -> None:
    for one in (plan, mixed):
        # A stage of its own for each: nothing may be left over from a run before.
        first, again = (play(Stage(one), 3, 5, keep_diary=True).ledger for _ in range(2))
        stage = Stage(one)
        play(stage, 3, 4)
        after_another = play(stage, 3, 5, keep_diary=True).ledger
        assert first.entries == again.entries == after_another.entries
        assert first.loads == again.loads == after_another.loads
        assert first.diary == again.diary == after_another.diary


def test_a_store_that_runs_out_holds_printing_up(mixed: Plan) -> None:
    assert isinstance(mixed.supply, SiteMix)
    assert mixed.supply.store is not None
    scarce = replace(mixed.supply.store, capacity=4.0, reorder_at=0.25, delivery=4.0, lead=Fixed(16.0))
    played = play(Stage(replace(mixed, supply=replace(mixed.supply, store=scarce))), 1, 0)
    assert played.finished
    pieces = [piece for entry in played.ledger.entries for piece in entry.pieces]
    assert sum(piece.end - piece.start for piece in pieces if piece.cause is Cause.MATERIAL) > 0.0
