"""The sides of the weather tent in one run: let down before a storm and put up again after it, by those who rig it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt

from sitesim.hours import NEVER, Calendar, everlasting
from sitesim.plan import Sides


@dataclass(frozen=True)
class TentSides:
    """When the sides are up, and when somebody sees to them.

    Parameters: ``up``, the hours in which they are; ``lowering`` and ``raising``, those of whoever lets them down and
    puts them up; ``down``, by clock hour whether they are down in some part of it, shape (hours,).
    """

    up: Calendar
    lowering: Calendar
    raising: Calendar
    down: npt.NDArray[np.bool_]


def tent_sides(sides: Sides, gusts: npt.NDArray[np.float64], handled: Calendar) -> TentSides:
    """Tell when the sides are down in a run.

    They are let down in the last hours before a storm in which that can be done, as if it were foreseen, and put up
    again in the first such hours after it; where the next storm leaves no time for it they stay down.

    Parameters: ``gusts`` [m/s] of each clock hour outside; ``handled``, the hours of their riggers in which the wind
    lets them.
    """
    horizon = float(len(gusts))
    spells: list[tuple[float, float, float, float]] = []  # let down from, the storm's begin and end, up again
    for begin, end in _storms(gusts > sides.down_gust):
        lowered = _last_hours_before(handled, begin, sides.time)
        raised = min(handled.finish(end, sides.time), horizon)
        if spells and lowered < spells[-1][3]:
            lowered, begin = spells[-1][:2]
            spells[-1] = lowered, begin, end, raised
        else:
            spells.append((lowered, begin, end, raised))
    down = np.zeros(len(gusts), dtype=np.bool_)
    for lowered, _, _, raised in spells:
        down[int(lowered) : ceil(raised)] = True
    return TentSides(
        everlasting(horizon).without([(lowered, raised) for lowered, _, _, raised in spells]),
        Calendar.of(span for lowered, begin, _, _ in spells for span in handled.within(lowered, begin)),
        Calendar.of(span for _, _, end, raised in spells for span in handled.within(end, raised)),
        down,
    )


def _storms(too_much: npt.NDArray[np.bool_]) -> list[tuple[float, float]]:
    """Give the spells [h] of hours with too much wind."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], too_much, [False])).astype(np.int8)))
    return [(float(begin), float(end)) for begin, end in zip(edges[::2], edges[1::2], strict=True)]


def _last_hours_before(handled: Calendar, instant: float, hours: float) -> float:
    """Give the instant [h] from which just so many ``hours`` [h] can be worked before another; 0 if there are less."""
    before = handled.hours_before(instant)
    if before <= hours:
        return 0.0
    begin = handled.next_open(handled.finish(0.0, before - hours))
    return instant if begin == NEVER else min(begin, instant)
