"""The summary of a study: dates, idle time, what held the date, concrete and cost, each with its sampling error."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sitesim.answers.charged import charged_to_causes, day_rates, promised_dates
from sitesim.answers.date_quantiles import QUANTILES, date_quantiles
from sitesim.answers.dates import SiteDates
from sitesim.answers.estimates import estimate_as_data, finite, mean_of
from sitesim.answers.milestones import ends_of, handed_over, reached
from sitesim.answers.stages import stages_of
from sitesim.answers.statistics import Estimate, proportion_interval, quantile_estimate
from sitesim.answers.visits import visits_by_inspector
from sitesim.plan import Plan, State, UnitKind

if TYPE_CHECKING:
    import pandas as pd

_OUTSIDE_THE_SHIFT = frozenset({State.OFF_SHIFT, State.OVERTIME})

SUMMARISED = ("runs", "milestones", "time", "calls", "held", "costs", "cost_causes", "cost_days")
"""The tables that are summarised."""

Tables = dict[str, "pd.DataFrame"]


def summarise(plan: Plan, tables: Tables, plain_finish: float) -> dict[str, Any]:
    """Summarise the tables of a study.

    Parameters: ``tables``, the study's frames by name; ``plain_finish`` [h], the finish of the plain plan.
    Returns what goes into ``summary.json``: hours and days as numbers, dates as ISO text, None for what never came.
    """
    runs = tables["runs"]
    dates = SiteDates(plan.start, plan.calendars["site"])
    finishes = runs["finish_hours"].to_numpy()
    plain_date = dates.date_of(plain_finish)
    met = 0 if plain_date is None else int((finishes <= dates.end_of(plain_date)).sum())
    by_chance = proportion_interval(met, len(runs))
    return {
        "scenario": plan.name,
        "start": plan.start.isoformat(),
        "runs": len(runs),
        "units": plan.units_of_measure,
        "currency": plan.costs.currency,
        "unfinished": _unfinished(runs),
        "finish": date_quantiles(dates, finishes),
        "plain_plan": {
            "hours": finite(plain_finish),
            "date": None if plain_date is None else plain_date.isoformat(),
            "chance": estimate_as_data(by_chance),
        },
        "buildings": handed_over(plan, dates, tables["milestones"], homes=False),
        "homes": handed_over(plan, dates, tables["milestones"], homes=True),
        "milestones": reached(plan, dates, tables["milestones"]),
        "milestone_ends": ends_of(plan),
        "stages": [stage.as_data() for stage in stages_of(plan)],
        "time": _idle_time(plan, tables["time"], runs["run"]),
        "calls": _calls(plan, tables["calls"], runs["run"]),
        "held": _held(tables["held"], runs),
        "criticality": _criticality(tables["held"], runs),
        "concrete": {column: mean_of(runs[column]) for column in runs.columns if column.endswith("_m3")},
        "quality": {
            column: mean_of(runs[column])
            for column in (
                "unplanned_joints",
                "pour_breaks",
                "stops",
                "days_called_off",
                "inspections",
                "failed_inspections",
                "lost_visits",
            )
        },
        "inspectors": visits_by_inspector(plan, tables.get("visits"), runs["run"]),
        "printing": _printing(runs),
        "trucks": {column: mean_of(runs[column]) for column in ("loads", "loads_called_off", "standby_hours")},
        "cost": {
            **_cost(tables["costs"], runs),
            "causes": charged_to_causes(tables["cost_causes"], tables["cost_days"], runs),
            "rates": day_rates(plan),
        },
        "promised": promised_dates(plan, dates, runs, tables["milestones"], tables["cost_causes"]),
        "standing_for": _standing_runs(runs),
        "weather": _weather(plan),
    }


def _ends(values: pd.Series[Any]) -> dict[str, Any]:
    interval = mean_of(values)
    return {"low": interval["low"], "high": interval["high"]}


def _unfinished(runs: pd.DataFrame) -> dict[str, Any]:
    reasons = runs.loc[~runs["finished"], "unfinished_reason"].value_counts()
    return {
        "runs": int((~runs["finished"]).sum()),
        "reasons": [{"reason": str(reason), "runs": int(count)} for reason, count in reasons.items()],
    }


def _idle_time(plan: Plan, time: pd.DataFrame, runs: pd.Series[Any]) -> list[dict[str, Any]]:
    """Give for each resource its mean hours on site by state, and its waiting by cause."""
    totals = time.groupby(["resource", "state", "cause"])["hours"].sum() / len(runs)
    idle_in_runs = (
        time[time["state"].isin((State.WAITING.value, State.DOWN.value))]
        .pivot_table(index="run", columns="resource", values="hours", aggfunc="sum", fill_value=0.0)
        .reindex(runs, fill_value=0.0)
    )
    hours: dict[str, dict[tuple[str, str], float]] = {}
    for key, value in totals.items():
        resource, state, cause = key if isinstance(key, tuple) else (str(key), "", "")
        hours.setdefault(resource, {})[state, cause] = float(value)
    found = []
    for unit in plan.units:
        of_unit = hours.get(unit.name)
        if of_unit is None:
            continue
        states: dict[str, float] = {}
        waiting: dict[str, float] = {}
        for (state, cause), value in of_unit.items():
            states[state] = states.get(state, 0.0) + value
            if state in (State.WAITING, State.DOWN):
                waiting[cause] = waiting.get(cause, 0.0) + value
        on_shift = sum(value for state, value in states.items() if state not in _OUTSIDE_THE_SHIFT)
        idle = sum(waiting.values())
        found.append(
            {
                "resource": unit.name,
                "kind": unit.kind.value,
                "is_gang": unit.kind is UnitKind.GANG,
                "on_shift_hours": on_shift,
                "idle_hours": idle,
                "idle": mean_of(idle_in_runs[unit.name])
                if unit.name in idle_in_runs
                else estimate_as_data(Estimate(0, 0, 0, len(runs))),
                "idle_share": idle / on_shift if on_shift else 0.0,
                "states": states,
                "waiting": dict(sorted(waiting.items(), key=lambda item: -item[1])),
            }
        )
    return found


def _calls(plan: Plan, calls: pd.DataFrame, runs: pd.Series[Any]) -> list[dict[str, Any]]:
    """Give for each gang that was called how often it came, and the days of 24 hours that it was away in between."""
    found = []
    for unit in plan.units:
        of_unit = calls[calls["resource"] == unit.name].set_index("run")[["calls", "away_hours"]]
        of_unit = of_unit.reindex(runs, fill_value=0)
        if of_unit["calls"].any():
            away = of_unit["away_hours"] / 24.0
            found.append({"resource": unit.name, "calls": mean_of(of_unit["calls"]), "away_days": mean_of(away)})
    return found


def _task_of(activity: str) -> str:
    """Give the task's name within an activity's key: what stands after the building or home."""
    return activity.split("/", 1)[-1]


def _held(held: pd.DataFrame, runs: pd.DataFrame) -> list[dict[str, Any]]:
    """Give the days of the finish by cause, most first, with the tasks in which they lie."""
    finished = runs.loc[runs["finished"], "run"]
    if held.empty:
        return []
    frame = held.assign(task=held["activity"].map(_task_of))
    by_run = frame.pivot_table(index="run", columns="cause", values="days", aggfunc="sum", fill_value=0.0)
    by_run = by_run.reindex(finished, fill_value=0.0)
    off_shift = frame.groupby("cause")["off_shift_days"].sum() / len(finished)
    by_task = frame.groupby(["cause", "task"])["days"].sum() / len(finished)
    found: list[dict[str, Any]] = []
    for cause in by_run.columns:
        tasks = by_task.loc[cause].sort_values(ascending=False)
        found.append(
            {
                "cause": str(cause),
                "days": mean_of(by_run[cause]),
                "off_shift_days": float(off_shift[cause]),
                "tasks": [{"task": str(task), "days": float(days)} for task, days in tasks.items() if days >= 0.05],
            }
        )
    return sorted(found, key=lambda row: -row["days"]["value"])


def _criticality(held: pd.DataFrame, runs: pd.DataFrame) -> list[dict[str, Any]]:
    """Give the share of runs in which each activity lay on the chain behind the finish, most first."""
    finished = int(runs["finished"].sum())
    if held.empty or not finished:
        return []
    frame = held[held["days"] > 0.0].groupby("activity").agg(runs=("run", "nunique"), days=("days", "sum"))
    frame = frame.sort_values(["runs", "days"], ascending=False)
    return [
        {"activity": str(activity), "share": float(row["runs"]) / finished, "days": float(row["days"]) / finished}
        for activity, row in frame.iterrows()
    ]


def _printing(runs: pd.DataFrame) -> dict[str, Any]:
    hours = float(runs["print_day_hours"].sum())
    return {
        "print_days": mean_of(runs["print_days"]),
        "nozzle_hours": mean_of(runs["nozzle_hours"]),
        "nozzle_share": float(runs["nozzle_hours"].sum()) / hours if hours else None,
    }


def _cost(costs: pd.DataFrame, runs: pd.DataFrame) -> dict[str, Any]:
    """Give what the runs that come to an end cost; one that does not ranks last, as its finish does."""
    finished = runs[runs["finished"]]
    by_run = costs.pivot_table(index="run", columns="item", values="amount", aggfunc="sum", fill_value=0.0)
    by_run = by_run.reindex(finished["run"], fill_value=0.0)
    items = by_run.mean().fillna(0.0).sort_values(ascending=False)
    in_the_end = cost_in_the_end(runs)
    quantiles = {}
    for name, p in QUANTILES.items():
        estimate = quantile_estimate(in_the_end, p)
        quantiles[name] = {
            "value": finite(estimate.value),
            "low": finite(estimate.low),
            "high": finite(estimate.high),
        }
    return {
        "mean": mean_of(finished["cost"]) if len(finished) else {"value": None, "low": None, "high": None},
        **quantiles,
        "items": [
            {"item": str(item), "mean": float(amount), **_ends(by_run[item])}
            for item, amount in items.items()
            if len(finished)
        ],
    }


def cost_in_the_end(runs: pd.DataFrame) -> NDArray[np.float64]:
    """Give each run's cost [currency], infinite where the run does not come to an end."""
    ends = np.isfinite(runs["finish_hours"].to_numpy(dtype=float))
    costs: NDArray[np.float64] = np.where(ends, runs["cost"].to_numpy(dtype=float), np.inf)
    return costs


def _standing_runs(runs: pd.DataFrame) -> dict[str, int]:
    """Name for each quantile the run whose finish it is; of several the first."""
    found = {}
    for name, p in QUANTILES.items():
        value = quantile_estimate(runs["finish_hours"].to_numpy(), p).value
        found[name] = int(runs.loc[runs["finish_hours"] == value, "run"].iloc[0])
    return found


def _weather(plan: Plan) -> dict[str, Any] | None:
    record = plan.climate.record
    if record is None:
        return None
    block = None if plan.climate.replayed else plan.climate.block
    return {"name": record.name, "origin": record.origin, "years": record.years, "block_days": block}
