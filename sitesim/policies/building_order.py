"""In which order the buildings of a site are built."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class OrderBy(StrEnum):
    """What decides the building order."""

    LISTED = "listed"
    NEAREST = "nearest"
    PROMISED = "promised"


@dataclass(frozen=True, slots=True)
class Plot:
    """A building before it is built: where it lies [m], and the day for which it is promised, as an ordinal."""

    name: str
    at: tuple[float, float] | None = None
    promised: int | None = None

    def distance_to(self, other: Plot) -> float:
        """Give the distance [m] between two plots in a straight line; 0 where one of them lies nobody knows where."""
        return 0.0 if self.at is None or other.at is None else math.dist(self.at, other.at)


def building_order(by: OrderBy, plots: Sequence[Plot]) -> tuple[str, ...]:
    """Give the names of the buildings in the order in which they are built.

    By promise the earliest comes first; nearest goes from the first plot to the one nearest to it, and so on. Of plots
    that are alike the one listed first comes first.
    """
    if by is OrderBy.PROMISED:
        latest = max((plot.promised for plot in plots if plot.promised is not None), default=0)
        return tuple(plot.name for plot in sorted(plots, key=lambda plot: plot.promised or latest + 1))
    if by is OrderBy.NEAREST:
        return tuple(plot.name for plot in _nearest_first(plots))
    return tuple(plot.name for plot in plots)


def _nearest_first(plots: Sequence[Plot]) -> list[Plot]:
    left = list(plots)
    order = [left.pop(0)] if left else []
    while left:
        nearest = min(left, key=order[-1].distance_to)
        left.remove(nearest)
        order.append(nearest)
    return order


def taking_turns(fronts: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Give the buildings of several fronts in one order: the first of each, then the second of each, and so on."""
    longest = max(map(len, fronts), default=0)
    return tuple(front[place] for place in range(longest) for front in fronts if place < len(front))
