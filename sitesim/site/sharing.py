"""Who is at work in which home, who may come in besides, and how crowded it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sitesim.ledger.rows import NOBODY
from sitesim.plan import Kind, Node, Plan, Sharing, UnitKind


class Stay(NamedTuple):
    """A step at work in its place: the numbers of its ``homes``, its ``building``, its task and its number of gangs.

    ``rivals`` are the tasks that may not be at work in the same home.
    """

    homes: tuple[int, ...]
    building: int
    task: str
    gangs: int
    rivals: frozenset[str]


def stays_of(plan: Plan) -> tuple[Stay | None, ...] | None:
    """Give for each node the stay of those who do it; None where it occupies no home, and where nothing rules it.

    Work of a gang for a whole building occupies all its homes, unless it is done outside them; a building without homes
    counts as one. What a building's story performs comes before there are homes.
    """
    sharing = plan.sharing
    if sharing is None:
        return None
    numbers: dict[tuple[int, str], int] = {}
    for index, building in enumerate(plan.buildings):
        for home in building.homes or ("",):
            numbers[index, home] = len(numbers)
    tasks = frozenset(node.task.name for node in plan.nodes)
    return tuple(_stay(plan, node, sharing, numbers, tasks) for node in plan.nodes)


def _stay(
    plan: Plan, node: Node, sharing: Sharing, numbers: dict[tuple[int, str], int], tasks: frozenset[str]
) -> Stay | None:
    name = node.task.name
    gangs = sum(plan.units[group[0]].kind is UnitKind.GANG for group in node.task.needs)
    if node.task.kind is not Kind.WORK or node.told or node.building < 0 or not gangs or name in sharing.outside:
        return None
    homes = (node.home,) if node.home else plan.buildings[node.building].homes or ("",)
    rivals = {other for pair in sharing.apart if name in pair for other in pair} | sharing.alone
    kept_out = tasks if name in sharing.alone else frozenset(rivals)
    return Stay(tuple(numbers[node.building, home] for home in homes), node.building, name, gangs, kept_out - {name})


class Homes:
    """The homes of a site in one run, with whoever is at work in them."""

    def __init__(self, sharing: Sharing) -> None:
        self._sharing = sharing
        self._inside: list[Stay] = []
        self._left: dict[tuple[int, str], tuple[float, int, int]] = {}

    def admits(self, stay: Stay) -> bool:
        """Tell whether nobody is at work who may not share a home with a stay."""
        return all(other.task not in stay.rivals for other in self._beside(stay))

    def enter(self, stay: Stay) -> float:
        """Let a stay begin, and give the factor by which those who are there slow it."""
        rule, factor = self._sharing.in_home, 1.0
        if rule is not None:
            gangs = dict.fromkeys(stay.homes, stay.gangs)
            for other in self._beside(stay):
                for home in gangs.keys() & set(other.homes):
                    gangs[home] += other.gangs
            factor *= rule.factor(max(gangs.values()))
        if self._sharing.in_building is not None:
            there = sum(other.gangs for other in self._inside if other.building == stay.building)
            factor *= self._sharing.in_building.factor(there + stay.gangs)
        self._inside.append(stay)
        return factor

    def leave(self, stay: Stay, now: float, unit: int, serial: int) -> None:
        """Let a stay end at ``now`` [h].

        Parameters: ``unit``, one of those who were there; ``serial`` of the entry of their work.
        """
        self._inside.remove(stay)
        for home in stay.homes:
            self._left[home, stay.task] = now, unit, serial

    def cleared(self, stay: Stay) -> tuple[float, int, int]:
        """Tell when [h] the last left who may not share a home with a stay, with a unit of theirs and their entry."""
        left = (self._left.get((home, task)) for home in stay.homes for task in sorted(stay.rivals))
        return max((each for each in left if each is not None), default=(0.0, NOBODY, NOBODY))

    def _beside(self, stay: Stay) -> Iterator[Stay]:
        homes = set(stay.homes)
        return (other for other in self._inside if not homes.isdisjoint(other.homes))
