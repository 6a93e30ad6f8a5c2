"""A run closed into rows: every table by its columns, with what was reached and what was not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from rigs import ROUND_THE_CLOCK, WEEKDAYS, network_plan, play_plan, printing_plan

from sitesim.chance import Fixed
from sitesim.hours import NEVER
from sitesim.ledger import COLUMNS, HANDED_OVER, SORTED_BY, Rows, RunClosing
from sitesim.policies import AtNotice
from sitesim.plan import Inspection, Plan
from sitesim.site import Played, Stage


def closing_of(plan: Plan) -> RunClosing:
    stage = Stage(plan)
    return RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))


@cache
def closed() -> tuple[Played, dict[str, Rows]]:
    plan = printing_plan(buildings=2)
    at_call = [replace(unit, flow=AtNotice()) if unit.name == "roof" else unit for unit in plan.units]
    plan = replace(plan, units=tuple(at_call))
    seen = replace(plan.nodes[-1].task, inspection=Inspection(0, 0.0, Fixed(0.0)))
    plan = replace(plan, nodes=(*plan.nodes[:-1], replace(plan.nodes[-1], task=seen)))
    played = play_plan(plan, run=4)
    tables = closing_of(plan).tables(4, played.ledger, played.unfinished, True)
    return played, tables | closing_of(plan).standing_tables(4, played.ledger)


def column(table: str, name: str) -> list[Any]:
    return [row[COLUMNS[table].index(name)] for row in closed()[1][table]]


@pytest.mark.parametrize("table", COLUMNS)
def test_rows_fit_their_columns(table: str) -> None:
    rows = closed()[1][table]
    assert rows
    assert all(len(row) == len(COLUMNS[table]) for row in rows)
    assert set(column(table, "run")) == {4}


@pytest.mark.parametrize("table", [name for name in SORTED_BY if name != "activities"])
def test_what_a_table_is_sorted_by_is_unique(table: str) -> None:
    places = [COLUMNS[table].index(name) for name in SORTED_BY[table]]
    keys = [tuple(row[place] for place in places) for row in closed()[1][table]]
    assert len(set(keys)) == len(keys)


def test_the_run_tells_what_the_ledger_knows() -> None:
    played, _ = closed()
    assert column("runs", "finish_hours") == [max(played.ledger.ended.values())]
    assert column("runs", "finished") == [True]
    assert column("runs", "batched_m3") == [played.ledger.concrete.batched]
    assert column("runs", "print_days") == [4]  # two of each building
    assert column("runs", "nozzle_hours") == [pytest.approx(2 * (20 * 0.3125 + 2 * 0.3125))]  # first layers take twice
    assert column("runs", "cost") == [pytest.approx(sum(column("costs", "amount")))]


def test_a_building_is_handed_over_with_its_last_step() -> None:
    reached = dict(
        zip(
            zip(column("milestones", "building"), column("milestones", "milestone"), strict=True),
            column("milestones", "hours"),
            strict=True,
        )
    )
    assert reached["A", HANDED_OVER] == reached["A", "roof"] == 561.0  # as worked out by hand for the same site
    assert reached["A", "walls"] == 204.0625
    assert reached["B", HANDED_OVER] == column("runs", "finish_hours")[0]


def test_a_home_is_handed_over_with_the_last_step_of_its_own() -> None:
    tasks = {"shell": ((), Fixed(10.0)), "one": (("shell",), Fixed(5.0)), "two": (("shell",), Fixed(9.0))}
    plan = network_plan(tasks, calendar=ROUND_THE_CLOCK)
    homes = ("", "A1", "A2")
    nodes = tuple(replace(node, home=home, milestone="") for node, home in zip(plan.nodes, homes, strict=True))
    plan = replace(plan, nodes=nodes, buildings=(replace(plan.buildings[0], homes=homes[1:]),))
    played = play_plan(plan)
    rows = closing_of(plan).tables(0, played.ledger, "", False)["milestones"]
    assert sorted(rows) == [
        (0, "A", "", HANDED_OVER, 19.0),
        (0, "A", "A1", HANDED_OVER, 15.0),
        (0, "A", "A2", HANDED_OVER, 19.0),
    ]


def test_held_days_tell_nights_apart() -> None:
    # 12 h of work from Monday at seven: to Tuesday at eleven. Of 35 h, 12 lie on shift; midnight to seven counts too.
    plan = network_plan({"a": ((), Fixed(12.0))}, {"gang": "a"}, 30, WEEKDAYS)
    played = play_plan(plan)
    rows = closing_of(plan).tables(0, played.ledger, "", False)["held"]
    ((run, cause, activity, days, off_shift),) = rows
    assert (run, cause, activity) == (0, "predecessor", "a")
    assert (days, off_shift) == pytest.approx((35.0 / 24.0, 23.0 / 24.0))


def test_a_run_that_does_not_end_finishes_never_and_says_why() -> None:
    plan = network_plan({"a": ((), Fixed(12.0)), "b": (("a",), Fixed(900.0))}, {"gang": "ab"}, 30, WEEKDAYS)
    played = play_plan(plan)
    tables = closing_of(plan).tables(0, played.ledger, played.unfinished, True)
    row = dict(zip(COLUMNS["runs"], tables["runs"][0], strict=True))
    assert row["finish_hours"] == NEVER
    assert not row["finished"]
    assert row["unfinished_reason"] == played.unfinished != ""
    assert tables["held"] == []
    assert [row[-1] for row in tables["milestones"]] == [NEVER, NEVER]
    assert [row[1:4] for row in tables["time"] if row[2] == "working"] == [("gang", "working", "")]


def test_loads_are_kept_only_where_they_are_wanted() -> None:
    played, _ = closed()
    plan = printing_plan(buildings=2)
    assert closing_of(plan).tables(4, played.ledger, "", False)["loads"] == []
    assert len(column("loads", "load")) == len(played.ledger.loads) == 8


def test_activities_cover_every_engagement() -> None:
    played, _ = closed()
    hours = sum(
        end - start for start, end in zip(column("activities", "start"), column("activities", "end"), strict=True)
    )
    assert hours == sum((entry.end - entry.start) * max(1, len(entry.units)) for entry in played.ledger.entries)
    held_by = dict(zip(column("activities", "activity"), column("activities", "held_by"), strict=True))
    assert held_by["B/gantry_up"] == "A/gantry_down"
    assert held_by["A/roof"] == "A/released"
    assert held_by["A/slab"] == ""
