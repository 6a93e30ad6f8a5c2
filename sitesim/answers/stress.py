"""What each stress does to the finish, and what each month of start: answers out of runs that share their luck."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sitesim.answers.dates import SiteDates, end_of_day
from sitesim.answers.differences import (
    PairedDifference,
    QuantileShift,
    bonferroni,
    paired_difference,
    quantile_shift,
)
from sitesim.answers.statistics import Estimate, Quantile, mean_interval, proportion_interval, quantile_estimate
from sitesim.hours import WeekPattern, civil_date
from sitesim.plan import Cause, Plan

if TYPE_CHECKING:
    import pandas as pd

HOURS_A_DAY = 24.0
MOVED_LEAST = 0.5
"""Days by which what held the date must have moved to be worth a word."""

_CAUSES_NAMED = 3
_LEAST_PAIRS = 2
_RESAMPLES_A_COMPARISON = 200


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
class Shift:
    """What a stress does.

    Parameters: shifts in working days of the site's calendar, later being positive: ``mean`` of the pairs of runs,
    ``p50`` and ``p80`` of the dates; ``finish_p50`` and ``finish_p80``, those dates under the stress, None where there
    is none; ``meets``, the chance to meet the date that is asked about; ``held``, the causes that moved most and, at
    its head, the one with most days now; ``unfinished``, runs that do not end.
    """

    name: str
    mean: PairedDifference
    p50: QuantileShift
    p80: QuantileShift
    finish_p50: date | None
    finish_p80: date | None
    meets: Estimate
    held_most: MovedCause | None
    held: tuple[MovedCause, ...]
    runs: int
    unfinished: int
    parts: tuple[str, ...] = ()
    months_moved: bool = False

    @property
    def distinguishable(self) -> bool:
        """Tell whether the runs can tell it apart from no change: by the mean of the pairs, or by a date that is lost.

        Pairs share their luck and so tell more than two dates at 4 in 5 do; the mean is the one rule of what hurts.
        """
        return self.mean.distinguishable or (math.isinf(self.p80.shift) and self.p80.distinguishable)

    @property
    def moved(self) -> float:
        """The working days by which it is ranked: the mean of the pairs, infinite if there is no date at 4 in 5."""
        return self.p80.shift if math.isinf(self.p80.shift) else self.mean.mean


@dataclass(frozen=True, slots=True)
class StartMonth:
    """A month of start.

    Parameters: ``start`` date; ``finish`` at P80, with its interval; ``days``, at P80 from start to finish [d];
    ``weather_days``, working days of the finish that weather held, mean of the runs that end, None if none does;
    ``wanted``, the day on which it would have begun if the site worked then.
    """

    start: date
    finish: date | None
    finish_low: date | None
    finish_high: date | None
    days: Quantile
    weather_days: Estimate | None
    runs: int
    unfinished: int
    wanted: date

    @property
    def is_put_off(self) -> bool:
        """Tell whether it begins on another day than wanted, for nobody works on that one."""
        return self.start != self.wanted


@dataclass(frozen=True, slots=True)
class MonthsApart:
    """The months of start from which the work takes least and most, compared run by run under the same luck.

    Parameters: ``least`` and ``most``, their starts; ``longer``, by how many days [d] the work takes longer from the
    one than from the other, over the runs that end from every month; its interval holds for every pair of months
    (Bonferroni), so that having picked two does not flatter it; ``runs_to_tell``, how many runs of each would tell a
    difference of that size from none, None where these runs do or where there is none.
    """

    least: date
    most: date
    longer: PairedDifference
    runs_to_tell: int | None


@dataclass(frozen=True, slots=True)
class AsPlanned:
    """The site without any stress: its dates at P50 and P80, the date asked about and the chance to meet it."""

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
    finishes = _finishes(planned)
    p50, p80 = (_date_at(planned, p) for p in (0.5, 0.8))
    met = p80 if asked is None else asked
    return AsPlanned(
        planned.name, planned.plan.start, p50, p80, met, _meets(planned, met), len(finishes), _unfinished(finishes)
    )


def rank(
    planned: PlayedVariant,
    stressed: Sequence[PlayedVariant],
    asked: date | None,
    parts: Mapping[str, tuple[str, ...]],
    confidence: float = 0.95,
) -> tuple[Shift, ...]:
    """Rank stresses by the mean shift of the pairs of runs, the farthest first; what has no P80 date before all.

    Parameters: ``asked``, the date to be met; ``parts``, by name the stresses that come together in it. For each
    question the intervals of all stresses hold together at ``confidence`` (Bonferroni). Raises ValueError if the
    variants have different runs.
    """
    if any(not one.runs["run"].equals(planned.runs["run"]) for one in stressed):
        raise ValueError("the variants have different runs and cannot be compared pair by pair")
    days = WorkingDays([planned.plan, *(one.plan for one in stressed)])
    each = bonferroni(confidence, max(1, len(stressed)))
    resamples = max(1999, _RESAMPLES_A_COMPARISON * len(stressed) - 1)
    shifts = [_shift(planned, one, days, asked, parts.get(one.name, ()), each, resamples) for one in stressed]
    return tuple(sorted(shifts, key=_hurts_most_first))


def _hurts_most_first(shift: Shift) -> tuple[float, float, str]:
    moved = math.inf if math.isnan(shift.moved) else shift.moved
    p80 = 0.0 if math.isnan(shift.p80.shift) else shift.p80.shift
    return -moved, -p80, shift.name


def _shift(
    planned: PlayedVariant,
    stressed: PlayedVariant,
    days: WorkingDays,
    asked: date | None,
    parts: tuple[str, ...],
    confidence: float,
    resamples: int,
) -> Shift:
    now, before = (days.numbers(one.plan.start, _finishes(one)) for one in (stressed, planned))
    held = _moved_causes(planned, stressed, confidence)
    return Shift(
        name=stressed.name,
        mean=paired_difference(now, before, confidence),
        p50=quantile_shift(now, before, 0.5, confidence, resamples),
        p80=quantile_shift(now, before, 0.8, confidence, resamples),
        finish_p50=_date_at(stressed, 0.5),
        finish_p80=_date_at(stressed, 0.8),
        meets=_meets(stressed, asked),
        held_most=max(held, key=lambda one: one.now, default=None),
        held=tuple(
            one
            for one in sorted(held, key=lambda one: -abs(one.moved.mean))
            if one.moved.distinguishable and abs(one.moved.mean) >= MOVED_LEAST
        )[:_CAUSES_NAMED],
        runs=len(now),
        unfinished=_unfinished(now),
        parts=parts,
        months_moved=stressed.plan.start != planned.plan.start,
    )


def _moved_causes(planned: PlayedVariant, stressed: PlayedVariant, confidence: float) -> list[MovedCause]:
    """Compare the days of the finish by cause, over the runs that end in both."""
    ended = planned.runs["finished"].to_numpy() & stressed.runs["finished"].to_numpy()
    runs = planned.runs["run"].to_numpy()[ended]
    if not len(runs):
        return []
    before, now = (_days_by_cause(one.held, runs) for one in (planned, stressed))
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


def _days_by_cause(held: pd.DataFrame, runs: NDArray[Any]) -> pd.DataFrame:
    by_run = held.pivot_table(index="run", columns="cause", values="days", aggfunc="sum", fill_value=0.0)
    return by_run.reindex(runs, fill_value=0.0)


def start_month(variant: PlayedVariant, wanted: date | None = None) -> StartMonth:
    """Say what a month of start comes to.

    Parameters: ``wanted``, the day on which it would begin if the site worked on it; that on which it does, where None.
    """
    finishes = _finishes(variant)
    start = variant.plan.start
    duration = quantile_estimate(np.asarray(finishes) / HOURS_A_DAY, 0.8)

    def day(days: float, known: bool = True) -> date | None:
        return None if not known or math.isinf(days) else civil_date(start, HOURS_A_DAY * days)

    return StartMonth(
        start=start,
        finish=day(duration.value),
        finish_low=day(duration.low, duration.bounded_below),
        finish_high=day(duration.high, duration.bounded_above),
        days=duration,
        weather_days=_weather_days(variant),
        runs=len(finishes),
        unfinished=_unfinished(np.asarray(finishes)),
        wanted=wanted or start,
    )


def months_apart(months: Sequence[PlayedVariant], confidence: float = 0.95) -> MonthsApart | None:
    """Compare the months of start that have a date at 4 in 5; None if they are fewer than two, or no two runs end.

    Parameters: ``months``, played with the same runs; ``confidence`` of the interval for all pairs of months together.
    """
    days = {one.plan.start: np.asarray(_finishes(one)) / HOURS_A_DAY for one in months if _date_at(one, 0.8)}
    ended = np.all([np.isfinite(lengths) for lengths in days.values()], axis=0) if len(days) > 1 else np.zeros(0)
    if ended.sum() < _LEAST_PAIRS:
        return None
    by_length = sorted(days, key=lambda start: (float(days[start][ended].mean()), start))
    least, most = by_length[0], by_length[-1]
    each = bonferroni(confidence, math.comb(len(days), 2))
    longer = paired_difference(days[most][ended], days[least][ended], each)
    return MonthsApart(least, most, longer, _runs_to_tell(longer))


def _runs_to_tell(difference: PairedDifference) -> int | None:
    """Say how many pairs would halve the interval so far that it leaves 0 out: its width goes with one by their root.

    Rounded up to two figures, for the spread is itself known from these runs only.
    """
    if difference.distinguishable or difference.mean == 0:
        return None
    half_width = (difference.high - difference.low) / 2
    pairs = difference.n * (half_width / difference.mean) ** 2
    step = 10.0 ** max(0, math.floor(math.log10(pairs)) - 1)
    return int(step * (math.floor(pairs / step) + 1))


def _weather_days(variant: PlayedVariant) -> Estimate | None:
    """Give the working days of the finish that weather held: its hours on shift, in days of the site's calendar."""
    finished = variant.runs.loc[variant.runs["finished"], "run"]
    if finished.empty:
        return None
    weather = variant.held[variant.held["cause"] == Cause.WEATHER.value]
    on_shift = (weather["days"] - weather["off_shift_days"]).groupby(weather["run"]).sum()
    hours = HOURS_A_DAY * on_shift.reindex(finished, fill_value=0.0).to_numpy(dtype=float)
    return mean_interval(hours / variant.plan.calendars["site"].day_length)


def _finishes(variant: PlayedVariant) -> list[float]:
    found: list[float] = variant.runs["finish_hours"].tolist()
    return found


def _unfinished(finishes: Sequence[float] | NDArray[np.float64]) -> int:
    return int(np.isinf(np.asarray(finishes, dtype=np.float64)).sum())


def _date_at(variant: PlayedVariant, p: float) -> date | None:
    hours = quantile_estimate(_finishes(variant), p).value
    return None if math.isinf(hours) else civil_date(variant.plan.start, hours)


def _meets(variant: PlayedVariant, asked: date | None) -> Estimate:
    """Give the chance that a date is met; that of no date is none."""
    finishes = _finishes(variant)
    met = 0 if asked is None else sum(hours <= end_of_day(variant.plan.start, asked) for hours in finishes)
    return proportion_interval(met, len(finishes))
