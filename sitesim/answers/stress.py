"""What each stress does to the finish, and what each month of start: answers out of runs that share their luck."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from sitesim.answers.differences import (
    PairedDifference,
    QuantileShift,
    bonferroni,
    paired_difference,
    quantile_shift,
    resamples_for,
)
from sitesim.answers.statistics import Estimate, Quantile, mean_interval, quantile_estimate
from sitesim.answers.variants import (
    MOVED_LEAST,
    MovedCause,
    PlayedVariant,
    WorkingDays,
    chance_to_meet,
    date_at,
    finishes_of,
    moved_causes,
    unfinished_in,
)
from sitesim.hours import civil_date
from sitesim.plan import Cause

HOURS_A_DAY = 24.0
_CAUSES_NAMED = 3
_LEAST_PAIRS = 2


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
    resamples = resamples_for(len(stressed))
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
    now, before = (days.numbers(one.plan.start, finishes_of(one)) for one in (stressed, planned))
    held = moved_causes(planned, stressed, confidence)
    return Shift(
        name=stressed.name,
        mean=paired_difference(now, before, confidence),
        p50=quantile_shift(now, before, 0.5, confidence, resamples),
        p80=quantile_shift(now, before, 0.8, confidence, resamples),
        finish_p50=date_at(stressed, 0.5),
        finish_p80=date_at(stressed, 0.8),
        meets=chance_to_meet(stressed, asked),
        held_most=max(held, key=lambda one: one.now, default=None),
        held=tuple(
            one
            for one in sorted(held, key=lambda one: -abs(one.moved.mean))
            if one.moved.distinguishable and abs(one.moved.mean) >= MOVED_LEAST
        )[:_CAUSES_NAMED],
        runs=len(now),
        unfinished=unfinished_in(now),
        parts=parts,
        months_moved=stressed.plan.start != planned.plan.start,
    )


def start_month(variant: PlayedVariant, wanted: date | None = None) -> StartMonth:
    """Say what a month of start comes to.

    Parameters: ``wanted``, the day on which it would begin if the site worked on it; that on which it does, where None.
    """
    finishes = finishes_of(variant)
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
        unfinished=unfinished_in(np.asarray(finishes)),
        wanted=wanted or start,
    )


def months_apart(months: Sequence[PlayedVariant], confidence: float = 0.95) -> MonthsApart | None:
    """Compare the months of start that have a date at 4 in 5; None if they are fewer than two, or no two runs end.

    Parameters: ``months``, played with the same runs; ``confidence`` of the interval for all pairs of months together.
    """
    days = {one.plan.start: np.asarray(finishes_of(one)) / HOURS_A_DAY for one in months if date_at(one, 0.8)}
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
