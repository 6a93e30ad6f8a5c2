"""Rounding parts so that they still add up to their whole."""

from __future__ import annotations

import math
from collections.abc import Sequence


def adding_up(parts: Sequence[float]) -> list[int]:
    """Round parts to whole numbers that add up to their rounded sum: those with most behind the point are rounded up.

    Known as the method of largest remainders (Hare and Niemeyer). Parameters: ``parts``, none less than 0.
    """
    whole = [math.floor(part) for part in parts]
    left = round(sum(parts)) - sum(whole)
    by_remainder = sorted(range(len(parts)), key=lambda place: (whole[place] - parts[place], place))
    for place in by_remainder[:left]:
        whole[place] += 1
    return whole
