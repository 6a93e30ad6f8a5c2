"""Distributions as values: each knows its mean, its bounds, its cdf and its inverse.

A draw is `inverse(u)` of one uniform number, never a rejection sampler, so that the same luck can be met by
two plans. All values carry the unit of whatever they describe; nothing here knows about hours or metres.
"""

from __future__ import annotations

import math
from array import array
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import lru_cache
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

_STANDARD_NORMAL = NormalDist()
_NORMAL_P90 = _STANDARD_NORMAL.inv_cdf(0.9)

# A uniform of exactly 0 or 1 would send an unbounded tail to infinity.
_SMALLEST_UNIFORM = 2.0**-53
_LARGEST_UNIFORM = 1.0 - 2.0**-53

# The last cell of a table has no finite end when the tail has none. Ending an exponential tail at the
# fraction e**-2 of the cell keeps the mean of linear draws in that cell right; 1/8 is near enough.
_TAIL_END = 0.125

# Products like 0.07 * 100 come out a hair above 7; the order statistic meant is the seventh.
_RANK_TOLERANCE = 1e-9

_PERT_CELLS = 4096


@dataclass(frozen=True, slots=True)
class Fixed:
    """A value without spread, for deterministic inputs.

    Parameters: value, any finite number. Raises ValueError if it is not finite.
    """

    value: float

    def __post_init__(self) -> None:
        _require_finite("value", self.value)
        object.__setattr__(self, "value", float(self.value))

    @property
    def mean(self) -> float:
        """Return the expected value."""
        return self.value

    @property
    def low(self) -> float:
        """Return the lower bound of the support."""
        return self.value

    @property
    def high(self) -> float:
        """Return the upper bound of the support."""
        return self.value

    def cdf(self, x: float) -> float:
        """Return the probability of a value at or below `x`."""
        return 1.0 if x >= self.value else 0.0

    def inverse(self, u: float) -> float:
        """Return the value, whatever the uniform number `u` in [0, 1]."""
        return self.value

    def scaled(self, factor: float) -> Fixed:
        """Return the distribution of the value times `factor` (> 0)."""
        return Fixed(self.value * _positive("factor", factor))

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values."""
        return _table(self, n)


@dataclass(frozen=True, slots=True)
class Triangular:
    """A triangle over [low, high] with its peak at likely.

    Parameters: low <= likely <= high with low < high, all finite. Raises ValueError otherwise.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        _require_three_points("Triangular", self.low, self.likely, self.high)

    @property
    def mean(self) -> float:
        """Return the expected value, (low + likely + high) / 3."""
        return (self.low + self.likely + self.high) / 3.0

    def cdf(self, x: float) -> float:
        """Return the probability of a value at or below `x`."""
        if x <= self.low:
            return 0.0
        if x >= self.high:
            return 1.0
        span = self.high - self.low
        if x < self.likely:
            return (x - self.low) ** 2 / (span * (self.likely - self.low))
        return 1.0 - (self.high - x) ** 2 / (span * (self.high - self.likely))

    def inverse(self, u: float) -> float:
        """Return the value below which the share `u` in [0, 1] lies."""
        low, likely, high = self.low, self.likely, self.high
        span = high - low
        # Held to the peak on either side, so that rounding cannot make the two branches cross there.
        if u * span < likely - low:
            return min(low + math.sqrt(u * span * (likely - low)), likely)
        return max(high - math.sqrt((1.0 - u) * span * (high - likely)), likely)

    def scaled(self, factor: float) -> Triangular:
        """Return the distribution of all values times `factor` (> 0)."""
        _positive("factor", factor)
        return Triangular(self.low * factor, self.likely * factor, self.high * factor)

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values."""
        return _table(self, n)


@dataclass(frozen=True, slots=True)
class Pert:
    """A beta-PERT over [low, high] with its peak at likely, of weight 4.

    The beta shapes are 1 + 4 (likely - low)/(high - low) and 1 + 4 (high - likely)/(high - low), so the
    mean is (low + 4 likely + high)/6 exactly and the variance follows from the beta, not from the rule of
    thumb ((high - low)/6)². The inverse is tabulated once, at equal steps of u, and read linearly; the cdf
    is read from the same table. The table travels with a pickled value, so neither drawing nor scaling
    needs scipy.

    Parameters: low <= likely <= high with low < high, all finite. Raises ValueError otherwise.
    """

    low: float
    likely: float
    high: float
    _shares: array[float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _require_three_points("Pert", self.low, self.likely, self.high)
        object.__setattr__(self, "_shares", _pert_shares((self.likely - self.low) / (self.high - self.low)))

    @property
    def mean(self) -> float:
        """Return the expected value, (low + 4 likely + high) / 6."""
        return (self.low + 4.0 * self.likely + self.high) / 6.0

    def cdf(self, x: float) -> float:
        """Return the probability of a value at or below `x`."""
        share = (x - self.low) / (self.high - self.low)
        if share <= 0.0:
            return 0.0
        if share >= 1.0:
            return 1.0
        cell = bisect_right(self._shares, share) - 1
        left, right = self._shares[cell], self._shares[cell + 1]
        return (cell + (share - left) / (right - left)) / _PERT_CELLS

    def inverse(self, u: float) -> float:
        """Return the value below which the share `u` in [0, 1] lies."""
        place = u * _PERT_CELLS
        cell = int(place)
        if cell >= _PERT_CELLS:
            return float(self.high)
        left = self._shares[cell]
        share = left + (place - cell) * (self._shares[cell + 1] - left)
        return self.low + (self.high - self.low) * share

    def scaled(self, factor: float) -> Pert:
        """Return the distribution of all values times `factor` (> 0)."""
        _positive("factor", factor)
        # Handed its table rather than made anew: scaling must not need scipy either.
        scaled = object.__new__(Pert)
        object.__setattr__(scaled, "low", self.low * factor)
        object.__setattr__(scaled, "likely", self.likely * factor)
        object.__setattr__(scaled, "high", self.high * factor)
        object.__setattr__(scaled, "_shares", self._shares)
        return scaled

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values."""
        return _table(self, n)


@dataclass(frozen=True, slots=True)
class Lognormal:
    """A value whose logarithm is normal with mean mu and standard deviation sigma.

    Parameters: mu finite, sigma finite and above 0. Raises ValueError otherwise.
    """

    mu: float
    sigma: float

    def __post_init__(self) -> None:
        _require_finite("mu", self.mu)
        _positive("sigma", self.sigma)

    @classmethod
    def by_p10_p90(cls, p10: float, p90: float) -> Lognormal:
        """Return the lognormal with a tenth below `p10` and a tenth above `p90` (0 < p10 < p90)."""
        _require_rising("p10", p10, "p90", p90)
        return cls(0.5 * (math.log(p10) + math.log(p90)), math.log(p90 / p10) / (2.0 * _NORMAL_P90))

    @classmethod
    def by_p50_p90(cls, p50: float, p90: float) -> Lognormal:
        """Return the lognormal with median `p50` and a tenth above `p90` (0 < p50 < p90)."""
        _require_rising("p50", p50, "p90", p90)
        return cls(math.log(p50), math.log(p90 / p50) / _NORMAL_P90)

    @classmethod
    def by_mean_cv(cls, mean: float, cv: float) -> Lognormal:
        """Return the lognormal with this `mean` (> 0) and coefficient of variation `cv` (> 0)."""
        _positive("mean", mean)
        _positive("cv", cv)
        variance = math.log1p(cv * cv)
        return cls(math.log(mean) - 0.5 * variance, math.sqrt(variance))

    @property
    def mean(self) -> float:
        """Return the expected value, exp(mu + sigma²/2)."""
        return math.exp(self.mu + 0.5 * self.sigma * self.sigma)

    @property
    def low(self) -> float:
        """Return the lower bound of the support."""
        return 0.0

    @property
    def high(self) -> float:
        """Return the upper bound of the support."""
        return math.inf

    def cdf(self, x: float) -> float:
        """Return the probability of a value at or below `x`."""
        if x <= 0.0:
            return 0.0
        return _STANDARD_NORMAL.cdf((math.log(x) - self.mu) / self.sigma)

    def inverse(self, u: float) -> float:
        """Return the value below which the share `u` in [0, 1] lies; the ends stay finite."""
        if u < _SMALLEST_UNIFORM:
            u = _SMALLEST_UNIFORM
        elif u > _LARGEST_UNIFORM:
            u = _LARGEST_UNIFORM
        return math.exp(self.mu + self.sigma * _STANDARD_NORMAL.inv_cdf(u))

    def scaled(self, factor: float) -> Lognormal:
        """Return the distribution of all values times `factor` (> 0)."""
        return Lognormal(self.mu + math.log(_positive("factor", factor)), self.sigma)

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values with a finite last one."""
        return _table(self, n)


@dataclass(frozen=True, slots=True)
class Exponential:
    """A waiting time without memory, with the mean mean_value.

    Parameters: mean_value finite and above 0. Raises ValueError otherwise.
    """

    mean_value: float

    def __post_init__(self) -> None:
        _positive("mean_value", self.mean_value)

    @property
    def mean(self) -> float:
        """Return the expected value."""
        return self.mean_value

    @property
    def low(self) -> float:
        """Return the lower bound of the support."""
        return 0.0

    @property
    def high(self) -> float:
        """Return the upper bound of the support."""
        return math.inf

    def cdf(self, x: float) -> float:
        """Return the probability of a value at or below `x`."""
        return -math.expm1(-x / self.mean_value) if x > 0.0 else 0.0

    def inverse(self, u: float) -> float:
        """Return the value below which the share `u` in [0, 1] lies; the upper end stays finite."""
        return -self.mean_value * math.log1p(-min(u, _LARGEST_UNIFORM))

    def scaled(self, factor: float) -> Exponential:
        """Return the distribution of all values times `factor` (> 0)."""
        return Exponential(self.mean_value * _positive("factor", factor))

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values with a finite last one."""
        return _table(self, n)


@dataclass(frozen=True, slots=True, repr=False)
class Observed:
    """Values that were measured, each as likely as the others, kept in rising order.

    Parameters: values, one or more finite numbers in any order. Raises ValueError otherwise.
    """

    values: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.values:
            raise ValueError("values: at least one observed value is needed, got none")
        for value in self.values:
            _require_finite("values", value)
        object.__setattr__(self, "values", tuple(sorted(float(value) for value in self.values)))

    def __repr__(self) -> str:
        return f"Observed({len(self.values)} values, {self.low:g} to {self.high:g})"

    @property
    def mean(self) -> float:
        """Return the expected value, the average of the observed values."""
        return math.fsum(self.values) / len(self.values)

    @property
    def low(self) -> float:
        """Return the smallest observed value."""
        return self.values[0]

    @property
    def high(self) -> float:
        """Return the largest observed value."""
        return self.values[-1]

    def cdf(self, x: float) -> float:
        """Return the share of observed values at or below `x`."""
        return bisect_right(self.values, x) / len(self.values)

    def inverse(self, u: float) -> float:
        """Return the ⌈n u⌉-th smallest of the n observed values, the smallest for `u` = 0."""
        rank = math.ceil(len(self.values) * u - _RANK_TOLERANCE)
        return self.values[rank - 1 if rank > 0 else 0]

    def scaled(self, factor: float) -> Observed:
        """Return the distribution of all values times `factor` (> 0)."""
        _positive("factor", factor)
        return Observed(tuple(value * factor for value in self.values))

    def table(self, n: int) -> NDArray[np.float64]:
        """Return the inverse at i/n for i = 0…n, an array of n + 1 values."""
        return _table(self, n)


Distribution: TypeAlias = Fixed | Triangular | Pert | Lognormal | Exponential | Observed


def _table(distribution: Distribution, n: int) -> NDArray[np.float64]:
    """Return the inverse at n + 1 equal steps of u, the last held short of 1 where the tail has no end."""
    if n < 1:
        raise ValueError(f"n: a table needs at least one cell, got {n}")
    last = 1.0 if math.isfinite(distribution.high) else 1.0 - _TAIL_END / n
    return np.array([distribution.inverse(min(i / n, last)) for i in range(n + 1)], dtype=np.float64)


@lru_cache(maxsize=1024)
def _pert_shares(peak: float) -> array[float]:
    """Return the inverse of the beta-PERT on [0, 1] with its peak at `peak`, at equal steps of u.

    Equal peaks share one table, also inside one pickle, and a scaled distribution costs nothing.
    """
    from scipy.special import betaincinv  # only where a plan is made, never in a worker

    shares = betaincinv(1.0 + 4.0 * peak, 1.0 + 4.0 * (1.0 - peak), np.linspace(0.0, 1.0, _PERT_CELLS + 1))
    # Noise in the last digit must not make a luckier draw a longer one.
    return array("d", np.maximum.accumulate(shares).tolist())


def _require_finite(name: str, value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"{name}: {value} is not a finite number")


def _positive(name: str, value: float) -> float:
    _require_finite(name, value)
    if value <= 0.0:
        raise ValueError(f"{name}: {value} is not above 0")
    return value


def _require_three_points(kind: str, low: float, likely: float, high: float) -> None:
    for name, value in (("low", low), ("likely", likely), ("high", high)):
        _require_finite(name, value)
    if low == high:
        raise ValueError(f"{kind}: low and high are both {low}; a value without spread is Fixed({low})")
    if not low <= likely <= high:
        raise ValueError(f"{kind}: low {low}, likely {likely}, high {high} do not rise")


def _require_rising(lower_name: str, lower: float, upper_name: str, upper: float) -> None:
    _positive(lower_name, lower)
    _positive(upper_name, upper)
    if lower >= upper:
        raise ValueError(f"{lower_name}: {lower} is not below {upper_name} {upper}")
