"""Gangs, cranes, printers and tents: who gets them, in what order."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import simpy
from simpy.events import EventPriority

from sitesim.hours import NEVER, Calendar
from sitesim.ledger.rows import NOBODY

OpenHours = Callable[[tuple[int, ...]], tuple[Calendar, Calendar]]
"""Gives the hours in which chosen units may do a work, and the same without the weather."""

Needs = tuple[tuple[int, ...], ...]
"""For each gang or machine needed the unit indices of which any one serves."""

_AFTER_ALL_ELSE = EventPriority(2)
"""Event priority: decisions are taken when everything else of an instant has happened."""


@dataclass(slots=True, eq=False)
class Ask:
    """A request for all that one activity needs, at once.

    Ordered by ``priority``: building, task, time of asking, number. ``key`` says for what. ``open_hours`` gives the
    calendars that hold with the units chosen; ``window`` [h] has to fit into one interval of them, 0 for work that may
    be split; ``lead`` [h], how long before its hours open it may be granted.

    ``sole`` is the one unit needed where no other serves, else `NOBODY`. Once ``granted`` has happened, ``units`` are
    what was handed over, ``hours`` and ``shift`` when they may work with and without the weather, ``free_since`` [h]
    when the last of them, ``last_free``, became free and ``freed_by`` the entry that freed it.
    """

    priority: tuple[int, int, float, int]
    key: str
    needs: Needs
    open_hours: OpenHours
    window: float
    lead: float
    granted: simpy.Event
    sole: int = field(init=False)
    units: tuple[int, ...] = ()
    hours: Calendar = field(init=False)
    shift: Calendar = field(init=False)
    free_since: float = 0.0
    last_free: int = NOBODY
    freed_by: int = NOBODY

    def __post_init__(self) -> None:
        self.sole = self.needs[0][0] if len(self.needs) == 1 and len(self.needs[0]) == 1 else NOBODY

    def __lt__(self, other: Ask) -> bool:
        return self.priority < other.priority


class Crew(NamedTuple):
    """Who does a step: ``units``, and the ``hours`` in which they may, ``shift`` without the weather."""

    units: tuple[int, ...]
    hours: Calendar
    shift: Calendar


class Crews:
    """Hands out units, all or none, in order of priority, when the hours of the work are open.

    Younger requests may pass one that is blocked. Nothing is decided before everything else of an instant has happened,
    so that ties are broken by priority and not by the order in which processes woke up.
    """

    def __init__(self, env: simpy.Environment, units: int) -> None:
        self._env = env
        self._busy = [False] * units
        self._freed_at = [0.0] * units
        self._freed_by = [NOBODY] * units
        self._pending: list[Ask] = []
        self._asked = 0
        self._deciding = False
        self._wake_at = NEVER

    @property
    def pending(self) -> Sequence[Ask]:
        """The requests that wait, in order of priority."""
        return self._pending

    def ask(
        self,
        key: str,
        building_rank: int,
        task_rank: int,
        needs: Needs,
        open_hours: OpenHours,
        window: float = 0.0,
        lead: float = 0.0,
    ) -> Ask:
        """Put a request; its ``granted`` event happens when all of ``needs`` are handed over together.

        With a ``lead`` [h] it is granted that much before its hours open, unless a request that comes before it in
        order waits to begin with one of the same units by then.
        """
        self._asked += 1
        priority = (building_rank, task_rank, self._env.now, self._asked)
        ask = Ask(priority, key, needs, open_hours, window, lead, self._env.event())
        insort(self._pending, ask)
        self._decide_later()
        return ask

    def is_busy(self, unit: int) -> bool:
        """Tell whether somebody has a unit."""
        return self._busy[unit]

    def give_back(self, units: tuple[int, ...], serial: int) -> None:
        """Return units at the end of the activity with this ledger serial."""
        now = self._env.now
        for unit in units:
            self._busy[unit] = False
            self._freed_at[unit] = now
            self._freed_by[unit] = serial
        if self._pending:
            self._decide_later()

    def _decide_later(self) -> None:
        if self._deciding:
            return
        self._deciding = True
        event = simpy.Event(self._env)
        event._ok = True
        event._value = None
        event.callbacks = [self._decide]
        self._env.schedule(event, _AFTER_ALL_ELSE)

    def _decide(self, _: simpy.Event) -> None:
        """Grant whatever can be granted now, and see to it that we wake when more can."""
        self._deciding = False
        now, busy = self._env.now, self._busy
        granted: list[Ask] = []
        spoken_for: dict[int, float] = {}
        wake = NEVER
        for ask in self._pending:
            if ask.sole != NOBODY and busy[ask.sole]:
                continue
            units = self._choose(ask.needs)
            if units is None:
                continue
            hours, shift = ask.open_hours(units)
            opening = hours.next_window(now, ask.window) if ask.window else hours.next_open(now)
            if opening > now:
                early = opening - ask.lead
                if early > now or any(spoken_for.get(unit, NEVER) <= opening for unit in units):
                    wake = min(wake, early if early > now else opening)
                    for unit in units:
                        spoken_for[unit] = min(opening, spoken_for.get(unit, NEVER))
                    continue
            granted.append(ask)
            self._grant(ask, units, hours, shift)
        for ask in granted:
            self._pending.remove(ask)
        if wake < self._wake_at:
            self._wake_at = wake
            self._env.timeout(wake - now).callbacks.append(self._wake)

    def _wake(self, _: simpy.Event) -> None:
        if self._env.now >= self._wake_at:
            self._wake_at = NEVER
        self._decide_later()

    def _choose(self, needs: Needs) -> tuple[int, ...] | None:
        """Pick for each need the free unit that has been idle longest; None if one is missing."""
        busy = self._busy
        if len(needs) == 1 and len(needs[0]) == 1:
            unit = needs[0][0]
            return None if busy[unit] else (unit,)
        chosen: list[int] = []
        for group in needs:
            best = NOBODY
            for unit in group:
                if busy[unit] or unit in chosen:
                    continue
                if best == NOBODY or self._freed_at[unit] < self._freed_at[best]:
                    best = unit
            if best == NOBODY:
                return None
            chosen.append(best)
        return tuple(chosen)

    def _grant(self, ask: Ask, units: tuple[int, ...], hours: Calendar, shift: Calendar) -> None:
        ask.units, ask.hours, ask.shift = units, hours, shift
        for unit in units:
            self._busy[unit] = True
            if self._freed_at[unit] > ask.free_since:
                ask.free_since, ask.last_free = self._freed_at[unit], unit
                ask.freed_by = self._freed_by[unit]
        ask.granted.succeed()
