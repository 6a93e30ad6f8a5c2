"""Do the finishing sequences hang together?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from sitesim.scenario.checks.case import Case, items
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.loose_ends import Waits, loose_ends
from sitesim.scenario.planning.shells import shell_events
from sitesim.scenario.sections.finishing import Finishing


def check_sequences(case: Case) -> None:
    """Sequences that are named exist, and so do their tasks and what these wait for."""
    finishing = case.model.finishing
    if finishing is None:
        for building, entry in case.model.site.buildings.items():
            if entry.sequence is not None:
                trail = ("site", "buildings", building, "sequence")
                case.say(trail, "there is no section finishing with sequences", ("finishing",))
        return
    _check_names(case, finishing)
    for name, waits in finishing.sequences.items():
        _check_tasks_of(case, finishing, name, waits)
        _check_waits(case, finishing, name, waits)
        _check_deliveries(case, finishing, name, waits)
        _check_milestones(case, finishing, name, waits)
        circle = find_circle(_graph(finishing, waits))
        if circle:
            trail = ("finishing", "sequences", name, circle[0])
            case.say(trail, f"waits for itself: {' -> '.join(circle)}")
        else:
            _check_islands(case, finishing, name)
    for name in finishing.tasks:
        if name in shell_events(case.model):
            case.say(("finishing", "tasks", name), f"{name} is a step of every printed building; take another name")


def _check_islands(case: Case, finishing: Finishing, name: str) -> None:
    """Every task of a building or home that stands on a slab is tied to the rest, before it or behind it.

    What is done once for the site may stand alone; it is told as a caution.
    """
    found = loose_ends(case.model, name)
    if not found.on_slab or not case.untouched(("finishing",)):
        return
    for island in found.islands:
        tasks = [finishing.tasks[task] for task in island]
        if any(task.per != "site" for task in tasks):
            does = (
                "is an island: it waits for nothing, and nothing"
                if len(island) == 1
                else (f"is an island with {items(island[1:])}: they wait for nothing else, and nothing else")
            )
            case.say(
                ("finishing", "sequences", name, island[0]),
                f"{does} waits for {'it' if len(island) == 1 else 'them'}, so it would begin before there is a slab; "
                "let it wait for slab, or for what it follows",
            )


def find_circle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """Give names each of which waits for the next, the first again at the end; empty if there is no circle."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle: list[str] = list(reversed(error.args[1]))
        return circle
    return []


def _check_names(case: Case, finishing: Finishing) -> None:
    known = list(finishing.sequences)
    named: list[tuple[Trail, str | None]] = [(("finishing", "sequence"), finishing.sequence)]
    named += [
        (("site", "buildings", building, "sequence"), entry.sequence)
        for building, entry in case.model.site.buildings.items()
    ]
    for trail, name in named:
        if name is not None and name not in known:
            case.say(trail, f"there is no sequence {name}: {nearest(name, known)}", ("finishing", "sequences"))
    if finishing.sequence is None and len(known) > 1:
        case.say(("finishing", "sequence"), f"is missing; which of {items(known)} is played?")
    if not known:
        case.say(("finishing", "sequences"), "has no sequence; write what each task waits for")


def _check_tasks_of(case: Case, finishing: Finishing, name: str, waits: Waits) -> None:
    for task in waits:
        if task not in finishing.tasks:
            case.say(
                ("finishing", "sequences", name, task),
                f"there is no task {task} in finishing.tasks: {nearest(task, finishing.tasks)}",
                ("finishing", "tasks"),
            )


def _check_waits(case: Case, finishing: Finishing, name: str, waits: Waits) -> None:
    for task, afters in waits.items():
        trail = ("finishing", "sequences", name, task)
        for after in afters:
            known = _awaitable(case, finishing, name, waits)
            if after.task in known:
                continue
            if after.task in finishing.tasks:
                case.say(trail, f"waits for {after.task}, which is not in the sequence {name}")
            else:
                case.say(trail, f"waits for {after.task}, which is not known: {nearest(after.task, known)}", ("wall",))


def _awaitable(case: Case, finishing: Finishing, name: str, waits: Waits) -> list[str]:
    """List what a task of a sequence may wait for in every building that plays it."""
    played = [b for b in case.model.site.buildings if case.model.sequence_of(b) == name]
    events = [_events(case, building) for building in played or case.model.site.buildings]
    common = [event for event in (events[0] if events else []) if all(event in other for other in events)]
    return [*waits, *common]


def _events(case: Case, building: str) -> list[str]:
    """List what the shell of a building lets others wait for."""
    wall = case.model.wall_of(building)
    if wall is not None:
        return [*shell_events(case.model), *wall.shell_tasks]
    return ["slab"] if case.model.site.buildings[building].slab is not None else []


def _check_deliveries(case: Case, finishing: Finishing, name: str, waits: Waits) -> None:
    if name not in {case.model.sequence_of(building) for building in case.model.site.buildings}:
        return
    known = _awaitable(case, finishing, name, waits)
    for task in waits:
        entry = finishing.tasks.get(task)
        if entry is None or entry.delivery is None:
            continue
        trail = ("finishing", "tasks", task, "delivery", "ordered_after")
        ordered = [after.task for after in entry.delivery.ordered_after]
        if not any(other in known for other in ordered):
            near = nearest(items(ordered), known)
            case.say(trail, f"{items(ordered)} is not in the sequence {name}: {near}", ("wall",))


def _check_milestones(case: Case, finishing: Finishing, name: str, waits: Waits) -> None:
    own = ("slab", "walls", "beam", "cure", "strength", "released")
    events = shell_events(case.model)
    taken = {event: "a printed building" for event in own if event in events}
    for task in waits:
        entry = finishing.tasks.get(task)
        if entry is None or entry.milestone is None:
            continue
        if entry.milestone in taken:
            trail = ("finishing", "tasks", task, "milestone")
            case.say(trail, f"{entry.milestone} is a milestone of {taken[entry.milestone]} already; take another name")
        taken[entry.milestone] = task


def _graph(finishing: Finishing, waits: Waits) -> dict[str, list[str]]:
    """Give for each task of a sequence the tasks that it waits for, its delivery's included."""
    graph: dict[str, list[str]] = {}
    for task, afters in waits.items():
        entry = finishing.tasks.get(task)
        ordered = entry.delivery.ordered_after if entry is not None and entry.delivery is not None else ()
        graph[task] = [after.task for after in (*afters, *ordered)]
    return graph
