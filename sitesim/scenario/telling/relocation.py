"""How gantry and tent come, move and leave, said back in words, with what is assumed of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from sitesim.plan import Plan, Shell, UnitKind
from sitesim.policies import GantryMoves, Relocation, SetUpOrder, TakeDown
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.units import lifting_machines_of, works_in_play
from sitesim.scenario.sections.relocation import RelocationEntry, TravelWork
from sitesim.scenario.sections.wall import Wall
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
    """Say what is assumed of coming to the site, of moves between slabs, of strength and of a second tent."""
    entry, relocation = model.relocation, plan.relocation
    if entry is None or relocation is None:
        return
    yield (
        "Gantry and tent are there when they are first asked for; bringing them to the site and away from it takes no "
        "time here, and costs what the scenario says of mobilisation, if anything."
    )
    if entry.tasks.test_bead is not None:
        yield (
            "A test bead takes its time alone: the concrete for it, priming and wash-out included, is mixed apart and "
            "neither in the balance of concrete nor in the cost."
        )
    if entry.strength is not None:
        yield _ripening_of(entry)
    if relocation.in_one_piece:
        yield (
            "A gantry that has left its slab in one piece stands beside it and in nobody's way until the next building "
            "asks for it; what carries it there, and the ground under it, are not checked here."
        )
    yield from _which_of_several(relocation, plan)
    yield from _second_tent(relocation, [building.shell for building in plan.buildings if building.shell], plan)


def _which_of_several(relocation: Relocation, plan: Plan) -> Iterator[str]:
    """Say which gantry or tent a building is given where several of a group are free."""
    shells = [building.shell for building in plan.buildings if building.shell is not None]
    of_kind = Counter(unit.kind for unit in plan.units)
    several = [
        thing
        for thing, kind in (("gantry", UnitKind.PRINTER), ("tent", UnitKind.TENT))
        if any((len(shell.served_by[kind]) if kind in shell.served_by else of_kind[kind]) > 1 for shell in shells)
    ]
    if several:
        kept = (
            " A gantry that is not on the site yet is not fetched where those that stand there in one piece will do."
            if "gantry" in several and relocation.in_one_piece
            else ""
        )
        yield (
            f"Where more than one {' or '.join(several)} is free, a building is given the one that is expected to be "
            f"on its slab soonest, by its way and its steps; of several as near, the one idle longest.{kept}"
        )


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


def caution_about_moves(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say which tasks of moves are written and never played, and which machine lifts in words alone."""
    entry, relocation = model.relocation, plan.relocation
    if entry is None or relocation is None:
        return
    written = entry.tasks.written
    unknown = [step for step in written if step not in entry.in_play]
    if unknown:
        yield (
            f"{_tasks(unknown)} not played: with gantry_moves {entry.gantry_moves} the gantry is set up and taken down "
            "in full on every slab."
        )
    for thing, kind, what in (("printer", UnitKind.PRINTER, "gantry"), ("tent", UnitKind.TENT, "tent")):
        first = {*relocation.coming(thing, again=False), *relocation.going(thing, again=False)}
        further = {*relocation.may_come(thing), *relocation.may_go(thing)} - first
        idle = [step for step in written if step in further]
        if idle and not _come_again(plan, kind):
            yield f"{_tasks(idle)} not played: no {what} comes to a second slab."
    needed = UnitKind(entry.gantry_lift)
    if not any(needed in lifting_machines_of(written[step]) for step in ("gantry_up", "gantry_down")):
        yield (
            f"gantry_lift says {needed}, but neither gantry_up nor gantry_down asks for one ({needed}: true): nothing "
            "waits for it, and it is not paid."
        )

    under_tent = sorted({name for wall in model.walls.values() for name in _under_tent(wall, entry.tent_leaves)})
    if under_tent:
        yield (
            f"The crane is asked for by {together(name.replace('_', ' ') for name in under_tent)} while the tent "
            "stands: no crane lifts under a raised tent, so say how else it is done, or let the tent leave before."
        )


def _under_tent(wall: Wall, tent_leaves: TakeDown) -> Iterator[str]:
    """Name the tasks of a wall that ask for the crane and are done before the tent may leave."""
    done = [name for hold in wall.holds for name in hold.tasks]
    if tent_leaves is not TakeDown.WALLS:
        until = len(wall.finish) if tent_leaves is not TakeDown.BEAM else wall.finish.index(wall.pour) + 1
        done += wall.finish[:until]
    return (name for name in done if wall.tasks[name].crane)


def _tasks(steps: Sequence[str]) -> str:
    return f"relocation.tasks: {together(steps)} {'is' if len(steps) == 1 else 'are'}"


def _come_again(plan: Plan, kind: UnitKind) -> bool:
    """Tell whether there are more slabs than machines of a kind, on any front."""
    every = tuple(i for i, unit in enumerate(plan.units) if unit.kind is kind)
    groups = Counter(building.shell.served_by.get(kind, every) for building in plan.buildings if building.shell)
    return any(slabs > len(group) for group, slabs in groups.items())
