"""What cannot be of gantry and tent: refused, or told as a caution, at the line where it is written."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, IN_ONE_PIECE, INSIDE, SCENARIOS, STRENGTH, changed, faults_of, line_with

from sitesim.scenario import load


@pytest.mark.parametrize(
    ("sets", "fault"),
    [
        (
            ("relocation.gantry_leaves=roof", "relocation.tent_leaves=roof"),
            "relocation.gantry_leaves: roof is for the tent; the gantry leaves after walls, beam, cure or strength",
        ),
        (
            ("relocation.tent_leaves=strength", "relocation.gantry_leaves=cure"),
            "relocation.tent_leaves: strength is not given; write relocation.strength, like {reached: 1400 "
            "delta_degC*h, datum: 0 degC}",
        ),
        (
            ("relocation.tent_leaves=roof",),
            "relocation.gantry_leaves: the gantry leaves after cure and the tent after roof: a crane cannot lift it "
            "out under the raised tent",
        ),
        (
            (STRENGTH, "relocation.gantry_leaves=strength"),
            "relocation.gantry_leaves: the gantry leaves after strength and the tent after cure: a crane cannot lift "
            "it out under the raised tent",
        ),
        (
            ("relocation.gantry_moves=rails",),
            "relocation.tasks.gantry_off: is missing; with gantry_moves: rails it takes the gantry off its slab",
        ),
        (
            ("relocation.gantry_moves=rails",),
            "relocation.tasks.gantry_on: is missing; with gantry_moves: rails it takes the gantry onto the next",
        ),
        (
            ("relocation.gantry_moves=wheels",),
            "relocation.gantry_moves: wheels should be taken-down, rails or crane-in-one-piece",
        ),
        (
            ("relocation.tasks.tent_travel={crew: rig, time: 1 h, speed: 2 km/h}",),
            "relocation.tasks.tent_travel: needs to know where every printed building lies: at, like at: [0 m, 24 m]; "
            "nothing is said of A, B, C, D, E",
        ),
        (
            ("relocation.tasks.tent_travel={crew: rig, time: 1 h}",),
            "relocation.tasks.tent_travel: takes its way by per_100_m, like 20 min, or by speed, like 2 km/h; one of "
            "them is missing",
        ),
        (
            ("relocation.tasks.tent_travel={crew: rig, time: 1 h, speed: 2 km/h, per_100_m: 5 min}",),
            "relocation.tasks.tent_travel: takes its way by per_100_m, like 20 min, or by speed, like 2 km/h; not both",
        ),
        (
            ("finishing.tasks.trusses.lifts=900 kg",),
            "finishing.tasks.trusses.lifts: how much the crane lifts is not given; write crane.lifts at its working "
            "radius, like 3 t",
        ),
        (
            ("finishing.tasks.trusses.lifts=900 kg", "crane.lifts=1500 lb"),
            "finishing.tasks.trusses.lifts: 900 kg is more than the crane lifts at its working radius (680.389 kg): a "
            "larger machine, or lighter pieces",
        ),
        (
            ("wall.tasks.cage.lifts=200 kg",),
            "wall.tasks.cage.lifts: nothing lifts it; write crane: true or telehandler: true",
        ),
        (
            (
                "wall.tasks.cage={lifts: 3 t, telehandler: true, crane: true}",
                "crane.lifts=2 t",
                "telehandler.lifts=1 t",
            ),
            "wall.tasks.cage.lifts: 3 t is more than the crane lifts at its working radius (2000 kg): a larger "
            "machine, or lighter pieces",
        ),
        (
            (
                STRENGTH,
                "relocation.gantry_leaves=strength",
                "relocation.tent_leaves=strength",
                "wall.tasks.beam.pour.by=printer",
            ),
            "wall.tasks.beam.pour.by: the printer may have left by then, after strength; a pump can place it, or let "
            "the gantry leave after beam",
        ),
        (
            ("site.fronts={west: [A, C], east: [B, D]}",),
            "site.fronts: lacks E; every printed building is of one front",
        ),
        (
            ("site.fronts={west: [A, C, E], east: [B, D, A]}",),
            "site.fronts: holds A more than once; a building is of one front",
        ),
        (
            ("site.fronts={west: [A, C, E], east: [B, D, F]}",),
            "site.fronts.east: F is not a building: known are A, B, C, D, E",
        ),
        (
            ("site.fronts={west: [A, C, E], east: [B, D]}", "site.order=[A, B, C, D, E]"),
            "site.order: the fronts have the order of their lists; keep one of the two",
        ),
        (
            ("site.fronts={west: [A, C, E], east: [B, D]}", "printer.count={west: 1}"),
            "printer.count: lacks east; every front has its own",
        ),
        (
            ("site.fronts={west: [A, C, E], east: [B, D]}", "tent.count={west: 1, east: 1, north: 1}"),
            "tent.count.north: north is not a front: known are west, east",
        ),
        (("tent.count={west: 1}",), "tent.count: there are no site.fronts; write one number"),
        (("tent.count=0",), "tent.count: 0 should be from 1 to 1000"),
        (("tent.count=two",), "tent.count: two is not a whole number"),
    ],
)
def test_what_cannot_be_is_refused(sets: tuple[str, ...], fault: str) -> None:
    assert fault in [f"{one.path}: {one.message}" for one in faults_of(DEMO, *sets)]


def test_no_crane_lifts_under_a_tent_raised_first() -> None:
    task = "relocation.tasks.ballast={crew: rig, crane: true, time: 1}"
    faults = [f"{one.path}: {one.message}" for one in faults_of(DEMO, *INSIDE, "relocation.gantry_leaves=beam", task)]
    assert faults == [
        "relocation.tasks.ballast.crane: a crane cannot lift under the raised tent; tent-first goes with crane: false"
    ]


@pytest.mark.parametrize("step", ["align", "test_bead", "calibrate"])
@pytest.mark.parametrize("order", [(), (*INSIDE, "relocation.gantry_leaves=beam")])
def test_no_crane_makes_the_gantry_ready_under_the_tent(step: str, order: tuple[str, ...]) -> None:
    task = f"relocation.tasks.{step}={{crew: rig, crane: true, time: 1}}"
    faults = [f"{one.path}: {one.message}" for one in faults_of(DEMO, *order, task)]
    assert faults == [
        f"relocation.tasks.{step}.crane: a crane cannot lift under the raised tent, which stands by then; write "
        "crane: false"
    ]


@pytest.mark.parametrize(
    ("sets", "named"),
    [
        ((), ""),
        (("wall.tasks.cage.crane=true",), "cage"),
        (("wall.tasks.cage.crane=true", "wall.tasks.grout_lift.crane=true"), "cage and grout lift"),
        (("wall.tasks.cage.crane=true", *INSIDE, "relocation.tent_leaves=walls"), ""),
        (("wall.tasks.grout_lift.crane=true", *INSIDE, "relocation.tent_leaves=walls"), "grout lift"),
        (("wall.tasks.beam.crane=true", *INSIDE, "relocation.tent_leaves=beam"), "beam"),
    ],
)
def test_work_on_the_wall_that_asks_for_a_crane_under_the_tent_is_a_caution(sets: tuple[str, ...], named: str) -> None:
    told = [line for line in load(DEMO, sets).cautions() if line.startswith("The crane is asked for")]
    assert [line.partition(" while ")[0] for line in told] == ([f"The crane is asked for by {named}"] if named else [])


def test_no_crane_sets_a_gantry_in_one_piece_into_a_tent() -> None:
    faults = {one.path: one.message for one in faults_of(IN_ONE_PIECE, "relocation.order=tent-first")}
    assert faults["relocation.gantry_moves"] == (
        "a crane cannot set the gantry down in one piece under the raised tent; tent-first goes with rails"
    )
    assert {"relocation.tasks.gantry_on.crane", "relocation.tasks.gantry_off"} <= faults.keys()


def test_faults_stand_at_their_line(tmp_path: Path) -> None:
    (tmp_path / "mass").mkdir()
    path = changed(tmp_path / "mass", ("limits: tent}\n    calibrate", "limits: tent, lifts: 2 t}\n    calibrate"))
    (fault,) = faults_of(path)
    assert (fault.path, fault.line) == ("relocation.tasks.tent_up.lifts", line_with(path, "lifts: 2 t"))
    path = changed(
        tmp_path, ("gantry_leaves: cure", "gantry_leaves: strength"), ("tent_leaves: cure", "tent_leaves: walls")
    )
    (fault,) = faults_of(path)
    assert (fault.path, fault.line) == ("relocation.gantry_leaves", line_with(path, "gantry_leaves: strength"))


@pytest.mark.parametrize(
    ("name", "setting", "fault"),
    [
        ("rails", "relocation.gantry_moves=rail", "relocation.gantry_moves"),
        (
            "rails",
            "relocation.tasks.gantry_travel={crew: rig, time: 1 h, speed: fast}",
            "relocation.tasks.gantry_travel.speed",
        ),
    ],
)
def test_what_is_wrong_by_itself_is_not_held_against_the_rest(name: str, setting: str, fault: str) -> None:
    assert [one.path for one in faults_of(SCENARIOS / f"tern-quay-{name}.yaml", setting)] == [fault]


def test_a_tent_that_would_stay_for_ever_is_refused(tmp_path: Path) -> None:
    stays = SCENARIOS / "tern-quay-tent-stays.yaml"
    sequence = "finishing.sequences.boards_first"
    (fault,) = faults_of(stays, f"{sequence}.trusses=[beam + 5 wd]", f"{sequence}.trenches=[slab]")
    assert (fault.path, fault.line) == ("relocation.tent_leaves", line_with(stays, "tent_leaves: roof"))
    assert fault.message.startswith("no task of A waits for released, so nothing says when the roof can go on there")
    # A road that is built once all other rows are released, and that the trusses of A need.
    path = tmp_path / "site.yaml"
    path.write_text(
        f"extends: {stays}\n"
        "site: {buildings: {B: {sequence: with_road}}}\n"
        "finishing:\n"
        "  tasks: {road: {per: site, crew: outside, time: 3}}\n"
        "  sequences:\n"
        "    with_road: {road: [released], trusses: [released]}\n"
        "    boards_first: {road: , trusses: [released, road]}\n"
        "relocation: {tent_leaves: roof}\n"
    )
    (fault,) = faults_of(path)
    assert (fault.path, fault.line) == ("relocation.tent_leaves", line_with(path, "tent_leaves: roof"))
    assert fault.message.startswith("the tent of A would stay until site/road, which waits for B/")
    assert fault.message.endswith("; a tent waits for its own building only")


def test_names_of_steps_are_free_where_they_are_not_played(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    own = "finishing:\n  tasks: {align: {crew: roof, time: 1}}\n  sequences: {boards_first: {align: [released]}}\n"
    path.write_text(f"extends: {DEMO}\n{own}")
    assert "A1/align" in {node.key for node in load(path).plan().nodes}
    path.write_text(f"extends: {IN_ONE_PIECE}\n{own}")
    assert [one.message for one in faults_of(path)] == ["align is a step of every printed building; take another name"]


@pytest.mark.parametrize(
    ("name", "sets", "cautions"),
    [
        ("in-one-piece", (), []),
        ("rails", (), []),
        ("telehandler", (), []),
        (
            "in-one-piece",
            ("relocation.gantry_moves=taken-down",),
            [
                "relocation.tasks: gantry_on and gantry_off are not played: with gantry_moves taken-down the gantry is "
                "set up and taken down in full on every slab."
            ],
        ),
        (
            "in-one-piece",
            ("printer.count=5",),
            [
                "relocation.tasks: gantry_travel, gantry_on and gantry_off are not played: no gantry comes to a second "
                "slab."
            ],
        ),
        (
            "rails",
            ("printer.count=5", "tent.count=5", "relocation.tasks.tent_travel={crew: rig, time: 1 h, speed: 1 km/h}"),
            [
                "relocation.tasks: gantry_travel and gantry_on are not played: no gantry comes to a second slab.",
                "relocation.tasks: tent_travel is not played: no tent comes to a second slab.",
            ],
        ),
        (
            "rails",
            ("relocation.gantry_lift=telehandler",),
            [
                "gantry_lift says telehandler, but neither gantry_up nor gantry_down asks for one (telehandler: "
                "true): nothing waits for it, and it is not paid."
            ],
        ),
    ],
)
def test_what_is_written_and_not_played_is_a_caution(name: str, sets: tuple[str, ...], cautions: list[str]) -> None:
    told = load(SCENARIOS / f"tern-quay-{name}.yaml", sets).cautions()
    assert [line for line in told if line.startswith(("relocation.tasks", "gantry_lift"))] == cautions
