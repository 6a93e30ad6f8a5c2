"""Stages out of networks whose trades are known, and the visits of a run reckoned by hand.

Kind of the tests: functional, deterministic.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pandas as pd
from rigs import network_plan, printing_plan

from sitesim.answers.flow import flow
from sitesim.answers.stages import Stage, stages_from, stages_of, task_of
from sitesim.chance import Fixed
from sitesim.ledger import COLUMNS
from sitesim.plan import Kind, Plan, Unit, UnitKind


def plan_of(tasks: Mapping[str, Sequence[str]], gangs: Mapping[str, Sequence[str]]) -> Plan:
    return network_plan({name: (after, Fixed(8.0)) for name, after in tasks.items()}, gangs)


def named(plan: Plan) -> list[tuple[str, tuple[str, ...]]]:
    return [(stage.of, stage.tasks) for stage in stages_of(plan)]


def test_tasks_of_one_gang_that_follow_each_other_are_a_stage_and_a_gang_that_comes_back_has_another() -> None:
    plan = plan_of(
        {"trusses": (), "deck": ("trusses",), "rough": ("deck",), "boards": ("rough",), "finals": ("boards",)},
        {"roof": ("trusses", "deck"), "services": ("rough", "finals"), "drywall": ("boards",)},
    )
    assert named(plan) == [
        ("roof", ("trusses", "deck")),
        ("services", ("rough",)),
        ("drywall", ("boards",)),
        ("services", ("finals",)),
    ]


def test_time_that_needs_nobody_does_not_part_a_stage() -> None:
    tasks = {"boards": (), "drying": ("boards",), "second coat": ("drying",)}
    assert named(plan_of(tasks, {"drywall": ("boards", "second coat")})) == [("drywall", ("boards", "second coat"))]


def test_a_task_that_waits_for_others_as_well_begins_a_stage() -> None:
    plan = plan_of(
        {"boards": (), "wires": (), "tape": ("boards", "wires")}, {"drywall": ("boards", "tape"), "wirers": ("wires",)}
    )
    assert named(plan) == [("drywall", ("boards",)), ("wirers", ("wires",)), ("drywall", ("tape",))]


def test_three_in_a_row_are_one_stage() -> None:
    plan = plan_of({"a": (), "b": ("a",), "c": ("b",)}, {"gang": ("a", "b", "c")})
    assert named(plan) == [("gang", ("a", "b", "c"))]


def test_gangs_of_a_kind_are_one_trade() -> None:
    plan = plan_of({"boards": ()}, {"drywall 1": ("boards",), "drywall 2": ()})
    (node,) = plan.nodes
    plan = replace(plan, nodes=(replace(node, task=replace(node.task, needs=((0, 1),))),))
    assert named(plan) == [("drywall", ("boards",))]


def test_a_printer_and_a_tent_are_stages_where_something_is_printed() -> None:
    machines = [stage for stage in stages_of(printing_plan()) if stage.is_machine]
    kinds = {unit.name: unit.kind for unit in printing_plan().units}
    assert [kinds[stage.of] for stage in machines] == [UnitKind.PRINTER, UnitKind.TENT]
    bare = plan_of({"boards": ()}, {"drywall": ("boards",)})
    assert named(replace(bare, units=(*bare.units, Unit("printer", UnitKind.PRINTER, "site")))) == named(bare)


def test_what_a_building_s_story_does_is_no_stage_of_a_gang() -> None:
    told = [node.task.name for node in printing_plan().nodes if node.told and node.task.kind is Kind.WORK]
    assert not {task for stage in stages_of(printing_plan()) for task in stage.tasks} & set(told)


def test_stages_come_back_out_of_a_summary() -> None:
    stages = (Stage("printer"), Stage("roof", ("trusses", "deck")))
    assert stages_from([stage.as_data() for stage in stages]) == stages
    assert [stage.is_machine for stage in stages] == [True, False]


def test_a_task_is_known_from_its_activity_whether_inspected_or_put_right() -> None:
    assert [task_of(key) for key in ("A1/deck", "A1/deck inspection", "A1/deck rework", "deck")] == ["deck"] * 4


def test_a_visit_lasts_from_the_first_work_of_a_trade_at_a_building_to_its_last() -> None:
    told = [
        ("printer", "A/gantry_up", "gantry", "A", "", 0.0, 10.0),
        ("shell", "A/gantry_up", "gantry", "A", "", 0.0, 10.0),
        ("printer", "A/print day 1", "printing", "A", "", 24.0, 32.0),
        ("roof 1", "B/deck", "work", "B", "", 80.0, 90.0),
        ("roof 2", "A/trusses", "work", "A", "", 40.0, 50.0),
        ("", "A/deck inspection", "inspection", "A", "", 70.0, 75.0),
        ("roof 2", "A/deck", "work", "A", "", 60.0, 70.0),
        ("roof 2", "A/deck rework", "work", "A", "", 75.0, 77.0),
        ("paint", "A2/paint", "work", "A", "A2", 100.0, 110.0),
        ("paint", "A1/paint", "work", "A", "A1", 90.0, 100.0),
        ("paint", "fence", "work", "", "", 0.0, 100.0),
        ("paint", "B1/paint", "work", "B", "B1", 100.0, 100.0),
    ]
    columns = ("resource", "activity", "kind", "building", "home", "start", "end")
    frame = pd.DataFrame(told, columns=list(columns)).reindex(columns=list(COLUMNS["activities"]))
    stages = (Stage("printer"), Stage("roof", ("trusses", "deck")), Stage("paint", ("paint", "fence")), Stage("tent"))
    visits = [
        [(one.building, one.start, one.end, sorted(one.homes)) for one in of_stage] for of_stage in flow(stages, frame)
    ]
    assert visits == [
        [("A", 0.0, 32.0, [])],
        [("A", 40.0, 77.0, []), ("B", 80.0, 90.0, [])],
        [("A", 90.0, 110.0, ["A1", "A2"])],
        [],
    ]
