"""What things cost, said back in words, and what is assumed of it."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from sitesim.plan import Hire, Plan, Promise, ReadyMix, UnitKind, gang_of_unit
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.telling.measures import day, each_once, share, together


def tell_money(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say what is paid besides hours and concrete, and how sure a promise should be."""
    sure = share(model.promise.confidence)
    yield f"Costs are in {model.costs.currency}. A promised date should hold in {sure} of runs."
    yield from _kinds_of_hire(plan)
    weekends = [f"{name} {_money(gang.weekend)}" for name, gang in model.crews.items() if gang.weekend is not None]
    if weekends:
        yield f"An hour on a Saturday or Sunday costs: {', '.join(weekends)}."
    priced = each_once(
        f"{node.task.name.replace('_', ' ')} {_money(node.task.price)}" for node in plan.nodes if node.task.price
    )
    if priced:
        yield f"Each time that it is done a lump sum is paid for: {', '.join(priced)}."
    if plan.promises:
        counted = "working" if plan.promises[0].working else "calendar"
        yield f"Promised dates, {counted} days late or early: {'; '.join(map(_promise, plan.promises))}."


def _kinds_of_hire(plan: Plan) -> Iterator[str]:
    by_day: dict[str, None] = {}
    moved: dict[str, None] = {}
    for unit in plan.units:
        hire, name = unit.hire, gang_of_unit(unit, plan.units)
        if hire.day:
            by_day[f"{name} {_money(hire.day)} {_days_paid(unit.kind, unit.on_call, hire)}"] = None
        if hire.mobilisation or hire.demobilisation:
            moved[f"{name} {_money(hire.mobilisation)} and {_money(hire.demobilisation)}"] = None
    if by_day:
        yield f"Hired by the day: {'; '.join(by_day)}."
    if moved:
        yield f"Coming to the site and leaving it costs: {'; '.join(moved)}."


def _days_paid(kind: UnitKind, on_call: bool, hire: Hire) -> str:
    if on_call or (kind is UnitKind.GANG and not hire.idle_days):
        return "for each day with work"
    return "for each working day on site" if kind is UnitKind.GANG else "from first to last"


def _promise(promise: Promise) -> str:
    parts = [f"{'the whole site' if not promise.building else promise.name} by {day(promise.by)}"]
    if promise.penalty:
        parts.append(f"penalty {_money(promise.penalty)} a day{_up_to(promise.most_penalty)}")
    if promise.bonus:
        parts.append(f"bonus {_money(promise.bonus)} a day{_up_to(promise.most_bonus)}")
    return ", ".join(parts)


def _up_to(most: float) -> str:
    return "" if most == inf else f" up to {_money(most)}"


def assume_money(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say what is assumed of costs, where there are any."""
    costs = model.costs
    if costs.overhead:
        yield (
            "Site overhead is paid for each working day until the last hand-over, and each of these days is charged to "
            "what held the date on it."
        )
    hired = dict.fromkeys(unit.kind.value for unit in plan.units if unit.hire.day and unit.kind is not UnitKind.GANG)
    if hired:
        yield f"Hire of {together(hired)} by the day is charged by the hours at work, and those waited for each cause."
    charged = list(_charged(model, plan))
    if charged:
        yield f"Charged are {'; '.join(charged)}."
    if costs.crane_call and model.crane.stays:
        yield "A crane that stays is not called: costs.crane_call is not paid."
    if any(promise.penalty or promise.bonus for promise in plan.promises):
        yield (
            "A promised date is met to the end of its day. A penalty is charged to what held that hand-over, by the "
            "working days that it held it; what is never handed over is late to the last day that is played. What "
            "contract or law say of such sums is not looked at."
        )


def _charged(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say what is charged to a cause by a rule, not by what was waited for."""
    costs, supply = model.costs, plan.supply
    if isinstance(supply, ReadyMix) and supply.standby:
        yield "truck standby to the printing that trucks wait for"
    if isinstance(supply, ReadyMix) and supply.cancellation:
        yield (
            "loads called off to the weather where the day was no go or the one before was cut short by it, else to "
            "the printing"
        )
    if plan.costs.heater_hour or plan.costs.heater_day:
        yield "heating to the weather"
    if costs.lost_visit:
        yield "lost visits to the work that was late"


def _money(amount: float) -> str:
    return f"{amount:,.2f}".removesuffix(".00")
