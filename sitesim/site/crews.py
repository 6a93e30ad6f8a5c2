"""Gangs, cranes, printers and tents: who gets them, in what order."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from operator import itemgetter
from typing import Any

import simpy
from simpy.events import PENDING, EventPriority

from sitesim.hours import NEVER, Calendar
from sitesim.ledger.rows import NOBODY
from sitesim.site.engine import Engine, Happening
from sitesim.site.sharing import Homes, Stay

OpenHours = Callable[[tuple[int, ...]], tuple[Calendar, Calendar]]
"""Gives the hours in which chosen units may do a work, and the same without the weather."""

Rank = Callable[[int], float]
"""Ranks the units of which any one serves: the lowest goes first, of equals the one that has been idle longest.

One whose rank is `NEVER` does not serve now; another one will be free.
"""

Needs = tuple[tuple[int, ...], ...]
"""For each gang or machine needed the unit indices of which any one serves."""

_AFTER_ALL_ELSE = EventPriority(2)
"""Event priority: decisions are taken when everything else of an instant has happened."""


class Ask(Happening):
    """A request for all that one activity needs, at once, and the event of its being granted.

    ``key`` says for what. ``open_hours`` gives the calendars that hold with the units chosen; ``window`` [h] has to fit
    into one interval of them, 0 for work that may be split; ``lead`` [h], how long before its hours open it may be
    granted; ``stay``, the homes that it occupies where they are not for everybody at once; ``rank``, which units go
    first, None where the one that has been idle longest does.

    ``sole`` is the one unit needed where no other serves, else `NOBODY`. Once it is granted, ``units`` are what was
    handed over, ``hours`` and ``shift`` when they may work with and without the weather, ``free_since`` [h] when the
    last of them, ``last_free``, became free, or the last left who was in the way, and ``freed_by`` the entry that freed
    it; ``slower``, the factor by which those who are there slow the work.
    """

    hours: Calendar
    shift: Calendar

    def __init__(
        self,
        env: Engine,
        key: str,
        needs: Needs,
        open_hours: OpenHours,
        window: float,
        lead: float,
        stay: Stay | None,
        rank: Rank | None,
    ) -> None:
        self.env = env
        self.callbacks = []
        self._value = PENDING
        self.key = key
        self.needs = needs
        self.open_hours = open_hours
        self.window = window
        self.lead = lead
        self.stay = stay
        self.rank = rank
        self.sole = needs[0][0] if len(needs) == 1 and len(needs[0]) == 1 else NOBODY
        self.units: tuple[int, ...] = ()
        self.free_since = 0.0
        self.last_free = NOBODY
        self.freed_by = NOBODY
        self.slower = 1.0

    @property
    def granted(self) -> simpy.Event:
        """The event of its being granted."""
        return self


Pending = tuple[int, int, float, int, Ask]
"""A request in its order: the ranks of building and task, the instant [h] and the number of the asking."""


@dataclass(slots=True)
class Nobody:
    """Who does a step that needs nobody: ``hours`` and ``shift`` as of a request that has been granted."""

    hours: Calendar
    shift: Calendar
    units: tuple[int, ...] = ()
    slower: float = 1.0


Crew = Ask | Nobody
"""Who does a step, once they have been granted."""


class Crews:
    """Hands out units, all or none, in order of priority, when the hours of the work are open.

    Younger requests may pass one that is blocked. Nothing is decided before everything else of an instant has happened,
    so that ties are broken by priority and not by the order in which processes woke up. Trades that do not share a home
    are let in like this, too: at the beginning of their work, and never while they wait for something else.

    Parameters: ``homes``, where not everybody may be in a home at once.
    """

    def __init__(self, env: Engine, units: int, homes: Homes | None = None) -> None:
        self._env = env
        self._busy = [False] * units
        self._freed_at = [0.0] * units
        self._freed_by = [NOBODY] * units
        self._pending: list[Pending] = []
        self._asked = 0
        self._deciding = False
        self._decision = env.event()  # one that happens again and again
        self._decision._ok = True
        self._decision._value = None
        self._decide_now: list[Callable[[Any], None]] = [self._decide]
        self._wake_at = NEVER
        self._homes = homes
        self._staying: dict[int, Stay] = {}

    @property
    def pending(self) -> Sequence[Ask]:
        """The requests that wait, in order of priority."""
        return [ask for *_, ask in self._pending]

    def ask(
        self,
        key: str,
        building_rank: int,
        task_rank: int,
        needs: Needs,
        open_hours: OpenHours,
        window: float = 0.0,
        lead: float = 0.0,
        stay: Stay | None = None,
        rank: Rank | None = None,
    ) -> Ask:
        """Put a request; its ``granted`` event happens when all of ``needs`` are handed over together.

        With a ``lead`` [h] it is granted that much before its hours open, unless a request that comes before it in
        order waits to begin with one of the same units by then.
        """
        env = self._env
        self._asked += 1
        ask = Ask(env, key, needs, open_hours, window, lead, stay, rank)
        insort(self._pending, (building_rank, task_rank, env.now, self._asked, ask))
        if not self._deciding:
            self._decide_later()
        return ask

    def is_busy(self, unit: int) -> bool:
        """Tell whether somebody has a unit, or it is not on the site."""
        return self._busy[unit]

    def why_away(self, unit: int) -> str:
        """Say why a unit that is not there will not come any more; empty where nothing keeps it away."""
        return ""

    def give_back(self, units: tuple[int, ...], serial: int) -> None:
        """Return units at the end of the activity with this ledger serial."""
        now = self._env.now
        for unit in units:
            self._busy[unit] = False
            self._freed_at[unit] = now
            self._freed_by[unit] = serial
        if self._homes is not None and units[0] in self._staying:
            self._homes.leave(self._staying.pop(units[0]), now, units[0], serial)
        if self._pending and not self._deciding:
            self._decide_later()

    def _decide_later(self) -> None:
        self._deciding = True
        self._decision.callbacks = self._decide_now
        self._env.schedule(self._decision, _AFTER_ALL_ELSE)

    def _decide(self, _: simpy.Event) -> None:
        """Grant whatever can be granted now, and see to it that we wake when more can."""
        self._deciding = False
        now, busy = self._env.now, self._busy
        granted: list[int] = []
        spoken_for: dict[int, float] = {}
        wake = NEVER
        ranked = False
        for place, pending in enumerate(self._pending):
            ask = pending[-1]
            sole = ask.sole
            if sole != NOBODY:
                if busy[sole]:
                    continue
                units: tuple[int, ...] | None = ask.needs[0]
            elif ask.rank is not None and ranked:
                continue
            else:
                units = self._choose(ask.needs, ask.rank)
            if units is None:
                continue
            if ask.stay is not None and not self._admits(ask.stay):
                continue
            hours, shift = ask.open_hours(units)
            window = ask.window
            opening = hours.next_window(now, window) if window else hours.next_open(now)
            if opening > now and sole == NOBODY and shift.usual is not None:
                units, hours, shift, opening = self._who_comes_first(ask)
            if opening > now:
                early = opening - ask.lead
                if early > now or any(spoken_for.get(unit, NEVER) <= opening for unit in units):
                    wake = min(wake, early if early > now else opening)
                    for unit in units:
                        spoken_for[unit] = min(opening, spoken_for.get(unit, NEVER))
                    continue
            granted.append(place)
            self._grant(ask, units, hours, shift)
            ranked = ranked or (ask.rank is not None and sole == NOBODY)
        for place in reversed(granted):
            del self._pending[place]
        if ranked and self._pending:
            self._decide_later()  # whoever has got something by its rank may have changed how others rank
        if wake < self._wake_at:
            self._wake_at = wake
            self._env.timeout(wake - now).callbacks.append(self._wake)

    def _wake(self, _: simpy.Event) -> None:
        if self._env.now >= self._wake_at:
            self._wake_at = NEVER
        if not self._deciding:
            self._decide_later()

    def _choose(self, needs: Needs, rank: Rank | None) -> tuple[int, ...] | None:
        """Pick for each need the free unit of lowest rank, of equals that idle longest; None if one is missing."""
        busy = self._busy
        chosen: list[int] = []
        for group in needs:
            best = NOBODY
            least = NEVER
            for unit in group:
                if busy[unit] or unit in chosen:
                    continue
                mine = 0.0 if rank is None else rank(unit)
                if mine < least or (mine == least < NEVER and self._freed_at[unit] < self._freed_at[best]):
                    best, least = unit, mine
            if best == NOBODY:
                return None
            chosen.append(best)
        return tuple(chosen)

    def _who_comes_first(self, ask: Ask) -> tuple[tuple[int, ...], Calendar, Calendar, float]:
        """Pick of those who are free, some of whom are away, the ones whose hours open first, and of these as usual.

        Returns the units, their hours with and without the weather, and when [h] they open.
        """
        now, window = self._env.now, ask.window
        found: list[tuple[float, list[float], tuple[int, ...], Calendar, Calendar]] = []
        for units in product(*([unit for unit in group if not self._busy[unit]] for group in ask.needs)):
            if len(set(units)) == len(units):
                hours, shift = ask.open_hours(units)
                opening = hours.next_window(now, window) if window else hours.next_open(now)
                found.append((opening, [self._freed_at[unit] for unit in units], units, hours, shift))
        opening, _, units, hours, shift = min(found, key=itemgetter(0, 1, 2))
        return units, hours, shift, opening

    def _admits(self, stay: Stay) -> bool:
        return self._homes is None or self._homes.admits(stay)

    def _let_in(self, ask: Ask, stay: Stay) -> None:
        """Let those in who have been granted a request, and tell who was in their way."""
        if self._homes is not None:
            since, unit, serial = self._homes.cleared(stay)
            if since > ask.free_since:
                ask.free_since, ask.last_free, ask.freed_by = since, unit, serial
            ask.slower = self._homes.enter(stay)
            self._staying[ask.units[0]] = stay

    def _grant(self, ask: Ask, units: tuple[int, ...], hours: Calendar, shift: Calendar) -> None:
        ask.units, ask.hours, ask.shift = units, hours, shift
        freed_at = self._freed_at
        for unit in units:
            self._busy[unit] = True
            if freed_at[unit] > ask.free_since:
                ask.free_since, ask.last_free = freed_at[unit], unit
                ask.freed_by = self._freed_by[unit]
        if ask.stay is not None:
            self._let_in(ask, ask.stay)
        ask.succeed()
