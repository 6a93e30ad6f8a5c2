"""Costs add up to the cent, by item, by cause and by what they are spent on, on every random site.

Kind of the tests: conservation; what can be is recomputed from the ledger.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from random import Random
from typing import Any

import pytest
from random_sites import SITES, played_site

from sitesim.ledger import COLUMNS, Rows, RunClosing
from sitesim.plan import Costs, Plan, State, Unit, UnitKind
from sitesim.site import Stage


def with_rates(plan: Plan, number: int) -> Plan:
    """Give a plan rates with cents, so that hardly any amount is whole."""
    dice = Random(f"rates of site {number}")

    def rate(most: float) -> float:
        return dice.choice((0.0, round(dice.uniform(0.0, most), 2)))

    def unit(of: Unit) -> Unit:
        return replace(of, rate=rate(300.0), overtime_rate=rate(450.0), waiting_rate=rate(300.0))

    costs = Costs("USD", rate(3000.0), rate(900.0), rate(400.0), rate(900.0), rate(200.0), rate(50.0))
    return replace(plan, units=tuple(map(unit, plan.units)), costs=costs)


@cache
def closed(number: int) -> tuple[Plan, dict[str, Rows]]:
    plan, played, _ = played_site(number)
    priced = with_rates(plan, number)
    stage = Stage(plan)
    closing = RunClosing(priced, stage.unit_shifts, stage.shift(("site",)))
    return priced, closing.tables(number, played.ledger, played.unfinished, True)


def cents(amount: float) -> int:
    found = round(100 * amount)
    assert amount == found / 100, "an amount is not a whole number of cents"
    return found


def by(rows: Rows, table: str, *columns: str) -> dict[Any, int]:
    places = [COLUMNS[table].index(column) for column in columns]
    amount = COLUMNS[table].index("amount")
    found: Counter[Any] = Counter()
    for row in rows:
        found[tuple(row[place] for place in places)] += cents(row[amount])
    return {key: amount for key, amount in found.items() if amount}


@pytest.mark.parametrize("number", SITES)
def test_items_and_causes_add_up_to_the_cost_of_the_run(number: int) -> None:
    _, tables = closed(number)
    cost = cents(tables["runs"][0][COLUMNS["runs"].index("cost")])
    for table in ("costs", "cost_causes", "cost_days"):
        assert sum(by(tables[table], table, "run").values()) == cost
    assert by(tables["costs"], "costs", "item") == by(tables["cost_causes"], "cost_causes", "item")
    assert by(tables["cost_days"], "cost_days", "cause") == by(tables["cost_causes"], "cost_causes", "cause")


@pytest.mark.parametrize("number", SITES)
def test_hours_are_paid_by_state_and_waiting_by_its_cause(number: int) -> None:
    plan, tables = closed(number)
    units = {unit.name: unit for unit in plan.units}
    owed: dict[tuple[str, str, str], float] = {}
    for _, name, state, cause, hours in tables["time"]:
        unit = units[name]
        item = f"gang {name}" if unit.kind is UnitKind.GANG else name
        key, rate = {
            State.WORKING: (("work", "", item), unit.rate),
            State.MOVING: (("work", "", item), unit.rate),
            State.OVERTIME: (("overtime", "", item), unit.overtime_rate),
            State.WAITING: (("waiting", cause, item), unit.waiting_rate),
            State.DOWN: (("waiting", cause, item), unit.waiting_rate),
            State.OFF_SHIFT: (("", "", ""), 0.0),
        }[State(state)]
        owed[key] = owed.get(key, 0.0) + rate * hours
    billed = by(tables["cost_causes"], "cost_causes", "spent_on", "cause", "item")
    paid = {
        key: amount
        for key, amount in billed.items()
        if key[2].removeprefix("gang ") in units and key[0] in ("work", "overtime", "waiting")
    }
    for key in paid.keys() | {key for key, amount in owed.items() if amount > 0.01}:
        assert paid.get(key, 0) == pytest.approx(100 * owed[key], abs=2.0)  # two lines, each rounded


@pytest.mark.parametrize("number", SITES)
def test_overhead_is_paid_for_every_working_day_and_each_day_is_somebodys(number: int) -> None:
    plan, tables = closed(number)
    ends = [entry.end for entry in played_site(number)[1].ledger.entries]
    finished = tables["runs"][0][COLUMNS["runs"].index("finished")]
    until = tables["runs"][0][COLUMNS["runs"].index("finish_hours")] if finished else max(ends, default=0.0)
    week = plan.calendars["site"]
    first = plan.start.toordinal()
    begun = sum(
        24.0 * day + week.spans[(first + day - 1) % 7][0][0] < until
        for day in range(plan.days)
        if (first + day - 1) % 7 in week.spans and first + day not in week.closed
    )
    assert sum(days for _, _, days, _ in tables["cost_days"]) == pytest.approx(begun, abs=1e-6)
    overhead = by(tables["costs"], "costs", "item").get(("site overhead",), 0)
    assert overhead == round(100 * plan.costs.overhead * begun)
