"""How gantry and tent come, move and leave, said back in words, with what is assumed of it."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.plan import Plan, Shell, UnitKind
from sitesim.policies import GantryMoves, Relocation, SetUpOrder, TakeDown
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.units import lifting_machines_of, works_in_play
from sitesim.scenario.sections.relocation import RelocationEntry, TravelWork
from sitesim.scenario.telling.measures import Measures, minutes, together

_LEAVES = {
    TakeDown.WALLS: "after its walls",
    TakeDown.BEAM: "after its beam",
    TakeDown.CURE: "after its cure",
    TakeDown.STRENGTH: "once its walls have their maturity",
    TakeDown.ROOF: "when nothing but the tent keeps its roof from going on",
}
_MOVES = {
    GantryMoves.RAILS: "Between slabs the gantry is rolled on rails in one piece; it is set up and taken down once.",
    GantryMoves.CRANE: "Between slabs a crane lifts the gantry in one piece; it is set up and taken down once.",
}


def tell_relocation(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Say how gantry and tent are set up, move and leave, and what lifts how much."""
    entry, relocation = model.relocation, plan.relocation
    if entry is None or relocation is None:
        return
    if entry.order is SetUpOrder.GANTRY_FIRST:
        method = f"the gantry is set by {entry.gantry_lift} and the tent raised over it"
    else:
        method = f"the tent is raised first and the gantry assembled inside by {entry.gantry_lift}"
    yield (
        f"Set-up: {method}. The gantry leaves a building {_LEAVES[entry.gantry_leaves]}, the tent "
        f"{_LEAVES[entry.tent_leaves]}."
    )
    if entry.gantry_moves in _MOVES:
        yield _MOVES[entry.gantry_moves]
    if entry.strength is not None:
        yield (
            f"The engineer is asked about release at {entry.strength.reached:g} °C·h of the walls above "
            f"{measures.temperature(entry.strength.datum)}, counted from their last layer."
        )
    yield from _staying(plan)
    yield from _travel(model)
    yield from _lifting(model)


def _staying(plan: Plan) -> Iterator[str]:
    """Say what the tents that stay for the roof wait for, alike buildings together."""
    alike: dict[str, list[str]] = {}
    for building in plan.buildings:
        shell = building.shell
        if shell is not None and "tent" in shell.stays_for:
            awaited = [plan.nodes[index].key.partition("/")[2].replace("_", " ") for index in shell.stays_for["tent"]]
            besides = f" and {together(dict.fromkeys(awaited))}" if awaited else ""
            alike.setdefault(besides, []).append(building.name)
    for besides, names in alike.items():
        yield f"The tent of {together(names)} stays until the cure{besides}; then it is struck and the roof follows."


def _travel(model: ScenarioModel) -> Iterator[str]:
    for step, what in (("gantry_travel", "gantry"), ("tent_travel", "tent")):
        work = model.moving_tasks.get(step)
        if isinstance(work, TravelWork):
            yield (
                f"The {what}'s way from slab to slab takes {minutes(100.0 * work.pace)} for each 100 m in a straight "
                f"line, and {minutes(work.time.mean)} on average to load and unload; not when it comes to the site."
            )


def _lifting(model: ScenarioModel) -> Iterator[str]:
    for kind, machine in ((UnitKind.CRANE, model.crane), (UnitKind.TELEHANDLER, model.telehandler)):
        lifts = machine.lifts
        if lifts is None:
            continue
        heaviest = {
            name.replace("_", " "): work.lifts
            for name, work in works_in_play(model)
            if kind in lifting_machines_of(work) and work.lifts is not None
        }
        told = together(f"{name} {mass:,.0f} kg" for name, mass in heaviest.items())
        yield f"The {kind} lifts {lifts:,.0f} kg at its working radius{f'; heaviest pieces: {told}' if told else ''}."


def assume_relocation(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say what is assumed of moves between slabs, of strength and of a second tent."""
    entry, relocation = model.relocation, plan.relocation
    if entry is None or relocation is None:
        return
    if entry.strength is not None:
        yield _ripening_of(entry)
    if relocation.in_one_piece:
        yield (
            "A gantry that has left its slab in one piece stands beside it and in nobody's way until the next building "
            "asks for it; what carries it there, and the ground under it, are not checked here."
        )
    yield from _second_tent(relocation, [building.shell for building in plan.buildings if building.shell], plan)


def _ripening_of(entry: RelocationEntry) -> str:
    where = "in the tent" if entry.tent_leaves in (TakeDown.STRENGTH, TakeDown.ROOF) else "in the open, to be careful"
    return (
        f"The walls' maturity after Nurse and Saul is summed from the air {where}; it only says when to ask the "
        "engineer for release, and gantry or tent then leave as if it were given at once."
    )


def _second_tent(relocation: Relocation, shells: list[Shell], plan: Plan) -> Iterator[str]:
    """Say what more tents than gantries are worth under the method."""
    kinds = [unit.kind for unit in plan.units]
    if not shells or kinds.count(UnitKind.TENT) <= kinds.count(UnitKind.PRINTER):
        return
    if relocation.tent_goes_first:
        yield (
            "There are more tents than gantries, but the gantry comes first onto a slab, and its tent is struck before "
            "it can leave: a spare tent can never be raised ahead, and saves no more than the way of the other."
        )
    elif relocation.order is SetUpOrder.GANTRY_FIRST:
        yield (
            "There are more tents than gantries: a gantry leaves on its rails while its tent stays, and a spare one is "
            "raised over it on the next slab; it cannot be raised ahead of the gantry."
        )
    else:
        yield (
            "There are more tents than gantries: the spare tent is raised on the next slab that is ready, in building "
            "order, while the gantry still prints elsewhere."
        )
