"""When buildings and homes reach their milestones, and what each milestone is the end of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sitesim.answers.date_quantiles import date_quantiles
from sitesim.answers.dates import SiteDates
from sitesim.ledger import HANDED_OVER
from sitesim.plan import Plan

if TYPE_CHECKING:
    import pandas as pd


def handed_over(plan: Plan, dates: SiteDates, milestones: pd.DataFrame, homes: bool) -> list[dict[str, Any]]:
    """Give the hand-over dates of homes, or of buildings, with the quantiles of each."""
    frame = milestones[(milestones["milestone"] == HANDED_OVER) & ((milestones["home"] != "") == homes)]
    found = []
    for key, group in frame.groupby(["building", "home"], sort=True):
        building, home = key if isinstance(key, tuple) else (key, "")
        found.append({"building": building, "home": home, **date_quantiles(dates, group["hours"].to_numpy())})
    return _in_site_order(plan, found)


def reached(plan: Plan, dates: SiteDates, milestones: pd.DataFrame) -> list[dict[str, Any]]:
    """Give the dates P50 and P80 of every other milestone of a building or home."""
    frame = milestones[milestones["milestone"] != HANDED_OVER]
    found = []
    for key, group in frame.groupby(["building", "home", "milestone"], sort=True):
        building, home, milestone = key if isinstance(key, tuple) else (key, "", "")
        quantiles = date_quantiles(dates, group["hours"].to_numpy())
        found.append(
            {
                "building": building,
                "home": home,
                "milestone": milestone,
                "P50": quantiles["P50"]["date"],
                "P80": quantiles["P80"]["date"],
            }
        )
    return _in_site_order(plan, found)


def ends_of(plan: Plan) -> dict[str, list[str]]:
    """Give for each milestone of the plan the tasks whose end it is, in the order in which the plan has them."""
    found: dict[str, dict[str, None]] = {}
    for node in plan.nodes:
        if node.milestone:
            found.setdefault(node.milestone, {})[node.task.name] = None
    return {milestone: list(tasks) for milestone, tasks in found.items()}


def _in_site_order(plan: Plan, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Put rows of buildings and homes into the order in which the site names them."""
    places = [(building.name, home) for building in plan.buildings for home in ("", *building.homes)]
    rank = {place: i for i, place in enumerate(places)}
    return sorted(rows, key=lambda row: rank.get((row["building"], row["home"]), len(rank)))
