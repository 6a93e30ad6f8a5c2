"""Limits into hours: when each kind of work may go on, and what shuts it when it may not."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sitesim.plan.climate import Evaporation, HourlyRecord, Limits, Shelter
from sitesim.plan.ripening import Law, Ripening
from sitesim.trade.air import saturation_pressure
from sitesim.trade.drying import REFERENCE_HUMIDITY, drying_rate
from sitesim.trade.evaporation import evaporation_rate

Hourly = NDArray[np.float64]
Shut = NDArray[np.bool_]

BINDING_NAMES = (
    "open",
    "rated gust",
    "gust",
    "wind",
    "rain",
    "after rain",
    "before rain",
    "soaked ground",
    "temperature low",
    "temperature high",
    "frost",
    "humidity",
    "evaporation",
)
"""What a code of ``first_binding`` means: 0 is open, then the limits in the order of charging."""


def open_hours(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> Shut:
    """Tell the hours in which one kind of work may go on.

    limits: of the kind of work, with its shelter.
    hourly: the weather outside.
    gust_factor: gust ÷ hourly mean wind, where the record has no gusts of its own.

    Returns an array of shape (days, 24), True where no limit is passed.
    Raises ValueError when the gust factor is below 1, or when a limit needs a humidity that the record has not.
    """
    return np.asarray(first_binding(limits, hourly, gust_factor) == 0)


def first_binding(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> NDArray[np.int8]:
    """Name for each shut hour the one limit that it is charged to, so that hours lost by cause add up.

    Takes what ``open_hours`` takes. An hour past several limits belongs to the first of them in
    ``BINDING_NAMES``.

    Returns positions in ``BINDING_NAMES``, shape (days, 24); 0 where the work may go on.
    Raises ValueError when the gust factor is below 1, or when a limit needs a humidity that the record has not.
    """
    held = held_limits(limits, hourly, gust_factor)
    binding = np.zeros(hourly.wind.shape, dtype=np.int8)
    for code in range(len(BINDING_NAMES) - 1, 0, -1):  # the first limit is written last, over the others
        if BINDING_NAMES[code] in held:
            binding[held[BINDING_NAMES[code]].passed()] = code
    return binding


class Sky:
    """The record's weather as each kind of work meets it; the hours of a kind are reckoned when first asked for.

    hourly: the weather outside.
    gust_factor: gust ÷ hourly mean wind, where the record has no gusts of its own.
    limits: of each kind of work, by its name.

    Raises ValueError when the gust factor is below 1 or limits stand under a name that is not theirs.
    """

    def __init__(self, hourly: HourlyRecord, gust_factor: float, limits: Mapping[str, Limits]) -> None:
        for kind, of_kind in limits.items():
            if of_kind.kind != kind:
                raise ValueError(f"the limits of {of_kind.kind!r} stand under {kind!r}")
        self.hourly = hourly
        self._gust_factor = gust_factor
        self._gust = outside_gust(hourly, gust_factor)
        self._limits = limits
        self._open: dict[str, Shut] = {}
        self._measures: dict[str, Shut] = {}
        self._rates: dict[Ripening, Hourly] = {}
        self._warmth: dict[Shelter, Hourly] = {}
        self._heating: dict[Shelter, Hourly] = {}

    def hours(self, kind: str, indices: NDArray[np.int64]) -> Shut:
        """Tell the open hours of one kind of work over a sequence of days.

        kind: name of the kind of work.
        indices: rows of the record, one for each civil day, shape (days,).

        Returns shape (days × 24,). Raises KeyError, with the kinds there are, for one that has no limits.
        """
        found = self._open.get(kind)
        if found is None:
            found = self._open[kind] = open_hours(self._limits_of(kind), self.hourly, self._gust_factor)
        return found.take(indices, axis=0).reshape(-1)

    def measures(self, kind: str, row: int, hour: int) -> float:
        """Give the time [h] that keeping a layer wet takes in one hour of the record, by one kind of work.

        kind: name of the kind of work. row, hour: of the record. Raises KeyError for one that has no limits.
        """
        limits = self._limits_of(kind)
        if limits.evaporation is None or not limits.evaporation.measures:
            return 0.0
        found = self._measures.get(kind)
        if found is None:
            found = self._measures[kind] = hours_of_measures(limits, self.hourly)
        return limits.evaporation.measures if found[row, hour] else 0.0

    def temperature(self, indices: NDArray[np.int64]) -> Hourly:
        """Give the outside air temperature [°C] over a sequence of days.

        indices: rows of the record, one for each civil day, shape (days,).

        Returns shape (days × 24,).
        """
        return self.hourly.temperature.take(indices, axis=0).reshape(-1)

    def rate(self, ripening: Ripening, indices: NDArray[np.int64]) -> Hourly:
        """Give what each hour counts of what has to be reached, over a sequence of days, shape (days × 24,).

        indices: rows of the record, one for each civil day, shape (days,).
        """
        found = self._rates.get(ripening)
        if found is None:
            found = self._rates[ripening] = hourly_rate(ripening, self.hourly)
        return found.take(indices, axis=0).reshape(-1)

    def warmth(self, shelter: Shelter | None) -> Hourly:
        """Give the air temperature [°C] under a shelter, or in the open, in the record's hours, shape (days, 24)."""
        if shelter is None:
            return self.hourly.temperature
        found = self._warmth.get(shelter)
        if found is None:
            found = self._warmth[shelter] = temperature_under(shelter, self.hourly)
        return found

    def heating(self, shelter: Shelter, indices: NDArray[np.int64]) -> Hourly:
        """Give the share of its full rise by which a shelter's heater warms in each hour, shape (days × 24,).

        indices: rows of the record, one for each civil day, shape (days,).
        """
        found = self._heating.get(shelter)
        if found is None:
            warmed = self.warmth(shelter) - self.hourly.temperature
            found = self._heating[shelter] = np.asarray(warmed / shelter.rise)
        return found.take(indices, axis=0).reshape(-1)

    def gusts(self, indices: NDArray[np.int64]) -> Hourly:
        """Give the gusts [m/s] outside, at the height of the station, over a sequence of days, shape (days × 24,).

        indices: rows of the record, one for each civil day, shape (days,).
        """
        return self._gust.take(indices, axis=0).reshape(-1)

    def shelter_of(self, kind: str) -> Shelter | None:
        """Give the shelter under which one kind of work is done, or None; KeyError for one that has no limits."""
        return self._limits_of(kind).shelter

    def highest_gust(self, row: int) -> float:
        """Give the highest gust [m/s] of a day outside, at the height of the station; ``row`` of the record."""
        return float(self._gust[row].max())

    def _limits_of(self, kind: str) -> Limits:
        if kind not in self._limits:
            raise KeyError(f"no limits for {kind!r}; there are limits for {', '.join(self._limits) or 'nothing'}")
        return self._limits[kind]


def outside_gust(hourly: HourlyRecord, gust_factor: float) -> Hourly:
    """Give the gust of each hour outside, at the height of the station [m/s], shape (days, 24).

    Takes the weather and the gust factor as ``open_hours`` does. Raises ValueError when the gust factor is below 1.
    """
    if not gust_factor >= 1.0:
        raise ValueError(f"gust factor {gust_factor}: a gust is never below the mean wind of its hour")
    return gust_factor * hourly.wind if hourly.gust is None else hourly.gust


def hourly_rate(ripening: Ripening, hourly: HourlyRecord) -> Hourly:
    """Give what an hour counts of what has to be reached: °C·h of maturity or hours of drying, shape (days, 24).

    Rounded to a millionth, so that it is the same on every processor. A record without humidity dries by its warmth
    alone.
    """
    temperature = temperature_under(ripening.shelter, hourly)
    if ripening.law is Law.MATURITY:
        return np.asarray(np.round(np.maximum(0.0, temperature - ripening.datum), 6), dtype=np.float64)
    if hourly.humidity is None:
        humidity = np.full_like(temperature, REFERENCE_HUMIDITY)
    else:
        humidity = humidity_at_work(Limits("drying", shelter=ripening.shelter), hourly)
    return np.asarray(np.round(drying_rate(temperature, humidity), 6), dtype=np.float64)


def temperature_at_work(limits: Limits, hourly: HourlyRecord) -> Hourly:
    """Give the air temperature [°C] where the work is done, with the heater of its shelter, shape (days, 24)."""
    return temperature_under(limits.shelter, hourly)


def temperature_under(shelter: Shelter | None, hourly: HourlyRecord) -> Hourly:
    """Give the air temperature [°C] under a shelter, or in the open, shape (days, 24).

    Its heater lifts the outside temperature by at most its rise, and never above its set point.
    """
    if shelter is None:
        return hourly.temperature
    # Written with a minimum so that a full lift lands on the set point itself, in its own last bit.
    heated = np.minimum(hourly.temperature + shelter.rise, shelter.set_point)
    return np.maximum(hourly.temperature, heated)


def humidity_at_work(limits: Limits, hourly: HourlyRecord) -> Hourly:
    """Give the relative humidity where the work is done, as a share, shape (days, 24).

    Air that a shelter warms keeps its vapour and so grows drier; what the work itself gives off is left out
    (assumption). Rounded to a hundredth of a per cent, so that limits cut alike on every processor.
    Raises ValueError when the record has no humidity.
    """
    if hourly.humidity is None:
        raise ValueError(f"{limits.kind}: the record {hourly.name} has no humidity")
    if limits.shelter is None:
        return hourly.humidity
    at_work = saturation_pressure(temperature_at_work(limits, hourly))
    warmed = hourly.humidity * saturation_pressure(hourly.temperature) / at_work
    return np.asarray(np.round(np.clip(warmed, 0.0, 1.0), 4), dtype=np.float64)


def evaporation_at_work(limits: Limits, evaporation: Evaporation, hourly: HourlyRecord) -> Hourly:
    """Give the evaporation from fresh concrete where it is placed [kg/m²/h], to a thousandth, shape (days, 24).

    The formula is that of ACI 305R, see ``sitesim.trade.evaporation``. Raises ValueError when the record has no
    humidity.
    """
    air = temperature_at_work(limits, hourly)
    concrete = air if evaporation.concrete is None else np.full_like(air, evaporation.concrete)
    wind = _wind_share(limits) * limits.wind_aloft * hourly.wind
    return np.round(evaporation_rate(concrete, air, humidity_at_work(limits, hourly), wind), 3)


def hours_of_measures(limits: Limits, hourly: HourlyRecord) -> Shut:
    """Tell the hours in which concrete is kept wet, for it would dry too fast, shape (days, 24)."""
    evaporation = limits.evaporation
    if evaporation is None or not evaporation.measures:
        return np.zeros(hourly.wind.shape, dtype=np.bool_)
    return np.asarray(evaporation_at_work(limits, evaporation, hourly) > evaporation.most)


class Held(NamedTuple):
    """A quantity at the work and the limit that it is held against.

    values: of each hour, shape (days, 24). limit: in the same unit. is_most: whether the limit is the most and not the
    least that will do.
    """

    values: Hourly
    limit: float
    is_most: bool = True

    def passed(self) -> Shut:
        """Tell the hours in which the limit is passed."""
        return np.asarray(self.values > self.limit if self.is_most else self.values < self.limit)

    def nearest(self) -> float:
        """Give the value of the hour that comes nearest to being far within the limit."""
        return float(self.values.min() if self.is_most else self.values.max())


def held_limits(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> dict[str, Held]:
    """Give each limit that there is, by its name in ``BINDING_NAMES``, with what is held against it.

    Wind and gust are at the height of their limit [m/s], rain in mm/h, time after and before rain in h, rain in the
    ground in mm, temperatures in °C (of frost: the mean of the time before), humidity as a share, evaporation in
    kg/m²/h. Takes what ``open_hours`` takes, and raises what it raises.
    """
    gust = outside_gust(hourly, gust_factor)
    share = _wind_share(limits)
    shelter = limits.shelter
    held: dict[str, Held] = {}
    if shelter is not None and shelter.rated_gust < inf:
        held["rated gust"] = Held(gust, shelter.rated_gust)
    if limits.gust < inf:
        held["gust"] = Held(share * limits.gust_aloft * gust, limits.gust)
    if limits.wind < inf:
        held["wind"] = Held(share * limits.wind_aloft * hourly.wind, limits.wind)
    if shelter is None or not shelter.keeps_rain_off:
        held |= _held_by_rain(limits, hourly)
    temperature = temperature_at_work(limits, hourly)
    if limits.temperature_low > -inf:
        held["temperature low"] = Held(temperature, limits.temperature_low, is_most=False)
    if limits.temperature_high < inf:
        held["temperature high"] = Held(temperature, limits.temperature_high)
    if limits.frost is not None:
        held["frost"] = Held(mean_of_last(hourly, limits.frost.over), limits.frost.below, is_most=False)
    if limits.humidity < inf:
        held["humidity"] = Held(humidity_at_work(limits, hourly), limits.humidity)
    if limits.evaporation is not None and not limits.evaporation.measures:
        held["evaporation"] = Held(evaporation_at_work(limits, limits.evaporation, hourly), limits.evaporation.most)
    return held


def mean_of_last(hourly: HourlyRecord, hours: int) -> Hourly:
    """Give the mean outside air temperature of each hour and those before it, ``hours`` in all [°C], shape (days, 24).

    It runs over the record's own sequence of hours; at its beginning it is the mean of the hours there are.
    """
    total = _sum_of_last(np.rint(100.0 * hourly.temperature).astype(np.int64), hours)
    count = np.minimum(np.arange(1, total.size + 1), hours).reshape(total.shape)
    return np.asarray(total / (100.0 * count))


def _wind_share(limits: Limits) -> float:
    return 1.0 if limits.shelter is None else limits.shelter.wind_share


def _held_by_rain(limits: Limits, hourly: HourlyRecord) -> dict[str, Held]:
    held: dict[str, Held] = {}
    wet = hourly.rain > (limits.rain if limits.rain < inf else 0.0)
    if limits.rain < inf:
        held["rain"] = Held(hourly.rain, limits.rain)
    if limits.after_rain:
        held["after rain"] = Held(_hours_since(wet), limits.after_rain + 1.0, is_most=False)
    if limits.before_rain:
        backwards = _hours_since(wet.reshape(-1)[::-1].reshape(wet.shape))
        until = backwards.reshape(-1)[::-1].reshape(wet.shape)
        held["before rain"] = Held(until, limits.before_rain + 1.0, is_most=False)
    if limits.soaked is not None:
        total = _sum_of_last(np.rint(1000.0 * hourly.rain).astype(np.int64), limits.soaked.within)
        held["soaked ground"] = Held(total / 1000.0, limits.soaked.rain)
    return held


def _hours_since(wet: Shut) -> Hourly:
    """Count the hours since the last wet one, itself 0, over the record's own sequence; many before the first."""
    flat = wet.reshape(-1)
    place = np.arange(flat.size)
    last = np.maximum.accumulate(np.where(flat, place, -flat.size))
    return np.asarray(place - last, dtype=np.float64).reshape(wet.shape)


def _sum_of_last(values: NDArray[np.int64], hours: int) -> NDArray[np.int64]:
    """Sum each hour with those before it, ``hours`` in all; whole numbers, so that sums are exact."""
    running = np.cumsum(values.reshape(-1))
    total = running.copy()
    total[hours:] -= running[:-hours]
    return total.reshape(values.shape)
