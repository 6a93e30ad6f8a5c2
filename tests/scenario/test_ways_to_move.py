"""How gantry and tent come, move and leave, from what is written into the plan, and said back."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, IN_ONE_PIECE, INSIDE, SCENARIOS, STRENGTH, faults_of

from sitesim.plan import Cause, Law, Node, Plan, Shell, UnitKind
from sitesim.policies import GantryMoves, SetUpOrder, TakeDown
from sitesim.scenario import load
from sitesim.site import Stage, play


def shell_of(plan: Plan, building: int = 0) -> Shell:
    shell = plan.buildings[building].shell
    assert shell is not None
    return shell


def story_of(plan: Plan, building: int = 0) -> list[str]:
    return [node.task.name for node in plan.nodes if node.building == building and node.told]


def node_at(plan: Plan, key: str) -> Node:
    return next(node for node in plan.nodes if node.key == key)


def after(plan: Plan, key: str) -> set[str]:
    return {plan.nodes[index].key for index in node_at(plan, key).after}


def test_a_tent_that_stays_waits_for_all_that_the_roof_waits_for() -> None:
    plan = load(SCENARIOS / "tern-quay-tent-stays.yaml").plan()
    assert after(plan, "A/tent_down") == {"A/ballast_off", "A/cure", "A/beam + 5 wd"}
    stays = shell_of(plan).stays_for
    assert [plan.nodes[index].key for index in stays["tent"]] == ["A/beam + 5 wd"]
    assert after(plan, "A/trusses") == {"A/released", "A/beam + 5 wd"}


def test_what_comes_after_the_release_does_not_keep_the_tent(tmp_path: Path) -> None:
    # The deck waits for the release too, and for the trusses, which wait for it: the tent stays for neither.
    path = tmp_path / "site.yaml"
    path.write_text(
        f"extends: {SCENARIOS / 'tern-quay-tent-stays.yaml'}\n"
        "finishing:\n  sequences:\n    boards_first:\n"
        '      deck: [released, trusses]\n      trusses: ["released + 1 d", beam + 5 wd, slab + 40 d]\n'
    )
    plan = load(path).plan()
    awaited = [plan.nodes[index].key for index in shell_of(plan).stays_for["tent"]]
    assert awaited == ["A/beam + 5 wd", "A/slab + 40 d"]


def test_a_gantry_that_leaves_by_a_late_strength_keeps_the_tent() -> None:
    # A strength that is reached long after the cure: the roof waits for the gantry to go, and so does the tent.
    late = "relocation.strength={reached: 9000 delta_degC*h, datum: 0 degC}"
    scenario = load(SCENARIOS / "tern-quay-tent-stays.yaml", (late, "relocation.gantry_leaves=strength"))
    plan = scenario.plan()
    awaited = {plan.nodes[index].key for index in shell_of(plan).stays_for["tent"]}
    assert awaited == {"A/ballast_off", "A/beam + 5 wd"}
    assert any("stays until the cure and ballast off and beam + 5 wd" in line for line in scenario.description())
    played = play(Stage(plan), 1, 0)
    begun = {entry.key: entry.start for entry in reversed(played.ledger.entries)}
    for building in "ABCDE":
        assert begun[f"{building}/tent_down"] >= begun[f"{building}/ballast_off"] > begun[f"{building}/cure"]


def test_ordered_material_keeps_the_tent_until_it_has_come(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_text(
        f"extends: {SCENARIOS / 'tern-quay-tent-stays.yaml'}\n"
        "finishing: {tasks: {trusses: {delivery: {ordered_after: walls, lead: [10, 12, 20]}}}}\n"
    )
    plan = load(path).plan()
    awaited = {plan.nodes[index].key for index in shell_of(plan).stays_for["tent"]}
    assert awaited == {"A/beam + 5 wd", "A/trusses delivery"}
    played = play(Stage(plan), 1, 0)
    ended = {plan.nodes[index].key: at for index, at in played.ledger.ended.items()}
    entries = {entry.key: entry for entry in played.ledger.entries}
    last = max(ended["A/cure"], ended["A/beam + 5 wd"], ended["A/trusses delivery"])
    assert entries["A/tent_down"].ready == last


def test_strength_is_a_maturity_of_the_walls(tmp_path: Path) -> None:
    sets = [STRENGTH, "relocation.gantry_leaves=strength", "relocation.tent_leaves=strength"]
    plan = load(DEMO, sets).plan()
    node = node_at(plan, "A/strength")
    ripening = node.task.ripening
    assert ripening is not None
    assert (ripening.law, ripening.target, ripening.datum) == (Law.MATURITY, 1400.0, 0.0)
    assert ripening.shelter is not None  # the tent stands until then
    assert after(plan, "A/strength") == {"A/walls"}
    assert after(plan, "A/tent_down") == {"A/strength"}
    assert after(plan, "A/gantry_down") == {"A/tent_down"}
    assert after(plan, "A/cage") == {"A/walls"}  # goes on meanwhile
    assert after(plan, "A/released") == {"A/gantry_down", "A/cure"}
    assert (node.milestone, node.told) == ("strength", False)


def test_strength_counts_in_the_open_where_the_tent_may_have_left() -> None:
    sets = [STRENGTH, *INSIDE, "relocation.gantry_leaves=strength", "relocation.tent_leaves=cure"]
    plan = load(DEMO, sets).plan()
    ripening = node_at(plan, "A/strength").task.ripening
    assert ripening is not None
    assert ripening.shelter is None


def test_a_strength_may_be_waited_for_by_the_roof() -> None:
    sets = [STRENGTH, "finishing.sequences.boards_first.trusses=[released, strength]"]
    plan = load(DEMO, sets).plan()
    assert after(plan, "A/trusses") == {"A/released", "A/strength"}


def test_the_steps_of_a_move_stand_in_their_places() -> None:
    plan = load(IN_ONE_PIECE).plan()
    assert plan.relocation is not None
    assert plan.relocation.gantry_moves is GantryMoves.CRANE
    told = story_of(plan)
    assert told[:7] == ["gantry_travel", "gantry_up", "gantry_on", "tent_up", "align", "calibrate", "test_bead"]
    assert told[told.index("cure") :] == ["cure", "tent_down", "gantry_off", "gantry_down", "released"]
    assert plan.print_day is not None
    ranks = {node.task.name: node.task.rank for node in plan.nodes if node.building == 0}
    assert ranks["test_bead"] < plan.print_day.rank < ranks["grout_lift"]
    # 1 km/h is 1 h for each 1000 m; 16 m from row to row.
    assert node_at(plan, "B/gantry_travel").task.pace == pytest.approx(0.001)
    assert [building.at for building in plan.buildings][:2] == [(0.0, 0.0), (0.0, 16.0)]


def test_a_test_bead_is_accepted_before_the_first_print_day() -> None:
    plan = load(IN_ONE_PIECE).plan()
    inspection = node_at(plan, "A/test_bead").task.inspection
    assert inspection is not None
    assert plan.inspectors[inspection.inspector].name == "special"
    entries = {entry.key: entry for entry in play(Stage(plan), 1, 0).ledger.entries}
    seen = [entry.end for key, entry in entries.items() if key.startswith("A/test_bead inspection")]
    assert seen
    assert entries["A/print day 1"].start >= max(seen)


def test_ballast_and_telehandler_come_with_the_tent_first() -> None:
    plan = load(SCENARIOS / "tern-quay-telehandler.yaml").plan()
    assert plan.relocation is not None
    assert plan.relocation.order is SetUpOrder.TENT_FIRST
    told = story_of(plan)
    assert told[:4] == ["tent_up", "ballast", "gantry_up", "calibrate"]
    assert told[told.index("beam") :] == ["beam", "gantry_down", "ballast_off", "cure", "tent_down", "released"]
    needed = [[plan.units[unit].name for unit in group] for group in node_at(plan, "A/gantry_up").task.needs]
    assert needed == [["shell"], ["telehandler"]]
    unit = next(unit for unit in plan.units if unit.kind is UnitKind.TELEHANDLER)
    assert (unit.rate, unit.waiting_rate, unit.on_call, unit.hours) == (110.0, 110.0, True, "site")


def test_waiting_for_the_telehandler_is_told_as_such() -> None:
    # Two fronts of one row each share a telehandler that both want on the first morning.
    sets = (
        "site.fronts={west: [A, C, E], east: [B, D]}",
        "site.buildings.B.slab=2027-03-01",
        "crews.shell.count=2",
        "crane.count=2",
        "trouble.weather.none=true",
    )
    plan = load(SCENARIOS / "tern-quay-telehandler.yaml", sets).plan()
    causes = {hold.cause for entry in play(Stage(plan), 1, 0).ledger.entries for hold in entry.holds}
    assert Cause.TELEHANDLER in causes


def test_a_gang_may_still_be_called_telehandler(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_text(
        f"extends: {DEMO}\ncrews: {{telehandler: {{rate: 110}}}}\n"
        "relocation: {tasks: {ballast: {crew: telehandler, time: 1}}}\n"
    )
    assert "telehandler" in [unit.name for unit in load(path).plan().units]
    faults = [str(fault) for fault in faults_of(path, "relocation.tasks.ballast.telehandler=true")]
    assert len(faults) == 1
    assert "crews.telehandler: the name telehandler is that of a machine; take another" in faults[0]


def test_fronts_have_gantries_and_tents_of_their_own() -> None:
    sets = ("site.fronts={west: [C, A, E], east: [D, B]}", "printer.count={west: 2, east: 1}", "tent.count=1")
    plan = load(DEMO, (*sets, "site.buildings.C.slab=2027-03-01")).plan()
    assert [building.name for building in plan.buildings] == ["C", "D", "A", "B", "E"]  # one of each front in turn
    machines = [unit.name for unit in plan.units if unit.kind in (UnitKind.PRINTER, UnitKind.TENT)]
    assert machines == ["printer west 1", "printer west 2", "printer east", "tent west", "tent east"]
    served = {
        building.name: [plan.units[unit].name for unit in shell_of(plan, place).served_by[UnitKind.PRINTER]]
        for place, building in enumerate(plan.buildings)
    }
    west, east = ["printer west 1", "printer west 2"], ["printer east"]
    assert served == {"A": west, "C": west, "E": west, "B": east, "D": east}
    told = load(DEMO, sets).description()
    assert "Front west: C, A, E, in this order, with gantries and tents of its own." in told


def test_without_fronts_any_gantry_serves_any_building() -> None:
    plan = load(DEMO, ["printer.count=2", "tent.count=2"]).plan()
    printers = tuple(i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.PRINTER)
    assert all(shell_of(plan, place).served_by[UnitKind.PRINTER] == printers for place in range(5))


def test_moves_are_said_back() -> None:
    told = "\n".join(load(IN_ONE_PIECE).description())
    for words in (
        "The gantry leaves a building after its cure, the tent after its cure.",
        "Between slabs a crane lifts the gantry in one piece; it is set up and taken down once.",
        # [30, 45, 90] min make 50 min on average.
        "The gantry's way from slab to slab takes 6 min for each 100 m in a straight line, and 50 min on average",
        "The crane lifts 8,000 kg at its working radius; heaviest pieces: gantry up 800 kg, gantry down 800 kg, gantry "
        "on 6,000 kg and gantry off 6,000 kg.",
    ):
        assert words in told, words


def test_tents_and_strength_are_said_back() -> None:
    told = "\n".join(load(SCENARIOS / "tern-quay-tent-stays.yaml").description())
    assert "the tent when nothing but the tent keeps its roof from going on." in told
    assert "The tent of A, B, C, D and E stays until the cure and beam + 5 wd; then it is struck" in told
    scenario = load(DEMO, [STRENGTH])
    assert any("at 1400 °C·h of the walls above 32 °F" in line for line in scenario.description())
    assert any("it only says when to ask the engineer" in line for line in scenario.assumptions())


@pytest.mark.parametrize(
    ("path", "sets", "words"),
    [
        (DEMO, ("tent.count=2",), "a spare tent can never be raised ahead"),
        (SCENARIOS / "tern-quay-rails.yaml", (), "it cannot be raised ahead of the gantry"),
        (SCENARIOS / "tern-quay-second-tent.yaml", (), "while the gantry still prints elsewhere"),
    ],
)
def test_what_a_second_tent_gains_is_said(path: Path, sets: tuple[str, ...], words: str) -> None:
    assert any(words in line for line in load(path, sets).assumptions())
    assert not any("more tents than gantries" in line for line in load(DEMO).assumptions())


def test_with_fronts_a_gantry_comes_again_if_it_does_on_any_of_them() -> None:
    travel = "relocation.tasks.gantry_travel={crew: rig, time: 1 h, speed: 1 km/h}"

    def told(west: int) -> bool:
        sets = (travel, f"printer.count={{west: {west}, east: 6}}")
        cautions = load(SCENARIOS / "curlew-fields.yaml", sets).cautions()
        return any(line.startswith("relocation.tasks: gantry_travel is not played") for line in cautions)

    assert not told(west=5)
    assert told(west=6)


def test_a_machine_that_lifts_in_no_task_that_is_played_is_not_hired() -> None:
    sets = ("relocation.tasks.gantry_on={crew: rig, telehandler: true, time: 1 h}",)
    assert UnitKind.TELEHANDLER not in {unit.kind for unit in load(DEMO, sets).plan().units}


def test_what_is_left_out_of_moves_is_assumed() -> None:
    bead = "A test bead takes its time alone"
    assert not any(line.startswith(bead) for line in load(DEMO).assumptions())
    assert any(line.startswith(bead) for line in load(IN_ONE_PIECE).assumptions())
    assert any(line.startswith("Gantry and tent are there when") for line in load(DEMO).assumptions())


@pytest.mark.parametrize("name", ["telehandler", "second-tent", "tent-stays", "in-one-piece", "rails"])
def test_each_scenario_is_played_to_its_end(name: str) -> None:
    plan = load(SCENARIOS / f"tern-quay-{name}.yaml").plan()
    stage = Stage(plan)
    for run in range(3):
        played = play(stage, 1, run)
        assert played.finished
        assert played.ledger.ended.keys() == {node.index for node in plan.nodes}


@pytest.mark.parametrize("leaves", [event for event in TakeDown if event is not TakeDown.ROOF])
@pytest.mark.parametrize("tent", list(TakeDown))
def test_a_gantry_on_rails_leaves_when_it_likes(leaves: TakeDown, tent: TakeDown) -> None:
    sets = (STRENGTH, f"relocation.gantry_leaves={leaves}", f"relocation.tent_leaves={tent}")
    assert play(Stage(load(SCENARIOS / "tern-quay-rails.yaml", sets).plan()), 1, 0).finished


def test_which_of_several_is_given_is_said() -> None:
    said = "Where more than one {} is free, a building is given the one that is expected to be on its slab soonest"
    demo = load(DEMO).assumptions()
    assert not any(line.startswith("Where more than one") for line in demo)
    tents = load(DEMO, ["tent.count=2"]).assumptions()
    assert any(line.startswith(said.format("tent")) and "one piece" not in line for line in tents)
    pieces = load(IN_ONE_PIECE, ["printer.count=2", "tent.count=2"]).assumptions()
    assert any(line.startswith(said.format("gantry or tent")) and "in one piece will do" in line for line in pieces)
