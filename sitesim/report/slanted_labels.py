"""Names set aslant above the ends of lines, moved sideways as little as it takes that none runs into the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from sitesim.report.colours import INK

SLANT = 60
"""Degrees."""
BETWEEN = 14
"""Pixels from one name to the next, along the axis."""
LEADER = 34
"""Pixels from the end of a line up to its name."""

_LETTER = 6.4
_SIZE = 12


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Move positions so that each is at least ``gap`` after the one before, by the least squares of what they move.

    Parameters: ``wanted``, rising. Names that would run into each other are set around their common middle (pooling of
    adjacent violators, on what is wanted less the gaps before it).
    """
    pools: list[tuple[float, int]] = []
    for place, position in enumerate(wanted):
        pools.append((position - place * gap, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (last, of_last), (before, of_before) = pools.pop(), pools.pop()
            size = of_last + of_before
            pools.append(((last * of_last + before * of_before) / size, size))
    levels = [level for level, size in pools for _ in range(size)]
    return [level + place * gap for place, level in enumerate(levels)]


def reach(name: str) -> float:
    """Give how many pixels a name takes to the right of its foot."""
    return _SIZE + _LETTER * len(name) * math.cos(math.radians(SLANT))


def height(name: str) -> float:
    """Give how many pixels a name takes upwards."""
    return _SIZE + _LETTER * len(name) * math.sin(math.radians(SLANT))


def label(name: str, x: str, y: float, of: str) -> dict[str, Any]:
    """Write a name as an annotation whose foot is at a point.

    Parameters: ``of``, the line that it names, with which it is hidden and shown.
    """
    return {
        "name": of,
        "text": name,
        "x": x,
        "y": y,
        "textangle": -SLANT,
        "xanchor": "left",
        "yanchor": "bottom",
        "xshift": -_SIZE / 2,
        "showarrow": False,
        "font": {"size": _SIZE, "color": INK},
    }
