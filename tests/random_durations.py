"""Durations drawn at random."""

from __future__ import annotations

from random import Random

from sitesim.chance import Distribution, Exponential, Fixed, Lognormal, Triangular
from sitesim.hours import on_clock


def draw_distribution(dice: Random, hours: float) -> Distribution:
    """Draw a duration [h] of about the given length; now and then none at all."""
    kind = dice.randrange(8)
    if kind == 0:
        return Fixed(0.0)
    if kind <= 2:
        return Fixed(on_clock(hours))
    if kind <= 5:
        return Triangular(0.5 * hours, hours, 2.5 * hours)
    if kind == 6:
        return Lognormal.by_p50_p90(hours, 2.0 * hours)
    return Exponential(hours)
