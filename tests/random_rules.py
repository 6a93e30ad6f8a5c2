"""Rules drawn at random and laid over a site: points of inspection, absences, sharing of homes, flows of gangs."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from random import Random

from random_durations import draw_distribution
from rigs import MONDAY

from sitesim.chance import Fixed, Triangular
from sitesim.plan import (
    Building,
    Crowding,
    Inspection,
    Kind,
    Learning,
    Node,
    Plan,
    Sharing,
    Task,
    Unit,
    UnitKind,
    WitnessPoint,
)
from sitesim.plan.absences import absent
from sitesim.policies import AtNotice, KeptRunning


def with_points(dice: Random, plan: Plan) -> Plan:
    """Let visits be moved, refusals fall with practice, and witnesses be invited, on half of the sites.

    Printed walls have layers at which an inspector is waited for, and others to which one is invited, too.
    """
    if dice.random() < 0.5:
        return plan
    inspectors = tuple(replace(each, moved_until=dice.choice((inf, 0.0, 4.0, 48.0))) for each in plan.inspectors)
    nodes = list(plan.nodes)
    for node in plan.nodes:
        if node.task.inspection is not None:
            rules = _some_rules(dice, node.task.inspection)
            nodes[node.index] = replace(node, task=replace(node.task, inspection=rules))
    buildings = tuple(_with_points_on_walls(dice, building, nodes) for building in plan.buildings)
    return replace(plan, inspectors=inspectors, nodes=tuple(nodes), buildings=buildings)


def _some_rules(dice: Random, usual: Inspection) -> Inspection:
    learning = dice.choice((Learning(), Learning(0.7, 0.2)))
    return replace(usual, learning=learning, witness=dice.random() < 0.3, comes=dice.choice((1.0, 0.6)))


def _with_points_on_walls(dice: Random, building: Building, nodes: list[Node]) -> Building:
    """Invite a witness to some layers of a printed wall, and wait for an inspector at one that nothing holds yet."""
    shell = building.shell
    if shell is None:
        return building
    layers = range(1, shell.wall.layers + 1)
    witnessed = {layer: (WitnessPoint(f"layer {layer}", 0, 0.8),) for layer in layers if dice.random() < 0.15}
    holds, free = dict(shell.holds), [layer for layer in layers if layer not in shell.holds]
    if free and dice.random() < 0.6:
        point = Task(
            "wall point",
            Kind.MILESTONE,
            5,
            (),
            Fixed(0.0),
            "site",
            inspection=Inspection(0, 0.4, Triangular(0.5, 1.0, 3.0)),
        )
        index, layer = len(nodes), dice.choice(free)
        nodes.append(Node(index, f"{building.name}/wall point", point, nodes[shell.walls].building, "", (), told=True))
        holds[layer] = (index,)
    wall = replace(shell.wall, witnessed=witnessed)
    return replace(building, shell=replace(shell, wall=wall, holds=holds))


def with_absences(number: int, plan: Plan) -> Plan:
    """Let gangs and machines be away for a while, now and then on the same days, on a third of the sites."""
    dice = Random(f"absences of site {number}")
    if dice.random() < 0.67:
        return plan
    for unit in dice.sample(range(len(plan.units)), dice.randint(1, min(3, len(plan.units)))):
        for _ in range(dice.randint(1, 3)):
            first = MONDAY.toordinal() + dice.randrange(0, 150)
            plan = absent(plan, unit, frozenset(range(first, first + dice.randint(1, 15))))
    return plan


def draw_sharing(dice: Random) -> Sharing | None:
    """Rule who may share a home, and who slows whom there, on half of the sites."""
    if dice.random() < 0.5:
        return None
    tasks = [f"task {number}" for number in range(5)]
    crowding = (None, Crowding(1, 0.15), Crowding(2, 0.5))
    return Sharing(
        alone=frozenset(dice.sample(tasks, dice.choice((0, 0, 1, 2)))),
        apart=frozenset(frozenset(dice.sample(tasks, 2)) for _ in range(dice.randint(0, 3))),
        outside=frozenset(dice.sample(tasks, dice.choice((0, 0, 1)))),
        in_home=dice.choice(crowding),
        in_building=dice.choice(crowding),
    )


def with_flows(dice: Random, units: list[Unit]) -> list[Unit]:
    """Keep some gangs behind the shell running, and call any gang at notice, on half of the sites."""
    if dice.random() < 0.5:
        return units
    return [_with_flow(dice, unit) if unit.kind is UnitKind.GANG else unit for unit in units]


def _with_flow(dice: Random, unit: Unit) -> Unit:
    stays, ahead = dice.choice((0.0, 4.0, 30.0)), dice.choice((0.0, 0.0, 8.0, 40.0))
    flows = (None, AtNotice(stays, ahead), KeptRunning(), KeptRunning(dice.choice((0.0, 5.0, 60.0))))
    flow = dice.choice(flows if unit.name.startswith("gang") else flows[:2])
    return replace(unit, flow=flow, notice=draw_distribution(dice, 16.0))
