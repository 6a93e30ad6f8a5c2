"""What every way of supplying concrete offers to a print day, and the gate through which loads come in."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Protocol

import simpy

from sitesim.chance import Luck
from sitesim.hours import NEVER, Calendar
from sitesim.ledger.book import Concrete, Ledger
from sitesim.ledger.rows import REFUSED
from sitesim.policies import Course, Delivery
from sitesim.site.engine import Engine
from sitesim.site.pump import Lot, Pump
from sitesim.site.world import Process


@dataclass(slots=True)
class Truckload:
    """One load on its way: volumes [m³], instants [h]; `NEVER` for what has not happened."""

    building: str
    number: int
    volume: float
    due: float
    batched: float = NEVER
    expires: float = NEVER
    left_plant: float = NEVER
    arrived: float = NEVER
    discharge_begun: float = NEVER
    discharge_ended: float = NEVER
    left_site: float = NEVER
    lot: Lot | None = None
    turned_away: float = 0.0
    sent_back: float = 0.0
    note: str = "on order"
    called_off: bool = False

    def send_back(self, concrete: Concrete) -> None:
        """Send it back unused, which the run's balance of ``concrete`` counts."""
        self.sent_back = self.volume
        self.note = "returned"
        concrete.returned += self.volume

    @property
    def rejected(self) -> float:
        """What was thrown away of it [m³]: turned away whole, or too old in truck or hopper."""
        return self.turned_away if self.lot is None else self.lot.rejected

    @property
    def returned(self) -> float:
        """What went back with its truck [m³]."""
        return self.sent_back if self.lot is None else self.lot.returned

    @property
    def rejection(self) -> tuple[float, float, float]:
        """When [h] what is rejected of it was thrown away, since when [h] it aged, and the end [h] of its life."""
        lot = self.lot
        return (self.left_site, self.batched, self.expires) if lot is None else (lot.rejected_at, lot.born, lot.expires)

    @property
    def is_used_up(self) -> bool:
        """Tell whether nothing of it is left in truck or hopper."""
        return self.lot is None or self.lot.volume == 0.0

    @property
    def verdict(self) -> str:
        """What became of it in the end, in a word or two."""
        if self.lot is None:
            return self.note
        return "too old" if self.lot.rejected else "returned in part" if self.lot.returned else "placed"


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What every way of supplying concrete finds on a site.

    Parameters: ``first_ordinal``, the ordinal of the date of hour 0, so that luck goes by civil day; ``working_life``
    gives the hours [h] that concrete of which the first water is added at an instant [h] may live; ``waived`` [h], how
    long past that agreed life a waiver lets it be used.
    """

    env: Engine
    luck: Luck
    ledger: Ledger
    first_ordinal: int
    working_life: Callable[[float], float]
    waived: float = 0.0

    def of_no_use_after(self, born: float) -> float:
        """Give the end [h] of the life of concrete whose first water was added at an instant [h]."""
        return born + self.working_life(born) + self.waived

    def pump(self, hopper: float) -> Pump:
        """Give a pump whose hopper holds so much [m³]."""
        return Pump(self.env, hopper, self.ledger.concrete, self.waived)


class Destination(Protocol):
    """Where loads go."""

    def receive(self, load: Truckload) -> Process:
        """Take a load; ends when its truck may leave."""
        ...

    def miss(self, load: Truckload) -> None:
        """Take note of a load that does not come."""
        ...


@dataclass(frozen=True, slots=True)
class Order:
    """What has been ordered for a day: ``need`` [m³], the loads if they come by truck, and the morning [h].

    ``placed`` is the order of the evening before, where the morning's call found that the day needs something else.
    """

    need: float
    morning: float
    deliveries: tuple[Delivery, ...] = ()
    placed: Order | None = None

    def told_in_the_morning(self) -> str:
        """Say what the morning's call changed of the order that was placed; empty if there was nothing to change."""
        placed = self.placed
        if placed is None:
            return ""
        fewer = len(placed.deliveries) - len(self.deliveries)
        pairs = list(zip(placed.deliveries, self.deliveries, strict=False))
        smaller = sum(now.volume < before.volume for before, now in pairs)
        moved = sum(now.due != before.due for before, now in pairs)
        changes = [
            f"{count} of {len(placed.deliveries)} loads {how}"
            for count, how in ((fewer, "called off"), (smaller, "made smaller"), (moved, "put to another time"))
            if count
        ]
        if changes:
            return "the morning's call: " + ", ".join(changes)
        too_late = "less is needed than was ordered, but no load can be called off or made smaller any more"
        return too_late if self.need < placed.need else ""


@dataclass(frozen=True, slots=True)
class ShutSite:
    """Where loads go that nobody wants and nobody could call off any more: they go back as they came."""

    concrete: Concrete

    def receive(self, load: Truckload) -> Process:
        """Send a load back."""
        self.send_back(load)
        yield from ()

    def miss(self, load: Truckload) -> None:
        """Miss nothing."""

    def send_back(self, load: Truckload) -> None:
        """Send a load back, whatever its test says."""
        load.send_back(self.concrete)


def cut_off_before(shift: Calendar, midnight: float, cut_off: float) -> float | None:
    """Give the instant [h] until which something can be ordered for the day that begins at ``midnight`` [h].

    It is the ``cut_off`` [h after midnight] of the last working day before; None where there is no such day.
    """
    earlier = bisect_left(shift.starts, midnight) - 1
    return None if earlier < 0 else 24.0 * (shift.starts[earlier] // 24) + cut_off


class Supply(Protocol):
    """A way for concrete to reach the pump.

    ``asks_for_notice``, whether what is ordered comes all the same where it is called off too late.
    """

    asks_for_notice: bool

    def open_gate(self, hopper: float, building: str, line: int) -> Gate:
        """Give the gate of a print day.

        Parameters: ``hopper`` [m³] of the pump; ``line``, the number of the printer, from 0.
        """
        ...

    def can_be_ordered(self, morning: float, now: float, shift: Calendar) -> bool:
        """Tell whether concrete for the day that begins at ``morning`` [h] can still be had at ``now`` [h]."""
        ...

    def works_on(self, morning: float) -> bool:
        """Tell whether concrete can be had at all on the day of ``morning`` [h], ordered in time."""
        ...

    def order(self, need: float, morning: float, course: Callable[[float], Course]) -> Order:
        """Order ``need`` [m³] for the day that begins at ``morning`` [h].

        Parameters: ``course``, works out the expected use when the first of it is there at an instant [h].
        """
        ...

    def begin(self, order: Order, gate: Gate) -> None:
        """Set the order going; the concrete comes to ``gate``."""
        ...

    def confirm(self, order: Order, need: float, course: Callable[[float], Course]) -> Order:
        """Say with the go of a morning what of an order comes, now that the day is known to need ``need`` [m³].

        Parameters: ``course``, as for `order`.
        """
        ...

    def call_off(self, order: Order, building: str) -> None:
        """Call a whole day of a building off now; what it is too late for comes and goes back."""
        ...

    def last_call(self, gate: Gate) -> None:
        """Say that no more is needed at this gate today."""
        ...


@dataclass(slots=True, eq=False)
class Gate:
    """The way to the pump on one print day: loads queue, are connected one at a time, or are turned away.

    Parameters: ``line``, the number of the printer; ``look_ahead``, told the concrete [m³] still to be laid today and
    that of the next layer, the pace [m³/h] and when [h] it has to be in place, where somebody may call for more;
    ``all_ended_by`` [h], when the life of the last is over of all that has come so far.
    """

    env: simpy.Environment
    pump: Pump
    concrete: Concrete
    building: str
    line: int = 0
    is_open: bool = True
    all_ended_by: float = 0.0
    look_ahead: Callable[[float, float, float, float], None] | None = None

    def receive(self, load: Truckload) -> Process:
        """Let a load discharge when its turn comes; ends when its truck may leave."""
        chute = self.pump.chute
        turn = chute.take()
        if turn is not None:
            self.wait_as_long_as_it_lives(load, partial(chute.give_up, turn))
        self.all_ended_by = max(self.all_ended_by, load.expires)
        if turn is not None and not (yield turn):
            self.may_take(load)
            return
        if self.may_take(load):
            yield from self.discharge(load)
        chute.leave()

    def wait_as_long_as_it_lives(self, load: Truckload, give_up: Callable[[], None]) -> None:
        """Let a waiting load give up at the end of its life, for then it is of no use any more.

        Where all that is ahead of it ends no later than it, its turn will have come by then.
        """
        if load.expires >= self.all_ended_by:
            return
        self.env.timeout(max(0.0, load.expires - self.env.now)).callbacks.append(lambda _: give_up())

    def discharge(self, load: Truckload) -> Process:
        """Let a load empty at the printer's pace; its truck may leave when the rest fits the hopper."""
        pump = self.pump
        pump.no_longer_expect(load.volume)
        load.discharge_begun = self.env.now
        load.lot = Lot(load.volume, load.batched, load.expires)
        pump.add(load.lot)
        yield pump.below(pump.hopper)
        load.discharge_ended = self.env.now

    def may_take(self, load: Truckload) -> bool:
        """Tell whether a load may still be used; one that comes too late in the day, or too old, is sent away."""
        if not self.is_open:
            load.send_back(self.concrete)
        elif self.env.now >= load.expires:
            self.pump.no_longer_expect(load.volume)
            self._turn_away(load)
        else:
            return True
        return False

    def refuse(self, load: Truckload) -> None:
        """Turn a load away on its test."""
        self.miss(load)
        self._turn_away(load)
        load.note = REFUSED

    def miss(self, load: Truckload) -> None:
        """Wait no longer for a load that does not come."""
        if self.is_open:
            self.pump.no_longer_expect(load.volume)

    def _turn_away(self, load: Truckload) -> None:
        load.turned_away = load.volume
        load.note = "too old"
        self.concrete.rejected += load.volume
