"""What a sample of runs says, and how well it says it: quantiles, means and shares with their intervals.

A run that cannot finish enters as +inf. It ranks last and is never dropped, so a quantile that falls among
such runs is +inf: there is no such date.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

__all__ = [
    "Estimate",
    "Quantile",
    "as_sample",
    "harrell_davis",
    "mean_interval",
    "precise_enough",
    "proportion_interval",
    "quantile",
    "quantile_estimate",
    "quantile_interval",
    "quantile_rank",
    "runs_needed",
    "runs_until_known",
    "se_of_normal_quantile",
    "t_half_width",
]


@dataclass(frozen=True)
class Estimate:
    """A mean or a share with its interval; an end of -inf or +inf says that the sample does not bound it."""

    value: float
    low: float
    high: float
    n: int


@dataclass(frozen=True)
class Quantile:
    """A quantile of a sample with the order statistics that enclose it.

    `value`, `low` and `high` are in the unit of the sample; `lower_rank` and `upper_rank` are 1-based.
    `coverage` is the chance, before sampling, that the two ranks enclose the quantile of a continuous
    distribution; with ties it is at least that. An end that the sample is too small to bound is infinite
    and its `bounded_...` property is false; a `high` of +inf with `bounded_above` true is an unfinished run.
    """

    p: float
    value: float
    low: float
    high: float
    coverage: float
    n: int
    lower_rank: int
    upper_rank: int

    @property
    def bounded_below(self) -> bool:
        """Whether the sample is large enough to have a lower end."""
        return self.lower_rank >= 1

    @property
    def bounded_above(self) -> bool:
        """Whether the sample is large enough to have an upper end."""
        return self.upper_rank <= self.n


def as_sample(values: ArrayLike) -> NDArray[np.float64]:
    """Return the values as a one-dimensional array of floats, +inf allowed.

    Raises ValueError when there are none, when they are not in one row, or when one is NaN or -inf.
    """
    sample = np.asarray(values, dtype=np.float64)
    if sample.ndim != 1:
        raise ValueError(f"A sample has one dimension, not {sample.ndim}")
    if sample.size == 0:
        raise ValueError("A sample needs at least one value")
    faulty = np.isnan(sample) | np.isneginf(sample)
    if faulty.any():
        position = int(np.argmax(faulty))
        raise ValueError(f"Value {position} of the sample is {sample[position]}; only numbers and +inf can rank")
    return sample


def quantile_rank(n: int, p: float) -> int:
    """Return the 1-based rank ⌈np⌉ of the p-quantile among `n` values.

    Raises ValueError unless n ≥ 1 and 0 < p ≤ 1. Definition 1 of Hyndman & Fan 1996, Am. Stat. 50:361.
    """
    _require_size(n)
    if not 0 < p <= 1:
        raise ValueError(f"A quantile needs 0 < p <= 1, not {p}")
    # In binary 100 × 0.07 is a hair above 7, and the bare ceiling would be 8.
    return max(1, math.ceil(round(n * p, 9)))


def quantile(values: ArrayLike, p: float) -> float:
    """Return the ⌈np⌉-th smallest of the values: always one of them, never interpolated, +inf last.

    values: shape (n,), any unit. p: share in (0, 1]. Raises ValueError as `as_sample` and `quantile_rank` do.
    """
    sample = as_sample(values)
    position = quantile_rank(sample.size, p) - 1
    return float(np.partition(sample, position)[position])


def quantile_interval(n: int, p: float, confidence: float = 0.95) -> tuple[int, int, float]:
    """Return (lower rank, upper rank, coverage) of the order statistics that enclose the p-quantile.

    Ranks are 1-based. A lower rank of 0 or an upper rank of n + 1 means that `n` values are too few to bound
    that side. Each side is missed with a chance of at most (1 - confidence) / 2, whatever the distribution.
    Raises ValueError unless n ≥ 1, 0 < p < 1 and 0 < confidence < 1.
    The count of values below the quantile is binomial: Conover, Practical Nonparametric Statistics, 3.2.
    """
    from scipy.stats import binom

    _require_size(n)
    _require_inside("p", p)
    _require_inside("confidence", confidence)
    tail = (1 - confidence) / 2
    lower = int(binom.ppf(tail, n, p))
    upper = int(binom.ppf(1 - tail, n, p)) + 1
    coverage = float(binom.cdf(upper - 1, n, p) - binom.cdf(lower - 1, n, p))
    return lower, upper, coverage


def quantile_estimate(values: ArrayLike, p: float, confidence: float = 0.95) -> Quantile:
    """Return the p-quantile of the values with its order-statistic interval.

    values: shape (n,), any unit, +inf for a run that cannot finish. p: share in (0, 1).
    Raises ValueError as `as_sample` and `quantile_interval` do.
    """
    ordered = np.sort(as_sample(values))
    n = ordered.size
    lower, upper, coverage = quantile_interval(n, p, confidence)
    return Quantile(
        p=p,
        value=float(ordered[quantile_rank(n, p) - 1]),
        low=float(ordered[lower - 1]) if lower >= 1 else -math.inf,
        high=float(ordered[upper - 1]) if upper <= n else math.inf,
        coverage=coverage,
        n=n,
        lower_rank=lower,
        upper_rank=upper,
    )


def precise_enough(values: ArrayLike, p: float, half_width: float, confidence: float = 0.95) -> bool:
    """Tell whether both ends of the quantile's interval lie within `half_width` of it.

    half_width: in the unit of the values, at least 0. The longer arm decides, since the interval is lopsided
    and "known within a day" is a promise on both sides. When even the lower end is +inf the answer is yes:
    more runs cannot give a date to a quantile that is known to have none.
    Raises ValueError for a negative or NaN half width, and as `quantile_estimate` does.
    """
    if not half_width >= 0:
        raise ValueError(f"A half width is 0 or more, not {half_width}")
    estimate = quantile_estimate(values, p, confidence)
    if estimate.low == math.inf:
        return True
    if math.isinf(estimate.low) or math.isinf(estimate.high):
        return False
    return max(estimate.value - estimate.low, estimate.high - estimate.value) <= half_width


def runs_until_known(
    values: ArrayLike, checkpoints: Iterable[int], p: float, half_width: float, confidence: float = 0.95
) -> int | None:
    """Return the first checkpoint whose runs make the quantile known within `half_width`, or None.

    values: shape (n,), in the order of the run numbers. checkpoints: numbers of runs, rising; those beyond
    the values at hand are not judged. Judging at fixed counts only makes the answer independent of how the
    runs were shared out among workers. Stopping when the interval happens to be short costs a little
    of the stated confidence.
    Raises ValueError when the checkpoints do not rise from 1 or more, and as `precise_enough` does.
    """
    sample = as_sample(values)
    previous = 0
    for count in checkpoints:
        if count <= previous:
            raise ValueError(f"Checkpoints rise from 1 or more; {count} follows {previous}")
        if count > sample.size:
            return None
        if precise_enough(sample[:count], p, half_width, confidence):
            return count
        previous = count
    return None


def t_half_width(standard_error: float, degrees_of_freedom: float, confidence: float) -> float:
    """Return the half width of a Student t interval, in the unit of the standard error.

    Raises ValueError unless 0 < confidence < 1.
    """
    from scipy.stats import t

    _require_inside("confidence", confidence)
    return float(t.ppf((1 + confidence) / 2, degrees_of_freedom)) * standard_error


def mean_interval(values: ArrayLike, confidence: float = 0.95) -> Estimate:
    """Return the mean with its Student t interval.

    values: shape (n,), any unit. One value alone, or any +inf, leaves both ends of the interval unbounded;
    with a +inf the mean is +inf as well. Raises ValueError as `as_sample` does, or unless 0 < confidence < 1.
    """
    _require_inside("confidence", confidence)
    sample = as_sample(values)
    mean = float(sample.mean())
    if sample.size < 2 or math.isinf(mean):
        return Estimate(mean, -math.inf, math.inf, sample.size)
    standard_error = float(sample.std(ddof=1)) / math.sqrt(sample.size)
    half_width = t_half_width(standard_error, sample.size - 1, confidence)
    return Estimate(mean, mean - half_width, mean + half_width, sample.size)


def proportion_interval(count: int, n: int, confidence: float = 0.95) -> Estimate:
    """Return the share `count` / `n` with its Clopper–Pearson interval.

    Chosen over Wilson's because it never covers less often than it says, and stays honest for 0 of n.
    Raises ValueError unless n ≥ 1, 0 ≤ count ≤ n and 0 < confidence < 1.
    Clopper & Pearson 1934, Biometrika 26:404.
    """
    from scipy.stats import beta

    _require_size(n)
    _require_inside("confidence", confidence)
    if not 0 <= count <= n:
        raise ValueError(f"A count out of {n} lies between 0 and {n}, not {count}")
    tail = (1 - confidence) / 2
    low = float(beta.ppf(tail, count, n - count + 1)) if count > 0 else 0.0
    high = float(beta.ppf(1 - tail, count + 1, n - count)) if count < n else 1.0
    return Estimate(count / n, low, high, n)


def harrell_davis(values: ArrayLike, p: float) -> float:
    """Return the Harrell–Davis estimate of the p-quantile, a weighted mean of all order statistics.

    values: shape (n,), any unit. p: share in (0, 1). It is steadier than one order statistic, but it is not
    one of the values: for comparing and plotting, never for a date. Every value has a weight, so a single
    +inf makes it +inf. Raises ValueError as `as_sample` does, or unless 0 < p < 1.
    Harrell & Davis 1982, Biometrika 69:635.
    """
    from scipy.stats import beta

    _require_inside("p", p)
    ordered = np.sort(as_sample(values))
    n = ordered.size
    if np.isinf(ordered[-1]):
        return math.inf
    edges = beta.cdf(np.arange(n + 1) / n, (n + 1) * p, (n + 1) * (1 - p))
    return float(np.diff(edges) @ ordered)


def runs_needed(p: float, half_width_in_share: float, confidence: float = 0.95) -> int:
    """Return the runs after which the share of runs before the p-quantile is known within the half width.

    p: share in (0, 1). half_width_in_share: share in (0, 1), 0.02 for ± 2 percentage points.
    Normal approximation, z² p (1 - p) / h². Raises ValueError for an argument outside its range.
    """
    _require_inside("p", p)
    _require_inside("half_width_in_share", half_width_in_share)
    _require_inside("confidence", confidence)
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    return max(1, math.ceil(z**2 * p * (1 - p) / half_width_in_share**2))


def se_of_normal_quantile(p: float, standard_deviation: float, n: int) -> float:
    """Return the standard error of the p-quantile of `n` values of a normal distribution.

    standard_deviation: any unit, which is that of the answer. √(p (1 - p) / n) over the density at the
    quantile; for planning, before there are runs. Raises ValueError for an argument outside its range.
    """
    _require_size(n)
    _require_inside("p", p)
    if not standard_deviation >= 0:
        raise ValueError(f"A standard deviation is 0 or more, not {standard_deviation}")
    unit = NormalDist()
    return math.sqrt(p * (1 - p) / n) / unit.pdf(unit.inv_cdf(p)) * standard_deviation


def _require_inside(name: str, share: float) -> None:
    if not 0 < share < 1:
        raise ValueError(f"{name} must lie between 0 and 1, ends excluded, not {share}")


def _require_size(n: int) -> None:
    if n < 1:
        raise ValueError(f"At least one value is needed, not {n}")
