"""The print days alone: the same days, weather, stops, trucks and luck, and nobody else who could hold them up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from sitesim.chance import Fixed
from sitesim.plan.printing import Wall
from sitesim.plan.site import Building, Fortune, Plan, Shell, StartingState
from sitesim.plan.work import Node, Task


def printing_only(plan: Plan) -> Plan:
    """Give the plan of the print days alone.

    Steps between print days (set up, calibrate, holds, finish, cure, take down) take their expected open hours in the
    calendar of their first gang, need nobody, wait for no weather and fail no inspection. Gangs are there whenever
    their work is ready. What does not come before the release of gantry and tent is left out. The print days, the
    weather, stops, trucks and the keys of all luck are as they were.
    """
    kept = _with_all_before(plan.nodes, (index for shell in _shells(plan) for index in _steps(shell)))
    places = {old: new for new, old in enumerate(kept)}
    printed = [index for index, building in enumerate(plan.buildings) if building.shell is not None]
    buildings = {old: new for new, old in enumerate(printed)}
    return replace(
        plan,
        nodes=tuple(_alone(plan, plan.nodes[index], places, buildings) for index in kept),
        buildings=tuple(_moved(plan.buildings[index], places) for index in printed),
        units=tuple(replace(unit, flow=None) for unit in plan.units),
        fortune=Fortune(0.0, 0.0),
        sharing=None,
    )


def one_print_day(plan: Plan, building: str, from_layer: int, day: date) -> Plan:
    """Give the plan of one print day: that of one building, begun on a date with the layers below in place.

    The concrete of that day was ordered the day before; the run begins at its midnight. A run finishes when the day
    reaches its target; one that does not is unfinished at the end of the day.

    Parameters: ``plan``, any plan; ``building``, the name of a printed building; ``from_layer``, the day's first layer,
    counted from 1. Raises ValueError if there is no such building or layer.
    """
    alone = printing_only(plan)
    names = [one.name for one in alone.buildings]
    if building not in names:
        raise ValueError(f"{building} is not a printed building; there are {', '.join(names)}")
    place = names.index(building)
    found = alone.buildings[place]
    assert found.shell is not None
    if not 1 <= from_layer <= found.shell.wall.layers:
        raise ValueError(f"layer {from_layer}: the wall of {building} has layers 1 to {found.shell.wall.layers}")
    target = day_target(found.shell, from_layer - 1)
    held = {layer: steps for layer, steps in found.shell.holds.items() if layer == target}
    left_out = {step for layer, steps in found.shell.holds.items() if layer not in held for step in steps}
    of_building = [index for index in _with_all_before(alone.nodes, _steps(found.shell)) if index not in left_out]
    places = {old: new for new, old in enumerate(of_building)}
    nodes = tuple(_alone(alone, alone.nodes[index], places, {place: 0}, not_before=0.0) for index in of_building)
    only = _moved(replace(found, shell=replace(found.shell, holds=held)), places)
    assert only.shell is not None
    only = replace(only, shell=replace(only.shell, wall=_cut_at(only.shell.wall, target)))
    assert only.shell is not None
    # Whatever comes before and after the day takes no time here, so that reaching its target ends the run.
    played = {only.shell.walls, only.shell.released}
    return replace(
        alone,
        start=day,
        days=1,
        nodes=nodes,
        buildings=(only,),
        state=StartingState(
            done=frozenset(node.key for node in nodes if node.index not in played),
            layers=((building, from_layer - 1),),
            ordered=frozenset({building}),
        ),
    )


def day_target(shell: Shell, done: int) -> int:
    """Name the layer at which a day that begins with ``done`` layers is to end: the day's last, or one with a hold."""
    return min([shell.wall.day_target(done), *(layer for layer in shell.holds if layer > done)])


def _shells(plan: Plan) -> Iterable[Shell]:
    return (building.shell for building in plan.buildings if building.shell is not None)


def _steps(shell: Shell) -> tuple[int, ...]:
    """List the nodes of a shell's story."""
    holds = (index for layer in sorted(shell.holds) for index in shell.holds[layer])
    return (
        shell.ready,
        shell.gantry_up,
        shell.tent_up,
        shell.calibrate,
        *holds,
        shell.walls,
        *shell.finish,
        shell.cure,
        shell.gantry_down,
        shell.tent_down,
        *shell.moving.values(),
        *(() if shell.strength is None else (shell.strength,)),
        shell.released,
    )


def _with_all_before(nodes: tuple[Node, ...], wanted: Iterable[int]) -> list[int]:
    """Give nodes with everything that has to be done before them, in the order of the plan."""
    found: set[int] = set()
    waiting = list(wanted)
    while waiting:
        index = waiting.pop()
        if index not in found:
            found.add(index)
            waiting.extend(nodes[index].after)
    return sorted(found)


def _alone(
    plan: Plan, node: Node, places: dict[int, int], buildings: dict[int, int], not_before: float | None = None
) -> Node:
    """Give a step that needs nobody, at its new place."""
    return replace(
        node,
        index=places[node.index],
        task=_by_itself(plan, node.task),
        building=buildings.get(node.building, -1),
        after=tuple(places[index] for index in node.after if index in places),
        not_before=node.not_before if not_before is None else not_before,
    )


def _by_itself(plan: Plan, task: Task) -> Task:
    return replace(
        task,
        needs=(),
        duration=Fixed(task.duration.mean),
        hours=plan.units[task.needs[0][0]].hours if task.needs else task.hours,
        limits="",
        shares_fortune=False,
        inspection=None,
        pour=None,
    )


def _moved(building: Building, places: dict[int, int]) -> Building:
    """Give a building whose shell names its nodes by their new places."""
    shell = building.shell
    assert shell is not None
    return replace(
        building,
        shell=replace(
            shell,
            wall=replace(shell.wall, witnessed={}),
            ready=places[shell.ready],
            gantry_up=places[shell.gantry_up],
            tent_up=places[shell.tent_up],
            calibrate=places[shell.calibrate],
            holds={layer: tuple(places[index] for index in indices) for layer, indices in shell.holds.items()},
            walls=places[shell.walls],
            finish=tuple(places[index] for index in shell.finish),
            beam=places[shell.beam],
            cure=places[shell.cure],
            gantry_down=places[shell.gantry_down],
            tent_down=places[shell.tent_down],
            released=places[shell.released],
            moving={name: places[index] for name, index in shell.moving.items()},
            strength=None if shell.strength is None else places[shell.strength],
            stays_for={thing: tuple(places[index] for index in indices) for thing, indices in shell.stays_for.items()},
        ),
    )


def _cut_at(wall: Wall, target: int) -> Wall:
    """Give the wall up to a layer."""
    return replace(
        wall,
        nozzle_hours=wall.nozzle_hours[:target],
        volume=wall.volume[:target],
        stops={layer: stops for layer, stops in wall.stops.items() if layer <= target},
        day_ends=(*(end for end in wall.day_ends if end < target), target),
    )
