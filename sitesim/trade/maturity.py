"""Hardening with time and temperature."""

from __future__ import annotations

import math
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitesim.trade.arguments import require_positive

HOURS_PER_DAY = 24.0


@overload
def rate_of_hardening(temperature: float) -> float: ...
@overload
def rate_of_hardening(temperature: NDArray[np.float64]) -> NDArray[np.float64]: ...
def rate_of_hardening(temperature: float | NDArray[np.float64]) -> float | NDArray[np.float64]:
    """Return how much faster concrete hardens than at 20 °C [-].

    Parameters: temperature of the concrete [°C], one or an array; valid from 0 to 80 °C. Source: fib Model
    Code 2010, Eq. 5.1-85, exp(13.65 − 4000/(273 + T)), which gives 0.998 and not quite 1 at 20 °C.
    """
    if isinstance(temperature, np.ndarray):
        return np.exp(13.65 - 4000.0 / (273.0 + temperature))
    return math.exp(13.65 - 4000.0 / (273.0 + temperature))


def equivalent_age(temperatures: ArrayLike, durations: ArrayLike) -> float:
    """Return the age at 20 °C that a temperature history amounts to, in the unit of the durations.

    Parameters: temperatures [°C], an array over intervals; durations of the intervals, one or an array.
    Raises ValueError if a duration is negative. Source: fib Model Code 2010, Eq. 5.1-85.
    """
    rates = rate_of_hardening(np.atleast_1d(np.asarray(temperatures, dtype=np.float64)))
    return float(np.sum(rates * _lengths(durations)))


def nurse_saul(temperatures: ArrayLike, durations: ArrayLike, datum: float = 0.0) -> float:
    """Return the temperature-time factor of a history [°C · unit of the durations].

    Parameters: temperatures [°C], an array over intervals; durations of the intervals, one or an array;
    datum temperature [°C], below which nothing hardens. Raises ValueError if a duration is negative.
    Source: Nurse–Saul function of ASTM C1074.
    """
    above = np.maximum(np.atleast_1d(np.asarray(temperatures, dtype=np.float64)) - datum, 0.0)
    return float(np.sum(above * _lengths(durations)))


def time_to_maturity(target: float, temperature: float, datum: float = 0.0) -> float:
    """Return the time at a steady temperature until a temperature-time factor is reached.

    Parameters: target [°C · unit of the answer], temperature [°C], datum [°C]. The answer is infinite at or
    below the datum. Source: the Nurse–Saul function of ASTM C1074, solved for time.
    """
    return target / (temperature - datum) if temperature > datum else math.inf


def strength_ratio(age: float, cement: float = 0.25) -> float:
    """Return the mean strength at an age as a share of the strength at 28 days [-].

    Parameters: age at 20 °C [h]; cement coefficient s [-], 0.20 for rapid, 0.25 for normal and 0.38 for
    slow cement. Raises ValueError if one is not above 0. Source: EN 1992-1-1, Eq. 3.2, exp(s (1 − √(28
    d/t))).
    """
    require_positive(age=age, cement=cement)
    return math.exp(cement * (1.0 - math.sqrt(28.0 * HOURS_PER_DAY / age)))


def age_at_strength(ratio: float, cement: float = 0.25) -> float:
    """Return the age at 20 °C at which a share of the strength at 28 days is reached [h].

    Parameters: ratio [-], below exp(cement), which is never reached; cement coefficient s [-]. Raises
    ValueError otherwise. Source: EN 1992-1-1, Eq. 3.2, solved for the age.
    """
    require_positive(ratio=ratio, cement=cement)
    root = 1.0 - math.log(ratio) / cement
    if not root > 0.0:
        raise ValueError(f"ratio: {ratio} is never reached; the curve ends below {math.exp(cement):.3f}")
    return 28.0 * HOURS_PER_DAY / (root * root)


def _lengths(durations: ArrayLike) -> NDArray[np.float64]:
    lengths = np.asarray(durations, dtype=np.float64)
    if np.any(lengths < 0.0):
        raise ValueError(f"durations: {lengths.min()} is below 0")
    return lengths
