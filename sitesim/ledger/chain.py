"""Why something began when it did: the chain of entries behind an instant, walked back to day one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import attrgetter
from typing import NamedTuple

from sitesim.hours import NEVER, Calendar
from sitesim.ledger.rows import NOBODY, Coming, Entry
from sitesim.plan import CAUSE_OF_KIND, Cause


class Segment(NamedTuple):
    """A stretch of the chain: ``start`` to ``end`` [h], its ``cause`` and the serial of the ``entry`` it lies in."""

    start: float
    end: float
    cause: Cause
    entry: int


_NO_MORE = NEVER, NEVER
_start_of, _end_of = attrgetter("start"), attrgetter("end")

Stretch = tuple[float, float, Cause, int]
"""The values of a `Segment`, bare."""


def _absences(comings: Sequence[Coming]) -> dict[int, list[tuple[float, float]]]:
    absences: dict[int, list[tuple[float, float]]] = {}
    for unit, left, _, came in comings:
        absences.setdefault(unit, []).append((left, came))
    return absences


class Account:
    """Reads the ledger of a run backwards.

    Parameters: ``entries``; ``shifts``, for each unit its calendar of shifts without weather; ``comings``, how gangs
    came that were called.
    """

    def __init__(self, entries: Sequence[Entry], shifts: Sequence[Calendar], comings: Sequence[Coming] = ()) -> None:
        self.entries = entries
        self.shifts = shifts
        self.absences = _absences(comings)
        """For each unit that came at a call the spans [h] in which it was away, in order; the first begins at 0."""
        self._cuts: dict[int, list[tuple[float, float, Cause | None]]] = {}
        self._engagements: list[list[Entry]] | None = None

    @property
    def engagements(self) -> list[list[Entry]]:
        """For each unit the entries in which it was engaged, by their start."""
        if self._engagements is None:
            engagements: list[list[Entry]] = [[] for _ in self.shifts]
            for entry in self.entries:
                for unit in entry.units:
                    engagements[unit].append(entry)
            for entries in engagements:
                entries.sort(key=_start_of)
            self._engagements = engagements
        return self._engagements

    def stays_of(self, unit: int) -> list[tuple[float, float]]:
        """Give the spans [h] in which a unit was on site, up to the end of its last engagement; none if it never was.

        One that is not called has one, from its first engagement on; one that is called one for each coming.
        """
        engaged = self.engagements[unit]
        if not engaged:
            return []
        last = max(map(_end_of, engaged))
        away = self.absences.get(unit)
        if away is None:
            return [(engaged[0].start, last)]
        ends = [*(left for left, _ in away[1:]), last]
        return [(came, min(end, last)) for (_, came), end in zip(away, ends, strict=True) if came <= last]

    def comings_of(self, unit: int) -> int:
        """Count how often a unit came: once if it is not called, else at each call, even if others have its work."""
        away = self.absences.get(unit)
        return int(bool(self.engagements[unit])) if away is None else len(away)

    def back_from(self, entry: Entry, until: float = 0.0) -> list[Segment]:
        """Walk back from the end of ``entry`` to ``until`` [h]; the segments tile that stretch, latest first.

        Inside an activity time belongs to the activity, or to what stopped it. Before its start it belongs to what held
        it; where that was a gang or machine busy elsewhere the chain goes on through the work that it was busy with.
        """
        return list(map(Segment._make, self.behind(entry, until)))

    def behind(self, entry: Entry, until: float = 0.0) -> list[Stretch]:
        """Walk as `back_from`; plain."""
        segments: list[Stretch] = []
        if entry.end > entry.start:
            self._add_cuts(entry, CAUSE_OF_KIND[entry.kind], until, segments)
        self._walk(entry, until, segments)
        return segments

    def before(self, entry: Entry, until: float) -> list[Stretch]:
        """Walk back from the start of ``entry`` to ``until`` [h], latest first; plain, for the many gaps of a run."""
        segments: list[Stretch] = []
        self._walk(entry, until, segments)
        return segments

    def _walk(self, entry: Entry, until: float, segments: list[Stretch]) -> None:
        """Add the segments before the start of ``entry``, as far back as ``until``."""
        entries = self.entries
        # The values of an entry are unpacked all at once, which is cheaper than naming some of them.
        serial, _, _, kind, _, ready, by, holds, start, end, _, hours, shift, pieces = entry
        while start > until:
            link: Cause | None = None
            left = len(holds)
            while left:
                left -= 1
                hold_end, cause, freed_by = holds[left]
                if freed_by != NOBODY:
                    link, by = cause, freed_by
                    break
                begin = holds[left - 1].end if left else ready
                if begin <= until:
                    if hold_end > until:
                        segments.append((until, hold_end, cause, serial))
                    return
                segments.append((begin, hold_end, cause, serial))
            if by == NOBODY:
                return
            entry = entries[by]
            serial, _, _, kind, _, ready, by, holds, start, end, _, hours, shift, pieces = entry
            if end > start and end > until:
                own = CAUSE_OF_KIND[kind] if link is None else link
                if hours is shift and not pieces and (shift is None or shift.usual is None):
                    segments.append((start if start > until else until, end, own, serial))
                else:
                    self._add_cuts(entry, own, until, segments)

    def _add_cuts(self, entry: Entry, own: Cause, until: float, segments: list[Stretch]) -> None:
        """Add the segments inside an entry, latest first, as far back as ``until``; ``own``, where the work went on."""
        serial, add = entry.serial, segments.append
        for start, end, cause in reversed(self._cuts_of(entry)):
            if start <= until:
                if end > until:
                    add((until, end, own if cause is None else cause, serial))
                return
            add((start, end, own if cause is None else cause, serial))

    def _cuts_of(self, entry: Entry) -> list[tuple[float, float, Cause | None]]:
        """Cut an entry into stretches with the cause that stopped each, None where the work went on."""
        found = self._cuts.get(entry.serial)
        if found is None:
            found = (
                [(piece.start, piece.end, piece.cause) for piece in entry.pieces]
                if entry.pieces
                else stopped_inside(entry)
            )
            self._cuts[entry.serial] = found
        return found


Stopped = tuple[float, float, Cause | None]
"""A stretch [h] and what stopped the work in it, None where nothing did."""


def stopped_inside(entry: Entry) -> list[Stopped]:
    """Cut [start, end] of a piece of work into stretches [h], each with what stopped it there.

    The hours lost are those of the shift in which the work's own calendar is shut, and those of the usual shift in
    which somebody is away. A night or weekend goes with the stretch that it follows.
    """
    hours, shift = entry.hours, entry.shift
    if hours is None or shift is None:
        return [(entry.start, entry.end, None)]
    usual = shift if shift.usual is None else shift.usual
    if hours.worked(entry.start, entry.end) == usual.worked(entry.start, entry.end):
        return [(entry.start, entry.end, None)]
    return stopped_between(hours, shift, entry.start, entry.end)


def stopped_between(
    hours: Calendar, shift: Calendar, start: float, end: float, before: Cause | None = None
) -> list[Stopped]:
    """Cut a span [h] into stretches that follow one another, each with what stopped the work there.

    Parameters: ``hours``, those of the work; ``shift``, the same without the weather; ``before``, what goes on until
    the first of the usual hours, where they do not begin with the span and something else was waited for.
    """
    changes = _changes(hours, shift, start, end) if shift.usual is None else _changes_by_cause(hours, shift, start, end)
    tiled: list[Stopped] = [] if before is None else [(start, end, before)]
    for at, cause in changes:
        if tiled and tiled[-1][2] == cause:
            continue
        if tiled:
            tiled[-1] = (tiled[-1][0], at, tiled[-1][2])
        tiled.append((at if tiled else start, end, cause))
    return tiled


def _changes_by_cause(
    hours: Calendar, shift: Calendar, start: float, end: float
) -> Iterator[tuple[float, Cause | None]]:
    """Give what `_changes` gives where somebody is away; the weather comes first where it would have stopped them."""
    usual, usual_hours = shift.usual or shift, hours.usual or hours
    edges = {edge for each in (usual, shift, usual_hours) for span in each.within(start, end) for edge in span}
    for at in sorted(edges):
        if not usual.is_open(at) or at >= end:
            continue
        if hours.is_open(at):
            yield at, None
        else:
            away = not shift.is_open(at) and usual_hours.is_open(at)
            yield at, Cause.CREW if away else Cause.WEATHER


def _changes(hours: Calendar, shift: Calendar, start: float, end: float) -> Iterator[tuple[float, Cause | None]]:
    """Give the instants within a span at which shift hours turn open (None) or are lost to weather."""
    stretches = iter(hours.within(start, end))
    open_start, open_end = next(stretches, _NO_MORE)
    for at, shift_end in shift.within(start, end):
        while open_start < shift_end:
            if open_start > at:
                yield at, Cause.WEATHER
            yield open_start, None
            at = open_end
            open_start, open_end = next(stretches, _NO_MORE)
        if at < shift_end:
            yield at, Cause.WEATHER
