"""What a run costs, recomputed by hand from rates and from what happened."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import MONDAY, WEEKDAYS, bare_plan, printing_plan, ready_mix, site_mix

from sitesim.ledger import NOBODY, Concrete, Counts, Ledger, Load
from sitesim.ledger.costs import costs_of_run
from sitesim.plan import Building, Cause, Costs, Kind, Plan, State, Unit, UnitKind

SITE = WEEKDAYS.over(MONDAY, 60)
GANG = Unit("roof", UnitKind.GANG, "site", rate=190.0, overtime_rate=285.0, waiting_rate=150.0)
RATES = Costs("USD", overhead=1000.0, printer_day=400.0, tent_day=100.0, crane_call=900.0, reinspection=120.0)


def load(ordered: float, standby: float = 0.0) -> Load:
    return Load("A", 0, 1, ordered, 7.0, 5.75, 6.0, 7.0, 7.125, 9.0, ordered, 0.0, 0.0, standby, "placed")


def plan_of(*units: Unit) -> Plan:
    return replace(bare_plan([], units, [Building("A", 0, (), None)], 60, WEEKDAYS), costs=RATES)


def test_gangs_are_paid_at_work_in_waiting_and_for_overtime() -> None:
    time = {
        (0, State.WORKING, None): 10.0,
        (0, State.MOVING, None): 2.0,
        (0, State.WAITING, Cause.WEATHER): 3.0,
        (0, State.DOWN, Cause.BREAKDOWN): 1.0,
        (0, State.OVERTIME, None): 2.0,
        (0, State.OFF_SHIFT, None): 32.0,
    }
    costs = costs_of_run(plan_of(GANG), Ledger(), time, [(7.0, 57.0)], SITE, 0.0)
    assert costs == {"gang roof": 12 * 190.0 + 4 * 150.0 + 2 * 285.0}


def test_machines_are_hired_by_the_day_from_first_to_last() -> None:
    machines = [Unit("printer", UnitKind.PRINTER, "site"), Unit("tent", UnitKind.TENT, "site")]
    costs = costs_of_run(plan_of(*machines), Ledger(), {}, [(7.0, 55.0), (7.0, 31.0)], SITE, 0.0)
    assert costs == {"printer hire": 2 * 400.0, "tent hire": 100.0}
    assert costs_of_run(plan_of(*machines), Ledger(), {}, [None, None], SITE, 0.0) == {}


def test_overhead_goes_by_working_days_until_the_finish() -> None:
    # Monday to Friday, then Monday until noon: six days; the weekend costs nothing.
    assert costs_of_run(plan_of(), Ledger(), {}, [], SITE, 7 * 24.0 + 12.0) == {"site overhead": 6000.0}
    # A day that has a break is one day.
    with_break = replace(WEEKDAYS, spans=dict.fromkeys(range(5), ((7.0, 11.0), (12.0, 15.0)))).over(MONDAY, 60)
    assert costs_of_run(plan_of(), Ledger(), {}, [], with_break, 7 * 24.0 + 13.0) == {"site overhead": 6000.0}


def test_calls_and_visits_are_counted() -> None:
    ledger = Ledger(counts=Counts(crane_calls=3, inspections=9, failed_inspections=2))
    assert costs_of_run(plan_of(), ledger, {}, [], SITE, 0.0) == {
        "crane calls": 2700.0,
        "inspections repeated": 240.0,
    }


def test_ready_mix_is_paid_by_the_load() -> None:
    # 200 a m³; 50 a m³ for loads under 3 m³; 130 an hour of standby; 60 a m³ thrown away; 100 a load called off.
    ledger = Ledger(
        loads=[load(4.0, 0.5), load(2.5, 1.0), load(3.0)],
        concrete=Concrete(batched=9.5, rejected=0.5, returned=0.25),
        counts=Counts(loads_called_off=2),
    )
    plan = replace(plan_of(), supply=ready_mix())
    assert costs_of_run(plan, ledger, {}, [], SITE, 0.0) == pytest.approx(
        {
            "ready-mix": 1900.0,
            "short loads": 125.0,
            "truck standby": 195.0,
            "disposal": 45.0,
            "loads called off": 200.0,
        }
    )


def test_mixing_on_site_is_paid_by_blend_hands_and_mixer() -> None:
    ledger = Ledger(
        concrete=Concrete(batched=4.0, rejected=0.25), counts=Counts(print_days=2, day_hours=12.0, nozzle_hours=7.0)
    )
    for start in (30.0, 102.0):  # Tuesday and Friday: the mixer is there on four working days
        ledger.note(NOBODY, "A/print day", Kind.PRINTING, 0, (start, NOBODY, ()), start, start + 6.0)
    plan = replace(plan_of(), supply=site_mix())
    assert costs_of_run(plan, ledger, {}, [], SITE, 0.0) == pytest.approx(
        {"dry blend": 1040.0, "mixing hands": 744.0, "mixer": 1200.0, "disposal": 15.0}
    )


def test_a_site_without_prices_costs_nothing() -> None:
    free = printing_plan(buildings=1)
    assert costs_of_run(replace(free, supply=None, units=()), Ledger(), {}, [], SITE, 100.0) == {}
