"""The quantiles of an instant over the runs, as dates, each with its sampling error."""

from __future__ import annotations

import math
from typing import Any

from sitesim.answers.dates import SiteDates
from sitesim.answers.estimates import finite
from sitesim.answers.statistics import quantile_estimate

QUANTILES = {"P10": 0.1, "P50": 0.5, "P80": 0.8, "P90": 0.9}
"""The confidences that are always reported."""


def date_quantiles(dates: SiteDates, hours: Any) -> dict[str, Any]:
    """Give each reported quantile of instants [h] with its order-statistic interval, as hours and as dates."""
    found: dict[str, Any] = {}
    for name, p in QUANTILES.items():
        estimate = quantile_estimate(hours, p)
        low = estimate.low if estimate.bounded_below else -math.inf
        high = estimate.high if estimate.bounded_above else math.inf
        day, earliest, latest = (dates.date_of(value) for value in (estimate.value, low, high))
        found[name] = {
            "hours": finite(estimate.value),
            "date": None if day is None else day.isoformat(),
            "low": None if earliest is None else earliest.isoformat(),
            "high": None if latest is None else latest.isoformat(),
            "coverage": estimate.coverage,
            "working_days_either_side": None
            if day is None or earliest is None or latest is None
            else max(dates.working_days_between(earliest, day), dates.working_days_between(day, latest)),
        }
    return found
