"""Costs per volume: ratios of two means over the same runs, their differences, and where two of them change places."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitesim.answers.statistics import Estimate, mean_interval, t_half_width


def linear_form(amounts: ArrayLike, per: ArrayLike) -> NDArray[np.float64]:
    """Give for each run a value whose mean is the ratio of the means and whose spread is that of the ratio.

    Parameters: ``amounts`` and ``per``, shape (n,). Where ``per`` is the same in all runs these are the runs' own
    ratios. Raises ValueError where the mean of ``per`` is not above 0. Cochran, Sampling Techniques, 3rd ed., 6.3.
    """
    top, bottom = np.asarray(amounts, dtype=float), np.asarray(per, dtype=float)
    mean = float(bottom.mean())
    if not mean > 0.0:
        raise ValueError("a ratio needs something to be divided by")
    ratio = float(top.mean()) / mean
    return np.asarray(ratio + (top - ratio * bottom) / mean)


def ratio_interval(amounts: ArrayLike, per: ArrayLike, confidence: float = 0.95) -> Estimate:
    """Give the ratio of the means with its interval."""
    return mean_interval(linear_form(amounts, per), confidence)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a difference that is linear in a price is nothing.

    ``value``, the price, None where the difference does not hang on it; ``low`` and ``high``, between which the price
    cannot be told from it by these runs: infinite where they do not bound it.
    """

    value: float | None
    low: float
    high: float


def crossing(constant: ArrayLike, slope: ArrayLike, confidence: float = 0.95) -> Crossing:
    """Find the price at which the mean of ``constant + price × slope`` is nothing, with its interval.

    Parameters: ``constant`` and ``slope``, a value for each run, shape (n,). The interval holds the prices at which a
    t test cannot tell the mean from nothing (Fieller 1954, J. R. Stat. Soc. B 16:175).
    """
    a, b = np.asarray(constant, dtype=float), np.asarray(slope, dtype=float)
    n = a.size
    mean_a, mean_b = float(a.mean()), float(b.mean())
    if mean_b == 0.0:
        return Crossing(None, -math.inf, math.inf)
    value = -mean_a / mean_b
    if n < 2:
        return Crossing(value, -math.inf, math.inf)
    square = (t_half_width(1.0, n - 1, confidence)) ** 2 / n
    covariance = np.cov(a, b)
    # (mean_a + p mean_b)² <= t²/n (var_a + 2 p cov + p² var_b), a quadratic in the price p
    second = mean_b**2 - square * float(covariance[1, 1])
    first = 2.0 * (mean_a * mean_b - square * float(covariance[0, 1]))
    zeroth = mean_a**2 - square * float(covariance[0, 0])
    discriminant = first**2 - 4.0 * second * zeroth
    if second <= 0.0 or discriminant < 0.0:
        return Crossing(value, -math.inf, math.inf)
    root = math.sqrt(discriminant)
    return Crossing(value, (-first - root) / (2.0 * second), (-first + root) / (2.0 * second))
