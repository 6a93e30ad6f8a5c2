"""Penalties and bonuses by date against public rules of construction contracts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from rigs import MONDAY, WEEKDAYS, network_plan, play_plan

from sitesim.chance import Fixed
from sitesim.ledger import COLUMNS, Rows, RunClosing
from sitesim.plan import Promise
from sitesim.site import Stage


def billed(days_of_work: int, promise: Promise) -> dict[str, float]:
    """Play one task of so many working days, from Monday 1 March 2027, and give what the promise is billed."""
    plan = network_plan({"works": ([], Fixed(8.0 * days_of_work))}, {"gang": ["works"]}, 200, WEEKDAYS)
    plan = replace(plan, promises=(promise,))
    stage = Stage(plan)
    played = play_plan(plan)
    rows: Rows = RunClosing(plan, stage.unit_shifts, stage.shift(("site",))).tables(0, played.ledger, "", False)[
        "costs"
    ]
    place = COLUMNS["costs"].index("item")
    return {str(row[place]): float(row[COLUMNS["costs"].index("amount")]) for row in rows}


@pytest.mark.parametrize("late", range(12))
def test_damages_for_each_calendar_day_of_delay(late: int) -> None:
    """FAR 52.211-12 (SEP 2000), paragraph (a): an amount for each calendar day of delay until the work is completed.

    Twelve working days end on Tuesday 16 March, so that every day before is a day of delay, weekends too.
    """
    completed = date(2027, 3, 16)
    assert completed == MONDAY + timedelta(days=15)
    promise = Promise("site", "", "", completed - timedelta(days=late), penalty=2400.0)
    assert billed(12, promise) == ({"penalty site": 2400.0 * late} if late else {})


@pytest.mark.parametrize("early", range(12))
def test_an_incentive_for_each_day_ahead_up_to_a_cap_and_the_same_disincentive_without(early: int) -> None:
    """FHWA Technical Advisory T 5080.10 (1989): so much for each day ahead of schedule, so much deducted for each over.

    That incentives have a cap, and a disincentive need not: highway agencies' practice (Minnesota: 5 % of it).
    """
    completed, daily, cap = date(2027, 3, 16), 5000.0, 25000.0
    ahead = Promise("site", "", "", completed + timedelta(days=early), daily, daily, most_bonus=cap)
    behind = Promise("site", "", "", completed - timedelta(days=early), daily, daily, most_bonus=cap)
    assert billed(12, ahead) == ({"bonus site": -min(cap, daily * early)} if early else {})
    assert billed(12, behind) == ({"penalty site": daily * early} if early else {})


def test_working_days_where_the_contract_counts_those() -> None:
    """FHWA T 5080.10 names both ways: the number of calendar days or of workdays by which it is late."""
    friday = date(2027, 3, 12)
    counted = Promise("site", "", "", friday, penalty=1000.0, working=True)
    assert billed(12, counted) == {"penalty site": 2000.0}  # Monday and Tuesday
    assert billed(12, Promise("site", "", "", friday, penalty=1000.0)) == {"penalty site": 4000.0}
