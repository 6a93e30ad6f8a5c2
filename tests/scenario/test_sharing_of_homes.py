"""Trades that must not share a home, and crowding, as a scenario says it."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import SCENARIOS, changed, lines_of

from sitesim.plan import Crowding, Sharing
from sitesim.scenario import load

SEQUENCE = "  sequence: usual\n"
ROOF = "    roof: {per: building, crew: roof,"
PAINT = "    paint: {crew: finishers,"


def finishing_with(folder: Path, more: str, *changes: tuple[str, str]) -> Path:
    return changed(folder, (SEQUENCE, f"{SEQUENCE}  {more}\n"), *changes)


def test_nothing_is_ruled_unless_it_is_written(tmp_path: Path) -> None:
    assert load(changed(tmp_path)).plan().sharing is None


def test_rules_are_read_by_tasks_and_by_skills(tmp_path: Path) -> None:
    path = finishing_with(
        tmp_path,
        "apart: [[paint, services], [roof, boards, windows]]\n"
        "  crowding: {home: {each: 15 %}, building: {above: 4, each: 0.05}}",
        (ROOF, f"{ROOF} outside: true,"),
        (PAINT, f"{PAINT} alone: true,"),
    )
    assert load(path).plan().sharing == Sharing(
        alone=frozenset({"paint"}),
        apart=frozenset(
            map(
                frozenset,
                (("paint", "services"), ("roof", "boards"), ("roof", "windows"), ("boards", "windows")),
            )
        ),
        outside=frozenset({"roof"}),
        in_home=Crowding(1, 0.15),
        in_building=Crowding(4, 0.05),
    )


def test_a_skill_means_all_its_tasks(tmp_path: Path) -> None:
    # Services is a task and a skill: the task counts. Finishers is a skill of windows, boards and paint.
    sharing = load(finishing_with(tmp_path, "apart: [[services, finishers]]")).plan().sharing
    assert sharing is not None
    assert sharing.apart == frozenset(frozenset({"services", task}) for task in ("windows", "boards", "paint"))


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (
            "apart: [[paint, bords]]",
            "finishing.apart.0: bords is neither a task nor a skill of one: did you mean boards?",
        ),
        ("apart: [[paint]]", "finishing.apart.0: paint keeps apart from nobody; name two or more"),
        ("apart: [[paint, paint]]", "finishing.apart.0: paint, paint keeps apart from nobody"),
        ("apart: [[paint, finishers]]", "finishing.apart.0: paint and finishers cannot keep apart: paint is of both"),
        ("crowding: {home: {each: 0}}", "finishing.crowding.home.each: 0 is too little"),
        ("crowding: {home: {above: 0, each: 15 %}}", "finishing.crowding.home.above: 0 is too little"),
        ("crowding: {home: {above: 2}}", "finishing.crowding.home.each: is missing"),
        ("crowding: {hom: {each: 15 %}}", "finishing.crowding.hom: is not known here: did you mean home?"),
    ],
)
def test_rules_that_cannot_be_are_told(tmp_path: Path, more: str, fault: str) -> None:
    path = finishing_with(tmp_path, more)
    (line,) = lines_of(path)
    assert fault in line
    assert line.startswith("site.yaml:")


@pytest.mark.parametrize(
    ("before", "after", "fault"),
    [
        (
            "certificate: {time: [3, 5, 9],",
            "certificate: {alone: true, time: [3, 5, 9],",
            "finishing.tasks.certificate.alone: nobody of the crews does this task, so it occupies no home",
        ),
        (
            ROOF,
            f"{ROOF} alone: true, outside: true,",
            "finishing.tasks.roof.alone: is alone in a home, but done outside; leave one of them out",
        ),
        (
            ROOF,
            "    roof: {per: site, alone: true, crew: roof,",
            "finishing.tasks.roof.alone: is done once for the site, and occupies no home",
        ),
    ],
)
def test_who_is_nowhere_is_not_alone(tmp_path: Path, before: str, after: str, fault: str) -> None:
    assert any(fault in line for line in lines_of(changed(tmp_path, (before, after))))


def test_rules_are_said_back_with_what_is_assumed() -> None:
    scenario = load(SCENARIOS / "tern-quay-trades-apart.yaml")
    said = scenario.description()
    assert "During foam and kitchen floors nobody else works in the home." in said
    assert "Never in one home at the same time: windows and services." in said
    assert "Crowding: each gang above the first in a home makes what is begun take 15 % longer." in said
    assumed = "\n".join(scenario.assumptions())
    assert "keeps nobody out meanwhile, and may be passed" in assumed
    assert "those at work keep their pace" in assumed
    assert "occupies all its homes" not in assumed  # all that is done for a whole building is outside here


def test_nobody_enters_while_foam_is_sprayed_on_the_demo() -> None:
    from rigs import play_plan

    plan = load(SCENARIOS / "tern-quay-trades-apart.yaml").plan()
    for run in range(2):
        at_work = [
            (entry, plan.nodes[entry.node])
            for entry in play_plan(plan, run=run).ledger.entries
            if entry.node >= 0 and entry.units and plan.nodes[entry.node].home and entry.start < entry.end
        ]
        for entry, node in at_work:
            others = [other for other, at in at_work if at.home == node.home and other is not entry]
            if node.task.name in ("foam", "kitchen_floors"):
                assert all(other.end <= entry.start or other.start >= entry.end for other in others)
