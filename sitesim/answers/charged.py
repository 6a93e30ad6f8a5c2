"""What money is charged to: to whom the days of the finish belong and what they cost, and the dates promised."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sitesim.answers.dates import SiteDates
from sitesim.answers.estimates import estimate_as_data, mean_of
from sitesim.answers.statistics import Estimate, proportion_interval
from sitesim.ledger import HANDED_OVER
from sitesim.plan import Plan, Promise, SpentOn, UnitKind, gang_of_unit

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

RUNNING = frozenset({SpentOn.OVERHEAD, SpentOn.PENALTY})
"""What is paid by the day and charged to what held the date."""

IDLE = frozenset({SpentOn.WAITING, SpentOn.WEEKEND, SpentOn.HIRE})
"""What gangs and machines cost while they wait for a cause."""


def charged_to_causes(cost_causes: pd.DataFrame, cost_days: pd.DataFrame, runs: pd.DataFrame) -> list[dict[str, Any]]:
    """Give for each cause the working days on which it held the date and what is charged to it, most first.

    The runs that come to an end count. No cause, an empty one, is what the work itself takes. ``running``, ``idle`` and
    ``other`` add up to ``amount``.
    """
    finished = runs.loc[runs["finished"], "run"]
    if finished.empty:
        return []
    in_the_end = cost_causes[cost_causes["run"].isin(finished)]
    means = in_the_end.pivot_table(index="spent_on", columns="cause", values="amount", aggfunc="sum") / len(finished)
    days, amounts = (_by_cause(cost_days, column, finished) for column in ("days", "amount"))
    found = []
    for cause in amounts.columns:
        spent = {str(spent_on): float(amount) for spent_on, amount in _column(means, cause).items()}
        running, idle, other = (
            sum(amount for spent_on, amount in spent.items() if spent_on in of_part)
            for of_part in (RUNNING, IDLE, frozenset(SpentOn) - RUNNING - IDLE)
        )
        found.append(
            {
                "cause": str(cause),
                "days": mean_of(days[cause]),
                "amount": mean_of(amounts[cause]),
                "running": running,
                "idle": idle,
                "other": other,
                "spent_on": dict(sorted(spent.items(), key=lambda item: -item[1])),
            }
        )
    return sorted(found, key=lambda row: -(row["amount"]["value"] or 0.0))


def _by_cause(frame: pd.DataFrame, column: str, runs: pd.Series[int]) -> pd.DataFrame:
    wide = frame.pivot_table(index="run", columns="cause", values=column, aggfunc="sum", fill_value=0.0)
    return wide.reindex(runs, fill_value=0.0)


def _column(frame: pd.DataFrame, name: str) -> pd.Series[float]:
    """Give what a column holds, nothing where there is none."""
    return frame[name].dropna() if name in frame else frame.sum(axis=1).iloc[:0]


def day_rates(plan: Plan) -> list[dict[str, Any]]:
    """List what one more day costs: rates [currency] by the working day of the site, or by the day on site."""
    rates: list[dict[str, Any]] = []
    if plan.costs.overhead:
        rates.append({"what": "site overhead", "amount": plan.costs.overhead, "per": "working day"})
    hired: dict[str, float] = {}
    for unit in plan.units:
        if unit.hire.day and not unit.on_call:
            name = unit.kind.value if unit.kind in (UnitKind.PRINTER, UnitKind.TENT) else gang_of_unit(unit, plan.units)
            hired[name] = unit.hire.day
    rates += [{"what": name, "amount": amount, "per": "day on site"} for name, amount in hired.items()]
    if plan.costs.heater_day:
        rates.append({"what": "heater", "amount": plan.costs.heater_day, "per": "day on site"})
    return rates


def promised_dates(
    plan: Plan, dates: SiteDates, runs: pd.DataFrame, milestones: pd.DataFrame, cost_causes: pd.DataFrame
) -> list[dict[str, Any]]:
    """Give for each promised date the chance that it is met, and what missing it costs and keeping it earns.

    A run that does not come to an end misses every date of what it does not hand over; its costs do not count.
    """
    finished = runs.loc[runs["finished"], "run"]
    items = cost_causes.groupby(["run", "item"])["amount"].sum() if len(cost_causes) else None
    found = []
    for promise in plan.promises:
        found.append(
            {
                "place": promise.name,
                "is_site": not promise.building,
                "by": promise.by.isoformat(),
                "days": "working" if promise.working else "calendar",
                "penalty_a_day": promise.penalty,
                "bonus_a_day": promise.bonus,
                "met": estimate_as_data(chance_met(promise, dates, runs, milestones)),
                "penalty": _mean_of_item(items, f"{SpentOn.PENALTY} {promise.name}", finished),
                "bonus": _mean_of_item(items, f"{SpentOn.BONUS} {promise.name}", finished),
            }
        )
    return found


def chance_met(promise: Promise, dates: SiteDates, runs: pd.DataFrame, milestones: pd.DataFrame) -> Estimate:
    """Give the chance that a promised date is met, to the end of its day."""
    hours = _hand_overs(promise, runs, milestones)
    return proportion_interval(int((hours <= dates.end_of(promise.by)).sum()), len(hours))


def _hand_overs(promise: Promise, runs: pd.DataFrame, milestones: pd.DataFrame) -> NDArray[np.float64]:
    """Give when [h] a promised place was handed over in each run."""
    if not promise.building:
        return runs["finish_hours"].to_numpy(dtype=float)
    of_place = milestones[
        (milestones["milestone"] == HANDED_OVER)
        & (milestones["building"] == promise.building)
        & (milestones["home"] == promise.home)
    ]
    return of_place["hours"].to_numpy(dtype=float)


def _mean_of_item(items: pd.Series[float] | None, item: str, runs: pd.Series[int]) -> dict[str, Any]:
    import pandas as pd

    if items is None or item not in items.index.get_level_values("item"):
        return mean_of(pd.Series(0.0, index=runs))
    return mean_of(items.xs(item, level="item").reindex(runs, fill_value=0.0))
