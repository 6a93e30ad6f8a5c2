"""What a deliveries study tells of the ways that it tried, as plain data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from sitesim.answers.deliveries import FLAT, Way, Weighed, best_of, flat_spacings
from sitesim.answers.delivery_costs import Prices
from sitesim.answers.statistics import Estimate
from sitesim.study.runner import StudySettings
from sitesim.study.ways import Ways, ordering_of, way_of

if TYPE_CHECKING:
    from sitesim.scenario import Scenario


def summary_of(
    scenario: Scenario, settings: StudySettings, ways: Ways, weighed: Sequence[Weighed], prices: Prices
) -> dict[str, Any]:
    """Give what the answer tells of the ways, as plain data."""
    plan = scenario.plan()
    return {
        "scenario": scenario.name,
        "units": scenario.units,
        "currency": scenario.currency,
        "runs": settings.runs,
        "seed": settings.seed,
        "flat_share": FLAT,
        "ordering": ordering_of(scenario),
        "own": asdict(way_of(scenario)),
        "ways": [told_way(one) for one in weighed],
        "impossible": [asdict(one) for one in ways.impossible],
        "best": asdict(best_of(weighed).way),
        "flat_spacings": list(flat_spacings(weighed)),
        "at_edge": at_edge(weighed),
        "prices": asdict(prices),
        "overhead_a_day": plan.costs.overhead,
        "buildings": [building.name for building in plan.buildings if building.shell is not None],
        "description": scenario.description(),
        "assumptions": scenario.assumptions(),
        "cautions": scenario.cautions(),
        "against": None,
        "turning": None,
        "day": None,
    }


def told_way(one: Weighed) -> dict[str, Any]:
    """Give a way as plain data; what is not finite becomes None."""
    return {
        **asdict(one.way),
        "cost": told_estimate(one.cost),
        "items": dict(one.items),
        "means": {name: told_estimate(value) for name, value in one.means.items()},
        "unfinished": told_estimate(one.unfinished),
        "against_best": told_estimate(one.against_best),
        "is_best": one.is_best,
        "is_tied": one.is_tied,
        "is_flat": one.is_flat,
    }


def told_estimate(estimate: Estimate) -> dict[str, float | None]:
    """Give an estimate as plain data."""
    return {"value": estimate.value, "low": finite(estimate.low), "high": finite(estimate.high)}


def finite(value: float) -> float | None:
    """Give a number, or None where it has no end."""
    return value if math.isfinite(value) else None


def at_edge(weighed: Sequence[Weighed]) -> list[str]:
    """Name the edges of what was tried on which the best lies: ``load`` and ``spacing``, low or high."""
    best = best_of(weighed).way
    found = []
    for name in ("load", "spacing", "trucks"):
        tried = sorted({getattr(one.way, name) for one in weighed})
        if len(tried) > 1 and getattr(best, name) in (tried[0], tried[-1]):
            found.append(f"{'least' if getattr(best, name) == tried[0] else 'largest'} {name}")
    return found


def rows_of(ways: Sequence[Way], columns: Sequence[dict[str, list[Any]]]) -> Iterator[dict[str, Any]]:
    """Give the columns of each way with what it is, for the table of all runs; mixing on site comes last."""
    for way, each in zip([*ways, Way()], columns, strict=False):
        count = len(each["run"])
        yield {
            "load_m3": [way.load] * count,
            "spacing_hours": [way.spacing] * count,
            "trucks": [way.trucks] * count,
            **each,
        }
