"""How far two studies differ, and whether the runs can tell them apart.

Every difference is a minus b: positive means that a is the larger, so b the earlier. `a` and `b` are played
with the same luck, run by run, unless a function says otherwise. Runs that cannot finish are +inf. A mean of
them does not exist, so means are taken over the rest and the runs left out are counted beside them; orders
and quantiles keep every run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sitesim.answers.statistics import (
    Estimate,
    as_sample,
    mean_interval,
    proportion_interval,
    quantile,
    quantile_rank,
    t_half_width,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import ArrayLike, NDArray

__all__ = [
    "PairOrder",
    "PairedDifference",
    "QuantileShift",
    "UnpairedDifference",
    "bonferroni",
    "chance_less",
    "paired_difference",
    "quantile_shift",
    "resamples_for",
    "unpaired_difference",
]

# One block of resampled runs is kept below about 16 MB.
_RESAMPLED_VALUES_AT_ONCE = 2_000_000
_LEAST_RESAMPLES = 1999
_RESAMPLES_A_COMPARISON = 200


@dataclass(frozen=True)
class PairedDifference:
    """The mean of a minus b over the `n` pairs in which both are finite, with its t interval.

    `unpaired_infinite` pairs were left out because a, b or both are infinite; `only_a_infinite` and
    `only_b_infinite` count those with one infinite side. `distinguishable`: the interval excludes 0, and no
    pair with one infinite side speaks against its sign.
    """

    mean: float
    low: float
    high: float
    n: int
    distinguishable: bool
    unpaired_infinite: int
    only_a_infinite: int
    only_b_infinite: int


@dataclass(frozen=True)
class UnpairedDifference:
    """The mean of a minus the mean of b over their finite values, with Welch's interval.

    `n_a` and `n_b` are the finite values, `infinite_a` and `infinite_b` those left out. `distinguishable`:
    the interval excludes 0, and the share of infinite values does not speak against its sign.
    """

    mean: float
    low: float
    high: float
    n_a: int
    n_b: int
    distinguishable: bool
    infinite_a: int
    infinite_b: int


@dataclass(frozen=True)
class PairOrder:
    """The shares of pairs with a before b, equal, and after b; the three values add up to 1.

    Ties are a share of their own and not halved: a change that leaves most runs alone should say so. Two
    infinite values are equal. Each interval is Clopper–Pearson and holds for its own share alone.
    """

    earlier: Estimate
    same: Estimate
    later: Estimate
    n: int


@dataclass(frozen=True)
class QuantileShift:
    """The p-quantile of a less that of b, with a bootstrap interval of pairs; NaN when both are infinite."""

    p: float
    shift: float
    low: float
    high: float
    n: int
    distinguishable: bool


def paired_difference(a: ArrayLike, b: ArrayLike, confidence: float = 0.95) -> PairedDifference:
    """Return the mean difference of pairs played with the same luck, with its Student t interval.

    a, b: shape (n,), the same unit, run by run. Fewer than two finite pairs leave the interval unbounded, and
    none leaves the mean NaN. Raises ValueError for different lengths, and as `mean_interval` does.
    """
    first, second = _as_pairs(a, b)
    infinite_first, infinite_second = np.isinf(first), np.isinf(second)
    only_a = int(np.sum(infinite_first & ~infinite_second))
    only_b = int(np.sum(infinite_second & ~infinite_first))
    finite = ~(infinite_first | infinite_second)
    estimate = _mean_or_unknown(first[finite] - second[finite], confidence)
    return PairedDifference(
        mean=estimate.value,
        low=estimate.low,
        high=estimate.high,
        n=estimate.n,
        distinguishable=_agrees(estimate.low, estimate.high, a_may_be_later=only_b == 0, b_may_be_later=only_a == 0),
        unpaired_infinite=first.size - estimate.n,
        only_a_infinite=only_a,
        only_b_infinite=only_b,
    )


def unpaired_difference(a: ArrayLike, b: ArrayLike, confidence: float = 0.95) -> UnpairedDifference:
    """Return the difference of the means of two independent samples, with Welch's interval.

    a: shape (n,), b: shape (m,), the same unit. For studies that do not share their luck. Fewer than two
    finite values on a side leave the interval unbounded. Raises ValueError as `mean_interval` does.
    Welch 1947, Biometrika 34:28, with the degrees of freedom of Satterthwaite 1946.
    """
    first, second = as_sample(a), as_sample(b)
    finite_a, finite_b = first[np.isfinite(first)], second[np.isfinite(second)]
    infinite_a, infinite_b = first.size - finite_a.size, second.size - finite_b.size
    mean = _mean_or_unknown(finite_a, confidence).value - _mean_or_unknown(finite_b, confidence).value
    half_width = _welch_half_width(finite_a, finite_b, confidence)
    low, high = mean - half_width, mean + half_width
    if math.isinf(half_width):
        low, high = -math.inf, math.inf
    share_a, share_b = infinite_a / first.size, infinite_b / second.size
    return UnpairedDifference(
        mean=mean,
        low=low,
        high=high,
        n_a=finite_a.size,
        n_b=finite_b.size,
        distinguishable=_agrees(low, high, a_may_be_later=share_b <= share_a, b_may_be_later=share_a <= share_b),
        infinite_a=infinite_a,
        infinite_b=infinite_b,
    )


def chance_less(a: ArrayLike, b: ArrayLike, confidence: float = 0.95) -> PairOrder:
    """Return the shares of pairs in which a is less than, equal to and greater than b, with their intervals.

    a, b: shape (n,), the same unit, run by run; all pairs count, the unfinished too. The shares belong to
    pairs that share their luck: independent sites would show others.
    Raises ValueError for different lengths, and as `proportion_interval` does.
    """
    first, second = _as_pairs(a, b)
    n = first.size
    return PairOrder(
        earlier=proportion_interval(int(np.sum(first < second)), n, confidence),
        same=proportion_interval(int(np.sum(first == second)), n, confidence),
        later=proportion_interval(int(np.sum(first > second)), n, confidence),
        n=n,
    )


def bonferroni(confidence: float, comparisons: int) -> float:
    """Return the confidence of each of several intervals that makes all hold together with `confidence`.

    Raises ValueError unless 0 < confidence < 1 and comparisons ≥ 1.
    """
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1, ends excluded, not {confidence}")
    if comparisons < 1:
        raise ValueError(f"At least one comparison is needed, not {comparisons}")
    return 1 - (1 - confidence) / comparisons


def resamples_for(comparisons: int) -> int:
    """Return how many resamples leave runs in the tails of each of several intervals that hold together."""
    return max(_LEAST_RESAMPLES, _RESAMPLES_A_COMPARISON * comparisons - 1)


def quantile_shift(
    a: ArrayLike,
    b: ArrayLike,
    p: float,
    confidence: float = 0.95,
    resamples: int = _LEAST_RESAMPLES,
    seed: int = 0,
) -> QuantileShift:
    """Return the p-quantile of a less that of b, with a percentile bootstrap interval of whole pairs.

    a, b: shape (n,), the same unit, run by run. p: share in (0, 1]. The same seed gives the same interval.
    Where one quantile is infinite the shift is infinite; where both are, it is NaN, and a resample like that
    counts against both ends. Raises ValueError for different lengths, for too few resamples to have the two
    tails of the confidence, and as `quantile` does. Davison & Hinkley 1997, Bootstrap Methods, 5.3.
    """
    first, second = _as_pairs(a, b)
    tail_rank = _tail_rank(resamples, confidence)
    shift = quantile(first, p) - quantile(second, p)
    resampled = np.concatenate(list(_resampled_shifts(first, second, p, resamples, seed)))
    unknown = np.isnan(resampled)
    low = float(np.sort(np.where(unknown, -math.inf, resampled))[tail_rank - 1])
    high = float(np.sort(np.where(unknown, math.inf, resampled))[-tail_rank])
    distinguishable = _excludes_zero(low, high) and not math.isnan(shift)
    return QuantileShift(p=p, shift=shift, low=low, high=high, n=first.size, distinguishable=distinguishable)


def _as_pairs(a: ArrayLike, b: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    first, second = as_sample(a), as_sample(b)
    if first.size != second.size:
        raise ValueError(f"Pairs need as many values on both sides, not {first.size} and {second.size}")
    return first, second


def _mean_or_unknown(finite: NDArray[np.float64], confidence: float) -> Estimate:
    if finite.size == 0:
        return Estimate(math.nan, -math.inf, math.inf, 0)
    return mean_interval(finite, confidence)


def _excludes_zero(low: float, high: float) -> bool:
    return low > 0 or high < 0


def _agrees(low: float, high: float, *, a_may_be_later: bool, b_may_be_later: bool) -> bool:
    """Tell whether the interval excludes 0 on a side that the unfinished runs do not contradict."""
    return (low > 0 and a_may_be_later) or (high < 0 and b_may_be_later)


def _welch_half_width(a: NDArray[np.float64], b: NDArray[np.float64], confidence: float) -> float:
    if a.size < 2 or b.size < 2:
        return math.inf
    variance_a = float(a.var(ddof=1)) / a.size
    variance_b = float(b.var(ddof=1)) / b.size
    variance = variance_a + variance_b
    if variance == 0:
        return 0.0
    # Satterthwaite's formula in shares of the variance, so that tiny variances do not underflow when squared.
    share_a, share_b = variance_a / variance, variance_b / variance
    degrees_of_freedom = 1 / (share_a**2 / (a.size - 1) + share_b**2 / (b.size - 1))
    return t_half_width(math.sqrt(variance), degrees_of_freedom, confidence)


def _tail_rank(resamples: int, confidence: float) -> int:
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1, ends excluded, not {confidence}")
    # Rounded first: in binary 2000 × 0.025 is a hair below 50.
    rank = math.floor(round((resamples + 1) * (1 - confidence) / 2, 9))
    if rank < 1:
        raise ValueError(f"{resamples} resamples are too few for the tails of a confidence of {confidence}")
    return rank


def _resampled_shifts(
    a: NDArray[np.float64], b: NDArray[np.float64], p: float, resamples: int, seed: int
) -> Iterator[NDArray[np.float64]]:
    generator = np.random.Generator(np.random.PCG64(seed))
    n = a.size
    position = quantile_rank(n, p) - 1
    rows_at_once = max(1, _RESAMPLED_VALUES_AT_ONCE // n)
    for begin in range(0, resamples, rows_at_once):
        chosen = generator.integers(0, n, size=(min(rows_at_once, resamples - begin), n))
        of_a = np.partition(a[chosen], position, axis=1)[:, position]
        of_b = np.partition(b[chosen], position, axis=1)[:, position]
        with np.errstate(invalid="ignore"):  # inf − inf: NaN is what is meant
            yield of_a - of_b
