"""Runs of variants of one site that share their luck: finishes in working days, and what held the date of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sitesim.answers.dates import SiteDates, end_of_day
from sitesim.answers.differences import PairedDifference, paired_difference
from sitesim.answers.statistics import Estimate, proportion_interval, quantile_estimate
from sitesim.hours import WeekPattern, civil_date
from sitesim.plan import Plan

if TYPE_CHECKING:
    import pandas as pd

MOVED_LEAST = 0.5
"""Days by which what held the date must have moved to be worth a word."""


@dataclass(frozen=True, slots=True, eq=False)
class PlayedVariant:
    """Runs of one variant: its name and plan, its tables ``runs`` and ``held``."""

    name: str
    plan: Plan
    runs: pd.DataFrame
    held: pd.DataFrame


@dataclass(frozen=True, slots=True)
class MovedCause:
    """Days of the finish by one cause: mean ``planned`` and ``now``, and how they moved pair by pair."""

    cause: str
    planned: float
    now: float
    moved: PairedDifference


@dataclass(frozen=True, slots=True)
class AsPlanned:
    """The site as it is planned: its dates at P50 and P80, the date asked about and the chance to meet it."""

    name: str
    start: date
    finish_p50: date | None
    finish_p80: date | None
    asked: date | None
    meets: Estimate
    runs: int
    unfinished: int


class WorkingDays:
    """Counts working days of one calendar, so that finishes of variants that begin on other dates can be compared.

    Parameters: ``plans`` of all variants; the calendar is that of the first, with the dates on which any of them is
    closed.
    """

    def __init__(self, plans: Sequence[Plan]) -> None:
        pattern = plans[0].calendars["site"]
        closed = frozenset().union(*(plan.calendars["site"].closed for plan in plans))
        first = min(plan.start for plan in plans)
        last = max(plan.start + timedelta(days=plan.days) for plan in plans)
        dates = SiteDates(first, WeekPattern(pattern.spans, closed))
        span = (last - first).days + 1
        works = [dates.is_working_day(first + timedelta(days=day)) for day in range(span)]
        self._first = first
        self._number: NDArray[np.float64] = np.cumsum(np.array(works, dtype=np.float64))

    def numbers(self, start: date, finishes: Sequence[float]) -> NDArray[np.float64]:
        """Number the working day on which, or after which, each run finishes; infinite for one that never does.

        Parameters: ``start``, the date of hour 0; ``finishes`` [h].
        """
        return np.array([self._number_of(start, hours) for hours in finishes], dtype=np.float64)

    def _number_of(self, start: date, hours: float) -> float:
        if math.isinf(hours):
            return math.inf
        return float(self._number[(civil_date(start, hours) - self._first).days])


def as_planned(planned: PlayedVariant, asked: date | None) -> AsPlanned:
    """Give the site as planned.

    Parameters: ``asked``, the date that is to be met; the P80 date where None.
    """
    finishes = finishes_of(planned)
    p50, p80 = (date_at(planned, p) for p in (0.5, 0.8))
    met = p80 if asked is None else asked
    return AsPlanned(
        planned.name,
        planned.plan.start,
        p50,
        p80,
        met,
        chance_to_meet(planned, met),
        len(finishes),
        unfinished_in(finishes),
    )


def moved_causes(
    planned: PlayedVariant, other: PlayedVariant, confidence: float, by: str = "cause"
) -> list[MovedCause]:
    """Compare the days of the finish by cause, or by another column of ``held``, over the runs that end in both."""
    return moved_days((planned.runs, planned.held), (other.runs, other.held), confidence, by)


def moved_days(
    reference: tuple[pd.DataFrame, pd.DataFrame],
    other: tuple[pd.DataFrame, pd.DataFrame],
    confidence: float,
    by: str = "cause",
) -> list[MovedCause]:
    """Compare the tables ``runs`` and ``held`` of two studies with the same runs, as `moved_causes` does."""
    ended = reference[0]["finished"].to_numpy() & other[0]["finished"].to_numpy()
    runs = reference[0]["run"].to_numpy()[ended]
    if not len(runs):
        return []
    before, now = (_days_by(by, held, runs) for _, held in (reference, other))
    causes = sorted({*before.columns, *now.columns})
    before, now = (frame.reindex(columns=causes, fill_value=0.0) for frame in (before, now))
    return [
        MovedCause(
            cause,
            float(before[cause].mean()),
            float(now[cause].mean()),
            paired_difference(now[cause].to_numpy(), before[cause].to_numpy(), confidence),
        )
        for cause in causes
    ]


def _days_by(column: str, held: pd.DataFrame, runs: NDArray[Any]) -> pd.DataFrame:
    by_run = held.pivot_table(index="run", columns=column, values="days", aggfunc="sum", fill_value=0.0)
    return by_run.reindex(runs, fill_value=0.0)


def finishes_of(variant: PlayedVariant) -> list[float]:
    """Give the finish [h] of each run, infinite for one that does not end."""
    found: list[float] = variant.runs["finish_hours"].tolist()
    return found


def unfinished_in(finishes: Sequence[float] | NDArray[np.float64]) -> int:
    """Count the finishes that never come."""
    return int(np.isinf(np.asarray(finishes, dtype=np.float64)).sum())


def date_at(variant: PlayedVariant, p: float) -> date | None:
    """Give the date at a quantile of the finishes; None if it never comes."""
    hours = quantile_estimate(finishes_of(variant), p).value
    return None if math.isinf(hours) else civil_date(variant.plan.start, hours)


def chance_to_meet(variant: PlayedVariant, asked: date | None) -> Estimate:
    """Give the chance that a date is met; that of no date is none."""
    finishes = finishes_of(variant)
    met = 0 if asked is None else sum(hours <= end_of_day(variant.plan.start, asked) for hours in finishes)
    return proportion_interval(met, len(finishes))
