"""What a run cost, item by item, from simple rates."""

from __future__ import annotations

from collections.abc import Mapping

from sitesim.hours import Calendar
from sitesim.ledger.account import TimeKey
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import REFUSED, PouredLoad
from sitesim.plan import Kind, Plan, ReadyMix, SiteMix, State, Unit, UnitKind

_AT_WORK = frozenset({State.WORKING, State.MOVING})
_ON_HAND = frozenset({State.WAITING, State.DOWN})


def costs_of_run(
    plan: Plan,
    ledger: Ledger,
    time: Mapping[TimeKey, float],
    spans: list[tuple[float, float] | None],
    site_shift: Calendar,
    finish: float,
) -> dict[str, float]:
    """Add up the costs [currency] of one run by item.

    Parameters: ``time``, the time account; ``spans`` [h], from first to last engagement of each unit; ``site_shift``,
    the site's shifts, whose days carry the overhead; ``finish`` [h], the last hand-over or the last hour played.
    """
    items = _costs_of_units(plan, time, spans)
    items |= _costs_of_concrete(plan, ledger, site_shift)
    items["poured concrete"] = sum(_cost_of_poured(load, plan) for load in ledger.poured)
    counts = ledger.counts
    items["tent heating"] = plan.costs.heater_hour * counts.heated_hours
    items["crane calls"] = plan.costs.crane_call * counts.crane_calls
    items["inspections repeated"] = plan.costs.reinspection * counts.failed_inspections
    items["site overhead"] = plan.costs.overhead * _working_days(site_shift, (0.0, finish))
    return {item: amount for item, amount in items.items() if amount}


def _costs_of_units(
    plan: Plan, time: Mapping[TimeKey, float], spans: list[tuple[float, float] | None]
) -> dict[str, float]:
    """Pay gangs for their hours on shift and overtime, and machines for their days on site."""
    items: dict[str, float] = {}
    for (index, state, _), hours in time.items():
        unit = plan.units[index]
        rate = _rate(unit, state)
        if rate:
            item = f"gang {unit.name}" if unit.kind is UnitKind.GANG else unit.name
            items[item] = items.get(item, 0.0) + rate * hours
    by_day = {UnitKind.PRINTER: plan.costs.printer_day, UnitKind.TENT: plan.costs.tent_day}
    for unit, span in zip(plan.units, spans, strict=True):
        if span is not None and unit.kind in by_day:
            item = f"{unit.kind} hire"
            items[item] = items.get(item, 0.0) + by_day[unit.kind] * (span[1] - span[0]) / 24.0
    return items


def _rate(unit: Unit, state: State) -> float:
    """Give what an hour [currency/h] of a unit costs in a state."""
    if state in _AT_WORK:
        return unit.rate
    if state in _ON_HAND:
        return unit.waiting_rate
    return unit.overtime_rate if state is State.OVERTIME else 0.0


def _costs_of_concrete(plan: Plan, ledger: Ledger, site_shift: Calendar) -> dict[str, float]:
    supply, concrete, counts = plan.supply, ledger.concrete, ledger.counts
    if supply is None:
        return {}
    refused = sum(load.ordered for load in ledger.loads if load.verdict == REFUSED)
    thrown_away = supply.disposal * (concrete.rejected - refused + concrete.returned)
    if isinstance(supply, SiteMix):
        return {
            "dry blend": supply.blend * concrete.batched,
            "mixing hands": supply.hands * counts.day_hours,
            "mixer": supply.mixer * _working_days(site_shift, _span_of_printing(ledger)),
            "disposal": thrown_away,
        }
    assert isinstance(supply, ReadyMix)
    ordered = [load for load in ledger.loads if load.verdict != REFUSED]  # those are the producer's own
    return {
        "ready-mix": supply.price * (concrete.batched - refused),
        "short loads": supply.short_load * sum(load.ordered for load in ordered if load.ordered < supply.short_under),
        "truck standby": supply.standby * sum(load.standby for load in ordered),
        "disposal": thrown_away,
        "holding hopper": supply.holding.day * _working_days(site_shift, _span_of_printing(ledger))
        if supply.holding
        else 0.0,
        "loads called off": supply.cancellation * counts.loads_called_off,
    }


def _cost_of_poured(load: PouredLoad, plan: Plan) -> float:
    """Pay for one load of a pour; one that is refused is the producer's own."""
    pour = plan.nodes[load.node].task.pour
    assert pour is not None
    if load.verdict == REFUSED:
        return 0.0
    short = pour.short_load * load.ordered if load.ordered < pour.short_under else 0.0
    thrown_away = pour.disposal * (load.rejected + load.returned)
    return pour.price * load.ordered + short + pour.standby * load.standby + thrown_away


def _span_of_printing(ledger: Ledger) -> tuple[float, float]:
    """Give the span [h] from the first print day to the end of the last."""
    days = [entry for entry in ledger.entries if entry.kind is Kind.PRINTING]
    return (min(day.start for day in days), max(day.end for day in days)) if days else (0.0, 0.0)


def _working_days(site_shift: Calendar, span: tuple[float, float]) -> int:
    """Count the days of a span [h] on which the site works."""
    return len({int(start // 24) for start, _ in site_shift.within(*span)})
