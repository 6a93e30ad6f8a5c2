"""What a run writes down while it is played: rows as plain tuples."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any, NamedTuple

from sitesim.hours import Calendar
from sitesim.plan import Cause, Doing, Kind, State

NOBODY = -1
"""The serial of no entry: the start of the site."""


REFUSED = "refused at the gate"
"""The verdict on a load that failed its test."""


REPLACEMENT = 100
"""Added to the number of a refused load for the one that replaces it, so that no other load's luck changes."""


class Hold(NamedTuple):
    """A stretch between ready and start, up to ``end`` [h].

    ``by`` is the serial of the entry whose end gave back the resource that was waited for, else `NOBODY`.
    """

    end: float
    cause: Cause
    by: int


class Piece(NamedTuple):
    """A stretch inside an activity, ``start`` to ``end`` [h]: the state of its units, and the cause unless work."""

    start: float
    end: float
    state: State
    cause: Cause | None


def pieces_between(pieces: Iterable[Piece], start: float, end: float) -> tuple[Piece, ...]:
    """Cut pieces to a stretch [h]; those that lie outside it are left out."""
    return tuple(
        Piece(max(piece.start, start), min(piece.end, end), piece.state, piece.cause)
        for piece in pieces
        if piece.start < end and piece.end > start
    )


class Coming(NamedTuple):
    """A gang that came at a call: the ``unit``, when [h] it had ``left`` the site, was ``called`` and ``came``.

    Before its first coming it has been away from the start, 0.
    """

    unit: int
    left: float
    called: float
    came: float


class Entry(NamedTuple):
    """One activity that has been played.

    Parameters: ``serial``, its place in the ledger; ``node``, the plan's node or `NOBODY`; ``key``, its stable
    identity; ``ready`` [h], when all that it needed first was there, and ``ready_by``, the serial of the entry that
    came last; ``holds`` tile [ready, start]; ``units``, indices of the gangs and machines that it engaged; ``hours``,
    the calendar in which its work counts, None for work that goes on to its end once begun and for time that simply
    passes; ``shift``, the same calendar without the weather; ``pieces`` tile [start, end] where the activity keeps an
    account of its own, else empty.
    """

    serial: int
    node: int
    key: str
    kind: Kind
    building: int
    ready: float
    ready_by: int
    holds: tuple[Hold, ...]
    start: float
    end: float
    units: tuple[int, ...]
    hours: Calendar | None
    shift: Calendar | None
    pieces: tuple[Piece, ...]


class Load(NamedTuple):
    """The record of one load or of one day's batches: instants [h], volumes [m³].

    ``used`` counts everything that went through the pump; ``standby`` [h] is the truck's time on site beyond the free
    time.
    """

    building: str
    day: int
    number: int
    ordered: float
    due: float
    batched: float
    left_plant: float
    arrived: float
    discharge_begun: float
    discharge_ended: float
    used: float
    rejected: float
    returned: float
    standby: float
    verdict: str


as_hold: Callable[[tuple[float, Cause, int]], Hold] = partial(tuple.__new__, Hold)
as_piece: Callable[[tuple[float, float, State, Cause | None]], Piece] = partial(tuple.__new__, Piece)
as_entry: Callable[[tuple[Any, ...]], Entry] = partial(tuple.__new__, Entry)
as_load: Callable[[tuple[Any, ...]], Load] = partial(tuple.__new__, Load)
"""Make rows of a tuple of their values; to call the class with each value takes three times as long."""


class PouredLoad(NamedTuple):
    """The record of one load of a pour: the plan's ``node``, volumes [m³], instants [h]; ``standby`` [h] to be paid."""

    node: int
    number: int
    ordered: float
    batched: float
    arrived: float
    begun: float
    ended: float
    placed: float
    rejected: float
    standby: float
    verdict: str

    @property
    def returned(self) -> float:
        """What went back with the truck [m³]."""
        return self.ordered - self.placed - self.rejected


class Layer(NamedTuple):
    """One printed layer: instants [h], the age [h] of the concrete at its end, the joint below it."""

    building: str
    layer: int
    start: float
    end: float
    age: float
    unplanned_joint: bool


class Span(NamedTuple):
    """What a stretch of a print day was spent on, from ``start`` to ``end`` [h].

    ``doing`` is None while crew and printer wait; ``name``, which planned stop or stop of a machine it was.
    """

    start: float
    end: float
    state: State
    cause: Cause | None
    doing: Doing | None
    name: str


class Flow(NamedTuple):
    """A change of what is at the pump, evenly from ``start`` to ``end`` [h], by a ``volume`` [m³].

    It is less than 0 for what leaves; ``born`` [h] is the first water of that concrete, ``expires`` [h] the end of its
    working life.
    """

    start: float
    end: float
    volume: float
    born: float
    expires: float


class OrderedDay(NamedTuple):
    """What was ordered for a print day: when it begins [h], the concrete needed [m³], and each load's (m³, due [h])."""

    morning: float
    need: float
    loads: tuple[tuple[float, float], ...]


class PrintedDay(NamedTuple):
    """One print day of a building: what was planned, what was done minute by minute, where the concrete went [m³].

    ``go``, ``start`` and ``end`` [h]: the word to go, the crew's start, the end of wash-out; the day began with layer
    ``first``, was to end with ``target`` and ended with ``last`` in place, less than ``first`` where none was finished;
    ``spans`` tile [start, end]; ``tomorrow``, what was ordered when the nozzle had been shut; ``placed``, what had been
    ordered for this day where the morning's call found that it needs something else than ``order`` had been for.
    """

    building: str
    key: str
    go: float
    start: float
    end: float
    first: int
    target: int
    last: int
    ended_by: str
    order: OrderedDay
    tomorrow: OrderedDay | None
    in_place: float
    joint_preparation: float
    priming: float
    lost_to_blockages: float
    washed_out: float
    spans: tuple[Span, ...]
    flows: tuple[Flow, ...]
    placed: OrderedDay | None = None


class Departure(NamedTuple):
    """When [h] the truck of a load of a day was ``let_go``, and when [h] it left the site, washed out."""

    building: str
    day: int
    number: int
    let_go: float
    instant: float


class Rejection(NamedTuple):
    """What was thrown away of a load of a day, or of a batch mixed on site, and when [h].

    ``number`` is None for a batch. The ``volume`` [m³] counted as ``born`` [h], which is the first water of the oldest
    concrete where it had been stirred, and could be used until ``expires`` [h]; its own first water was at ``batched``
    [h].
    """

    building: str
    day: int
    number: int | None
    instant: float
    volume: float
    batched: float
    born: float
    expires: float

    @property
    def age(self) -> float:
        """The age [h] at which it was thrown away, as it counted."""
        return self.instant - self.born

    @property
    def own_age(self) -> float:
        """The age [h] by its own first water."""
        return self.instant - self.batched

    @property
    def life(self) -> float:
        """The age [h] up to which it could be used."""
        return self.expires - self.born


class Remark(NamedTuple):
    """A line of the diary: what happened at an instant [h], and where."""

    instant: float
    building: str
    text: str
