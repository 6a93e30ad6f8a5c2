"""Steps that wait for one another, and lifts under a tent: told with what stands in the way."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from cases import changed, faults_of, written

from sitesim.scenario import load


def test_a_crane_does_not_lift_under_a_raised_tent(tmp_path: Path) -> None:
    path = changed(tmp_path, ("order: gantry-first", "order: tent-first"))
    assert [(fault.path, fault.message) for fault in faults_of(path)] == [
        (
            "relocation.gantry_lift",
            "a crane cannot lift the gantry under the raised tent; tent-first goes with telehandler",
        ),
        (
            "relocation.tasks.gantry_up.crane",
            "a crane cannot lift under the raised tent; tent-first goes with crane: false",
        ),
        (
            "relocation.tasks.gantry_down",
            "the gantry leaves after cure and the tent after cure: a crane cannot lift it out under the raised tent",
        ),
    ]


def test_a_telehandler_may_work_inside_the_tent(tmp_path: Path) -> None:
    path = changed(tmp_path)
    sets = (
        "relocation.order=tent-first",
        "relocation.gantry_lift=telehandler",
        "relocation.tasks.gantry_up.crane=false",
        "relocation.tasks.gantry_down.crane=false",
        "relocation.gantry_leaves=beam",
    )
    assert load(path, sets).model.relocation is not None


def test_a_circle_of_waiting_is_named(tmp_path: Path) -> None:
    path = changed(tmp_path, ("services: [roof]", "services: [roof, paint]"))
    (fault,) = faults_of(path)
    circle = fault.message.removeprefix("waits for itself: ").split(" -> ")
    assert circle[0] == circle[-1]
    assert set(circle) == {"services", "boards", "paint"}
    waits = {"services": "paint", "paint": "boards", "boards": "services"}
    assert all(waits[task] == awaited for task, awaited in pairwise(circle))


def test_a_delivery_ordered_after_its_own_task_is_a_circle(tmp_path: Path) -> None:
    path = changed(tmp_path, ("ordered_after: walls", "ordered_after: windows"))
    (fault,) = faults_of(path)
    assert fault.message == "waits for itself: windows -> windows"


def test_a_circle_across_two_sequences_is_told_and_does_not_hang(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        """
name: Circle
site: {start: 2027-03-01, buildings: {a: {sequence: one}, b: {sequence: two}}}
finishing:
  sequence: one
  tasks:
    X: {per: site, time: 1}
    Z: {per: site, time: 1}
    A: {time: 1}
    Y: {time: 1}
  sequences:
    one: {Z: , A: [Z], X: [A]}
    two: {X: , Y: [X], Z: [Y]}
""",
    )
    (fault,) = faults_of(path)
    assert fault.message.startswith("tasks wait for one another: ")
    assert set(fault.message.split(": ", 1)[1].split(" -> ")) == {"a/A", "site/X", "b/Y", "site/Z"}
