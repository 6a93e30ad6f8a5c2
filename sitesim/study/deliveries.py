"""Which deliveries cost least over the print days of a site, played under the same weather and breakdowns."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitesim.answers.deliveries import (
    FLAT,
    Cheaper,
    TurningFactor,
    TurningPrice,
    Way,
    Weighed,
    as_arrays,
    best_of,
    cheapest_tried,
    flat_spacings,
    rivals,
    turning_blend,
    turning_day,
    turning_factors,
    turning_standby,
    weigh,
)
from sitesim.answers.delivery_costs import Figures, Prices
from sitesim.answers.statistics import Estimate
from sitesim.errors import UserError
from sitesim.ledger.print_days import in_columns
from sitesim.plan import Plan, ReadyMix, SiteMix, printing_only
from sitesim.plan.changed import with_print_rate, with_travel
from sitesim.policies import FixedSpacing
from sitesim.study.answering import keep_scenario
from sitesim.study.folder import StudyFolder
from sitesim.study.kept_print_days import KeptPrintDays
from sitesim.study.print_days import Told, play_print_days
from sitesim.study.runner import StudySettings, code_digest, versions
from sitesim.study.ways import Grid, Ways, beyond, filled, is_ready_mix, ordering_of, way_of, ways_of

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

FACTORS = (0.6, 0.8, 1.0, 1.25, 1.5)
"""How many times the travel time, or the print rate, is tried."""

_MOST_ROUNDS = 4
"""How often a grid is played and then enlarged where its best lies on an edge."""

_SPACINGS_TRIED = (0.8, 1.0, 1.25)
"""Spacings that are tried at each factor, as shares of the best one, fitted to the print rate."""


@dataclass(frozen=True, slots=True)
class Supplies:
    """Scenarios of the same site: one with ready-mix and, to set against it, one that mixes on site."""

    ready: Scenario
    mixed: Scenario | None


@dataclass(frozen=True, slots=True)
class Playing:
    """How print days are played.

    Parameters: ``told`` after each block of runs; ``kept``, what an earlier attempt has played, and this one will.
    """

    settings: StudySettings
    told: Told | None = None
    kept: KeptPrintDays | None = None

    def columns_of(self, plans: Sequence[Plan]) -> list[dict[str, list[Any]]]:
        """Play the same runs of each plan; raises UserError where one of them places no concrete at all."""
        runs = [range(self.settings.runs)] * len(plans)
        played = play_print_days(plans, runs, self.settings, told=self.told, kept=self.kept)
        columns = [in_columns(one.rows) for one in played]
        if not all(any(each["in_place_m3"]) for each in columns):
            raise UserError("deliveries: no concrete is placed in any run of some of the combinations; play more runs")
        return columns


def plan_deliveries(
    supplies: Supplies, sets: Sequence[str], grid: Grid, playing: Playing
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Play the print days of a site with each way of supply, and weigh them.

    Parameters: ``sets``, the settings that were laid over the ready-mix scenario. Returns the summary and the rows of
    the table, a row for each run of each way. Raises Interrupted when it is stopped and keeps what it has played.
    """
    ready, mixed, settings = supplies.ready, supplies.mixed, playing.settings
    of_ways = _play_until_inside(ready, sets, grid, playing)
    prices = Prices.of(of_ways.ways.plans[0])
    weighed = weigh(of_ways.ways.ways, of_ways.figures, prices)
    summary = summary_of(ready, settings, of_ways.ways, weighed, prices)
    tables = list(of_ways.columns)
    if mixed is not None:
        mixer = printing_only(mixed.plan())
        columns = playing.columns_of([mixer])[0]
        case = Case(of_ways, weighed, prices, mixer, as_arrays(columns), Prices.of(mixer))
        summary["against"] = _against(mixed, case)
        summary["turning"] = _turning(case, playing)
        tables.append(columns)
    return summary, list(rows_of(of_ways.ways.ways, tables))


@dataclass(frozen=True, slots=True)
class PlayedWays:
    """Ways of ready-mix with the columns of their runs, and the same as arrays."""

    ways: Ways
    columns: tuple[dict[str, list[Any]], ...]
    figures: tuple[Figures, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """Ready-mix in several ways against mixing on site: what was played of each, and the prices."""

    ready: PlayedWays
    weighed: Sequence[Weighed]
    prices: Prices
    mixer: Plan
    mixed: Figures
    mixed_prices: Prices


def _play_until_inside(scenario: Scenario, sets: Sequence[str], asked: Grid, playing: Playing) -> PlayedWays:
    """Play a grid, and what lies beyond it as long as the best lies on an edge that the user has not set."""
    tried = wanted = filled(asked, scenario)
    ways = Ways((), (), ())
    columns: tuple[dict[str, list[Any]], ...] = ()
    for _ in range(_MOST_ROUNDS):
        more = ways_of(scenario, sets, wanted, needs_one=not ways.ways)
        ways = Ways(ways.ways + more.ways, ways.plans + more.plans, ways.impossible + more.impossible)
        if not more.ways:
            break
        columns += tuple(playing.columns_of(more.plans))
        figures = tuple(as_arrays(each) for each in columns)
        best = best_of(weigh(ways.ways, figures, Prices.of(ways.plans[0]))).way
        further = beyond(scenario, asked, ways.ways, best, tried)
        if further is None:
            break
        wanted = further
        tried = Grid(
            tuple(dict.fromkeys(tried.loads + further.loads)),
            tuple(dict.fromkeys(tried.spacings + further.spacings)),
            tried.trucks,
        )
    return PlayedWays(ways, columns, figures)


def read_supplies(first: Scenario, second: Scenario | None) -> Supplies:
    """Tell which of one or two scenarios has ready-mix, and which mixes on site.

    Raises UserError if there is no ready-mix among them, or two of a kind, or two currencies.
    """
    if second is None:
        if is_ready_mix(first):
            return Supplies(first, None)
        raise UserError(
            f"{first.name}: mixes on site, so nothing is delivered; name a scenario of the same site with ready-mix "
            "with --against"
        )
    if is_ready_mix(first) == is_ready_mix(second):
        raise UserError(
            "--against: both scenarios are supplied in the same way; name one with ready-mix and one that mixes on "
            "site, or set the two side by side with `sitesim compare`"
        )
    if first.currency != second.currency:
        raise UserError("--against: the scenarios have different currencies, so their costs cannot be compared")
    return Supplies(first, second) if is_ready_mix(first) else Supplies(second, first)


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


def _against(scenario: Scenario, case: Case) -> dict[str, Any]:
    """Set the best ready-mix against mixing on site."""
    best = case.weighed.index(best_of(case.weighed))
    pair = rivals(case.ready.figures[best], case.prices, case.mixed, case.mixed_prices)
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


def _turning(case: Case, playing: Playing) -> dict[str, Any]:
    """Tell where ready-mix and mixing on site change places."""
    ended = [index for index, one in enumerate(case.weighed) if one.unfinished.value == 0.0]
    usable = ended or range(len(case.weighed))
    ways = [case.ready.ways.ways[index] for index in usable]
    figures = [case.ready.figures[index] for index in usable]
    sides = (ways, figures, case.prices, case.mixed, case.mixed_prices)
    plan = case.ready.ways.plans[0]
    assert isinstance(plan.supply, ReadyMix)
    best = case.weighed.index(best_of(case.weighed))
    day = turning_day(case.ready.figures[best], case.prices, case.mixed, case.mixed_prices)
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
    best = best_of(case.weighed).way
    return best, case.ready.ways.plans[case.ready.ways.ways.index(best)]


def _near(best: Way, pace: float) -> list[Way]:
    """Give the best load with a few spacings about that which fits the pace of printing."""
    if not best.spacing:
        return [best]
    spacings = (_five_minutes(best.spacing * share / pace) for share in _SPACINGS_TRIED)
    return [replace(best, spacing=spacing) for spacing in dict.fromkeys(spacings)]


def _tried(case: Case, factors: Sequence[_Factor], played: Iterator[Figures]) -> dict[str, Any]:
    """Weigh what was played at each factor; factor 1 is the best of what was played before."""
    ways = case.ready.ways.ways
    best = ways.index(best_of(case.weighed).way)
    sides = (case.prices, case.mixed, case.mixed_prices)
    tried = [cheapest_tried(1.0, [ways[best]], [case.ready.figures[best]], *sides)]
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


KIND = "deliveries"
"""What the manifest of such a folder says that it holds."""


def claim_folder(path: Path) -> Path:
    """Take a folder for the results, or one that holds such results already; raises UserError for any other."""
    folder = StudyFolder(path)
    if folder.manifest_path.exists():
        ours = folder.manifest().get("kind") == KIND
    else:
        ours = not path.exists() or all(place.name == KeptPrintDays.PLACE for place in path.iterdir())
    if not ours:
        raise UserError(f"{path}: holds something else; choose another folder with --out")
    return path


AGAINST_FILE = "against.yaml"
"""The scenario that the first one was set against."""


def keep(
    path: Path,
    scenario: Scenario,
    against: Scenario | None,
    summary: dict[str, Any],
    rows: Sequence[dict[str, Any]],
) -> None:
    """Write the table of all runs, the summary, the scenarios and the manifest into a folder."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    folder = StudyFolder(path)
    sink = pa.BufferOutputStream()
    pq.write_table(pa.concat_tables([pa.table(each) for each in rows]), sink, compression="zstd")
    table = sink.getvalue().to_pybytes()
    folder.write_bytes(path / "print_days.parquet", table)
    folder.write_json("summary.json", summary)
    keep_scenario(scenario, folder)
    if against is not None:
        folder.write_bytes(path / AGAINST_FILE, against.resolved_yaml().encode())
    folder.write_json(
        "manifest.json",
        {
            "kind": KIND,
            "scenario": scenario.name,
            "scenario_digest": scenario.digest,
            "against_digest": None if against is None else against.digest,
            "seed": summary["seed"],
            "runs": summary["runs"],
            "versions": versions(),
            "code_digest": code_digest(),
        },
    )
