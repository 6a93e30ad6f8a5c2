"""Closing a run: its ledger becomes rows of the study's tables."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sitesim.hours import NEVER, Calendar
from sitesim.ledger.account import calls_of, time_account, time_by_week
from sitesim.ledger.bill import CENTS, Bill
from sitesim.ledger.book import Ledger
from sitesim.ledger.chain import Account
from sitesim.ledger.costs import Accounts, Billing
from sitesim.ledger.held import days_held, driving_chain
from sitesim.ledger.places import handed_over, nodes_of_places
from sitesim.ledger.rows import Entry
from sitesim.plan import STATE_OF_KIND, Cause, Plan, SpentOn, State

HANDED_OVER = "handed over"
"""The milestone of a home, and of a building, when its last step is done."""

Rows = list[tuple[Any, ...]]

_WORDS: dict[State | Cause | SpentOn | None, str] = {None: ""} | {
    word: word.value for word in (*State, *Cause, *SpentOn)
}
"""Asking a member of an enumeration for its value is a call; a run asks some four hundred times."""


class RunClosing:
    """Turns one finished or abandoned run into rows.

    Parameters: ``shifts`` of each unit and ``site_shift``, all without weather.
    """

    def __init__(self, plan: Plan, shifts: Sequence[Calendar], site_shift: Calendar) -> None:
        self._plan = plan
        self._shifts = shifts
        self._site_shift = site_shift
        self._billing = Billing(plan, site_shift)
        self._places = nodes_of_places(plan)

    def tables(self, run: int, ledger: Ledger, unfinished: str, keep_loads: bool) -> dict[str, Rows]:
        """Give the run's rows of every table but those `OF_STANDING_RUNS`."""
        account = Account(ledger.entries, self._shifts, ledger.comings)
        finish = NEVER if unfinished else max(ledger.ended.values(), default=0.0)
        time = time_account(account, self._plan.units)
        played_until = finish if finish < NEVER else max((entry.end for entry in ledger.entries), default=0.0)
        chain = driving_chain(account)
        days = self._billing.working_days.by_cause(chain, played_until)
        bill = self._billing.bill(ledger, Accounts(account, time, chain, played_until), days)
        names = [unit.name for unit in self._plan.units]
        held = [] if unfinished else days_held(chain, ledger.entries, self._site_shift)
        return {
            "runs": [self._run_row(run, ledger, finish, bill.total / CENTS, unfinished)],
            "milestones": [(run, *row) for row in self._milestones(ledger)],
            "time": [
                (run, names[unit], _WORDS[state], _WORDS[cause], hours) for (unit, state, cause), hours in time.items()
            ],
            "calls": [(run, names[unit], *row) for unit, row in calls_of(account)],
            "held": [(run, *row) for row in held],
            "costs": [(run, item, cents / CENTS) for item, cents in bill.items().items()],
            "cost_causes": [
                (run, _WORDS[spent_on], _WORDS[cause], item, cents / CENTS)
                for spent_on, cause, item, cents in bill.lines()
            ],
            "cost_days": [(run, *row) for row in _days_and_amounts(days, bill)],
            "visits": [(run, *row) for row in self._visits(ledger)],
            "loads": [(run, *load) for load in ledger.loads] if keep_loads else [],
        }

    def standing_tables(self, run: int, ledger: Ledger) -> dict[str, Rows]:
        """Give the run's rows of the tables `OF_STANDING_RUNS`."""
        return {"activities": self.activities(run, ledger), "weeks": self.weeks(run, ledger)}

    def weeks(self, run: int, ledger: Ledger) -> Rows:
        """Give the time account of the run week by week."""
        units = self._plan.units
        first_monday = 24.0 * (7 - self._plan.start.weekday())
        by_week = time_by_week(Account(ledger.entries, self._shifts, ledger.comings), units, first_monday)
        return [
            (run, units[unit].name, week, _WORDS[state], _WORDS[cause], hours)
            for week, of_week in enumerate(by_week)
            for (unit, state, cause), hours in of_week.items()
        ]

    def activities(self, run: int, ledger: Ledger) -> Rows:
        """Give every activity of the run, a row for each gang or machine in it and each piece of it."""
        rows: Rows = []
        nodes, buildings, units = self._plan.nodes, self._plan.buildings, self._plan.units
        for entry in ledger.entries:
            building = buildings[entry.building].name if entry.building >= 0 else ""
            home = nodes[entry.node].home if entry.node >= 0 else ""
            by = entry.holds[-1].by if entry.holds and entry.holds[-1].by >= 0 else entry.ready_by
            held_by = ledger.entries[by].key if by >= 0 else ""
            for resource in [units[unit].name for unit in entry.units] or [""]:
                for start, end, state, cause in _pieces(entry):
                    rows.append(
                        (
                            run,
                            entry.serial,
                            resource,
                            entry.key,
                            entry.kind.value,
                            building,
                            home,
                            state if resource else "",
                            cause,
                            start,
                            end,
                            held_by,
                        )
                    )
        return rows

    def _run_row(self, run: int, ledger: Ledger, finish: float, cost: float, unfinished: str) -> tuple[Any, ...]:
        concrete, counts = ledger.concrete, ledger.counts
        return (
            run,
            finish,
            cost,
            concrete.batched,
            concrete.in_place,
            concrete.joint_preparation,
            concrete.rejected,
            concrete.returned,
            concrete.priming,
            concrete.lost_to_blockages,
            concrete.washed_out,
            concrete.past_agreed_life,
            sum(load.placed for load in ledger.poured),
            counts.unplanned_joints,
            counts.pour_breaks,
            counts.print_days,
            counts.days_called_off,
            counts.blockages_and_faults,
            counts.loads,
            counts.loads_called_off,
            sum(load.standby for load in ledger.loads),
            counts.nozzle_hours,
            counts.day_hours,
            counts.inspections,
            counts.failed_inspections,
            counts.lost_visits,
            not unfinished,
            unfinished,
        )

    def _visits(self, ledger: Ledger) -> Iterable[tuple[Any, ...]]:
        """Give what became of each inspector's visits, one row for whoever was called."""
        for index, visits in ledger.visits.items():
            yield (
                self._plan.inspectors[index].name,
                visits.seen,
                visits.failed,
                visits.lost,
                visits.moved,
                visits.waited,
                visits.waited_for_lost,
                visits.waited_for_moved,
                visits.witnessed,
                visits.missed,
            )

    def _milestones(self, ledger: Ledger) -> Iterable[tuple[str, str, str, float]]:
        """Give the milestones of buildings and homes; `NEVER` for what was not reached."""
        ended = ledger.ended
        for node in self._plan.nodes:
            if node.milestone:
                building = self._plan.buildings[node.building].name if node.building >= 0 else ""
                yield building, node.home, node.milestone, ended.get(node.index, NEVER)
        for (building, home), indices in self._places.items():
            yield building, home, HANDED_OVER, handed_over(ended, indices)


def _days_and_amounts(days: Mapping[Cause | None, float], bill: Bill) -> Iterable[tuple[str, float, float]]:
    """Give for each cause the working days on which it held the date, and all that is charged to it."""
    cents = bill.causes()
    for cause in dict.fromkeys((*days, *cents)):
        yield _WORDS[cause], days.get(cause, 0.0), cents.get(cause, 0) / CENTS


def _pieces(entry: Entry) -> Iterable[tuple[float, float, str, str]]:
    if entry.pieces:
        for piece in entry.pieces:
            yield piece.start, piece.end, piece.state.value, piece.cause.value if piece.cause else ""
    else:
        yield entry.start, entry.end, STATE_OF_KIND.get(entry.kind, State.WORKING).value, ""
