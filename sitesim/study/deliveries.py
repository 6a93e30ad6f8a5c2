"""Which deliveries cost least over the print days of a site, played under the same weather and breakdowns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sitesim.answers.deliveries import as_arrays, best_of, weigh
from sitesim.answers.delivery_costs import Prices
from sitesim.errors import UserError
from sitesim.plan import printing_only
from sitesim.study.delivery_summary import rows_of, summary_of
from sitesim.study.played_ways import PlayedWays, Playing
from sitesim.study.turning import Case, against, turning
from sitesim.study.ways import Grid, Ways, beyond, filled, is_ready_mix, ways_of

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

_MOST_ROUNDS = 4
"""How often a grid is played and then enlarged where its best lies on an edge."""


@dataclass(frozen=True, slots=True)
class Supplies:
    """Scenarios of the same site: one with ready-mix and, to set against it, one that mixes on site."""

    ready: Scenario
    mixed: Scenario | None


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
        summary["against"] = against(mixed, case)
        summary["turning"] = turning(case, playing)
        tables.append(columns)
    return summary, list(rows_of(of_ways.ways.ways, tables))


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
