"""The print days of a run in one row: what is counted there is what the run's own tables say."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import EARLY_WEEKDAYS, WEEKDAYS, play_plan, printing_plan, ready_mix, site_mix

from sitesim.chance import Fixed
from sitesim.ledger import COLUMNS as STUDY_COLUMNS
from sitesim.ledger import RunClosing
from sitesim.ledger.print_days import COLUMNS, PrintDays, in_columns, print_days_of
from sitesim.plan import Cause, DryStore, Plan, State, printing_only
from sitesim.site import Stage


def row_of(plan: Plan) -> PrintDays:
    stage = Stage(plan)
    played = play_plan(plan)
    return print_days_of(plan, 0, played.ledger, played.finished, stage.unit_shifts, stage.shift(("site",)))


def test_counts_and_volumes_are_those_of_the_run() -> None:
    plan = printing_only(printing_plan(supply=ready_mix(load=2.5, spacing=2.5, refused=0.3)))
    stage = Stage(plan)
    played = play_plan(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    table = closing.tables(0, played.ledger, played.unfinished, keep_loads=True)
    run = dict(zip(STUDY_COLUMNS["runs"], table["runs"][0], strict=True))
    row = row_of(plan)
    for name in ("in_place_m3", "batched_m3", "rejected_m3", "returned_m3", "washed_out_m3", "print_days", "loads"):
        assert getattr(row, name) == run[name], name
    assert row.refused_m3 > 0.0
    assert row.refused_m3 == sum(load[4] for load in table["loads"] if load[-1] == "refused at the gate")


def test_the_crew_is_paid_for_the_hours_of_its_print_days_and_overtime_apart() -> None:
    plan = printing_plan(buildings=1, supply=ready_mix(spacing=4.0))
    gang = replace(plan.units[0], rate=100.0, overtime_rate=150.0, waiting_rate=40.0)
    short = replace(WEEKDAYS, spans=dict.fromkeys(range(5), ((6.0, 13.0),)))
    plan = printing_only(
        replace(plan, units=(gang, *plan.units[1:]), calendars={"site": WEEKDAYS, "shell": EARLY_WEEKDAYS})
    )
    within = row_of(plan)
    assert within.overtime_hours == 0.0
    standing = within.waiting_hours + within.held_hours + within.down_hours
    assert within.waiting_hours > 0.0
    assert within.crew_cost == pytest.approx(100.0 * (within.day_hours - standing) + 40.0 * standing)
    late = row_of(replace(plan, calendars={"site": WEEKDAYS, "shell": short}))
    assert late.print_days >= within.print_days


def test_loads_below_the_limit_are_the_short_ones() -> None:
    row = row_of(printing_only(printing_plan(buildings=1)))  # two days, 2.5 and 1.5 m³ each, the limit is 3 m³
    assert row.short_m3 == pytest.approx(2 * 4.0)
    assert row_of(printing_only(printing_plan(buildings=1, supply=ready_mix(short_under=2.0)))).short_m3 == 2 * 1.5


def test_a_nozzle_that_stands_because_the_dry_store_is_empty_waits_for_supply() -> None:
    # 3.75 m³ a day out of a store of 2 m³ that is filled again four hours after it is half empty.
    store = DryStore(capacity=2.0, reorder_at=1.0, delivery=2.0, lead=Fixed(4.0))
    plan = printing_only(printing_plan(buildings=1, supply=site_mix(store=store)))
    waited = dict.fromkeys(Cause, 0.0)
    for entry in play_plan(plan).ledger.entries:
        for start, end, state, cause in entry.pieces:
            if state is State.WAITING and cause is not None:
                waited[cause] += end - start
    row = row_of(plan)
    assert waited[Cause.MATERIAL] > 1.0
    assert row.waiting_hours == pytest.approx(waited[Cause.CONCRETE] + waited[Cause.MATERIAL])
    assert row.held_hours == pytest.approx(waited[Cause.SETTING] + waited[Cause.WEATHER])


def test_rows_become_columns() -> None:
    row = row_of(printing_only(printing_plan(buildings=1)))
    columns = in_columns([row, row])
    assert tuple(columns) == COLUMNS
    assert columns["print_days"] == [2, 2]
    assert in_columns([])["run"] == []
