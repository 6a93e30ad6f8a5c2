"""The time account: every hour of every gang and machine on site, by state and cause."""

from __future__ import annotations

import math
from array import array
from bisect import bisect_right
from collections.abc import Collection, Iterator, Sequence
from operator import attrgetter

import numpy as np
import numpy.typing as npt

from sitesim.hours import Calendar
from sitesim.ledger.chain import Account, Stretch
from sitesim.ledger.rows import Entry, pieces_between
from sitesim.plan import STATE_OF_KIND, Cause, Kind, State, Unit, UnitKind

TimeKey = tuple[int, State, Cause | None]
"""Unit index, state, and the cause of a state other than work, or None."""

_HOURS_A_WEEK = 7 * 24.0

_end_of = attrgetter("end")

_ACCOUNTS = tuple((state, cause) for state in State for cause in (None, *Cause))
"""Every state with every cause. One of a unit is a number, its place here behind all those of the units before it:
a run charges more than a thousand stretches of time, and numbers can be added up all at once."""

_PLACES = {account: place for place, account in enumerate(_ACCOUNTS)}
_WAITING = {cause: _PLACES[State.WAITING, cause] for cause in Cause}
_NO_WORK = _WAITING[Cause.NO_WORK]
_OVERTIME = _PLACES[State.OVERTIME, None]
_OFF_SHIFT = _PLACES[State.OFF_SHIFT, None]
_AT_WORK = {kind: _PLACES[STATE_OF_KIND.get(kind, State.WORKING), None] for kind in Kind}


def time_account(account: Account, units: Sequence[Unit]) -> dict[TimeKey, float]:
    """Add up the hours of each unit by state and cause.

    A unit's time on site runs from the start of its first engagement, or from its first coming where it is called, to
    the end of its last, less the absences of a unit hired by the call and of a gang between its stays. The hours of all
    its states add up to that time exactly.
    Returns hours [h] by `TimeKey`.
    """
    charges = _Charges(units)
    _charge_all(account, units, charges)
    return charges.total()


def time_by_week(account: Account, units: Sequence[Unit], first_monday: float) -> list[dict[TimeKey, float]]:
    """Add up the hours of each unit by state and cause as `time_account` does, week by week.

    Parameters: ``first_monday`` [h], the first midnight after the start at which a week begins. Returns for each week,
    the one of the start first, the hours [h] by `TimeKey`; those of a key add up over the weeks to the time account.
    """
    last = max((entry.end for entry in account.entries), default=0.0)
    whole = max(0, math.ceil((last - first_monday) / _HOURS_A_WEEK))
    return time_by_period(account, units, [first_monday + week * _HOURS_A_WEEK for week in range(whole)])


def time_by_period(account: Account, units: Sequence[Unit], edges: Sequence[float]) -> list[dict[TimeKey, float]]:
    """Add up the hours of each unit by state and cause as `time_account` does, period by period.

    Parameters: ``edges`` [h], rising, at each of which a period ends and the next begins. Returns for each period, one
    more than there are edges, the hours [h] by `TimeKey`; those of a key add up over all of them to the time account.
    """
    periods = _PeriodCharges(units, edges)
    _charge_all(account, units, periods)
    return [period.total() for period in periods.periods]


def time_within(
    account: Account, units: Sequence[Unit], chosen: Collection[int], spans: Calendar
) -> dict[TimeKey, float]:
    """Add up the hours of some units by state and cause as `time_account` does, within spans alone.

    Parameters: ``chosen``, the indices of the units; ``spans``. Returns hours [h] by `TimeKey`; with those outside the
    spans they add up to the time account.
    """
    charges = _ChargesWithin(units, spans)
    _charge_all(account, units, charges, chosen)
    return charges.total()


def _charge_all(
    account: Account,
    units: Sequence[Unit],
    charges: _Charges | _PeriodCharges,
    chosen: Collection[int] | None = None,
) -> None:
    """Charge everything that each unit was engaged in, and the gaps in between.

    Parameters: ``chosen``, the indices of the units that are charged; all where None.
    """
    engage = charges.engage
    absences = account.absences
    for unit, entries in enumerate(account.engagements):
        if chosen is not None and unit not in chosen:
            continue
        charges.turn_to(unit, account.shifts[unit])
        on_call = units[unit].on_call
        away = absences.get(unit)
        free_since = None if away is None else 0.0
        for entry in entries:
            if free_since is None:
                free_since = entry.start
            elif entry.start > free_since and not on_call:
                if away is None:
                    _charge_gap(account.before(entry, free_since), entry.start, free_since, charges)
                else:
                    for start, end in _present(away, free_since, entry.start):
                        _charge_gap(_until(account.before(entry, start), end), end, start, charges)
            engage(entry)
            free_since = max(free_since, entry.end)


def calls_of(account: Account) -> Iterator[tuple[int, tuple[int, float]]]:
    """Give for each unit that came at a call how often it came, and the hours [h] that it was away in between."""
    for unit in sorted(account.absences):
        stays = account.stays_of(unit)
        span = stays[-1][1] - stays[0][0] if stays else 0.0
        yield unit, (account.comings_of(unit), span - sum(end - start for start, end in stays))


def _present(away: Sequence[tuple[float, float]], start: float, end: float) -> Iterator[tuple[float, float]]:
    """Cut a gap [h] to the spans in which a gang was on site all the same."""
    for left, came in away:
        if came <= start or left >= end:
            continue
        if left > start:
            yield start, left
        start = came
    if start < end:
        yield start, end


def _until(chain: Sequence[Stretch], end: float) -> list[Stretch]:
    """Cut a chain, latest first, to what lies before an instant [h]."""
    return [(start, min(its_end, end), cause, entry) for start, its_end, cause, entry in chain if start < end]


def on_site(account: Account) -> list[tuple[float, float] | None]:
    """Give for each unit the span [h] from its first engagement, or coming, to the end of its last, or None."""
    stays = map(account.stays_of, range(len(account.shifts)))
    return [(of_unit[0][0], of_unit[-1][1]) if of_unit else None for of_unit in stays]


class _Charges:
    """Stretches of time to be charged, gathered first so that their hours can be counted all at once.

    ``shifts`` are those of the unit to which the account was turned last.
    """

    def __init__(self, units: Sequence[Unit]) -> None:
        self._units = units
        self._counted: dict[int, float] = {}
        self._met: dict[int, None] = {}
        self._worked: dict[int, tuple[float, float]] = {}
        self._pieces: dict[int, list[tuple[int, float]]] = {}
        self._of_calendar: dict[int, tuple[Calendar, list[float]]] = {}
        """Under each calendar stretch after stretch: from when to when [h], and the number of who is charged."""

    def turn_to(self, unit: int, shifts: Calendar) -> None:
        """Charge the next stretches to a unit."""
        self.shifts = shifts
        self._first = unit * len(_ACCOUNTS)
        _, self._stretches = self._of_calendar.setdefault(id(shifts), (shifts, []))

    def engage(self, entry: Entry) -> None:
        """Charge the hours of an engagement: at work, stopped, or off shift."""
        _, _, _, kind, _, _, _, _, start, end, _, hours, shift, pieces = entry
        shifts = self.shifts
        if pieces:
            if shifts.close_after(start) >= end:
                for place, amount in self.pieces_of(entry):
                    self.add(place, amount)
            else:
                for piece in pieces:
                    self.split(piece.start, piece.end, _PLACES[piece.state, piece.cause], _OVERTIME)
            return
        working = _AT_WORK[kind]
        if hours is None:  # a lift or a pour: once begun it goes on to its end
            self.split(start, end, working, _OVERTIME)
            return
        if hours is shifts:
            self.split(start, end, working)
            return
        worked, together = self.worked_in(entry.serial, hours, shifts if shift is None else shift, start, end)
        # A machine is on shift whenever those who move it are, besides its own hours.
        on_shift = together
        if shift is not None and shift is not shifts:
            on_shift += shifts.worked(start, end) - shifts.shared_with(shift).worked(start, end)
        self.add(working, worked)
        self.add(_WAITING[Cause.WEATHER], together - worked)
        if on_shift > together:
            self.add(_WAITING[self.cause_of_joint_hours(entry)], on_shift - together)
        self.add(_OFF_SHIFT, end - start - on_shift)

    def add(self, place: int, amount: float) -> None:
        """Charge hours [h] that are counted already."""
        if amount:
            number = self._first + place
            self._counted[number] = self._counted.get(number, 0.0) + amount

    def split(self, start: float, end: float, place: int, off_shift: int = _OFF_SHIFT) -> None:
        """Charge a stretch: its hours within the shifts to one account, the rest as off shift or as overtime."""
        number = 2 * (self._first + place) + (off_shift == _OVERTIME)
        self._stretches += (start, end, number)
        self._met[number] = None

    def cause_of_joint_hours(self, entry: Entry) -> Cause:
        """Tell for whose hours the others wait in joint work: those of a lifting machine, or of another gang."""
        kinds = {self._units[unit].kind for unit in entry.units}
        if UnitKind.CRANE in kinds:
            return Cause.CRANE
        return Cause.TELEHANDLER if UnitKind.TELEHANDLER in kinds else Cause.CREW

    def pieces_of(self, entry: Entry) -> list[tuple[int, float]]:
        """Add up the pieces of an entry by account, once for all the units in it."""
        found = self._pieces.get(entry.serial)
        if found is None:
            sums: dict[int, float] = {}
            for start, end, state, cause in entry.pieces:
                place = _PLACES[state, cause]
                sums[place] = sums.get(place, 0.0) + end - start
            found = self._pieces[entry.serial] = list(sums.items())
        return found

    def worked_in(self, serial: int, hours: Calendar, shift: Calendar, start: float, end: float) -> tuple[float, float]:
        """Count the hours [h] of an entry that are worked, and those in the shift of its crew, once for all of it."""
        found = self._worked.get(serial)
        if found is None:
            worked = hours.worked(start, end)
            found = self._worked[serial] = worked, worked if hours is shift else shift.worked(start, end)
        return found

    def total(self) -> dict[TimeKey, float]:
        """Add everything up; sums of whole ticks are exact in any order."""
        counted = [_counted_under(shifts, stretches) for shifts, stretches in self._of_calendar.values()]
        totals = np.zeros(len(self._units) * len(_ACCOUNTS))
        if counted:
            of_each, worked, others = np.concatenate(counted, axis=1)
            numbers = of_each.astype(np.int64)
            totals += np.bincount(numbers // 2, worked, len(totals))
            totals += np.bincount(_off_shift_of(numbers), others, len(totals))
        hours = self._counted
        met = np.array(list(self._met), dtype=np.int64)
        for number in dict.fromkeys(np.column_stack((met // 2, _off_shift_of(met))).ravel().tolist()):
            amount = totals.item(number)
            if amount:
                hours[number] = hours.get(number, 0.0) + amount
        return {
            (number // len(_ACCOUNTS), *_ACCOUNTS[number % len(_ACCOUNTS)]): amount for number, amount in hours.items()
        }


class _ChargesWithin(_Charges):
    """Charges within some spans alone: what reaches out of them is cut.

    Parameters: ``spans``.
    """

    def __init__(self, units: Sequence[Unit], spans: Calendar) -> None:
        super().__init__(units)
        self._spans = spans

    def engage(self, entry: Entry) -> None:
        """Charge the hours of an engagement, part by part."""
        for start, end in self._spans.within(entry.start, entry.end):
            # What is worked out once for an entry holds for one part of it only.
            self._pieces.clear()
            self._worked.clear()
            super().engage(_part_of(entry, start, end))

    def split(self, start: float, end: float, place: int, off_shift: int = _OFF_SHIFT) -> None:
        """Charge the parts of a stretch that lie within."""
        for begin, until in self._spans.within(start, end):
            super().split(begin, until, place, off_shift)


class _PeriodCharges:
    """Charges kept apart by periods: what reaches over the end of one is cut there.

    Parameters: ``edges`` [h], rising, where one ends and the next begins.
    """

    def __init__(self, units: Sequence[Unit], edges: Sequence[float]) -> None:
        self._edges = [*edges, math.inf]
        self.periods = [_Charges(units) for _ in self._edges]

    def turn_to(self, unit: int, shifts: Calendar) -> None:
        """Charge the next stretches to a unit."""
        for period in self.periods:
            period.turn_to(unit, shifts)

    def engage(self, entry: Entry) -> None:
        """Charge the hours of an engagement."""
        for period, start, end in self._cut(entry.start, entry.end):
            period.engage(_part_of(entry, start, end))

    def split(self, start: float, end: float, place: int, off_shift: int = _OFF_SHIFT) -> None:
        """Charge a stretch as `_Charges.split` does."""
        for period, begin, until in self._cut(start, end):
            period.split(begin, until, place, off_shift)

    def _cut(self, start: float, end: float) -> Iterator[tuple[_Charges, float, float]]:
        while start < end:
            number = bisect_right(self._edges, start)
            until = min(end, self._edges[number])
            yield self.periods[number], start, until
            start = until


def _part_of(entry: Entry, start: float, end: float) -> Entry:
    """Cut an entry, and the pieces of its own account, to a stretch [h] of it."""
    if (start, end) == (entry.start, entry.end):
        return entry
    return entry._replace(start=start, end=end, pieces=pieces_between(entry.pieces, start, end))


def _counted_under(shifts: Calendar, stretches: Sequence[float]) -> npt.NDArray[np.float64]:
    """Count stretches under a calendar: the number of who is charged, and the hours [h] within the shifts and not."""
    starts, ends, numbers = np.frombuffer(array("d", stretches)).reshape(-1, 3).T
    worked = shifts.worked_in_each(starts, ends)
    return np.array((numbers, worked, ends - starts - worked))


def _off_shift_of(numbers: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Give the accounts to which stretches are charged off shift."""
    units = numbers // (2 * len(_ACCOUNTS))
    return units * len(_ACCOUNTS) + np.where(numbers % 2, _OVERTIME, _OFF_SHIFT)


def _charge_gap(chain: Sequence[Stretch], end: float, free_since: float, charges: _Charges | _PeriodCharges) -> None:
    """Charge a gap up to ``end`` [h], piece by piece, to what the engagement that follows it waited for.

    Parameters: ``chain``, what is behind that engagement, latest first, back to ``free_since`` [h].
    """
    split = charges.split
    reached = end
    cause: Cause | None = None
    for segment_start, segment_end, its_cause, _ in chain:
        if its_cause is not cause:
            if cause is not None and end > reached:
                split(reached, end, _WAITING[cause])
            end, cause = segment_end, its_cause
        reached = segment_start
    if cause is not None and end > reached:
        split(reached, end, _WAITING[cause])
    if reached > free_since:
        split(free_since, reached, _NO_WORK)
