"""The air over a day: hours of daylight, and hourly temperature out of a day's lowest and highest."""

from __future__ import annotations

import math
from typing import NamedTuple, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray


class DayShape(NamedTuple):
    """The coefficients of a day's temperature curve.

    Parameters: lag_of_highest, of the highest temperature behind noon [h]; night_decay [-]; lag_of_lowest,
    of the lowest temperature behind sunrise [h]. Copies of the model often have the last two swapped.
    """

    lag_of_highest: float
    night_decay: float
    lag_of_lowest: float


DAY_SHAPES = {
    "wann_1985": DayShape(2.59, 2.20, 1.55),
    "parton_logan_150_cm": DayShape(1.86, 2.20, -0.17),
    "parton_logan_10_cm": DayShape(1.52, 2.00, -0.18),
}
"""Published shapes.

Wann, Yen & Gold 1985: the average of five sites in North Carolina. Parton & Logan 1981: Denver, at 150 cm and
at 10 cm above ground. The first is the usual one.
"""


@overload
def hourly_temperature(
    hour: float, low: float, high: float, sunrise: float, sunset: float, shape: str = ...
) -> float: ...
@overload
def hourly_temperature(
    hour: NDArray[np.float64],
    low: ArrayLike,
    high: ArrayLike,
    sunrise: ArrayLike,
    sunset: ArrayLike,
    shape: str = ...,
) -> NDArray[np.float64]: ...
def hourly_temperature(
    hour: float | NDArray[np.float64],
    low: ArrayLike,
    high: ArrayLike,
    sunrise: ArrayLike,
    sunset: ArrayLike,
    shape: str = "wann_1985",
) -> float | NDArray[np.float64]:
    """Return the air temperature at an hour of a day [°C].

    A sine by day and a decay by night. The published night curve ends a little above the lowest
    temperature, so the day begins with a small step down.

    Parameters, numbers or arrays that broadcast: hour from 0 to 24 [h]; low and high, the day's extremes
    [°C]; sunrise and sunset on the same clock [h]; shape, a name in `DAY_SHAPES`. Raises ValueError for
    another name, or if a high is below its low. Source: Parton & Logan 1981, Agric. Meteorol. 23:205.
    """
    if shape not in DAY_SHAPES:
        raise ValueError(f"shape {shape!r} is not known; known are {', '.join(DAY_SHAPES)}")
    if np.any(np.less(high, low)):
        raise ValueError(f"high: {high!r} °C is below low {low!r} °C")
    clock, lowest, rise, fall = (np.asarray(value, dtype=np.float64) for value in (hour, low, sunrise, sunset))
    span = np.subtract(high, lowest)
    decay, lag = DAY_SHAPES[shape].night_decay, DAY_SHAPES[shape].lag_of_lowest
    day_length = fall - rise
    wave = day_length + 2.0 * (DAY_SHAPES[shape].lag_of_highest - lag)
    by_day = lowest + span * np.sin(np.pi * (clock - rise - lag) / wave)
    # A day shorter than the lag never warms; without the bound its sunset would lie below its lowest.
    at_sunset = span * np.sin(np.pi * np.maximum(day_length - lag, 0.0) / wave)
    since_sunset = np.where(clock >= fall, clock - fall, clock + 24.0 - fall)
    by_night = lowest + at_sunset * np.exp(-decay * since_sunset / (24.0 - day_length + lag))
    temperature = np.where((clock > rise + lag) & (clock < fall), by_day, by_night)
    return float(temperature) if temperature.ndim == 0 else temperature


@overload
def saturation_pressure(temperature: float) -> float: ...
@overload
def saturation_pressure(temperature: NDArray[np.float64]) -> NDArray[np.float64]: ...
def saturation_pressure(temperature: float | NDArray[np.float64]) -> float | NDArray[np.float64]:
    """Return the pressure of water vapour in saturated air over water [kPa].

    Parameters: temperature [°C], one or an array, above −237. Source: Allen et al. 1998, FAO Irrigation and Drainage
    Paper 56, equation 11 (Tetens): 0.6108 exp(17.27 T/(T + 237.3)).
    """
    pressure = 0.6108 * np.exp(17.27 * np.asarray(temperature) / (np.asarray(temperature) + 237.3))
    return float(pressure) if np.ndim(pressure) == 0 else np.asarray(pressure)


def declination(day_of_year: float) -> float:
    """Return the declination of the sun [rad].

    Parameters: day_of_year, 1 for the first of January. Source: Cooper 1969, 23.45° sin(360° (284 + n)/365).
    """
    return math.radians(23.45) * math.sin(2.0 * math.pi * (284.0 + day_of_year) / 365.0)


def sunrise_and_sunset(latitude: float, day_of_year: float) -> tuple[float, float]:
    """Return sunrise and sunset in solar time, with noon at 12 [h, h].

    A polar night gives (12, 12) and a midnight sun (0, 24). Refraction and the width of the sun, together
    about seven minutes in middle latitudes, are left out, as is the distance of clock time from solar time.

    Parameters: latitude [°], north positive; day_of_year, 1 for the first of January. Raises ValueError for
    a latitude outside −90…90. Source: hour angle of sunset, cos ω = −tan φ tan δ, with `declination`.
    """
    if not -90.0 <= latitude <= 90.0:
        raise ValueError(f"latitude: {latitude} is not between -90 and 90")
    cosine = -math.tan(math.radians(latitude)) * math.tan(declination(day_of_year))
    half_day = math.acos(max(-1.0, min(1.0, cosine))) * 12.0 / math.pi
    return 12.0 - half_day, 12.0 + half_day
