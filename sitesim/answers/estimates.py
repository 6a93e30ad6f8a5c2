"""Estimates as plain data: a value with the ends of its interval, None for what is not finite."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from sitesim.answers.statistics import Estimate, mean_interval

if TYPE_CHECKING:
    import pandas as pd


def finite(value: float) -> float | None:
    """Give a number that can stand in JSON; None for what never came or is not known."""
    return None if math.isinf(value) or math.isnan(value) else float(value)


def estimate_as_data(estimate: Estimate) -> dict[str, Any]:
    """Give an estimate with the ends of its interval."""
    return {"value": finite(estimate.value), "low": finite(estimate.low), "high": finite(estimate.high)}


def mean_of(values: pd.Series[Any]) -> dict[str, Any]:
    """Give the mean of some values with its interval."""
    return estimate_as_data(mean_interval(values.to_numpy(dtype=float)))
