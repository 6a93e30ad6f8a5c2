"""Which deliveries cost least, how flat the best is, and where ready-mix and on-site mixing change places."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sitesim.answers.delivery_costs import Figures, Prices, cost_of, items_of_cost
from sitesim.answers.differences import bonferroni
from sitesim.answers.ratios import Crossing, crossing, linear_form
from sitesim.answers.statistics import Estimate, mean_interval, proportion_interval

FLAT = 0.02
"""Costs within this share of the best count as the same."""

MEANS = (
    "rejected_m3",
    "returned_m3",
    "waiting_hours",
    "held_hours",
    "down_hours",
    "unplanned_joints",
    "standby_hours",
    "print_days",
    "days_called_off",
    "days_short_of_concrete",
    "loads",
    "loads_called_off",
    "overtime_hours",
    "day_hours",
    "batched_m3",
    "in_place_m3",
)
"""The columns of which the mean over the runs is told."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way of supply: loads of a size [m³] at a spacing [h] from so many trucks; all 0 for mixing on site."""

    load: float = 0.0
    spacing: float = 0.0
    trucks: int = 0


@dataclass(frozen=True, slots=True)
class Weighed:
    """What one way came to.

    ``cost`` [currency/m³ in place]; ``items``, its parts; ``means`` of `MEANS`, for a run; ``unfinished``, how many
    runs did not come to an end; ``against_best`` [currency/m³], this way less the best one, run by run;
    ``is_best``, ``is_tied`` (cannot be told from the best by these runs) and ``is_flat`` (within `FLAT` of it).
    """

    way: Way
    cost: Estimate
    items: Mapping[str, float]
    means: Mapping[str, Estimate]
    unfinished: Estimate
    against_best: Estimate
    is_best: bool = False
    is_tied: bool = False
    is_flat: bool = False


def weigh(
    ways: Sequence[Way], figures: Sequence[Figures], prices: Prices, runs_must_finish: bool = True
) -> list[Weighed]:
    """Set ways of supply side by side that were played with the same runs.

    The best has the lowest mean cost per m³ in place among those in which every run came to its end, or among all
    where none has or ``runs_must_finish`` is false. Differences to it are taken run by run, and their intervals hold
    together at 95 % (Bonferroni).
    """
    forms = [linear_form(cost_of(each, prices), each["in_place_m3"]) for each in figures]
    ends = [bool(each["finished"].all()) for each in figures]
    eligible = [index for index, ended in enumerate(ends) if ended] if runs_must_finish else []
    best = min(eligible or range(len(forms)), key=lambda index: float(forms[index].mean()))
    confidence = bonferroni(0.95, max(1, len(ways) - 1))
    lowest = float(forms[best].mean())
    weighed = []
    for index, (way, each, form) in enumerate(zip(ways, figures, forms, strict=True)):
        may_be_best = index in eligible or not eligible
        difference = mean_interval(form - forms[best], confidence)
        weighed.append(
            Weighed(
                way,
                mean_interval(form),
                _items_per_volume(each, prices),
                {name: mean_interval(each[name]) for name in MEANS},
                proportion_interval(int(np.sum(each["finished"] == 0)), len(form)),
                difference,
                is_best=index == best,
                is_tied=may_be_best and (index == best or difference.low <= 0.0),
                is_flat=may_be_best and float(form.mean()) <= (1.0 + FLAT) * lowest,
            )
        )
    return weighed


def _items_per_volume(figures: Figures, prices: Prices) -> dict[str, float]:
    volume = float(figures["in_place_m3"].mean())
    return {item: float(amounts.mean()) / volume for item, amounts in items_of_cost(figures, prices).items()}


def best_of(weighed: Sequence[Weighed]) -> Weighed:
    """Give the best of ways that have been weighed."""
    return next(one for one in weighed if one.is_best)


def flat_spacings(weighed: Sequence[Weighed]) -> tuple[float, float]:
    """Give the least and the largest spacing [h] around the best, its load and trucks kept, that cost the same."""
    best = best_of(weighed)
    row = sorted(
        (one for one in weighed if (one.way.load, one.way.trucks) == (best.way.load, best.way.trucks)),
        key=lambda one: one.way.spacing,
    )
    place = row.index(best)
    first = last = place
    while first > 0 and row[first - 1].is_flat:
        first -= 1
    while last + 1 < len(row) and row[last + 1].is_flat:
        last += 1
    return row[first].way.spacing, row[last].way.spacing


@dataclass(frozen=True, slots=True)
class Rivals:
    """Ready-mix and mixing on site against each other, as their prices stand.

    ``ready_mix`` and ``site_mix`` [currency/m³ in place]; ``difference``, ready-mix less mixing on site, run by run.
    """

    ready_mix: Estimate
    site_mix: Estimate
    difference: Estimate


def rivals(
    ready: Figures, ready_prices: Prices, mixed: Figures, mixed_prices: Prices, confidence: float = 0.95
) -> Rivals:
    """Set one way of ready-mix against mixing on site."""
    of_ready = linear_form(cost_of(ready, ready_prices), ready["in_place_m3"])
    of_mixed = linear_form(cost_of(mixed, mixed_prices), mixed["in_place_m3"])
    return Rivals(
        mean_interval(of_ready, confidence),
        mean_interval(of_mixed, confidence),
        mean_interval(of_ready - of_mixed, confidence),
    )


@dataclass(frozen=True, slots=True)
class TurningPrice:
    """The price at which the cheapest ready-mix costs as much as mixing on site; ``way``, that ready-mix."""

    price: Crossing
    way: Way


class Cheaper(StrEnum):
    """The supply that is the cheaper one at every price from nothing on."""

    READY_MIX = "ready-mix"
    SITE_MIX = "mixing on site"


def turning_standby(
    ways: Sequence[Way],
    figures: Sequence[Figures],
    ready_prices: Prices,
    mixed: Figures,
    mixed_prices: Prices,
) -> TurningPrice | Cheaper:
    """Find the standby rate [currency/h] at which both cost the same, ready-mix being ordered as is best at that rate.

    What the site does is not changed by a rate, so each way costs a constant and its standby hours times the rate; the
    cheapest way of ready-mix is no dearer than mixing on site up to the largest of the ways' own turning rates. A way
    that is cheaper and whose trucks never stand longer than is free keeps ready-mix the cheaper one at every rate;
    where each way is dearer even with the trucks' waiting free, mixing on site is.
    """
    free = replace(ready_prices, standby=0.0)
    of_mixed = linear_form(cost_of(mixed, mixed_prices), mixed["in_place_m3"])
    found: list[TurningPrice] = []
    for way, each in zip(ways, figures, strict=True):
        constant = linear_form(cost_of(each, free), each["in_place_m3"]) - of_mixed
        if constant.mean() > 0.0:
            continue
        at = crossing(constant, linear_form(each["standby_hours"], each["in_place_m3"]))
        if at.value is None:
            return Cheaper.READY_MIX
        found.append(TurningPrice(at, way))
    return max(found, key=lambda one: one.price.value or 0.0, default=Cheaper.SITE_MIX)


def turning_blend(
    ways: Sequence[Way],
    figures: Sequence[Figures],
    ready_prices: Prices,
    mixed: Figures,
    mixed_prices: Prices,
) -> TurningPrice | Cheaper:
    """Find the price of dry blend [currency/m³] at which both cost the same.

    Where mixing on site is dearer even with blend for nothing, ready-mix is the cheaper one at every price. The reverse
    cannot be: whatever is mixed takes blend.
    """
    forms = [linear_form(cost_of(each, ready_prices), each["in_place_m3"]) for each in figures]
    cheapest = min(range(len(forms)), key=lambda index: float(forms[index].mean()))
    constant = linear_form(cost_of(mixed, replace(mixed_prices, blend=0.0)), mixed["in_place_m3"]) - forms[cheapest]
    if constant.mean() > 0.0:
        return Cheaper.READY_MIX
    return TurningPrice(crossing(constant, linear_form(mixed["batched_m3"], mixed["in_place_m3"])), ways[cheapest])


@dataclass(frozen=True, slots=True)
class TurningDay:
    """What a working day would have to be worth for the two supplies to cost the same.

    ``price`` [currency/day]; ``later``, how many working days later ready-mix ends its print days than mixing on site.
    """

    price: Crossing
    later: Estimate


def turning_day(ready: Figures, ready_prices: Prices, mixed: Figures, mixed_prices: Prices) -> TurningDay:
    """Find the worth of a working day [currency/day] at which both cost the same, counted from first to last print day.

    Parameters: ``ready``, the figures of one way of ready-mix.
    """
    constant = linear_form(cost_of(ready, ready_prices), ready["in_place_m3"]) - linear_form(
        cost_of(mixed, mixed_prices), mixed["in_place_m3"]
    )
    slope = linear_form(ready["campaign_days"], ready["in_place_m3"]) - linear_form(
        mixed["campaign_days"], mixed["in_place_m3"]
    )
    return TurningDay(crossing(constant, slope), mean_interval(ready["campaign_days"] - mixed["campaign_days"]))


@dataclass(frozen=True, slots=True)
class Tried:
    """One factor that was tried: both supplies, and their difference, ready-mix (at its best ``way``) less on site."""

    factor: float
    way: Way
    rivals: Rivals


@dataclass(frozen=True, slots=True)
class TurningFactor:
    """Where the difference changes sign between two factors that were tried, joined by a straight line.

    ``between``, those two factors; ``factor``, the point on the line; ``low`` and ``high``, the factors next to it on
    either side at which the runs tell the two supplies apart, infinite where none that was tried does.
    """

    factor: float
    between: tuple[float, float]
    low: float
    high: float


def cheapest_tried(
    factor: float,
    ways: Sequence[Way],
    figures: Sequence[Figures],
    ready_prices: Prices,
    mixed: Figures,
    mixed_prices: Prices,
) -> Tried:
    """Set the cheapest of some ways of ready-mix, at one factor, against mixing on site."""
    forms = [linear_form(cost_of(each, ready_prices), each["in_place_m3"]) for each in figures]
    cheapest = min(range(len(forms)), key=lambda index: float(forms[index].mean()))
    return Tried(factor, ways[cheapest], rivals(figures[cheapest], ready_prices, mixed, mixed_prices))


def turning_factors(tried: Sequence[Tried]) -> list[TurningFactor]:
    """Find where the cheaper of the two supplies changes among factors that were tried, in rising order."""
    row = sorted(tried, key=lambda one: one.factor)
    unequal = [index for index, one in enumerate(row) if one.rivals.difference.value]
    found = []
    for first, second in pairwise(unequal):
        before, after = row[first], row[second]
        left, right = before.rivals.difference.value, after.rivals.difference.value
        if left * right > 0.0:
            continue
        low = next((one.factor for one in reversed(row[: first + 1]) if _is_told(one)), -math.inf)
        high = next((one.factor for one in row[second:] if _is_told(one)), math.inf)
        at = before.factor + left / (left - right) * (after.factor - before.factor)
        if second > first + 1:
            at = row[first + 1].factor
        found.append(TurningFactor(at, (before.factor, after.factor), low, high))
    return found


def _is_told(tried: Tried) -> bool:
    """Tell whether the runs tell the two supplies apart."""
    difference = tried.rivals.difference
    return difference.low > 0.0 or difference.high < 0.0


def as_arrays(columns: Mapping[str, Sequence[float]]) -> dict[str, NDArray[np.float64]]:
    """Give columns of print days as arrays of floats."""
    return {name: np.asarray(values, dtype=float) for name, values in columns.items()}
