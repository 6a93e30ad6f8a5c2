"""The time account: every hour of every gang and machine on site, by state and cause."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import attrgetter

import numpy as np

from sitesim.hours import Calendar
from sitesim.ledger.chain import Account
from sitesim.ledger.rows import Entry
from sitesim.plan import STATE_OF_KIND, Cause, State, Unit, UnitKind

TimeKey = tuple[int, State, Cause | None]
"""Unit index, state, and the cause of a state other than work, or None."""

_start_of = attrgetter("start")
_end_of = attrgetter("end")


def time_account(account: Account, units: Sequence[Unit]) -> dict[TimeKey, float]:
    """Add up the hours of each unit by state and cause.

    A unit's time on site runs from the start of its first engagement to the end of its last, less the absences of a
    unit hired by the call. The hours of all its states add up to that time exactly.
    Returns hours [h] by `TimeKey`.
    """
    charges = _Charges(units)
    for unit, entries in enumerate(_engagements(account, units)):
        entries.sort(key=_start_of)
        shifts = account.shifts[unit]
        free_since = None
        for entry in entries:
            if free_since is not None and entry.start > free_since and not units[unit].on_call:
                _charge_gap(account, unit, shifts, entry, free_since, charges)
            _charge_engagement(unit, shifts, entry, charges)
            free_since = entry.end if free_since is None else max(free_since, entry.end)
    return charges.total()


def on_site(account: Account, units: Sequence[Unit]) -> list[tuple[float, float] | None]:
    """Give for each unit the span [h] from its first engagement to the end of its last, or None."""
    engagements = _engagements(account, units)
    return [(min(map(_start_of, entries)), max(map(_end_of, entries))) if entries else None for entries in engagements]


def _engagements(account: Account, units: Sequence[Unit]) -> list[list[Entry]]:
    """Give for each unit the entries in which it was engaged, as they were written."""
    engagements: list[list[Entry]] = [[] for _ in units]
    for entry in account.entries:
        for unit in entry.units:
            engagements[unit].append(entry)
    return engagements


@dataclass(slots=True)
class _Stretches:
    """Stretches [h] under one calendar, column by column, with the codes of who is charged on shift and off shift."""

    shifts: Calendar
    starts: list[float] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)
    on_shift: list[int] = field(default_factory=list)
    off_shift: list[int] = field(default_factory=list)


class _Charges:
    """Stretches of time to be charged, gathered first so that their hours can be counted all at once."""

    def __init__(self, units: Sequence[Unit]) -> None:
        self._units = units
        self._hours: dict[TimeKey, float] = {}
        self._codes: dict[TimeKey, int] = {}
        self._pieces: dict[int, list[tuple[State, Cause | None, float]]] = {}
        self._of_calendar: dict[int, _Stretches] = {}

    def add(self, key: TimeKey, amount: float) -> None:
        """Charge hours [h] that are counted already."""
        if amount:
            self._hours[key] = self._hours.get(key, 0.0) + amount

    def split(self, shifts: Calendar, start: float, end: float, on_shift: TimeKey, off_shift: TimeKey) -> None:
        """Charge a stretch: its hours within the shifts to one key, the rest to another."""
        codes = self._codes
        stretches = self._of_calendar.get(id(shifts))
        if stretches is None:
            stretches = self._of_calendar[id(shifts)] = _Stretches(shifts)
        stretches.starts.append(start)
        stretches.ends.append(end)
        stretches.on_shift.append(codes.setdefault(on_shift, len(codes)))
        stretches.off_shift.append(codes.setdefault(off_shift, len(codes)))

    def cause_of_joint_hours(self, entry: Entry) -> Cause:
        """Tell for whose hours the others wait in work that is done together: the crane's, or another gang's."""
        return Cause.CRANE if any(self._units[unit].kind is UnitKind.CRANE for unit in entry.units) else Cause.CREW

    def pieces_of(self, entry: Entry) -> list[tuple[State, Cause | None, float]]:
        """Add up the pieces of an entry by state and cause, once for all the units in it."""
        found = self._pieces.get(entry.serial)
        if found is None:
            sums: dict[tuple[State, Cause | None], float] = {}
            for start, end, state, cause in entry.pieces:
                sums[state, cause] = sums.get((state, cause), 0.0) + end - start
            found = self._pieces[entry.serial] = [(state, cause, hours) for (state, cause), hours in sums.items()]
        return found

    def total(self) -> dict[TimeKey, float]:
        """Add everything up; sums of whole ticks are exact in any order."""
        totals = np.zeros(len(self._codes))
        for stretches in self._of_calendar.values():
            starts, ends = np.array(stretches.starts), np.array(stretches.ends)
            worked = stretches.shifts.worked_in_each(starts, ends)
            totals += np.bincount(stretches.on_shift, worked, len(totals))
            totals += np.bincount(stretches.off_shift, ends - starts - worked, len(totals))
        for key, amount in zip(self._codes, totals.tolist(), strict=True):
            self.add(key, amount)
        return self._hours


def _charge_gap(
    account: Account,
    unit: int,
    shifts: Calendar,
    following: Entry,
    free_since: float,
    charges: _Charges,
) -> None:
    """Charge a gap, piece by piece, to what the engagement that follows it waited for."""
    off_shift: TimeKey = (unit, State.OFF_SHIFT, None)
    end = reached = following.start
    cause: Cause | None = None
    for segment_start, segment_end, its_cause, _ in account.before(following, free_since):
        if its_cause is not cause:
            if cause is not None and end > reached:
                charges.split(shifts, reached, end, (unit, State.WAITING, cause), off_shift)
            end, cause = segment_end, its_cause
        reached = segment_start
    if cause is not None and end > reached:
        charges.split(shifts, reached, end, (unit, State.WAITING, cause), off_shift)
    if reached > free_since:
        charges.split(shifts, free_since, reached, (unit, State.WAITING, Cause.NO_WORK), off_shift)


def _charge_engagement(unit: int, shifts: Calendar, entry: Entry, charges: _Charges) -> None:
    """Charge the hours of one engagement: at work, stopped, or off shift."""
    overtime: TimeKey = (unit, State.OVERTIME, None)
    if entry.pieces:
        if shifts.close_after(entry.start) >= entry.end:
            for state, cause, hours in charges.pieces_of(entry):
                charges.add((unit, state, cause), hours)
        else:
            for piece in entry.pieces:
                charges.split(shifts, piece.start, piece.end, (unit, piece.state, piece.cause), overtime)
        return
    working: TimeKey = (unit, STATE_OF_KIND.get(entry.kind, State.WORKING), None)
    if entry.hours is None:  # a lift or a pour: once begun it goes on to its end
        charges.split(shifts, entry.start, entry.end, working, overtime)
        return
    if entry.hours is shifts:
        charges.split(shifts, entry.start, entry.end, working, (unit, State.OFF_SHIFT, None))
        return
    worked = entry.hours.worked(entry.start, entry.end)
    on_shift = shifts.worked(entry.start, entry.end)
    together = on_shift if entry.shift is None else entry.shift.worked(entry.start, entry.end)
    on_shift = max(on_shift, together)  # a machine is on shift whenever those who move it are
    charges.add(working, worked)
    charges.add((unit, State.WAITING, Cause.WEATHER), together - worked)
    charges.add((unit, State.WAITING, charges.cause_of_joint_hours(entry)), on_shift - together)
    charges.add((unit, State.OFF_SHIFT, None), entry.end - entry.start - on_shift)
