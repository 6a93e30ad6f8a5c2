"""Wind on a lift: gusts out of recorded means, gusts at the tip of a boom, loads with a large face."""

from __future__ import annotations

import math
from typing import overload

import numpy as np
from numpy.typing import NDArray

GUST_FACTORS = {
    "hour_open_country": 1.53,
    "ten_minutes_in_land": 1.66,
    "ten_minutes_off_land": 1.52,
    "ten_minutes_off_sea": 1.38,
    "ten_minutes_at_sea": 1.23,
}
"""Gust of 3 s against the mean over the time in the name [-].

An hour: the Durst curve as used by ASCE 7, 1.52 to 1.53. Ten minutes: WMO/TD-No. 1555, by the surface the
wind has crossed.
"""

REFERENCE_FACE = 1.2e-3
"""Sail area per mass of load for which the wind limit of a crane is stated [m²/kg] (EN 13000, 1.2 m²/t)."""


@overload
def gust_from_mean(mean_wind: float, exposure: str) -> float: ...
@overload
def gust_from_mean(mean_wind: NDArray[np.float64], exposure: str) -> NDArray[np.float64]: ...
def gust_from_mean(mean_wind: float | NDArray[np.float64], exposure: str) -> float | NDArray[np.float64]:
    """Return the 3 s gust to expect with a mean wind, at the height of the mean [m/s].

    Parameters: mean_wind [m/s], one or an array; exposure, a name in `GUST_FACTORS`. Raises ValueError for
    another name. Source: see `GUST_FACTORS`.
    """
    if exposure not in GUST_FACTORS:
        raise ValueError(f"exposure {exposure!r} is not known; known are {', '.join(GUST_FACTORS)}")
    return mean_wind * GUST_FACTORS[exposure]


@overload
def boom_tip_gust(mean_wind: float, height: float) -> float: ...
@overload
def boom_tip_gust(mean_wind: NDArray[np.float64], height: float) -> NDArray[np.float64]: ...
def boom_tip_gust(mean_wind: float | NDArray[np.float64], height: float) -> float | NDArray[np.float64]:
    """Return the 3 s gust at the tip of a boom out of the mean wind at 10 m [m/s].

    Parameters: mean_wind, the ten-minute mean at 10 m above ground [m/s], one or an array; height of the
    tip [m]. Raises ValueError if the height is not above 0. Source: form of EN 13000, ((z/10)^0.14 + 0.4)
    v.
    """
    if not height > 0.0:
        raise ValueError(f"height: {height} is not above 0")
    factor: float = (height / 10.0) ** 0.14 + 0.4
    return mean_wind * factor


def permitted_wind(wind_limit: float, mass: float, sail_area: float, drag_coefficient: float) -> float:
    """Return the wind in which a load may be lifted, less than the crane's limit if its face is large [m/s].

    Parameters: wind_limit of the crane's table [m/s]; mass of the load [kg]; sail_area, its largest face
    [m²]; drag_coefficient of the face [-], 1.0 to 1.2 for a flat one. Raises ValueError if one is not above
    0. Source: form of EN 13000, limit × √(1.2 m²/t · P/(Cw A)) once Cw A passes 1.2 m²/t.
    """
    given = (
        ("wind_limit", wind_limit),
        ("mass", mass),
        ("sail_area", sail_area),
        ("drag_coefficient", drag_coefficient),
    )
    for name, value in given:
        if not value > 0.0:
            raise ValueError(f"{name}: {value} is not above 0")
    return wind_limit * min(1.0, math.sqrt(REFERENCE_FACE * mass / (drag_coefficient * sail_area)))
