"""Concrete that waits in a heated tent grows old by the warmth of the tent."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from rigs import play_plan, printing_plan, ready_mix

from sitesim.plan import Climate, HourlyRecord, Limits, Plan, Shelter
from sitesim.trade.maturity import rate_of_hardening


def site(outside: float, set_point: float) -> Plan:
    """A site in an even climate whose tent is heated to a set point, with concrete that lives two hours at 20 °C."""
    days = np.arange(date(2012, 1, 1).toordinal(), date(2016, 1, 1).toordinal())
    calm = np.zeros((len(days), 24))
    record = HourlyRecord("even", "made up", days, 4, np.full((len(days), 24), outside), calm, calm)
    tent = Shelter(rise=30.0, set_point=set_point)
    plan = printing_plan(buildings=1, supply=ready_mix(load=2.5, spacing=2.5))
    assert plan.print_day is not None
    return replace(
        plan,
        climate=Climate(record, {"printing": Limits("printing", shelter=tent)}, 1.5, 10, 15, 1.0),
        print_day=replace(plan.print_day, limits="printing", working_life=2.5, life_falls_with_heat=True),
    )


def rejected(plan: Plan) -> float:
    return play_plan(plan).ledger.concrete.rejected


def test_a_tent_heated_above_twenty_degrees_shortens_life_and_a_cooler_one_does_not() -> None:
    assert rate_of_hardening(30.0) > 1.4
    cool, warm = site(10.0, 15.0), site(10.0, 30.0)
    assert rejected(cool) == rejected(site(15.0, 15.0))
    assert rejected(warm) > rejected(cool)


def test_outside_as_warm_as_the_tent_is_the_same() -> None:
    assert rejected(site(30.0, 15.0)) == rejected(site(10.0, 30.0))
