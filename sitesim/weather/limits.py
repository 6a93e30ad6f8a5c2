"""Limits into hours: when each kind of work may go on, and what shuts it when it may not."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sitesim.plan.climate import HourlyRecord, Limits

BINDING_NAMES = ("open", "rated gust", "gust", "wind", "rain", "temperature low", "temperature high")
"""What a code of ``first_binding`` means: 0 is open, then the limits in the order of charging."""


def open_hours(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> NDArray[np.bool_]:
    """Tell the hours in which one kind of work may go on.

    limits: of the kind of work, with its shelter.
    hourly: the weather outside.
    gust_factor: gust ÷ hourly mean wind.

    Returns an array of shape (days, 24), True where no limit is passed.
    Raises ValueError when the gust factor is below 1.
    """
    return np.asarray(first_binding(limits, hourly, gust_factor) == 0)


def first_binding(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> NDArray[np.int8]:
    """Name for each shut hour the one limit that it is charged to, so that hours lost by cause add up.

    Takes what ``open_hours`` takes. An hour past several limits belongs to the first of them in
    ``BINDING_NAMES``.

    Returns positions in ``BINDING_NAMES``, shape (days, 24); 0 where the work may go on.
    Raises ValueError when the gust factor is below 1.
    """
    passed = _passed(limits, hourly, gust_factor)
    codes = [np.int8(code) for code in range(1, len(BINDING_NAMES))]
    return np.select(passed, codes, default=np.int8(0)).astype(np.int8)


class Sky:
    """The record's weather as each kind of work meets it.

    hourly: the weather outside.
    gust_factor: gust ÷ hourly mean wind.
    limits: of each kind of work, by its name.

    Raises ValueError when the gust factor is below 1 or limits stand under a name that is not theirs.
    """

    def __init__(self, hourly: HourlyRecord, gust_factor: float, limits: Mapping[str, Limits]) -> None:
        for kind, of_kind in limits.items():
            if of_kind.kind != kind:
                raise ValueError(f"the limits of {of_kind.kind!r} stand under {kind!r}")
        self.hourly = hourly
        self._open = {kind: open_hours(of_kind, hourly, gust_factor) for kind, of_kind in limits.items()}

    def hours(self, kind: str, indices: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Tell the open hours of one kind of work over a sequence of days.

        kind: name of the kind of work.
        indices: rows of the record, one for each civil day, shape (days,).

        Returns shape (days × 24,). Raises KeyError, with the kinds there are, for one that has no limits.
        """
        if kind not in self._open:
            raise KeyError(f"no limits for {kind!r}; there are limits for {', '.join(self._open) or 'nothing'}")
        return self._open[kind][indices].reshape(-1)

    def temperature(self, indices: NDArray[np.int64]) -> NDArray[np.float64]:
        """Give the outside air temperature [°C] over a sequence of days.

        indices: rows of the record, one for each civil day, shape (days,).

        Returns shape (days × 24,).
        """
        return self.hourly.temperature[indices].reshape(-1)


def temperature_at_work(limits: Limits, hourly: HourlyRecord) -> NDArray[np.float64]:
    """Give the air temperature [°C] where the work is done, with the heater of its shelter, shape (days, 24).

    The heater lifts the outside temperature by at most its rise, and never above its set point.
    """
    shelter = limits.shelter
    if shelter is None:
        return hourly.temperature
    # Written with a minimum so that a full lift lands on the set point itself, in its own last bit.
    heated = np.minimum(hourly.temperature + shelter.rise, shelter.set_point)
    return np.maximum(hourly.temperature, heated)


def _passed(limits: Limits, hourly: HourlyRecord, gust_factor: float) -> list[NDArray[np.bool_]]:
    """Tell for each limit, in the order of ``BINDING_NAMES``, the hours in which it is passed."""
    if not gust_factor >= 1.0:
        raise ValueError(f"gust factor {gust_factor}: a gust is never below the mean wind of its hour")
    gust_outside = gust_factor * hourly.wind
    shelter = limits.shelter
    wind_share = 1.0 if shelter is None else shelter.wind_share
    rated_gust = np.inf if shelter is None else shelter.rated_gust
    dry = shelter is not None and shelter.keeps_rain_off
    temperature = temperature_at_work(limits, hourly)
    return [
        gust_outside > rated_gust,
        wind_share * gust_outside > limits.gust,
        wind_share * hourly.wind > limits.wind,
        np.zeros_like(hourly.rain, dtype=np.bool_) if dry else hourly.rain > limits.rain,
        temperature < limits.temperature_low,
        temperature > limits.temperature_high,
    ]
