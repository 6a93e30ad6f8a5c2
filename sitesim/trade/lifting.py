"""Wind on a lift: gusts out of recorded means, gusts at the tip of a boom, loads with a large face."""

from __future__ import annotations

import math
from typing import overload

import numpy as np
from numpy.typing import NDArray

GUST_FACTORS = {
    "hour_open_country": 1.53,
    "hour_in_land": 1.75,
    "hour_off_land": 1.60,
    "hour_off_sea": 1.45,
    "hour_at_sea": 1.30,
    "ten_minutes_in_land": 1.66,
    "ten_minutes_off_land": 1.52,
    "ten_minutes_off_sea": 1.38,
    "ten_minutes_at_sea": 1.23,
}
"""Gust of 3 s against the mean over the time in the name [-].

An hour over open country: the Durst curve as used by ASCE 7, 1.52 to 1.53. The others, over an hour and over ten
minutes: WMO/TD-No. 1555 (Harper, Kepert & Ginger 2010, table 1.1), by the surface the wind has crossed.
"""

WIND_PROFILES = {"town": (1.0 / 4.0, 1.0 / 7.0), "open": (1.0 / 6.5, 1.0 / 9.5), "water": (1.0 / 9.0, 1.0 / 11.5)}
"""Exponents of the power law of wind with height, by terrain: for the hourly mean, and for the 3 s gust [-].

Exposures B, C and D of ASCE 7-10, table 26.9-1.
"""

LOWEST_OF_PROFILE = 2.0
"""Height [m] below which no power law is worth using (assumed)."""

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


def wind_aloft(height: float, station_height: float, terrain: str) -> tuple[float, float]:
    """Return mean wind and gust at a height, each over that at the height of the station [-].

    Parameters: height and station_height above ground [m]; terrain, a name in `WIND_PROFILES`, taken to be the same at
    both places. Raises ValueError for another name, or for a height below `LOWEST_OF_PROFILE`. Source: power law,
    (z/z0)^a, with the exponents of `WIND_PROFILES`.
    """
    if terrain not in WIND_PROFILES:
        raise ValueError(f"terrain {terrain!r} is not known; known are {', '.join(WIND_PROFILES)}")
    for name, value in (("height", height), ("station_height", station_height)):
        if not value >= LOWEST_OF_PROFILE:
            raise ValueError(f"{name}: {value} is below {LOWEST_OF_PROFILE} m")
    mean, gust = (float((height / station_height) ** exponent) for exponent in WIND_PROFILES[terrain])
    return mean, gust


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
