"""What gangs and machines bill: their hours by state, their hire by the day, their coming and going."""

from __future__ import annotations

from collections.abc import Mapping
from operator import attrgetter

from sitesim.hours import Calendar
from sitesim.hours.calendar import HOURS_A_DAY
from sitesim.ledger.account import TimeKey, time_within
from sitesim.ledger.bill import Bill, Place
from sitesim.ledger.chain import Account
from sitesim.plan import Cause, Plan, SpentOn, State, Unit, UnitKind

_AT_WORK = frozenset({State.WORKING, State.MOVING})
_ON_HAND = frozenset({State.WAITING, State.DOWN})
_SATURDAY = 5
_WEEKEND = 48.0

_end_of = attrgetter("end")


class UnitsBilling:
    """Bills the gangs and machines of a plan."""

    def __init__(self, plan: Plan) -> None:
        self._units = plan.units
        self._items = [_item_of(unit) for unit in plan.units]
        self._by_day = [i for i, unit in enumerate(plan.units) if unit.hire.day]
        self._moved = [i for i, unit in enumerate(plan.units) if unit.hire.mobilisation or unit.hire.demobilisation]
        self._on_weekends = frozenset(i for i, unit in enumerate(plan.units) if _works_dearer_weekends(plan, unit))
        self._weekends = _weekends(plan) if self._on_weekends else Calendar([], [])
        self._printers = frozenset(i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.PRINTER)
        self._heated = [i for i, unit in enumerate(plan.units) if plan.costs.heater_day and unit.kind is UnitKind.TENT]
        self._heater_day = plan.costs.heater_day
        self.calls_cranes = any(unit.on_call for unit in plan.units if unit.kind is UnitKind.CRANE)
        """Whether cranes come for each call; all are hired alike."""

    def bill(self, bill: Bill, account: Account, time: Mapping[TimeKey, float]) -> dict[Place, float]:
        """Bill them; gives the hours [h] of all printers, at work and waiting by cause, as shares of a hire."""
        of_printers: dict[Place, float] = {}
        hours_of: dict[int, dict[Cause | None, float]] = {index: {} for index in self._by_day}
        for (index, state, cause), hours in time.items():
            unit = self._units[index]
            if state in _AT_WORK:
                bill.add(SpentOn.WORK, None, self._items[index], unit.rate * hours)
            elif state in _ON_HAND:
                bill.add(SpentOn.WAITING, cause, self._items[index], unit.waiting_rate * hours)
            elif state is State.OVERTIME:
                bill.add(SpentOn.OVERTIME, None, self._items[index], unit.overtime_rate * hours)
            else:
                continue
            if index in hours_of:
                hours_of[index][cause] = hours_of[index].get(cause, 0.0) + hours
            if index in self._printers:
                of_printers[SpentOn.HIRE, cause] = of_printers.get((SpentOn.HIRE, cause), 0.0) + hours
        for index, hours_by_cause in hours_of.items():
            self._bill_days(bill, account, index, hours_by_cause)
        if self._on_weekends:
            self._bill_weekends(bill, account)
        self._bill_coming_and_going(bill, account)
        return of_printers

    def _bill_days(self, bill: Bill, account: Account, index: int, hours: Mapping[Cause | None, float]) -> None:
        """Bill hire by the day, shared out by the hours at work and those of waiting for each cause."""
        if not account.engagements[index]:
            return
        unit = self._units[index]
        amount = unit.hire.day * _days_to_pay(unit, account, index)
        if unit.kind is UnitKind.GANG:
            at_work, waiting, item = SpentOn.WORK, SpentOn.WAITING, self._items[index]
        else:
            at_work, waiting, item = SpentOn.HIRE, SpentOn.HIRE, f"{unit.kind} hire"
        paid = hours if unit.hire.idle_days else {}
        shares = {(at_work if cause is None else waiting, cause): of_cause for cause, of_cause in paid.items()}
        bill.share_out(item, amount, shares, (at_work, None))

    def _bill_weekends(self, bill: Bill, account: Account) -> None:
        """Bill what shift hours on weekends cost more."""
        for (index, state, cause), hours in time_within(
            account, self._units, self._on_weekends, self._weekends
        ).items():
            unit = self._units[index]
            weekend = unit.hire.weekend
            assert weekend is not None
            if state in _AT_WORK:
                bill.add(SpentOn.WEEKEND, None, self._items[index], (weekend - unit.rate) * hours)
            elif state in _ON_HAND:
                more = unit.hire.weekend_waiting - unit.waiting_rate
                bill.add(SpentOn.WEEKEND, cause, self._items[index], more * hours)

    def _bill_coming_and_going(self, bill: Bill, account: Account) -> None:
        for index in self._moved:
            unit = self._units[index]
            moved = (unit.hire.mobilisation + unit.hire.demobilisation) * account.comings_of(index)
            bill.add(SpentOn.MOBILISATION, None, f"{unit.name} mobilisation", moved)
        for index in self._heated:
            if account.engagements[index]:
                days = _days_on_site(account, index)
                bill.add(SpentOn.HEATING, Cause.WEATHER, "heater hire", self._heater_day * days)


def _item_of(unit: Unit) -> str:
    """Name the item under which a unit's hours are billed."""
    return f"gang {unit.name}" if unit.kind is UnitKind.GANG else unit.name


def _days_to_pay(unit: Unit, account: Account, index: int) -> float:
    """Count the days of hire of a unit that has been on site."""
    if unit.kind is not UnitKind.GANG and not unit.on_call:
        return _days_on_site(account, index)
    engaged = account.engagements[index]
    shifts = account.shifts[index].days_of_work()
    dates = {int(entry.start // HOURS_A_DAY) for entry in engaged}
    spans = [(entry.start, entry.end) for entry in engaged]
    if not unit.on_call and unit.hire.idle_days:
        spans = account.stays_of(index)
    dates.update(int(start // HOURS_A_DAY) for span in spans for start, _ in shifts.within(*span))
    return len(dates)


def _days_on_site(account: Account, index: int) -> float:
    """Give the days of 24 hours from the first engagement of a unit to the end of its last."""
    engaged = account.engagements[index]
    last: float = max(map(_end_of, engaged))
    return (last - engaged[0].start) / HOURS_A_DAY


def _works_dearer_weekends(plan: Plan, unit: Unit) -> bool:
    """Tell whether a unit works on weekends, at a rate of their own."""
    spans = plan.calendars[unit.hours].spans
    return unit.hire.weekend is not None and any(spans.get(day) for day in (_SATURDAY, _SATURDAY + 1))


def _weekends(plan: Plan) -> Calendar:
    """Give the Saturdays and Sundays of a plan, midnight to midnight."""
    first = HOURS_A_DAY * (_SATURDAY - plan.start.weekday())  # that of the week of the start, also on a Sunday
    starts = [first + 7 * HOURS_A_DAY * week for week in range(plan.days // 7 + 2)]
    return Calendar.of((max(0.0, start), start + _WEEKEND) for start in starts)
