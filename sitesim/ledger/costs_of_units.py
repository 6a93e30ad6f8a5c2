"""What gangs and machines bill: their hours by state, and their hire by the day."""

from __future__ import annotations

from collections.abc import Mapping
from operator import attrgetter

from sitesim.hours.calendar import HOURS_A_DAY
from sitesim.ledger.account import TimeKey
from sitesim.ledger.bill import Bill, Place
from sitesim.ledger.chain import Account
from sitesim.plan import Plan, SpentOn, State, Unit, UnitKind

_AT_WORK = frozenset({State.WORKING, State.MOVING})
_ON_HAND = frozenset({State.WAITING, State.DOWN})

_end_of = attrgetter("end")


def item_of(unit: Unit) -> str:
    """Name the item under which a unit's hours are billed."""
    return f"gang {unit.name}" if unit.kind is UnitKind.GANG else unit.name


class UnitsBilling:
    """Bills the gangs and machines of a plan."""

    def __init__(self, plan: Plan) -> None:
        self._units = plan.units
        self._items = [item_of(unit) for unit in plan.units]
        by_day = {UnitKind.PRINTER: plan.costs.printer_day, UnitKind.TENT: plan.costs.tent_day}
        self._day = {index: by_day[unit.kind] for index, unit in enumerate(plan.units) if by_day.get(unit.kind)}
        self._printers = frozenset(i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.PRINTER)

    def bill(self, bill: Bill, account: Account, time: Mapping[TimeKey, float]) -> dict[Place, float]:
        """Bill them; gives the hours [h] of all printers, at work and waiting by cause, as shares of a hire."""
        of_printers: dict[Place, float] = {}
        hours_of: dict[int, dict[Place, float]] = {index: {} for index in self._day}
        for (index, state, cause), hours in time.items():
            unit = self._units[index]
            place: Place
            if state in _AT_WORK:
                bill.add(SpentOn.WORK, None, self._items[index], unit.rate * hours)
                place = SpentOn.HIRE, None
            elif state in _ON_HAND:
                bill.add(SpentOn.WAITING, cause, self._items[index], unit.waiting_rate * hours)
                place = SpentOn.HIRE, cause
            elif state is State.OVERTIME:
                bill.add(SpentOn.OVERTIME, None, self._items[index], unit.overtime_rate * hours)
                place = SpentOn.HIRE, None
            else:
                continue
            if index in hours_of:
                hours_of[index][place] = hours_of[index].get(place, 0.0) + hours
            if index in self._printers:
                of_printers[place] = of_printers.get(place, 0.0) + hours
        for index, shares in hours_of.items():
            engaged = account.engagements[index]
            if engaged:
                days = (max(map(_end_of, engaged)) - engaged[0].start) / HOURS_A_DAY
                item = f"{self._units[index].kind} hire"
                bill.share_out(item, self._day[index] * days, shares, (SpentOn.HIRE, None))
        return of_printers
