"""Hold and witness points of a scenario: what they become in the plan, and what is wrong with them."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import changed, lines_of

from sitesim.plan import Kind, Learning, WitnessPoint
from sitesim.scenario import load

TASKS = "  tasks:\n    grout_lift:"
POINTS = """\
  points:
    - {name: first layer, layer: 1, by: building, kind: witness, comes: 80 %}
    - {name: bars, layer: 25, by: building, fails: 10 %, rework: 0.5, learning: 85 %, crew: pour}
    - {name: ties, layer: 40, by: building}
"""
SERVICES = "services: {by: building, fails: 15 %, rework: [0.25, 0.5, 1]}"
NOTICE = "building: {notice: [0.5, 1, 2]}"


def pointed(folder: Path, *changes: tuple[str, str]) -> Path:
    points = POINTS
    for before, after in changes:
        assert points.count(before) == 1
        points = points.replace(before, after)
    return changed(folder, (TASKS, points + TASKS))


def test_holds_become_steps_before_the_tasks_of_their_layer(tmp_path: Path) -> None:
    plan = load(pointed(tmp_path)).plan()
    shell = plan.buildings[0].shell
    assert shell is not None
    assert {layer: [plan.nodes[index].key for index in indices] for layer, indices in shell.holds.items()} == {
        25: ["North/bars", "North/grout_lift"],
        40: ["North/ties"],
    }
    assert shell.wall.day_ends == (25, 40, 50, 65)
    assert shell.wall.witnessed == {1: (WitnessPoint("first layer", 0, 0.8),)}
    nodes = {node.key: node for node in plan.nodes}
    bars = nodes["North/bars"]
    assert (bars.task.kind, bars.told, bars.task.duration.mean, bars.task.needs) == (Kind.MILESTONE, True, 0.0, ((0,),))
    assert bars.task.inspection is not None
    assert (bars.task.inspection.fails, bars.task.inspection.learning) == (0.1, Learning(0.85, 0.5))
    assert [plan.nodes[index].key for index in nodes["North/grout_lift"].after] == ["North/bars"]


def test_a_task_may_have_a_witness_and_inspections_a_learning_of_their_own(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        (SERVICES, f"{SERVICES}\n    beam: {{by: building, kind: witness, comes: 75 %}}"),
        (NOTICE, "building: {notice: [0.5, 1, 2], moved_until: 8 h}"),
    )
    scenario = load(path)
    tasks = {node.task.name: node.task for node in scenario.plan().nodes}
    beam, services = tasks["beam"].inspection, tasks["services"].inspection
    assert beam is not None
    assert services is not None
    assert (beam.witness, beam.comes) == (True, 0.75)
    assert (services.witness, services.learning) == (False, Learning(0.9, 0.5))
    assert scenario.plan().inspectors[0].moved_until == 8.0
    said = "\n".join([*scenario.description(), *scenario.assumptions()])
    assert "as a witness of beam" in said
    assert "can be moved up to 8 h before it" in said
    assert "brings the chance that its visit fails to 90 % of what it was, and never below 50 %" in said
    assert "Work never waits for them" in said


def test_layers_are_told(tmp_path: Path) -> None:
    scenario = load(pointed(tmp_path))
    said = "\n".join([*scenario.description(), *scenario.assumptions()])
    assert "holds printing at layer 25 (bars) and layer 40 (ties)" in said
    assert "is invited to witness layer 1 (first layer)" in said
    assert "booked with the concrete of the day that is to reach it" in said


WRONG = [
    (("layer: 40", "layer: 70"), "points.2.layer: there is no layer 70, the wall has 65"),
    (("layer: 40", "layer: 65"), "points.2.layer: nothing is printed after layer 65; write the hold for a task of"),
    (("name: ties", "name: bars"), "points.2.name: bars is the name of another point of this wall; take another"),
    (("name: ties", "name: beam"), "points.2.name: beam is a task; write its point in inspections.points, or take"),
    (("name: ties", "name: calibrate"), "points.2.name: calibrate is a task; write its point in"),
    (("40, by: building", "40, by: bilding"), "points.2.by: there is no inspector bilding: did you mean building?"),
    (("crew: pour", "crew: poor"), "points.1.crew: no gang has the skill poor: did you mean pour?"),
    (("kind: witness", "kind: wittness"), "points.0.kind: wittness should be hold or witness"),
    (
        ("comes: 80 %", "fails: 8 %"),
        "points.0.fails: is not for a witness point: a witness stops no work and lets none",
    ),
    (("fails: 10 %", "comes: 90 %"), "points.1.comes: is not for a hold point: work waits for the visit of a hold"),
    (("learning: 85 %", "learning: 0 %"), "points.1.learning: 0 % is too little"),
]


@pytest.mark.parametrize(("change", "fault"), WRONG)
def test_a_wrong_point_is_told(tmp_path: Path, change: tuple[str, str], fault: str) -> None:
    (line,) = lines_of(pointed(tmp_path, change))
    assert f"wall.{fault}" in line


def test_points_that_cannot_be_read_are_told_alone(tmp_path: Path) -> None:
    (line,) = lines_of(pointed(tmp_path, ("- {name: first layer, layer: 1, by: building, kind: witness", "- 3 # {")))
    assert "wall.points.0: 3 should be a mapping" in line


def test_a_task_that_is_witnessed_cannot_fail(tmp_path: Path) -> None:
    seen = "services: {by: building, kind: witness, fails: 15 %}"
    (line,) = lines_of(changed(tmp_path, (SERVICES, seen)))
    assert "inspections.points.services.fails: is not for a witness point" in line
