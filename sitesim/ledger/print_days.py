"""The print days of one run in one row: concrete, trucks, joints, waiting, and the hours that are paid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from sitesim.hours import Calendar
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import REFUSED, Entry, Load
from sitesim.plan import Cause, Kind, Plan, ReadyMix, State, Unit, UnitKind


class PrintDays(NamedTuple):
    """What the print days of a run came to: volumes [m³], lengths [h], counts.

    ``finished`` tells whether the run came to its end; ``refused_m3`` is that part of ``rejected_m3`` which failed its
    test, the producer's own; ``short_m3``, the volume of the loads that pay the short-load price. ``waiting_hours`` are
    those in which the nozzle stood because concrete, or what it is mixed of, was missing, ``held_hours`` those for the
    layer below or weather, ``down_hours`` those of stops. ``crew_cost`` [currency] pays the gangs for all hours of the
    print days, overtime included; ``campaign_days``, working days of the site from the first print day to the last;
    ``ended`` [h], when the last print day had been washed out.
    """

    run: int
    finished: bool
    in_place_m3: float
    batched_m3: float
    refused_m3: float
    rejected_m3: float
    returned_m3: float
    washed_out_m3: float
    loads: int
    loads_called_off: int
    short_m3: float
    standby_hours: float
    print_days: int
    days_called_off: int
    days_short_of_concrete: int
    unplanned_joints: int
    stops: int
    waiting_hours: float
    held_hours: float
    down_hours: float
    day_hours: float
    overtime_hours: float
    crew_cost: float
    campaign_days: int
    ended: float


def print_days_of(
    plan: Plan, run: int, ledger: Ledger, finished: bool, shifts: Sequence[Calendar], site_shift: Calendar
) -> PrintDays:
    """Sum the print days of a run.

    Parameters: ``shifts`` of each unit and ``site_shift``, all without weather.
    """
    days = [entry for entry in ledger.entries if entry.kind is Kind.PRINTING]
    concrete, counts = ledger.concrete, ledger.counts
    bought = [load for load in ledger.loads if load.verdict != REFUSED]
    waiting, held, down = _standing(days)
    paid = [
        _pay(plan.units[unit], shifts[unit], day)
        for day in days
        for unit in day.units
        if plan.units[unit].kind is UnitKind.GANG
    ]
    return PrintDays(
        run=run,
        finished=finished,
        in_place_m3=concrete.in_place,
        batched_m3=concrete.batched,
        refused_m3=sum((load.ordered for load in ledger.loads if load.verdict == REFUSED), 0.0),
        rejected_m3=concrete.rejected,
        returned_m3=concrete.returned,
        washed_out_m3=concrete.washed_out,
        loads=counts.loads,
        loads_called_off=counts.loads_called_off,
        short_m3=_short(plan, bought),
        standby_hours=sum((load.standby for load in bought), 0.0),
        print_days=counts.print_days,
        days_called_off=counts.days_called_off,
        days_short_of_concrete=counts.days_short_of_concrete,
        unplanned_joints=counts.unplanned_joints,
        stops=counts.blockages_and_faults,
        waiting_hours=waiting,
        held_hours=held,
        down_hours=down,
        day_hours=counts.day_hours,
        overtime_hours=sum((overtime for overtime, _ in paid), 0.0),
        crew_cost=sum((cost for _, cost in paid), 0.0),
        campaign_days=_working_days(site_shift, days),
        ended=max((day.end for day in days), default=0.0),
    )


def _short(plan: Plan, bought: Sequence[Load]) -> float:
    supply = plan.supply
    if not isinstance(supply, ReadyMix):
        return 0.0
    return sum((load.ordered for load in bought if load.ordered < supply.short_under), 0.0)


_SUPPLY_IS_MISSING = frozenset({Cause.CONCRETE, Cause.MATERIAL})
"""Causes for which no concrete comes to the nozzle: none is there, or the mixer has nothing to make it of."""


def _standing(days: Sequence[Entry]) -> tuple[float, float, float]:
    """Add up the hours in which the nozzle stood: for want of concrete, for the layer below or weather, for stops."""
    waiting = held = down = 0.0
    for day in days:
        for start, end, state, cause in day.pieces:
            if state is State.DOWN:
                down += end - start
            elif state is State.WAITING and cause in _SUPPLY_IS_MISSING:
                waiting += end - start
            elif state is State.WAITING:
                held += end - start
    return waiting, held, down


def _pay(gang: Unit, shifts: Calendar, day: Entry) -> tuple[float, float]:
    """Give the overtime [h] of a gang on a print day, and what the whole day of it costs [currency]."""
    overtime = cost = 0.0
    for start, end, state, _ in day.pieces:
        on_shift = shifts.worked(start, end)
        rate = gang.waiting_rate if state in (State.WAITING, State.DOWN) else gang.rate
        overtime += end - start - on_shift
        cost += rate * on_shift
    return overtime, cost + gang.overtime_rate * overtime


def _working_days(site_shift: Calendar, days: Sequence[Entry]) -> int:
    """Count the days on which the site works from the first print day to the end of the last."""
    if not days:
        return 0
    first, last = min(day.start for day in days), max(day.end for day in days)
    return len({int(start // 24) for start, _ in site_shift.within(first, last)})


COLUMNS: tuple[str, ...] = PrintDays._fields


def in_columns(rows: Sequence[PrintDays]) -> dict[str, list[Any]]:
    """Turn rows into columns."""
    if not rows:
        return {name: [] for name in COLUMNS}
    return {name: list(values) for name, values in zip(COLUMNS, zip(*rows, strict=True), strict=True)}
