"""In which calendar months weather costs what: the runs of a plan played again, and their bills cut by months."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from sitesim.answers.weather_cost import MonthOfWeather, cost_of
from sitesim.ledger import Account, RunClosing, time_by_period
from sitesim.ledger.held import driving_chain
from sitesim.plan import Cause, Plan, SpentOn, UnitKind
from sitesim.site import Played, Stage, play
from sitesim.site.heating import spans_of_tents

Months = list[float]
"""An amount for each month from that of the start on."""


def weather_by_month(plan: Plan, seed: int, runs: Iterable[int]) -> tuple[MonthOfWeather, ...]:
    """Tell what weather costs in each calendar month from the first to the last in which it costs something.

    Each line of a run's bill that is charged to the weather is shared out over the months: hours of waiting by when
    they were waited, hire like the waiting of what is hired, overhead by the days that weather held, heating by the
    hours in which tents were heated; other lines like the days.

    Parameters: ``runs``, the numbers of those that end; over all months the means add up to those of their tables.
    """
    stage, numbers = Stage(plan), list(runs)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    edges = list(_months_after(plan))
    days = [0.0] * (len(edges) + 1)
    spent: list[dict[str, float]] = [defaultdict(float) for _ in days]
    for run in numbers:
        played = play(stage, seed, run)
        of_run = _MonthsOfRun(plan, stage, played, edges)
        for month, hours in enumerate(of_run.held):
            days[month] += hours / plan.calendars["site"].day_length
        for _, spent_on, cause, item, amount in closing.tables(run, played.ledger, "", False)["cost_causes"]:
            if cause == Cause.WEATHER.value:
                for month, share in enumerate(of_run.shares(spent_on, item)):
                    spent[month][spent_on] += share * amount
    months = [
        MonthOfWeather(_first_of(plan, edges, month), cost_of(days[month], spent[month], len(numbers)))
        for month in range(len(days))
        if numbers
    ]
    costly = [place for place, month in enumerate(months) if month.cost.money or month.cost.days]
    return tuple(months[costly[0] : costly[-1] + 1]) if costly else ()


class _MonthsOfRun:
    """When weather held up one run, month by month: ``held`` [h] of the finish, in the site's shifts."""

    def __init__(self, plan: Plan, stage: Stage, played: Played, edges: Sequence[float]) -> None:
        self._plan, self._played, self._edges = plan, played, edges
        account = Account(played.ledger.entries, stage.unit_shifts)
        self.held = self._none()
        for month, start, end in _cut(_held_by_weather(account), edges):
            self.held[month] += stage.shift(("site",)).worked(start, end)
        self._waited: dict[str, Months] = {}
        for month, by_unit in enumerate(time_by_period(account, plan.units, edges)):
            for (index, _, cause), hours in by_unit.items():
                if cause is Cause.WEATHER:
                    unit = plan.units[index]
                    own = f"gang {unit.name}" if unit.kind is UnitKind.GANG else unit.name
                    for item in (own, f"{unit.kind} hire"):
                        self._waited.setdefault(item, self._none())[month] += hours

    def _none(self) -> Months:
        return [0.0] * (len(self._edges) + 1)

    def shares(self, spent_on: str, item: str) -> Months:
        """Give the share of each month in a line of the bill; they add up to 1."""
        months = self._heated() if spent_on == SpentOn.HEATING else self._waited.get(item, self.held)
        whole = sum(months)
        if not whole > 0.0:
            months, whole = self.held, sum(self.held)
        return [amount / whole for amount in months] if whole > 0.0 else [1.0, *self._none()[1:]]

    def _heated(self) -> Months:
        months, shelter = self._none(), self._plan.printing_shelter
        for month, start, end in _cut(spans_of_tents(self._plan, self._played.ledger), self._edges):
            months[month] += end - start if shelter is None else self._played.hours.heated(shelter, [(start, end)])
        return months


def _months_after(plan: Plan) -> Iterator[float]:
    """Give the midnights [h] at which months begin after the start, up to the horizon."""
    first = plan.start.replace(day=1)
    while True:
        first = (first + timedelta(days=31)).replace(day=1)
        hours = 24.0 * (first - plan.start).days
        if hours >= plan.horizon:
            return
        yield hours


def _first_of(plan: Plan, edges: Sequence[float], month: int) -> date:
    day = plan.start if month == 0 else plan.start + timedelta(days=int(edges[month - 1] // 24))
    return day.replace(day=1)


def _held_by_weather(account: Account) -> list[tuple[float, float]]:
    """Give the stretches [h] behind the finish that weather held."""
    return [(start, end) for start, end, cause, _ in driving_chain(account) if cause is Cause.WEATHER]


def _cut(spans: Iterable[tuple[float, float]], edges: Sequence[float]) -> Iterator[tuple[int, float, float]]:
    """Cut spans [h] where months end; gives the number of the month with each piece."""
    for start, end in spans:
        while start < end:
            month = bisect_right(edges, start)
            until = min(end, edges[month]) if month < len(edges) else end
            yield month, start, until
            start = until
