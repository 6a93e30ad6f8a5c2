"""Evaporation from fresh concrete."""

from __future__ import annotations

from typing import TypeAlias, overload

import numpy as np
from numpy.typing import NDArray

USUAL_LIMIT = 1.0
"""Evaporation above which ACI 305R asks for precautions [kg/m²/h]."""

SCATTER = 0.4
"""Measured rates lie within this share of the estimate on either side (Hover 2020)."""

_KILOMETRES_PER_HOUR = 3.6

Reading: TypeAlias = float | NDArray[np.float64]


@overload
def evaporation_rate(concrete_temperature: float, air_temperature: float, humidity: float, wind: float) -> float: ...
@overload
def evaporation_rate(
    concrete_temperature: Reading,
    air_temperature: NDArray[np.float64],
    humidity: NDArray[np.float64],
    wind: NDArray[np.float64],
) -> NDArray[np.float64]: ...
def evaporation_rate(
    concrete_temperature: Reading, air_temperature: Reading, humidity: Reading, wind: Reading
) -> Reading:
    """Return the evaporation of bleed water from fresh concrete, never below zero [kg/m²/h].

    The published formula takes the wind in km/h, and feeding it m/s is the usual mistake. Here the wind is
    in m/s, like every wind of this package, and is converted inside.

    Parameters, numbers or arrays that broadcast: concrete_temperature [°C], air_temperature [°C], relative
    humidity as a share from 0 to 1 [-], wind near the surface [m/s]. Raises ValueError if a humidity is
    outside 0…1 or a wind is negative. Source: Uno 1998, ACI Mater. J. 95(4), the nomograph of ACI 305R as a
    formula: 5 ((Tc + 18)^2.5 − r (Ta + 18)^2.5)(V + 4) · 10⁻⁶.
    """
    if np.any(np.less(humidity, 0.0)) or np.any(np.greater(humidity, 1.0)):
        raise ValueError(f"humidity: {humidity} is not a share from 0 to 1")
    if np.any(np.less(wind, 0.0)):
        raise ValueError(f"wind: {wind} m/s is below 0")
    # Below −18 °C the formula has no meaning and no evaporation worth naming.
    at_concrete = np.maximum(np.add(concrete_temperature, 18.0), 0.0) ** 2.5
    in_air = np.multiply(humidity, np.maximum(np.add(air_temperature, 18.0), 0.0) ** 2.5)
    speed = np.multiply(wind, _KILOMETRES_PER_HOUR)
    rate = np.maximum(5e-6 * (at_concrete - in_air) * (speed + 4.0), 0.0)
    return float(rate) if np.ndim(rate) == 0 else np.asarray(rate)
