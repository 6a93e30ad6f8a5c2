"""Penalties and bonuses by date: how late each promised place is handed over, and what held it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

from sitesim.hours import NEVER, civil_date
from sitesim.hours.calendar import HOURS_A_DAY
from sitesim.ledger.bill import Bill
from sitesim.ledger.book import Ledger
from sitesim.ledger.chain import Account
from sitesim.ledger.held import WorkingDays
from sitesim.ledger.places import handed_over, nodes_of_places
from sitesim.plan import Cause, Plan, Promise, SpentOn


class PromisesBilling:
    """Bills what the promised dates of a plan cost and earn.

    Parameters: ``working_days``, those of the site.
    """

    def __init__(self, plan: Plan, working_days: WorkingDays) -> None:
        self._start = plan.start
        self._last = plan.start + timedelta(days=plan.days - 1)
        self._working_days = working_days
        places = nodes_of_places(plan)
        every = range(len(plan.nodes))
        self._promises = [
            (promise, places.get((promise.building, promise.home), []) if promise.building else every)
            for promise in plan.promises
            if promise.penalty or promise.bonus
        ]

    def bill(self, bill: Bill, account: Account, ledger: Ledger, days: Mapping[Cause | None, float]) -> None:
        """Bill penalties, shared out by what held the hand-over, and bonuses.

        Parameters: ``days``, the working days of the site by the cause that held the date on them.
        """
        for promise, nodes in self._promises:
            instant = handed_over(ledger.ended, nodes) if nodes else NEVER
            late = self._days_late(promise, instant)
            if late > 0:
                held = self._held(account, ledger, nodes, instant) if promise.building else days
                shares = {(SpentOn.PENALTY, cause): of_cause for cause, of_cause in held.items()}
                bill.share_out(f"penalty {promise.name}", promise.owed(late), shares, (SpentOn.PENALTY, None))
            elif late < 0:
                bill.add(SpentOn.BONUS, None, f"bonus {promise.name}", -promise.earned(-late))

    def _days_late(self, promise: Promise, instant: float) -> int:
        """Count the days by which a date is missed, less than 0 where it is early.

        What is never handed over is late up to the last day that is played.
        """
        day = self._last if instant == NEVER else civil_date(self._start, instant)
        if not promise.working:
            return (day - promise.by).days
        until, by = (HOURS_A_DAY * ((each - self._start).days + 1) for each in (day, promise.by))
        return self._working_days.begun_before(until) - self._working_days.begun_before(by)

    def _held(
        self, account: Account, ledger: Ledger, nodes: Sequence[int], instant: float
    ) -> dict[Cause | None, float]:
        """Tell whose the working days are that lie behind a hand-over; of one that never came, behind its last step."""
        own = frozenset(nodes)
        done = [entry for entry in ledger.entries if entry.node in own]
        if not done:
            return {}
        last = max(done, key=lambda entry: (entry.end, entry.serial))
        return self._working_days.by_cause(account.behind(last), min(instant, last.end))
