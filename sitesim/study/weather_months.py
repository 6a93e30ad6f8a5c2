"""In which calendar months weather costs what: the runs of a plan played again, and their accounts cut by months."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from sitesim.answers.weather_cost import MonthOfWeather, cost_of
from sitesim.ledger import Account, time_by_period
from sitesim.plan import Cause, Plan, State
from sitesim.site import Played, Stage, play
from sitesim.site.heating import spans_of_tents


def weather_by_month(plan: Plan, seed: int, runs: Iterable[int]) -> tuple[MonthOfWeather, ...]:
    """Tell what weather costs in each calendar month from the first to the last in which it costs something.

    Parameters: ``runs``, the numbers of those that end; over all months the means add up to those of their tables.
    """
    stage, numbers = Stage(plan), list(runs)
    edges = list(_months_after(plan))
    held, heating = [0.0] * (len(edges) + 1), [0.0] * (len(edges) + 1)
    waited: list[dict[str, float]] = [defaultdict(float) for _ in held]
    for run in numbers:
        played = play(stage, seed, run)
        account = Account(played.ledger.entries, stage.unit_shifts)
        for month, by_unit in enumerate(time_by_period(account, plan.units, edges)):
            for (unit, state, cause), hours in by_unit.items():
                if state is State.WAITING and cause is Cause.WEATHER:
                    waited[month][plan.units[unit].name] += hours
        for month, start, end in _cut(_held_by_weather(account), edges):
            held[month] += stage.shift(("site",)).worked(start, end)
        for month, hours in _heated(plan, played, edges):
            heating[month] += plan.costs.heater_hour * hours
    months = [
        MonthOfWeather(
            _first_of(plan, edges, month), cost_of(plan, held[month], waited[month], heating[month], len(numbers))
        )
        for month in range(len(held))
        if numbers
    ]
    costly = [place for place, month in enumerate(months) if month.cost.money or month.cost.days]
    return tuple(months[costly[0] : costly[-1] + 1]) if costly else ()


def _months_after(plan: Plan) -> Iterator[float]:
    """Give the midnights [h] at which months begin after the start, up to the horizon."""
    first = plan.start.replace(day=1)
    while True:
        first = (first + timedelta(days=31)).replace(day=1)
        hours = 24.0 * (first - plan.start).days
        if hours >= plan.horizon:
            return
        yield hours


def _first_of(plan: Plan, edges: list[float], month: int) -> date:
    day = plan.start if month == 0 else plan.start + timedelta(days=int(edges[month - 1] // 24))
    return day.replace(day=1)


def _held_by_weather(account: Account) -> list[tuple[float, float]]:
    """Give the stretches [h] behind the finish that weather held."""
    if not account.entries:
        return []
    finish = max(entry.end for entry in account.entries)
    last = next(entry for entry in reversed(account.entries) if entry.end == finish)
    return [(start, end) for start, end, cause, _ in account.behind(last) if cause is Cause.WEATHER]


def _heated(plan: Plan, played: Played, edges: list[float]) -> Iterator[tuple[int, float]]:
    shelter = plan.printing_shelter
    if shelter is None or not plan.costs.heater_hour:
        return
    for month, start, end in _cut(spans_of_tents(plan, played.ledger), edges):
        yield month, played.hours.heated(shelter, [(start, end)])


def _cut(spans: Iterable[tuple[float, float]], edges: list[float]) -> Iterator[tuple[int, float, float]]:
    """Cut spans [h] where months end; gives the number of the month with each piece."""
    for start, end in spans:
        while start < end:
            month = bisect_right(edges, start)
            until = min(end, edges[month]) if month < len(edges) else end
            yield month, start, until
            start = until
