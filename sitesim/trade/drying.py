"""How fast water leaves a thin coat, such as joint compound, into the air of a room."""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import NDArray

from sitesim.trade.air import saturation_pressure

REFERENCE_TEMPERATURE = 20.0
"""The temperature [°C] at which drying times are given."""

REFERENCE_HUMIDITY = 0.5
"""The relative humidity, as a share, at which they are given."""


@overload
def drying_rate(temperature: float, humidity: float) -> float: ...
@overload
def drying_rate(temperature: NDArray[np.float64], humidity: NDArray[np.float64]) -> NDArray[np.float64]: ...
def drying_rate(
    temperature: float | NDArray[np.float64], humidity: float | NDArray[np.float64]
) -> float | NDArray[np.float64]:
    """Return how many times as fast a coat dries as at 20 °C and 50 % [-].

    Parameters: air temperature [°C], relative humidity as a share; floats or arrays of one shape. Source: the rate goes
    with the vapour that the air still takes up, (1 − h) p(T), as evaporation by Dalton's law does; taking it alone, and
    not the coat, for what sets the pace is an assumption. Never below 0.
    """
    reference = (1.0 - REFERENCE_HUMIDITY) * saturation_pressure(REFERENCE_TEMPERATURE)
    return np.maximum(0.0, 1.0 - humidity) * saturation_pressure(temperature) / reference
