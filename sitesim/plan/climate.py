"""Weather as the plan carries it: hour by hour, with the limits that close those hours to work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

HOURS_A_DAY = 24


@dataclass(frozen=True, eq=False)
class HourlyRecord:
    """Whole years of hourly weather at one place, a row for each civil day.

    name: what the record is called in reports.
    origin: where it comes from and what was added to it.
    days: proleptic ordinals of the civil days (``datetime.date.toordinal``), without a gap, shape (days,).
    years: number of whole years in the record.
    temperature: air temperature [°C], shape (days, 24).
    wind: mean wind of the hour [m/s], shape (days, 24).
    rain: rain of the hour [mm], shape (days, 24).
    humidity: relative humidity as a share from 0 to 1, shape (days, 24), or None where nobody asks for it.
    gust: recorded gust of the hour [m/s], shape (days, 24), at least the mean; None where it is reckoned from it.

    Raises ValueError when the shapes differ, a day is missing, or the days are not that many whole years.
    """

    name: str
    origin: str
    days: NDArray[np.int64]
    years: int
    temperature: NDArray[np.float64]
    wind: NDArray[np.float64]
    rain: NDArray[np.float64]
    humidity: NDArray[np.float64] | None = None
    gust: NDArray[np.float64] | None = None

    def __post_init__(self) -> None:
        count = len(self.days)
        for quantity, values in self.quantities().items():
            if values.shape != (count, HOURS_A_DAY):
                wanted = (count, HOURS_A_DAY)
                raise ValueError(f"{self.name}: {quantity} has shape {values.shape}, not {wanted}")
            if not np.isfinite(values).all():
                raise ValueError(f"{self.name}: {quantity} has hours without a number")
        if np.any(np.diff(self.days) != 1):
            raise ValueError(f"{self.name}: the days do not follow one another")
        if self.years < 1 or not 365 * self.years <= count <= 366 * self.years:
            raise ValueError(f"{self.name}: {count} days are not {self.years} whole years")

    def quantities(self) -> Mapping[str, NDArray[np.float64]]:
        """Give the hourly tables that there are by name, each of shape (days, 24)."""
        tables = {
            "temperature": self.temperature,
            "wind": self.wind,
            "rain": self.rain,
            "humidity": self.humidity,
            "gust": self.gust,
        }
        return {name: values for name, values in tables.items() if values is not None}


@dataclass(frozen=True)
class Sides:
    """Sides of a tent that are let down before much wind, so that it is less of a sail, and put up again after it.

    down_gust: outside gust [m/s] above which they have to be down.
    up_gust: most outside gust [m/s] in which somebody handles them.
    time: working hours [h] to let them down, and as many to put them up.
    hours: name of the calendar of those who do it.

    Raises ValueError when a gust or the time is negative, or a number is not one.
    """

    down_gust: float
    up_gust: float
    time: float
    hours: str

    def __post_init__(self) -> None:
        _refuse_unless(0.0 <= self.up_gust <= self.down_gust, "up_gust", self.up_gust, "from 0 m/s to down_gust")
        _refuse_unless(0.0 <= self.time < inf, "time", self.time, "0 h or more")


@dataclass(frozen=True)
class Shelter:
    """What a tent does for the work under it.

    keeps_rain_off: whether the work stays dry when it rains outside.
    wind_share: share of the outside wind that still reaches the work, 0 to 1.
    rated_gust: outside gust [m/s] above which the shelter itself stops the work.
    rise: most that its heater can add to the outside temperature [°C]; 0 when it has none.
    set_point: temperature [°C] above which the heater never heats.
    sides: its sides, where they come down in much wind and the work and the heater stop until they are up; or None.

    Raises ValueError when a share is outside 0 to 1, a gust or rise is negative, or a number is not one.
    """

    keeps_rain_off: bool = True
    wind_share: float = 1.0
    rated_gust: float = inf
    rise: float = 0.0
    set_point: float = inf
    sides: Sides | None = None

    def __post_init__(self) -> None:
        _refuse_unless(0.0 <= self.wind_share <= 1.0, "wind_share", self.wind_share, "between 0 and 1")
        _refuse_unless(self.rated_gust >= 0.0, "rated_gust", self.rated_gust, "0 m/s or more")
        _refuse_unless(0.0 <= self.rise < inf, "rise", self.rise, "finite and 0 °C or more")
        _refuse_unless(self.set_point > -inf, "set_point", self.set_point, "a temperature")


@dataclass(frozen=True)
class SoakedGround:
    """Ground that is too wet to work on after much rain.

    rain: most rain [mm] within the hours before, that of the hour itself included.
    within: how many hours [h] back the rain is summed.

    Raises ValueError when one is negative or no hour is looked at.
    """

    rain: float
    within: int

    def __post_init__(self) -> None:
        _refuse_unless(self.rain >= 0.0, "rain", self.rain, "0 mm or more")
        _refuse_unless(self.within >= 1, "within", self.within, "1 h or more")


@dataclass(frozen=True)
class Frost:
    """Frost in the ground, told by the mean air temperature of some time before: an assumption, not a thermal model.

    over: how many hours [h] back the air temperature is averaged.
    below: mean [°C] below which the ground counts as frozen.

    Raises ValueError when no hour is looked at.
    """

    over: int
    below: float = 0.0

    def __post_init__(self) -> None:
        _refuse_unless(self.over >= 1, "over", self.over, "1 h or more")


@dataclass(frozen=True)
class Evaporation:
    """The most water that may evaporate from fresh concrete.

    most: rate [kg/m²/h].
    concrete: temperature of the concrete [°C]; None takes that of the air at the work.
    measures: time [h] to keep each layer wet above that rate, so that the work may go on; 0 where it stops.

    Raises ValueError when the rate or the time is negative.
    """

    most: float
    concrete: float | None = None
    measures: float = 0.0

    def __post_init__(self) -> None:
        _refuse_unless(self.most >= 0.0, "most", self.most, "0 kg/m²/h or more")
        _refuse_unless(0.0 <= self.measures < inf, "measures", self.measures, "0 h or more")


@dataclass(frozen=True)
class Limits:
    """The weather in which one kind of work may go on; a value equal to its limit is still within it.

    kind: name of the kind of work.
    temperature_low, temperature_high: air temperature at the work [°C].
    gust: highest gust at the work [m/s].
    wind: highest hourly mean wind at the work [m/s].
    rain: most rain on the work in an hour [mm/h]; 0 when it must be dry.
    shelter: the tent over the work, or None in the open.
    gust_aloft, wind_aloft: gust, and mean wind, at the height that the limits are meant for, over those at the height
        of the station [-].
    after_rain, before_rain: hours [h] that stay shut after, and before, an hour with more rain than the limit (with
        any rain where there is no limit).
    soaked: when the ground is too wet, or None.
    frost: when the ground is frozen, or None.
    humidity: highest relative humidity at the work, as a share.
    evaporation: most evaporation from fresh concrete, or None.

    Raises ValueError when the temperatures are the wrong way round, a limit is negative, or a number is not
    one.
    """

    kind: str
    temperature_low: float = -inf
    temperature_high: float = inf
    gust: float = inf
    wind: float = inf
    rain: float = inf
    shelter: Shelter | None = None
    gust_aloft: float = 1.0
    wind_aloft: float = 1.0
    after_rain: int = 0
    before_rain: int = 0
    soaked: SoakedGround | None = None
    frost: Frost | None = None
    humidity: float = inf
    evaporation: Evaporation | None = None

    def __post_init__(self) -> None:
        _refuse_unless(
            self.temperature_low <= self.temperature_high,
            f"{self.kind}: temperature_low",
            self.temperature_low,
            f"at most temperature_high, {self.temperature_high}",
        )
        for quantity in ("gust", "wind", "rain", "humidity", "after_rain", "before_rain"):
            limit = getattr(self, quantity)
            _refuse_unless(limit >= 0.0, f"{self.kind}: {quantity}", limit, "0 or more")
        for quantity in ("gust_aloft", "wind_aloft"):
            factor = getattr(self, quantity)
            _refuse_unless(0.0 < factor < inf, f"{self.kind}: {quantity}", factor, "above 0")


def _refuse_unless(right: bool, what: str, value: float, wanted: str) -> None:
    """Raise ValueError with the value found and the one wanted; a comparison with nan is never right."""
    if not right:
        raise ValueError(f"{what} is {value}, should be {wanted}")
