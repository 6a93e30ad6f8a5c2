"""The plain plan: what a bar chart would say. Expected durations, no stops, no weather, nothing refused or failed."""

from __future__ import annotations

from dataclasses import replace

from sitesim.chance import Distribution, Fixed
from sitesim.plan.printing import PrintDay
from sitesim.plan.site import Fortune, Plan
from sitesim.plan.supply import ReadyMix, Supply
from sitesim.plan.work import Inspector, Node, Unit


def plain(plan: Plan) -> Plan:
    """Give the same plan with every chance replaced by its expectation and the weather left out."""
    return replace(
        plan,
        nodes=tuple(_expected_node(node) for node in plan.nodes),
        units=tuple(_expected_unit(unit) for unit in plan.units),
        inspectors=tuple(_expected_inspector(inspector) for inspector in plan.inspectors),
        supply=_expected_supply(plan.supply),
        print_day=None if plan.print_day is None else _without_stops(plan.print_day),
        fortune=Fortune(0.0, 0.0),
        weather_holds=False,
    )


def _fixed(distribution: Distribution) -> Distribution:
    return Fixed(distribution.mean)


def _expected_node(node: Node) -> Node:
    task = replace(node.task, duration=_fixed(node.task.duration))
    if task.inspection is not None:
        task = replace(task, inspection=replace(task.inspection, fails=0.0))
    if task.pour is not None:
        pour = task.pour
        task = replace(task, pour=replace(pour, loading=_fixed(pour.loading), haul=_fixed(pour.haul), refused=0.0))
    return replace(node, task=task)


def _expected_unit(unit: Unit) -> Unit:
    return unit if unit.notice is None else replace(unit, notice=_fixed(unit.notice))


def _expected_inspector(inspector: Inspector) -> Inspector:
    return replace(inspector, notice=_fixed(inspector.notice), at_any_hour=False)


def _expected_supply(supply: Supply | None) -> Supply | None:
    if supply is None:
        return None
    if isinstance(supply, ReadyMix):
        return replace(
            supply,
            loading=_fixed(supply.loading),
            haul=_fixed(supply.haul),
            back=_fixed(supply.back),
            refused=0.0,
            other_customers=0.0,
            outages=tuple(replace(outage, chance=0.0) for outage in supply.outages),
        )
    store = supply.store
    return replace(
        supply,
        cycle=_fixed(supply.cycle),
        fails=0.0,
        store=None if store is None else replace(store, lead=_fixed(store.lead)),
    )


def _without_stops(rules: PrintDay) -> PrintDay:
    return replace(rules, stops=())
