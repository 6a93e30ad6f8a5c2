"""What a run cost: who bills what, and to which cause it is charged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitesim.hours import Calendar
from sitesim.ledger.account import TimeKey
from sitesim.ledger.bill import Bill
from sitesim.ledger.book import Ledger
from sitesim.ledger.chain import Account, Stretch
from sitesim.ledger.costs_of_concrete import bill_pours, bill_supply
from sitesim.ledger.costs_of_units import UnitsBilling
from sitesim.ledger.held import WorkingDays
from sitesim.ledger.promised import PromisesBilling
from sitesim.plan import Cause, Plan, SpentOn


@dataclass(frozen=True, slots=True)
class Accounts:
    """What a run is billed from, besides its ledger.

    Parameters: ``account``, the ledger read backwards; ``time``, the time account; ``chain``, the driving chain behind
    the last thing done, latest first; ``finish`` [h], the last hand-over or the last hour played.
    """

    account: Account
    time: Mapping[TimeKey, float]
    chain: Sequence[Stretch]
    finish: float


class Billing:
    """Bills the runs of a plan at its rates.

    Parameters: ``site_shift``, the site's shifts, whose days carry the overhead.
    """

    def __init__(self, plan: Plan, site_shift: Calendar) -> None:
        self._plan = plan
        self._units = UnitsBilling(plan)
        self._prices = {node.index: node for node in plan.nodes if node.task.price}
        self.working_days = WorkingDays(site_shift)
        self._promises = PromisesBilling(plan, self.working_days)

    def bill(self, ledger: Ledger, accounts: Accounts, days: Mapping[Cause | None, float]) -> Bill:
        """Make out the bill of a run.

        Parameters: ``days``, the working days of the site by the cause that held the date on them.
        """
        plan, counts, rates = self._plan, ledger.counts, self._plan.costs
        bill = Bill()
        on_print_days = self._units.bill(bill, accounts.account, accounts.time)
        bill_supply(bill, plan, ledger, self.working_days, on_print_days)
        bill_pours(bill, plan, ledger)
        bill.add(SpentOn.HEATING, Cause.WEATHER, "tent heating", rates.heater_hour * counts.heated_hours)
        if self._units.calls_cranes:
            bill.add(SpentOn.MOBILISATION, None, "crane calls", rates.crane_call * counts.crane_calls)
        again = rates.reinspection * counts.failed_inspections
        bill.add(SpentOn.INSPECTIONS, Cause.INSPECTION, "inspections repeated", again)
        lost = rates.lost_visit * counts.lost_visits
        bill.add(SpentOn.INSPECTIONS, Cause.PREDECESSOR, "visits lost", lost)
        if self._prices:
            self._bill_prices(bill, ledger)
        if rates.overhead:
            overhead = rates.overhead * self.working_days.begun_before(accounts.finish)
            shares = {(SpentOn.OVERHEAD, cause): held for cause, held in days.items()}
            bill.share_out("site overhead", overhead, shares, (SpentOn.OVERHEAD, None))
        self._promises.bill(bill, accounts.account, ledger, days)
        return bill

    def _bill_prices(self, bill: Bill, ledger: Ledger) -> None:
        """Bill the lump sums of the tasks that have been done; rework is in them."""
        for entry in ledger.entries:
            node = self._prices.get(entry.node)
            if node is not None and entry.kind is node.task.kind and entry.key == node.key:
                bill.add(SpentOn.WORK, None, f"task {node.task.name}", node.task.price)
