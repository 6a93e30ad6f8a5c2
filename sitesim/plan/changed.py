"""A plan with one thing changed by a factor, all luck as it was."""

from __future__ import annotations

from dataclasses import replace

from sitesim.hours import on_clock
from sitesim.plan.printing import Wall
from sitesim.plan.site import Plan
from sitesim.plan.supply import ReadyMix
from sitesim.policies import FixedSpacing, OrderingPolicy, WillCall


def with_travel(plan: Plan, factor: float) -> Plan:
    """Give the plan in which the way to and from the plant takes ``factor`` times as long, if there is a plant."""
    if not isinstance(plan.supply, ReadyMix):
        return plan
    supply = plan.supply
    longer = (factor - 1.0) * supply.haul.mean
    return replace(
        plan,
        supply=replace(
            supply,
            ordering=_called_earlier(supply.ordering, longer),
            haul=supply.haul.scaled(factor),
            back=supply.back.scaled(factor),
        ),
    )


def _called_earlier(ordering: OrderingPolicy, longer: float) -> OrderingPolicy:
    """Let whoever calls the plant reckon with a way that is so much longer [h]."""
    if isinstance(ordering, WillCall):
        return replace(ordering, lead=ordering.lead + longer)
    if isinstance(ordering, FixedSpacing) and ordering.top_up is not None:
        return replace(ordering, top_up=ordering.top_up + longer)
    return ordering


def with_print_rate(plan: Plan, factor: float) -> Plan:
    """Give the plan in which the nozzle lays concrete ``factor`` times as fast."""
    return replace(
        plan,
        buildings=tuple(
            building
            if building.shell is None
            else replace(building, shell=replace(building.shell, wall=_faster(building.shell.wall, factor)))
            for building in plan.buildings
        ),
    )


def _faster(wall: Wall, factor: float) -> Wall:
    return replace(wall, nozzle_hours=tuple(on_clock(hours / factor) for hours in wall.nozzle_hours))
