"""What a plan says of itself."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import network_plan, play_plan, printing_plan

from sitesim.chance import Exponential, Fixed
from sitesim.plan import CAUSE_OF_KIND, CAUSE_OF_UNIT, Building, Kind, StartingState, UnitKind


def test_the_horizon_is_the_last_hour_of_the_last_day() -> None:
    assert network_plan({"A": ("", Fixed(1.0))}, days=10).horizon == 240.0


def test_homes_are_told_with_their_building() -> None:
    plan = network_plan({"A": ("", Fixed(1.0))})
    plan = replace(plan, buildings=(Building("A", 0, ("A1", "A2"), None), Building("B", 1, ("B1",), None)))
    assert plan.homes == (("A", "A1"), ("A", "A2"), ("B", "B1"))


def test_every_kind_has_a_cause() -> None:
    assert set(CAUSE_OF_KIND) == set(Kind)
    assert set(CAUSE_OF_UNIT) == set(UnitKind)


def test_every_node_has_luck_of_its_own_for_everything() -> None:
    nodes = printing_plan(buildings=5).nodes
    streams = [
        key
        for node in nodes
        for key in (
            node.duration_stream,
            node.fails_stream,
            node.rework_stream,
            node.notice_stream,
            node.visit_stream,
        )
    ]
    assert len(set(streams)) == 5 * len(nodes)


def test_luck_goes_with_the_name_of_a_step_and_not_with_its_place() -> None:
    short = play_plan(network_plan({"A": ("", Exponential(8.0)), "B": ("A", Exponential(8.0))}))
    longer = play_plan(
        network_plan({"new": ("", Exponential(8.0)), "A": ("", Exponential(8.0)), "B": ("A", Exponential(8.0))})
    )
    assert longer.ledger.ended[1] == short.ledger.ended[0]
    assert longer.ledger.ended[2] == short.ledger.ended[1]


def test_a_step_that_is_done_takes_no_time_and_one_in_hand_only_what_is_left() -> None:
    plan = network_plan({"A": ("", Fixed(8.0)), "B": ("A", Fixed(8.0)), "C": ("B", Fixed(8.0))})
    plan = replace(plan, state=StartingState(done=frozenset({"A"}), spent=(("B", 6.0),)))
    assert play_plan(plan).ledger.ended == {0: 0.0, 1: 2.0, 2: 10.0}


def test_more_hours_spent_than_a_step_takes_leave_none() -> None:
    plan = network_plan({"A": ("", Fixed(8.0))})
    plan = replace(plan, state=StartingState(spent=(("A", 9.0),)))
    assert play_plan(plan).ledger.ended == {0: 0.0}


@pytest.mark.parametrize("days", [1, 2])
def test_a_plan_that_does_not_fit_its_horizon_says_what_is_missing(days: int) -> None:
    played = play_plan(network_plan({"A": ("", Fixed(49.0))}, days=days))
    assert not played.finished
    assert "A" in played.unfinished
