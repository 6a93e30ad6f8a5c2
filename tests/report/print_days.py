"""A print day of the rig, Monday 8 March 2027, replayed: with trucks, a mixer, a holding hopper, a joint."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from rigs import play_plan, printing_plan, ready_mix, site_mix

from sitesim.plan import HoldingHopper, Supply
from sitesim.study.replaying import Replayed

DAY = 8

WAYS: dict[str, Supply] = {
    "trucks": ready_mix(),
    "mixer": site_mix(),
    "joint": ready_mix(spacing=4.0),
    "holding": ready_mix(holding=HoldingHopper(3.0, 12.0)),
}


@cache
def replayed_day(way: str, units: str = "metric") -> Replayed:
    """Play the site with one way of supply, with its diary kept."""
    plan = replace(printing_plan(buildings=1, supply=WAYS[way]), units_of_measure=units)
    return Replayed(plan, play_plan(plan, keep_diary=True), ("Limits defer to the engineer.",))
