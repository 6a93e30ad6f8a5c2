"""What weather costs: working days of the finish that it held, and money, by calendar month and by month of start."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from sitesim.plan import Cause, Plan, State

if TYPE_CHECKING:
    import pandas as pd

HEATING = "tent heating"
"""The item of the costs that pays for the fuel of the tents' heaters."""


@dataclass(frozen=True, slots=True)
class WeatherCost:
    """What weather costs, on the mean of the runs that end.

    Parameters: ``days``, working days of the finish that it held; money [currency]: ``waiting``, what gangs and
    machines are paid while they wait for it; ``overhead``, the site's for those days; ``heating``, fuel of the tents'
    heaters.
    """

    days: float = 0.0
    waiting: float = 0.0
    overhead: float = 0.0
    heating: float = 0.0

    @property
    def money(self) -> float:
        """All of its money [currency]."""
        return self.waiting + self.overhead + self.heating

    def __add__(self, other: WeatherCost) -> WeatherCost:
        return WeatherCost(
            self.days + other.days,
            self.waiting + other.waiting,
            self.overhead + other.overhead,
            self.heating + other.heating,
        )


@dataclass(frozen=True, slots=True)
class MonthOfWeather:
    """What weather costs in one calendar month: the ``first`` of it, and the ``cost``."""

    first: date
    cost: WeatherCost


def cost_of(plan: Plan, hours_held: float, waited: Mapping[str, float], heating: float, runs: int) -> WeatherCost:
    """Put sums over runs into the mean cost of one.

    Parameters: ``hours_held`` [h] of the site's shifts in which weather held the finish; ``waited`` [h] for it by the
    name of the gang or machine; ``heating`` [currency]; ``runs``, how many they are the sums of.
    """
    rates = {unit.name: unit.waiting_rate for unit in plan.units}
    days = hours_held / plan.calendars["site"].day_length / runs
    waiting = sum(rates[name] * hours for name, hours in waited.items()) / runs
    return WeatherCost(days, waiting, plan.costs.overhead * days, heating / runs)


def cost_of_tables(plan: Plan, tables: Mapping[str, pd.DataFrame]) -> WeatherCost | None:
    """Give what weather costs of a played variant, None if no run ends.

    Parameters: ``tables``: ``runs``, ``held``, ``time`` and ``costs`` of its runs.
    """
    runs = tables["runs"]
    finished = set(runs.loc[runs["finished"], "run"])
    if not finished:
        return None
    held, time, costs = (_of(tables[name], finished) for name in ("held", "time", "costs"))
    by_weather = held[held["cause"] == Cause.WEATHER.value]
    hours = 24.0 * float((by_weather["days"] - by_weather["off_shift_days"]).sum())
    waiting = time[(time["state"] == State.WAITING.value) & (time["cause"] == Cause.WEATHER.value)]
    waited = {str(name): float(of_one) for name, of_one in waiting.groupby("resource")["hours"].sum().items()}
    heating = float(costs.loc[costs["item"] == HEATING, "amount"].sum())
    return cost_of(plan, hours, waited, heating, len(finished))


def _of(table: pd.DataFrame, runs: set[int]) -> pd.DataFrame:
    return table[table["run"].isin(runs)]


def total_of(months: Iterable[MonthOfWeather]) -> WeatherCost:
    """Add months up."""
    return sum((month.cost for month in months), WeatherCost())


def dearest(months: Sequence[MonthOfWeather]) -> MonthOfWeather | None:
    """Give the month in which weather costs most money, or most days where it costs none; None if it costs nothing."""
    found = max(months, key=lambda month: (month.cost.money, month.cost.days), default=None)
    return None if found is None or (found.cost.money, found.cost.days) == (0.0, 0.0) else found
