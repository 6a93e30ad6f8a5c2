"""Why something began when it did: the chain of entries behind an instant, walked back to day one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from sitesim.hours import Calendar
from sitesim.ledger.rows import NOBODY, Entry
from sitesim.plan import CAUSE_OF_KIND, Cause


class Segment(NamedTuple):
    """A stretch of the chain: ``start`` to ``end`` [h], its ``cause`` and the serial of the ``entry`` it lies in."""

    start: float
    end: float
    cause: Cause
    entry: int


class Account:
    """Reads the ledger of a run backwards.

    Parameters: ``entries``; ``shifts``, for each unit its calendar of shifts without weather.
    """

    def __init__(self, entries: Sequence[Entry], shifts: Sequence[Calendar]) -> None:
        self.entries = entries
        self.shifts = shifts

    def back_from(self, entry: Entry, until: float = 0.0) -> Iterator[Segment]:
        """Walk back from the end of ``entry`` to ``until`` [h]; the segments tile that stretch, latest first.

        Inside an activity time belongs to the activity, or to what stopped it. Before its start it belongs to what held
        it; where that was a gang or machine busy elsewhere the chain goes on through the work that it was busy with.
        """
        yield from self._walk(entry, until, inside_first=True)

    def before(self, entry: Entry, until: float) -> Iterator[Segment]:
        """Walk back from the start of ``entry`` to ``until`` [h], latest first."""
        yield from self._walk(entry, until, inside_first=False)

    def _walk(self, entry: Entry, until: float, inside_first: bool) -> Iterator[Segment]:
        link: Cause | None = None
        inside = inside_first
        while True:
            if inside:
                for segment in self._inside(entry, link):
                    if segment.end > until:
                        yield segment if segment.start >= until else segment._replace(start=until)
                if entry.start <= until:
                    return
            inside = True
            link = None
            by = entry.ready_by
            for i in range(len(entry.holds) - 1, -1, -1):
                hold = entry.holds[i]
                if hold.by != NOBODY:
                    link, by = hold.cause, hold.by
                    break
                begin = entry.holds[i - 1].end if i else entry.ready
                if hold.end > until:
                    yield Segment(max(begin, until), hold.end, hold.cause, entry.serial)
                if begin <= until:
                    return
            if by == NOBODY:
                return
            entry = self.entries[by]

    def _inside(self, entry: Entry, link: Cause | None) -> Iterator[Segment]:
        """Give the segments inside an entry, latest first."""
        if entry.end == entry.start:
            return
        own = CAUSE_OF_KIND[entry.kind] if link is None else link
        if entry.pieces:
            for piece in reversed(entry.pieces):
                cause = own if piece.cause is None else piece.cause
                yield Segment(piece.start, piece.end, cause, entry.serial)
        elif entry.hours is not entry.shift:
            for start, end, lost in reversed(weather_inside(entry)):
                yield Segment(start, end, Cause.WEATHER if lost else own, entry.serial)
        else:
            yield Segment(entry.start, entry.end, own, entry.serial)


def weather_inside(entry: Entry) -> list[tuple[float, float, bool]]:
    """Cut [start, end] of a piece of work into stretches [h], each marked as lost to weather or not.

    The hours lost are those of the shift in which the work's own calendar is shut. A night or weekend goes with the
    stretch that it follows.
    """
    hours, shift = entry.hours, entry.shift
    if hours is None or shift is None:
        return [(entry.start, entry.end, False)]
    if hours.worked(entry.start, entry.end) == shift.worked(entry.start, entry.end):
        return [(entry.start, entry.end, False)]
    tiled: list[tuple[float, float, bool]] = []
    for start, lost in _changes(hours, shift, entry.start, entry.end):
        if tiled and tiled[-1][2] == lost:
            continue
        if tiled:
            tiled[-1] = (tiled[-1][0], start, tiled[-1][2])
        tiled.append((start if tiled else entry.start, entry.end, lost))
    return tiled


def _changes(hours: Calendar, shift: Calendar, start: float, end: float) -> Iterator[tuple[float, bool]]:
    """Give the instants within a span at which shift hours turn open (False) or lost (True)."""
    for shift_start, shift_end in shift.within(start, end):
        at = shift_start
        for open_start, open_end in hours.within(shift_start, shift_end):
            if open_start > at:
                yield at, True
            yield open_start, False
            at = open_end
        if at < shift_end:
            yield at, True
