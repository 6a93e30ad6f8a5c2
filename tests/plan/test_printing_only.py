"""The print days alone are the print days of the whole plan, and one day is one of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from rigs import play_plan, printing_plan, ready_mix

from sitesim.chance import Fixed, Pert
from sitesim.ledger.rows import Entry
from sitesim.plan import Inspection, Kind, Plan, one_print_day, printing_only
from sitesim.plan.changed import with_print_rate, with_travel

TUESDAY = date(2027, 5, 4)


def print_days(plan: Plan) -> list[Entry]:
    return [entry for entry in play_plan(plan).ledger.entries if entry.kind is Kind.PRINTING]


def lengths(days: list[Entry]) -> list[float]:
    return [day.end - day.start for day in days]


def test_what_comes_after_the_release_and_all_gangs_are_left_out() -> None:
    plan = printing_plan(buildings=2)
    alone = printing_only(plan)
    assert [node.key for node in alone.nodes] == [node.key for node in plan.nodes if not node.key.endswith("roof")]
    assert all(node.index == place for place, node in enumerate(alone.nodes))
    assert all(before < node.index for node in alone.nodes for before in node.after)
    assert not any(node.task.needs or node.task.limits for node in alone.nodes)
    assert alone.supply == plan.supply
    assert alone.print_day == plan.print_day


def test_a_step_takes_its_expected_time_and_fails_no_inspection() -> None:
    plan = printing_plan(buildings=1)
    up = plan.nodes[1]
    task = replace(up.task, duration=Pert(10.0, 20.0, 60.0), inspection=Inspection(0, 1.0, Fixed(8.0)))
    changed = replace(plan, nodes=(plan.nodes[0], replace(up, task=task), *plan.nodes[2:]))
    alone = printing_only(changed)
    assert alone.nodes[1].task.duration == Fixed(25.0)  # (10 + 4 · 20 + 60) / 6
    assert play_plan(alone).ledger.counts.inspections == 0


def test_the_print_days_are_those_of_the_whole_plan() -> None:
    plan = printing_plan(buildings=2)
    whole, alone = play_plan(plan), play_plan(printing_only(plan))
    assert alone.finished
    assert alone.ledger.concrete == whole.ledger.concrete
    assert alone.ledger.counts.nozzle_hours == whole.ledger.counts.nozzle_hours
    assert lengths(print_days(printing_only(plan))) == lengths(print_days(plan))


def test_buildings_that_are_not_printed_are_left_out() -> None:
    plan = printing_plan(buildings=2)
    without = replace(plan, buildings=(replace(plan.buildings[0], shell=None), plan.buildings[1]))
    alone = printing_only(without)
    assert [building.name for building in alone.buildings] == ["B"]
    assert {node.building for node in alone.nodes} == {0}
    assert play_plan(alone).finished


def test_one_day_begins_on_its_date_with_the_layers_below_in_place() -> None:
    played = play_plan(one_print_day(printing_plan(), "B", 11, TUESDAY))
    assert played.finished
    days = [entry for entry in played.ledger.entries if entry.kind is Kind.PRINTING]
    assert [day.start for day in days] == [6.0]  # the shell crew begins at six
    # Ten layers of 0.375 m³, 0.14 for priming, 0.03 for specimens and 0.06 for the hose make 3.98 m³: eight half
    # cubic metres, by loads of 2.5 m³ and a spacing of two hours from seven on.
    assert [(load.ordered, load.due) for load in played.ledger.loads] == [(2.5, 7.0), (1.5, 9.0)]
    assert played.ledger.concrete.in_place == pytest.approx(3.75, abs=1e-5)
    assert {load.building for load in played.ledger.loads} == {"B"}


def test_one_day_that_is_cut_short_does_not_reach_its_target() -> None:
    slow = printing_plan(supply=ready_mix(load=2.5, spacing=7.0))  # the second load comes at two in the afternoon
    played = play_plan(one_print_day(slow, "A", 1, TUESDAY))
    assert not played.finished
    assert played.ledger.counts.print_days == 1
    assert 0.0 < played.ledger.concrete.in_place < 3.75


def test_one_day_ends_at_a_hold() -> None:
    plan = printing_plan(buildings=1)
    shell = plan.buildings[0].shell
    assert shell is not None
    held = replace(plan, buildings=(replace(plan.buildings[0], shell=replace(shell, holds={4: (5,)})),))
    assert play_plan(one_print_day(held, "A", 1, TUESDAY)).ledger.concrete.in_place == pytest.approx(1.5, abs=1e-5)


@pytest.mark.parametrize(("building", "layer", "message"), [("Z", 1, "there are A, B"), ("A", 21, "layers 1 to 20")])
def test_a_day_that_cannot_be_is_refused(building: str, layer: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        one_print_day(printing_plan(), building, layer, TUESDAY)


def test_a_longer_way_and_a_faster_nozzle_change_just_that() -> None:
    plan = one_print_day(printing_plan(), "A", 11, TUESDAY)
    # Dispatched for the expected time, a truck still comes when it is due, but its concrete is half an hour older.
    near, far = (play_plan(one).ledger.loads[1] for one in (plan, with_travel(plan, 1.5)))
    assert (near.arrived, near.batched) == (9.0, 7.75)
    assert (far.arrived, far.batched) == (9.0, 7.25)
    fast = with_print_rate(plan, 1.25)
    shell = fast.buildings[0].shell
    assert shell is not None
    assert shell.wall.nozzle_hours[0] == 0.25  # 0.3125 h over 1.25
    assert play_plan(fast).ledger.counts.nozzle_hours < play_plan(plan).ledger.counts.nozzle_hours
