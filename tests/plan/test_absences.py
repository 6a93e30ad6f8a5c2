"""Plans with somebody or something away for a while, played and compared with what a hand reckons.

Kind of the tests: deterministic; fixed durations, Monday to Friday from seven to three. Recomputed from the calendar.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from rigs import CRANE, MONDAY, SHELL, WEEKDAYS, entries_of, network_plan, play_plan, printing_plan

from sitesim.chance import Fixed
from sitesim.plan import Kind, Plan, Task
from sitesim.plan.absences import absent, interrupted

TWO_WEEKS = 14 * 24.0
WORKING_DAY = 8.0


def dates(first: date, days: int) -> frozenset[int]:
    return frozenset((first + timedelta(days=day)).toordinal() for day in range(days))


def two_branches() -> Plan:
    """Ten days of the first gang and three of the second, in parallel; then five days of the third."""
    return network_plan(
        {
            "long": ((), Fixed(10 * WORKING_DAY)),
            "short": ((), Fixed(3 * WORKING_DAY)),
            "last": (("long", "short"), Fixed(5 * WORKING_DAY)),
        },
        {"first": ["long"], "second": ["short"], "third": ["last"]},
        calendar=WEEKDAYS,
    )


def finish(plan: Plan) -> float:
    played = play_plan(plan)
    assert played.finished
    return max(played.ledger.ended.values())


def test_a_gang_missing_two_weeks_on_the_critical_path_costs_just_that() -> None:
    plan = two_branches()
    second_monday = MONDAY + timedelta(days=7)
    assert finish(absent(plan, 0, dates(second_monday, 14))) == finish(plan) + TWO_WEEKS


def test_a_gang_with_float_costs_what_is_left_of_it() -> None:
    """Ten days away less seven days of float are three working days: Friday becomes Wednesday after the weekend."""
    plan = two_branches()
    assert finish(absent(plan, 1, dates(MONDAY, 14))) == finish(plan) + 5 * 24.0
    assert finish(absent(plan, 1, dates(MONDAY, 7))) == finish(plan)


def test_days_off_work_anyway_cost_nothing() -> None:
    plan = two_branches()
    saturday = MONDAY + timedelta(days=5)
    assert finish(absent(plan, 0, dates(saturday, 2))) == finish(plan)


def test_nobody_else_of_the_same_calendar_is_away() -> None:
    plan = two_branches()
    away = play_plan(absent(plan, 0, dates(MONDAY, 14)))
    assert entries_of(away)["short"] == entries_of(play_plan(plan))["short"]
    assert away.finished


def test_no_dates_leave_the_plan_as_it_is() -> None:
    plan = two_branches()
    assert absent(plan, 0, frozenset()) is plan


def test_a_missing_crane_stops_the_lifts_alone() -> None:
    plan = printing_plan(buildings=1)
    away = absent(plan, CRANE, dates(MONDAY, 14))
    began = entries_of(play_plan(away))["A/gantry_up"].start
    assert began == entries_of(play_plan(plan))["A/gantry_up"].start + TWO_WEEKS
    assert away.units[SHELL] == plan.units[SHELL]


def wait(days: float) -> tuple[str, Task]:
    return "printer repaired", Task("printer repaired", Kind.GANTRY, 3, (), Fixed(24.0 * days), "")


def test_a_printer_down_two_weeks_puts_the_walls_off_by_two_weeks() -> None:
    plan = printing_plan(buildings=1)
    before, after = (entries_of(play_plan(one)) for one in (plan, interrupted(plan, 0, 10, [wait(14)])))
    assert after["A/print day 1"].end == before["A/print day 1"].end
    assert after["A/print day 2"].start == before["A/print day 2"].start + TWO_WEEKS
    assert after["A/walls"].end == before["A/walls"].end + TWO_WEEKS


def test_a_printer_down_in_one_building_holds_up_the_next_that_waits_for_it() -> None:
    plan = printing_plan(buildings=2)
    assert finish(interrupted(plan, 0, 10, [wait(14)])) == finish(plan) + TWO_WEEKS


def test_steps_between_layers_come_after_those_that_are_there() -> None:
    plan = interrupted(printing_plan(buildings=1), 0, 10, [wait(2)])
    twice = interrupted(plan, 0, 10, [wait(3)])
    told = entries_of(play_plan(twice))
    assert told["A/printer repaired 2"].start == told["A/printer repaired"].end
    shell = twice.buildings[0].shell
    assert shell is not None
    assert len(shell.holds[10]) == 2


def test_the_luck_of_all_other_steps_stays() -> None:
    plan = printing_plan(buildings=1)
    changed = interrupted(plan, 0, 10, [wait(14)])
    assert changed.nodes[: len(plan.nodes)] == plan.nodes


@pytest.mark.parametrize("layer", [0, 21])
def test_a_layer_that_is_not_there_is_refused(layer: int) -> None:
    with pytest.raises(ValueError, match=f"no layer {layer}"):
        interrupted(printing_plan(buildings=1), 0, layer, [wait(14)])


def test_a_building_that_is_not_printed_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing is printed here"):
        interrupted(two_branches(), 0, 1, [wait(14)])
