"""Ready-mix against mixing on site: which is cheaper, and where the two change places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING, Any

from sitesim.answers.deliveries import (
    Cheaper,
    TurningFactor,
    TurningPrice,
    Way,
    Weighed,
    as_arrays,
    best_of,
    cheapest_tried,
    rivals,
    turning_blend,
    turning_day,
    turning_factors,
    turning_standby,
    weigh,
)
from sitesim.answers.delivery_costs import Figures, Prices
from sitesim.plan import Plan, ReadyMix, SiteMix
from sitesim.plan.changed import with_print_rate, with_travel
from sitesim.policies import FixedSpacing
from sitesim.study.delivery_summary import finite, told_estimate, told_way
from sitesim.study.played_ways import PlayedWays, Playing

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

FACTORS = (0.6, 0.8, 1.0, 1.25, 1.5)
"""How many times the travel time, or the print rate, is tried."""

_SPACINGS_TRIED = (0.8, 1.0, 1.25)
"""Spacings that are tried at each factor, as shares of the best one, fitted to the print rate."""


@dataclass(frozen=True, slots=True)
class Case:
    """Ready-mix in several ways against mixing on site: what was played of each, and the prices."""

    ready: PlayedWays
    weighed: Sequence[Weighed]
    prices: Prices
    mixer: Plan
    mixed: Figures
    mixed_prices: Prices

    @property
    def best(self) -> int:
        """The place of the best way among those that were weighed."""
        return self.weighed.index(best_of(self.weighed))


def against(scenario: Scenario, case: Case) -> dict[str, Any]:
    """Set the best ready-mix against mixing on site."""
    pair = rivals(case.ready.figures[case.best], case.prices, case.mixed, case.mixed_prices)
    alone = told_way(weigh([Way()], [case.mixed], case.mixed_prices)[0])
    supply = case.mixer.supply
    assert isinstance(supply, SiteMix)
    return {
        "scenario": scenario.name,
        **{name: alone[name] for name in ("cost", "items", "means", "unfinished")},
        "difference": told_estimate(pair.difference),
        "batch": supply.batch,
        "prices": asdict(case.mixed_prices),
    }


def turning(case: Case, playing: Playing) -> dict[str, Any]:
    """Tell where ready-mix and mixing on site change places."""
    ended = [index for index, one in enumerate(case.weighed) if one.unfinished.value == 0.0]
    usable = ended or range(len(case.weighed))
    ways = [case.ready.ways.ways[index] for index in usable]
    figures = [case.ready.figures[index] for index in usable]
    sides = (ways, figures, case.prices, case.mixed, case.mixed_prices)
    plan = case.ready.ways.plans[0]
    assert isinstance(plan.supply, ReadyMix)
    day = turning_day(case.ready.figures[case.best], case.prices, case.mixed, case.mixed_prices)
    travel, print_rate = _tried_factors(case, playing)
    return {
        "standby": {"now": case.prices.standby, **_told_price(turning_standby(*sides))},
        "blend": {"now": case.mixed_prices.blend, **_told_price(turning_blend(*sides))},
        "day": {
            "now": plan.costs.overhead,
            "at": day.price.value if day.price.value is not None and day.price.value > 0.0 else None,
            "low": finite(day.price.low),
            "high": finite(day.price.high),
            "later": told_estimate(day.later),
        },
        "travel": {"now": plan.supply.haul.mean, **travel},
        "print_rate": {"now": _print_rate(plan), **print_rate},
    }


def _told_price(found: TurningPrice | Cheaper) -> dict[str, Any]:
    if isinstance(found, Cheaper):
        return {"always": found.value, "at": None, "low": None, "high": None, "way": None}
    return {
        "always": None,
        "at": found.price.value,
        "low": finite(found.price.low),
        "high": finite(found.price.high),
        "way": asdict(found.way),
    }


def _print_rate(plan: Plan) -> float:
    """Give the mean rate [m³/h] at which the nozzle lays concrete."""
    walls = [building.shell.wall for building in plan.buildings if building.shell is not None]
    return sum(sum(wall.volume) for wall in walls) / sum(sum(wall.nozzle_hours) for wall in walls)


@dataclass(frozen=True, slots=True)
class _Factor:
    """One factor to be tried: ready-mix in some ways, each with its plan, and the mixer's plan if that changes too."""

    factor: float
    ways: list[Way]
    plans: list[Plan]
    mixer: Plan | None


def _tried_factors(case: Case, playing: Playing) -> tuple[dict[str, Any], dict[str, Any]]:
    """Try longer and shorter ways to the plant, and faster and slower printing."""
    travel = [_with_travel(case, factor) for factor in FACTORS if factor != 1.0]
    rates = [_with_print_rate(case, factor) for factor in FACTORS if factor != 1.0]
    plans = [plan for one in travel + rates for plan in (*one.plans, *([one.mixer] if one.mixer else []))]
    played = iter([as_arrays(each) for each in playing.columns_of(plans)])
    return _tried(case, travel, played), _tried(case, rates, played)


def _with_travel(case: Case, factor: float) -> _Factor:
    best, base = _best_plan(case)
    ways = _near(best, 1.0)
    return _Factor(factor, ways, [with_travel(_spaced(base, way.spacing), factor) for way in ways], None)


def _with_print_rate(case: Case, factor: float) -> _Factor:
    best, base = _best_plan(case)
    ways = _near(best, factor)
    plans = [with_print_rate(_spaced(base, way.spacing), factor) for way in ways]
    return _Factor(factor, ways, plans, with_print_rate(case.mixer, factor))


def _best_plan(case: Case) -> tuple[Way, Plan]:
    return case.ready.ways.ways[case.best], case.ready.ways.plans[case.best]


def _near(best: Way, pace: float) -> list[Way]:
    """Give the best load with a few spacings about that which fits the pace of printing."""
    if not best.spacing:
        return [best]
    spacings = (_five_minutes(best.spacing * share / pace) for share in _SPACINGS_TRIED)
    return [replace(best, spacing=spacing) for spacing in dict.fromkeys(spacings)]


def _tried(case: Case, factors: Sequence[_Factor], played: Iterator[Figures]) -> dict[str, Any]:
    """Weigh what was played at each factor; factor 1 is the best of what was played before."""
    sides = (case.prices, case.mixed, case.mixed_prices)
    tried = [cheapest_tried(1.0, [case.ready.ways.ways[case.best]], [case.ready.figures[case.best]], *sides)]
    for one in factors:
        figures = [next(played) for _ in one.plans]
        mixed = case.mixed if one.mixer is None else next(played)
        tried.append(cheapest_tried(one.factor, one.ways, figures, case.prices, mixed, case.mixed_prices))
    tried.sort(key=lambda one: one.factor)
    return {
        "tried": [
            {
                "factor": one.factor,
                "way": asdict(one.way),
                "ready_mix": told_estimate(one.rivals.ready_mix),
                "site_mix": told_estimate(one.rivals.site_mix),
                "difference": told_estimate(one.rivals.difference),
            }
            for one in tried
        ],
        "turning": [_told_factor(one) for one in turning_factors(tried)],
    }


def _told_factor(found: TurningFactor) -> dict[str, Any]:
    return {
        "factor": found.factor,
        "between": list(found.between),
        "low": finite(found.low),
        "high": finite(found.high),
    }


def _spaced(plan: Plan, spacing: float) -> Plan:
    """Give the plan with another spacing [h] of its loads, if they come at one."""
    supply = plan.supply
    assert isinstance(supply, ReadyMix)
    if not isinstance(supply.ordering, FixedSpacing):
        return plan
    return replace(plan, supply=replace(supply, ordering=replace(supply.ordering, spacing=spacing)))


def _five_minutes(hours: float) -> float:
    return max(1, round(12.0 * hours)) / 12.0
