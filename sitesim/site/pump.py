"""The pump: a small hopper at the end of the truck's chute or under the mixer, and the hose behind it."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from math import floor
from typing import NamedTuple

import simpy

from sitesim.hours import NEVER, TICKS_AN_HOUR, on_clock
from sitesim.ledger.book import Concrete
from sitesim.plan import DROP, Cause, in_drops
from sitesim.site.places import Places
from sitesim.site.world import Process


@dataclass(slots=True, eq=False)
class Lot:
    """Concrete of one age: ``volume`` [m³] left, ``born`` at first water [h], of no use after ``expires`` [h].

    What is ``rejected`` [m³] of it is thrown away at once, at ``rejected_at`` [h]. A lot equals itself only: two of the
    same age and volume are not the same concrete.
    """

    volume: float
    born: float
    expires: float
    rejected: float = 0.0
    rejected_at: float = NEVER
    returned: float = 0.0


class Draw(NamedTuple):
    """What one draw came to: ``taken`` [m³], the ``age`` [h] of what came last, and since when it waited for what."""

    taken: float = 0.0
    age: float = 0.0
    waited_from: float | None = None
    waited_for: Cause = Cause.CONCRETE


_as_draw: Callable[[tuple[float, float, float | None, Cause]], Draw] = partial(tuple.__new__, Draw)


class Pump:
    """Holds lots, oldest first, and gives them to the printer at the printer's pace.

    A lot is in the hopper or, where it is larger than the hopper, still in the truck that stands at it; the truck may
    go once its remainder fits. The end of a layer is found by inverting the supply: an event comes only when a lot runs
    out or grows too old, when the content falls to a level that somebody waits for, or when the layer is done.

    Parameters: ``hopper`` [m³]; ``concrete``, the run's balance; ``waived`` [h], by how much a waiver lets concrete be
    used past its agreed life.
    """

    def __init__(self, env: simpy.Environment, hopper: float, concrete: Concrete, waived: float = 0.0) -> None:
        self._env = env
        self.waived = waived
        self.hopper = hopper
        self._concrete = concrete
        self.lots: deque[Lot] = deque()
        self.content = 0.0
        self.coming = 0.0
        self._missing = Cause.CONCRETE
        self.on_loss: Callable[[float], None] | None = None
        self.on_dry: Callable[[float], None] | None = None
        """Told what a draw still wants [m³] when there is nothing left to draw."""
        self.on_wanted: Callable[[], None] | None = None
        """Told whenever somebody draws, or waits for concrete."""
        self.on_change: Callable[[float, float, Lot], None] | None = None
        """Told of each change of the content: since when [h], by how much [m³], and of which lot."""
        self._waits_until = NEVER
        self._patience = 0.0
        self._dry_since: float | None = None
        self._arrived: simpy.Event | None = None
        self._levels: list[tuple[float, simpy.Event]] = []
        self._next_level = -math.inf
        self._drawn: Lot | None = None
        self._drawn_since = self._drawn_until = self._pace = 0.0
        self.chute = Places(env, 1)

    def add(self, lot: Lot) -> None:
        """Connect a lot; whoever waits for concrete wakes up."""
        self.lots.append(lot)
        self.content += lot.volume
        self._tell_change(self._env.now, lot.volume, lot)
        self._dry_since = None
        self._reject_when_too_old(lot)
        self._wake()

    def stir_in(self, lot: Lot) -> None:
        """Connect a lot that mixes with what is there: all of it takes the age of the oldest, and its end."""
        born = min([lot.born, *(one.born for one in self.lots)])
        expires = min([lot.expires, *(one.expires for one in self.lots)])
        for one in self.lots:
            one.born = born
            if one.expires > expires:
                one.expires = expires
                self._reject_when_too_old(one)
        lot.born, lot.expires = born, expires
        self.add(lot)

    def _reject_when_too_old(self, lot: Lot) -> None:
        self._env.timeout(max(0.0, lot.expires - self._env.now)).callbacks.append(lambda _: self._expire(lot))

    def _wake(self) -> None:
        if self._arrived is not None:
            self._arrived.succeed(self._missing)
            self._arrived = None

    def miss(self, cause: Cause) -> None:
        """Say what is missing from now on where the pump runs dry; a wait until now counts by itself."""
        if cause is not self._missing:
            self._wake()
            self._missing = cause

    def arrival(self) -> simpy.Event:
        """Give the event of the next lot's arrival, or of another look; its value is the cause that was waited for."""
        if self.on_wanted is not None:
            self.on_wanted()
        if self._arrived is None:
            self._arrived = self._env.event()
        if self._dry_since is None:
            self._dry_since = self._env.now
            if self._dry_since + self._patience > self._waits_until:
                self._look_again_at(self._dry_since + self._patience)
        return self._arrived

    def below(self, level: float) -> simpy.Event:
        """Give the event of the content falling to ``level`` [m³] or less, within a draw that is under way too."""
        event = self._env.event()
        self._levels.append((level, event))
        self._next_level = max(level, self._next_level)
        if self._drawn is not None and self.present > level:
            reached = self._drawn_since + (self.content - level) / self._pace
            if reached < self._drawn_until:
                tick_after = (floor(reached * TICKS_AN_HOUR) + 1) / TICKS_AN_HOUR
                self._env.timeout(tick_after - self._env.now).callbacks.append(lambda _: self._tell_levels())
        self._tell_levels()
        return event

    def give_up(self, event: simpy.Event) -> None:
        """Let the event of a level happen though it has not been reached: nobody waits for it any more."""
        kept = [(level, other) for level, other in self._levels if other is not event]
        if len(kept) < len(self._levels):
            self._set_levels(kept)
            event.succeed()

    def _set_levels(self, levels: list[tuple[float, simpy.Event]]) -> None:
        self._levels = levels
        self._next_level = max((level for level, _ in levels), default=-math.inf)

    @property
    def present(self) -> float:
        """What is at the pump at this instant [m³]; ``content`` counts a draw off only when it comes to an event."""
        if self._drawn is None:
            return self.content
        return self.content - (self._env.now - self._drawn_since) * self._pace

    @property
    def is_drawn_from(self) -> bool:
        """Tell whether a draw is under way."""
        return self._drawn is not None

    def take(self, volume: float) -> float:
        """Take concrete at once, oldest first; returns what there was of ``volume`` [m³]."""
        taken = 0.0
        while self.lots and taken < volume:
            lot = self.lots[0]
            amount = min(volume - taken, lot.volume)
            self._use(lot, amount, self._env.now)
            taken += amount
        self._tell_levels()
        return taken

    def lose(self, volume: float) -> float:
        """Take concrete [m³] that will not be in the wall, as `take`; whoever can make up for it is told."""
        taken = self.take(volume)
        self._tell_loss(taken)
        return taken

    def draw(self, volume: float, pace: float) -> Process:
        """Take ``volume`` [m³] at a steady ``pace`` [m³/h], as far as the concrete goes.

        Returns a `Draw`. Where the pump ran dry before the end, it has waited for the next lot, and says since when;
        where nothing more is to come it returns with what it has.
        """
        env, lots = self._env, self.lots
        start = now = env.now
        taken = age = 0.0
        while taken < volume:
            if lots and lots[0].expires <= now:
                self._drop_expired()
            if self.on_wanted is not None:
                self.on_wanted()
            if not lots:
                if self.on_dry is not None:
                    self.on_dry(volume - taken)
                if not self.is_worth_waiting:
                    break
                missing: Cause = yield self.arrival()
                return _as_draw((taken, age, now, missing))
            lot = lots[0]
            # As far as the lot goes and stays fresh, and the content does not fall to a level that is waited for.
            reach = min(volume - taken, lot.volume, self.content - self._next_level)
            fresh = (lot.expires - now) * pace
            if reach > fresh:
                reach = max(min(reach, in_drops(fresh)), DROP)
            taken += reach
            since, until = now, start + on_clock(taken / pace)
            self._drawn, self._drawn_since, self._drawn_until, self._pace = lot, since, until, pace
            if until > now:
                yield until - now
                now = until
            self._drawn = None
            self._use(lot, reach, since)
            age = now - lot.born
            if self.waived and now > lot.expires - self.waived:
                past = in_drops((now - lot.expires + self.waived) * pace)
                self._concrete.past_agreed_life += min(reach, past)
            if lot.expires <= now:
                self._reject(lot)
            if self.content <= self._next_level:
                self._tell_levels()
        return _as_draw((taken, age, None, Cause.CONCRETE))

    @property
    def is_worth_waiting(self) -> bool:
        """Tell whether more is to come, and it is not too late in the day to wait for it."""
        if self.coming <= 0.0:
            return False
        now = self._env.now
        return now < self._waits_until or self._dry_since is None or now < self._dry_since + self._patience

    def wait_until(self, instant: float, patience: float) -> None:
        """Wait for concrete until an instant [h], or for ``patience`` [h] where a wait begins late; then look again."""
        self._waits_until, self._patience = instant, patience
        self._look_again_at(instant)

    def _look_again_at(self, instant: float) -> None:
        self._env.timeout(max(0.0, instant - self._env.now)).callbacks.append(lambda _: self._wake())

    @property
    def age(self) -> float:
        """The age [h] of the concrete that comes next; 0 where there is none."""
        return self._env.now - self.lots[0].born if self.lots else 0.0

    @property
    def of_one_age(self) -> float:
        """How much [m³] comes next that is of one age; 0 where there is none."""
        return self.lots[0].volume if self.lots else 0.0

    def expect(self, volume: float) -> None:
        """Count concrete [m³] that is on order and has not been connected yet."""
        self.coming += volume

    def no_longer_expect(self, volume: float) -> None:
        """Count it off again: connected, refused, or called off; whoever waits for concrete looks again."""
        self.coming -= volume
        self._wake()

    def clear_out(self) -> tuple[float, float]:
        """Empty everything at the end of the day.

        Returns what was in the hopper and what goes back with the truck that stands at it [m³].
        """
        in_hopper = min(self.content, self.hopper)
        in_truck = self.content - in_hopper
        if self.lots:
            self.lots[-1].returned = in_truck
        for lot in self.lots:
            self._tell_change(self._env.now, -lot.volume, lot)
            lot.volume = 0.0
        self.lots.clear()
        self.content = 0.0
        self._tell_levels()
        return in_hopper, in_truck

    def _use(self, lot: Lot, amount: float, since: float) -> None:
        lot.volume -= amount
        self.content -= amount
        if self.on_change is not None:
            self.on_change(since, -amount, lot)
        if lot.volume == 0.0 and self.lots and self.lots[0] is lot:
            self.lots.popleft()

    def _expire(self, lot: Lot) -> None:
        if lot is not self._drawn and lot.volume:
            self._reject(lot)

    def _drop_expired(self) -> None:
        for lot in [lot for lot in self.lots if lot.expires <= self._env.now]:
            self._reject(lot)

    def _reject(self, lot: Lot) -> None:
        if lot not in self.lots:
            return
        self.lots.remove(lot)
        self.content -= lot.volume
        self._tell_change(self._env.now, -lot.volume, lot)
        lot.rejected, lot.rejected_at = lot.volume, self._env.now
        self._concrete.rejected += lot.volume
        self._tell_loss(lot.volume)
        lot.volume = 0.0
        self._tell_levels()

    def _tell_change(self, since: float, volume: float, lot: Lot) -> None:
        if self.on_change is not None:
            self.on_change(since, volume, lot)

    def _tell_loss(self, volume: float) -> None:
        if self.on_loss is not None and volume > 0.0:
            self.on_loss(volume)

    def _tell_levels(self) -> None:
        present = self.present
        if present > self._next_level:
            return
        reached = [event for level, event in self._levels if present <= level]
        self._set_levels([(level, event) for level, event in self._levels if present > level])
        for event in reached:
            event.succeed()
