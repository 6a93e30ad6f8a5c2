"""The time account: every hour of every gang and machine on site, by state and cause."""

from __future__ import annotations

from collections.abc import Sequence

from sitesim.hours import Calendar
from sitesim.ledger.chain import Account
from sitesim.ledger.rows import Entry
from sitesim.plan import STATE_OF_KIND, Cause, State, Unit

TimeKey = tuple[int, State, Cause | None]
"""Unit index, state, and the cause of a state other than work, or None."""


def time_account(account: Account, units: Sequence[Unit]) -> dict[TimeKey, float]:
    """Add up the hours of each unit by state and cause.

    A unit's time on site runs from the start of its first engagement to the end of its last, less the absences of a
    unit hired by the call. The hours of all its states add up to that time exactly.
    Returns hours [h] by `TimeKey`.
    """
    engagements: list[list[Entry]] = [[] for _ in units]
    for entry in account.entries:
        for unit in entry.units:
            engagements[unit].append(entry)
    hours: dict[TimeKey, float] = {}
    for unit, entries in enumerate(engagements):
        entries.sort(key=_start_of)
        _account_of_unit(account, unit, entries, units[unit].on_call, hours)
    return hours


def on_site(account: Account, units: Sequence[Unit]) -> list[tuple[float, float] | None]:
    """Give for each unit the span [h] from its first engagement to the end of its last, or None."""
    spans: list[tuple[float, float] | None] = [None] * len(units)
    for entry in account.entries:
        for unit in entry.units:
            span = spans[unit]
            spans[unit] = (
                (entry.start, entry.end) if span is None else (min(span[0], entry.start), max(span[1], entry.end))
            )
    return spans


def _start_of(entry: Entry) -> float:
    return entry.start


def _account_of_unit(
    account: Account, unit: int, entries: list[Entry], on_call: bool, hours: dict[TimeKey, float]
) -> None:
    shifts = account.shifts[unit]
    free_since: float | None = None
    for entry in entries:
        if free_since is not None and entry.start > free_since and not on_call:
            _charge_gap(account, unit, shifts, entry, free_since, hours)
        _charge_engagement(unit, shifts, entry, hours)
        free_since = entry.end if free_since is None else max(free_since, entry.end)


def _add(hours: dict[TimeKey, float], key: TimeKey, amount: float) -> None:
    if amount:
        hours[key] = hours.get(key, 0.0) + amount


def _charge_gap(
    account: Account,
    unit: int,
    shifts: Calendar,
    following: Entry,
    free_since: float,
    hours: dict[TimeKey, float],
) -> None:
    """Charge a gap, piece by piece, to what the engagement that follows it waited for."""
    idle = shifts.worked(free_since, following.start)
    _add(hours, (unit, State.OFF_SHIFT, None), following.start - free_since - idle)
    if not idle:
        return
    charged = 0.0
    for segment in account.before(following, free_since):
        waited = shifts.worked(segment.start, segment.end)
        charged += waited
        _add(hours, (unit, State.WAITING, segment.cause), waited)
        if charged == idle:
            return
    _add(hours, (unit, State.WAITING, Cause.NO_WORK), idle - charged)


def _charge_engagement(unit: int, shifts: Calendar, entry: Entry, hours: dict[TimeKey, float]) -> None:
    """Charge the hours of one engagement: at work, stopped, or off shift."""
    if entry.pieces:
        for piece in entry.pieces:
            in_shift = shifts.worked(piece.start, piece.end)
            _add(hours, (unit, piece.state, piece.cause), in_shift)
            _add(hours, (unit, State.OVERTIME, None), piece.end - piece.start - in_shift)
        return
    working = STATE_OF_KIND.get(entry.kind, State.WORKING)
    length = entry.end - entry.start
    on_shift = shifts.worked(entry.start, entry.end)
    if entry.hours is None:  # a lift or a pour: once begun it goes on to its end
        _add(hours, (unit, working, None), on_shift)
        _add(hours, (unit, State.OVERTIME, None), length - on_shift)
        return
    worked = on_shift if entry.hours is shifts else entry.hours.worked(entry.start, entry.end)
    together = (
        worked if entry.shift is entry.hours or entry.shift is None else entry.shift.worked(entry.start, entry.end)
    )
    _add(hours, (unit, working, None), worked)
    _add(hours, (unit, State.WAITING, Cause.WEATHER), together - worked)
    _add(hours, (unit, State.WAITING, Cause.CREW), on_shift - together)
    _add(hours, (unit, State.OFF_SHIFT, None), length - on_shift)
