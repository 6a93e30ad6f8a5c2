"""What weather costs: working days of the finish that it held, and money, by calendar month and by month of start."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from sitesim.plan import Cause, SpentOn

if TYPE_CHECKING:
    import pandas as pd

PARTS: tuple[tuple[str, tuple[SpentOn, ...]], ...] = (
    ("waiting", (SpentOn.WAITING, SpentOn.WEEKEND)),
    ("hire", (SpentOn.HIRE,)),
    ("overhead", (SpentOn.OVERHEAD,)),
    ("penalties", (SpentOn.PENALTY,)),
    ("heating", (SpentOn.HEATING,)),
)
"""The money of the weather by what it is spent on; what is in none of these, as loads called off, is ``other``."""

_PART_OF = {spent_on.value: part for part, spent in PARTS for spent_on in spent}


@dataclass(frozen=True, slots=True)
class WeatherCost:
    """What weather costs, on the mean of the runs that end.

    Parameters: ``days``, working days of the finish that it held; money [currency], as the bills of the runs charge it
    to the weather: ``waiting``, what gangs and machines are paid while they wait for it; ``hire`` by the day for that
    time; ``overhead``, the site's for the days that it held; ``penalties``, of promises missed, for the days that it
    held them; ``heating`` of the tents; ``other``, loads called off.
    """

    days: float = 0.0
    waiting: float = 0.0
    hire: float = 0.0
    overhead: float = 0.0
    penalties: float = 0.0
    heating: float = 0.0
    other: float = 0.0

    @property
    def money(self) -> float:
        """All of its money [currency]."""
        return self.waiting + self.hire + self.overhead + self.penalties + self.heating + self.other

    def __add__(self, also: WeatherCost) -> WeatherCost:
        return WeatherCost(
            self.days + also.days,
            self.waiting + also.waiting,
            self.hire + also.hire,
            self.overhead + also.overhead,
            self.penalties + also.penalties,
            self.heating + also.heating,
            self.other + also.other,
        )


@dataclass(frozen=True, slots=True)
class MonthOfWeather:
    """What weather costs in one calendar month: the ``first`` of it, and the ``cost``."""

    first: date
    cost: WeatherCost


def cost_of(days: float, spent: Mapping[str, float], runs: int) -> WeatherCost:
    """Put sums over runs into the mean cost of one.

    Parameters: ``days``, working days that weather held; ``spent`` [currency], by what it is spent on; ``runs``, how
    many they are the sums of.
    """
    parts: dict[str, float] = {}
    for spent_on, amount in spent.items():
        part = _PART_OF.get(spent_on, "other")
        parts[part] = parts.get(part, 0.0) + amount / runs
    return WeatherCost(days / runs, **parts)


def cost_of_tables(tables: Mapping[str, pd.DataFrame], day_length: float) -> WeatherCost | None:
    """Give what weather costs of a played variant, None if no run ends.

    Parameters: ``tables``: ``runs``, ``held`` and ``cost_causes`` of its runs; ``day_length`` [h] of the site's
    calendar.
    """
    runs = tables["runs"]
    finished = set(runs.loc[runs["finished"], "run"])
    if not finished:
        return None
    held, bills = (
        table[table["run"].isin(finished) & (table["cause"] == Cause.WEATHER.value)]
        for table in (tables["held"], tables["cost_causes"])
    )
    days = 24.0 * float((held["days"] - held["off_shift_days"]).sum()) / day_length
    spent = {str(name): float(amount) for name, amount in bills.groupby("spent_on")["amount"].sum().items()}
    return cost_of(days, spent, len(finished))


def total_of(months: Iterable[MonthOfWeather]) -> WeatherCost:
    """Add months up."""
    return sum((month.cost for month in months), WeatherCost())


def dearest(months: Sequence[MonthOfWeather]) -> MonthOfWeather | None:
    """Give the month in which weather costs most money, or most days where it costs none; None if it costs nothing."""
    found = max(months, key=lambda month: (month.cost.money, month.cost.days), default=None)
    return None if found is None or (found.cost.money, found.cost.days) == (0.0, 0.0) else found
