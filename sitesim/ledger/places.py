"""The places that are handed over: homes, and buildings with all their homes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitesim.hours import NEVER
from sitesim.plan import Plan

Place = tuple[str, str]
"""A building and a home, which is empty for the building as a whole."""


def nodes_of_places(plan: Plan) -> dict[Place, list[int]]:
    """Give the nodes that belong to each home, and to each building with all its homes."""
    places: dict[Place, list[int]] = {}
    for node in plan.nodes:
        if node.building < 0:
            continue
        building = plan.buildings[node.building].name
        places.setdefault((building, ""), []).append(node.index)
        if node.home:
            places.setdefault((building, node.home), []).append(node.index)
    return places


def handed_over(ended: Mapping[int, float], nodes: Iterable[int]) -> float:
    """Tell when [h] the last of some nodes was done; `NEVER` if one was not."""
    return max([ended.get(index, NEVER) for index in nodes])
