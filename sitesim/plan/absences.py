"""Who and what is away for a while: a gang that is missing, printing that stands still after a layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sitesim.plan.site import Plan, Shell
from sitesim.plan.work import Node, Task


def absent(plan: Plan, unit: int, dates: frozenset[int]) -> Plan:
    """Give the plan in which a gang or a crane does not come on some dates.

    Parameters: ``unit``, its index; ``dates``, their ordinals. It gets a calendar of its own without these dates; of
    whoever shares its usual calendar nobody else is away.
    """
    if not dates:
        return plan
    missing = plan.units[unit]
    usual = plan.calendars[missing.hours]
    own = f"{missing.hours} of {missing.name}"
    units = list(plan.units)
    units[unit] = replace(missing, hours=own)
    calendars = {**plan.calendars, own: replace(usual, away=usual.away | dates)}
    return replace(plan, calendars=calendars, units=tuple(units))


def interrupted(plan: Plan, building: int, layer: int, steps: Sequence[tuple[str, Task]]) -> Plan:
    """Give the plan in which steps come between two layers of a building's wall, before printing goes on.

    Parameters: ``building``, its index; ``layer``, the one after which they come, counted from 1, other steps held
    there being done first; ``steps``, name and task of each, in turn. Raises ValueError if the building has no such
    layer.
    """
    place = plan.buildings[building]
    if place.shell is None or not 1 <= layer <= place.shell.wall.layers:
        raise ValueError(f"{place.name}: nothing is printed here, or it has no layer {layer}")
    first = len(plan.nodes)
    known = {node.key for node in plan.nodes}
    nodes: list[Node] = []
    for name, task in steps:
        key = _free(f"{place.name}/{name}", known)
        known.add(key)
        nodes.append(Node(first + len(nodes), key, task, building, "", (), told=True))
    shell = _held(place.shell, layer, tuple(node.index for node in nodes))
    buildings = list(plan.buildings)
    buildings[building] = replace(place, shell=shell)
    return replace(plan, nodes=(*plan.nodes, *nodes), buildings=tuple(buildings))


def _held(shell: Shell, layer: int, nodes: tuple[int, ...]) -> Shell:
    holds = {**shell.holds, layer: (*shell.holds.get(layer, ()), *nodes)}
    return replace(shell, holds=dict(sorted(holds.items())))


def _free(key: str, known: set[str]) -> str:
    number, free = 1, key
    while free in known:
        number += 1
        free = f"{key} {number}"
    return free
