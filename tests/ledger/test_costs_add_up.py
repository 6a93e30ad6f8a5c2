"""Costs add up to the cent, by item, by cause and by what they are spent on, on every random site.

Kind of the tests: conservation; what can be is recomputed from the ledger.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import pairwise
from math import ceil, inf
from random import Random
from typing import Any

import pytest
from random_sites import SITES, played_site

from sitesim.hours import Calendar
from sitesim.ledger import COLUMNS, HANDED_OVER, Rows, RunClosing, TimeKey, time_account
from sitesim.ledger.account import time_within
from sitesim.plan import Costs, Hire, Plan, Promise, State, Unit, UnitKind
from sitesim.site import Stage


def with_rates(plan: Plan, number: int) -> Plan:
    """Give a plan rates with cents, so that hardly any amount is whole."""
    dice = Random(f"rates of site {number}")

    def rate(most: float) -> float:
        return dice.choice((0.0, round(dice.uniform(0.0, most), 2)))

    def unit(of: Unit) -> Unit:
        weekend = dice.choice((None, 400.0))
        hire = Hire(rate(900.0), rate(2000.0), rate(2000.0), dice.random() < 0.5, weekend, rate(400.0))
        return replace(of, rate=rate(300.0), overtime_rate=rate(450.0), waiting_rate=rate(300.0), hire=hire)

    costs = Costs("USD", rate(3000.0), rate(900.0), rate(200.0), rate(90.0), rate(50.0), rate(80.0))
    nodes = tuple(replace(node, task=replace(node.task, price=rate(5000.0))) for node in plan.nodes)
    promises = []
    for name, building, home in [("site", "", ""), *((b.name, b.name, "") for b in plan.buildings), *_homes(plan)]:
        by = plan.start + timedelta(days=dice.randrange(plan.days))
        most = [dice.choice((inf, round(dice.uniform(0.0, 20000.0), 2))) for _ in range(2)]
        if dice.random() < 0.7:
            working = dice.random() < 0.5
            promises.append(Promise(name, building, home, by, rate(900.0), rate(400.0), *most, working))
    return replace(plan, units=tuple(map(unit, plan.units)), costs=costs, nodes=nodes, promises=tuple(promises))


def _homes(plan: Plan) -> list[tuple[str, str, str]]:
    return [(home, building, home) for building, home in plan.homes]


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
        if unit.kind is UnitKind.GANG and unit.hire.day:
            continue  # its days are billed under the same item
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
        if key[0] in ("work", "overtime", "waiting")
        and (unit := units.get(key[2].removeprefix("gang ")))
        and not (unit.kind is UnitKind.GANG and unit.hire.day)
    }
    for key in paid.keys() | {key for key, amount in owed.items() if amount > 0.01}:
        assert paid.get(key, 0) == pytest.approx(100 * owed[key], abs=2.0)  # two lines, each rounded


@pytest.mark.parametrize("number", SITES)
def test_penalties_and_bonuses_follow_from_the_dates_of_the_hand_overs(number: int) -> None:
    plan, tables = closed(number)
    week, items = plan.calendars["site"], by(tables["cost_causes"], "cost_causes", "spent_on", "item")
    hours = {
        (building, home): instant
        for _, building, home, milestone, instant in tables["milestones"]
        if milestone == HANDED_OVER
    }
    hours["", ""] = tables["runs"][0][COLUMNS["runs"].index("finish_hours")]
    owed: dict[tuple[str, str], int] = {}
    for promise in plan.promises:
        instant = min(hours[promise.building, promise.home], 24.0 * plan.days)
        day = plan.start + timedelta(days=max(0, ceil(instant / 24) - 1))  # midnight belongs to the day before
        first, last = min(day, promise.by), max(day, promise.by)
        between = [first + timedelta(days=after + 1) for after in range((last - first).days)]
        if promise.working:
            between = [d for d in between if week.spans.get(d.weekday()) and d.toordinal() not in week.closed]
        if day > promise.by:
            amount = min(promise.most_penalty, len(between) * promise.penalty)
            owed["penalty", f"penalty {promise.name}"] = round(100 * amount)
        else:
            amount = min(promise.most_bonus, len(between) * promise.bonus)
            owed["bonus", f"bonus {promise.name}"] = -round(100 * amount)
    billed = {key: amount for key, amount in items.items() if key[0] in ("penalty", "bonus")}
    assert billed == {key: amount for key, amount in owed.items() if amount}


@pytest.mark.parametrize("number", SITES)
def test_hours_within_spans_and_those_without_are_all_hours(number: int) -> None:
    plan, _, account = played_site(number)
    dice = Random(f"spans of site {number}")
    edges = sorted({0.0, *(dice.randrange(0, 24 * 200) / 2 for _ in range(40)), 24.0 * plan.days + 1000.0})
    spans = list(pairwise(edges))
    chosen = [index for index in range(len(plan.units)) if dice.random() < 0.7]
    parts: Counter[TimeKey] = Counter()
    for some in (spans[::2], spans[1::2]):
        parts.update(time_within(account, plan.units, chosen, Calendar([a for a, _ in some], [b for _, b in some])))
    whole = time_account(account, plan.units)
    assert dict(parts) == {key: hours for key, hours in whole.items() if key[0] in chosen}


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
