"""What became of the inspectors' visits: how many, how long work waited for them, and what was witnessed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sitesim.answers.estimates import mean_of
from sitesim.plan import Plan

if TYPE_CHECKING:
    import pandas as pd

_COUNTED = ("visits", "failed", "lost", "moved", "witnessed", "not_witnessed")
_DAYS = {
    "waited_days": "waited_hours",
    "waited_for_lost_days": "waited_for_lost_hours",
    "waited_for_moved_days": "waited_for_moved_hours",
}


def visits_by_inspector(plan: Plan, visits: pd.DataFrame | None, runs: pd.Series[Any]) -> list[dict[str, Any]]:
    """Give for each inspector who was called the means of a run, with their interval; days are of 24 hours.

    Parameters: ``visits``, the study's table of that name, or None where a folder of an older version has none;
    ``runs``, the numbers of all its runs.
    """
    if visits is None or visits.empty:
        return []
    found = []
    for inspector in plan.inspectors:
        called = visits[visits["inspector"] == inspector.name]
        if called.empty:
            continue
        theirs = called.set_index("run").drop(columns="inspector").reindex(runs, fill_value=0)
        means: dict[str, Any] = {"inspector": inspector.name}
        for name in _COUNTED:
            means[name] = mean_of(theirs[name])
        for name, column in _DAYS.items():
            means[name] = mean_of(theirs[column] / 24.0)
        found.append(means)
    return found
