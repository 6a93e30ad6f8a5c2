"""Gangs that are not always on the site: kept running behind a start delay, or called at notice from another job."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

import simpy
from simpy.events import EventPriority

from sitesim.chance import Luck, stream
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import NOBODY, Coming
from sitesim.policies import AtNotice
from sitesim.site.crews import Ask, Crews, Needs
from sitesim.site.engine import Engine
from sitesim.site.sharing import Homes
from sitesim.site.stage import Stage

AFTER_ALL_DECISIONS = EventPriority(3)
"""Event priority: who comes and goes is settled when whatever could be granted at an instant has begun."""


class ComingCrews(Crews):
    """Hands out units as `Crews` does, some of which are not there: such a unit counts as busy.

    One that is kept running comes once, its start delay after its first work is asked for. One that is called works
    elsewhere; it is called for a request that nobody who is free or on the way can serve, or ahead of work that is
    expected, and leaves when nothing for it waits or is expected soon.
    """

    def __init__(self, env: Engine, stage: Stage, luck: Luck, ledger: Ledger, homes: Homes | None = None) -> None:
        units = stage.plan.units
        super().__init__(env, len(units), homes)
        self._units = units
        self._shifts = stage.unit_shifts
        self._luck = luck
        self._ledger = ledger
        self._late = dict(stage.start_delays or {})
        self._policies = {unit: each.flow for unit, each in enumerate(units) if isinstance(each.flow, AtNotice)}
        self._away = dict.fromkeys(self._policies, 0.0)
        """Since when [h] those who have not been called are away."""
        self._coming: dict[int, tuple[float, float]] = {}
        """When [h] those who are on the way had left, and were called."""
        self._calls = dict.fromkeys(self._policies, 0)
        self._expected: dict[str, tuple[Needs, float]] = {}
        self._why_away: dict[int, str] = {}
        self._settling = False
        for unit in (*self._late, *self._away):
            self._busy[unit] = True

    def ask(self, key: str, building_rank: int, task_rank: int, needs: Needs, *more: Any, **named: Any) -> Ask:
        """Put a request as in `Crews`; the start delay of those whose first it is begins to run."""
        self._expected.pop(key, None)
        for unit in dict.fromkeys(unit for group in needs for unit in group if unit in self._late):
            begin = self._shifts[unit].finish(self._env.now, self._late.pop(unit))
            self._come_at(unit, begin, "is kept running, with a start delay that ends past the horizon")
        return super().ask(key, building_rank, task_rank, needs, *more, **named)

    def give_back(self, units: tuple[int, ...], serial: int) -> None:
        """Return units; whoever has no more to do leaves."""
        super().give_back(units, serial)
        self._settle_later()

    def why_away(self, unit: int) -> str:
        """Say why a unit that is not there will not come any more."""
        return self._why_away.get(unit, "")

    def expect(self, key: str, needs: Needs, ready: float) -> None:
        """Take note of work that will be asked for about an instant [h], under its key."""
        self._expected[key] = needs, ready
        for unit in dict.fromkeys(unit for group in needs for unit in group if unit in self._policies):
            shifts = self._usual_shifts(unit)
            at = shifts.finish(0.0, max(0.0, shifts.hours_before(ready) - self._policies[unit].ahead))
            if self._env.now < at < NEVER:
                self._env.timeout(at - self._env.now).callbacks.append(self._settle_later)
        self._settle_later()

    def _decide(self, event: simpy.Event) -> None:
        super()._decide(event)
        self._settle_later()

    def _settle_later(self, _: simpy.Event | None = None) -> None:
        """Settle who comes and goes once all that has been granted at this instant has begun."""
        if not self._settling:
            self._settling = True
            self._env.call_later(self._settle, AFTER_ALL_DECISIONS)

    def _settle(self, _: simpy.Event) -> None:
        """Call who is missing, and let go who has no more to do."""
        self._settling = False
        spoken_for: set[int] = set()
        for unit in self._missing(spoken_for):
            self._call(unit)
        for unit in self._policies:
            if not self._busy[unit] and not self._is_wanted(unit):
                self._busy[unit] = True
                self._away[unit] = self._env.now
                self._ledger.remark(self._env.now, "", "{} goes to another job", self._units[unit].name)

    def _missing(self, spoken_for: set[int]) -> Iterator[int]:
        """Name who has to be called, and speak for those who are free or on the way, each for one piece of work."""
        for *_, ask in self._pending:
            for group in ask.needs:
                there = [unit for unit in group if unit not in spoken_for and self._is_free_or_coming(unit)]
                called = there[:1] or self._first_to_come([unit for unit in group if unit in self._away])
                spoken_for.update(called)
                yield from (unit for unit in called if unit in self._away)
        for needs, ready in self._expected.values():
            for group in needs:
                left = [unit for unit in group if unit not in spoken_for]
                there = [unit for unit in left if self._is_free_or_coming(unit)][:1]
                spoken_for.update(there)
                if not there and all(unit in self._away for unit in left):  # else somebody on site will be free
                    due = [unit for unit in self._first_to_come(left) if self._is_due(unit, ready)]
                    spoken_for.update(due)
                    yield from due

    def _first_to_come(self, units: list[int]) -> list[int]:
        """Pick the one that should come first if it were called now, with regard to who is missing; none of none."""
        return units if len(units) < 2 else [min(units, key=self._should_come)]

    def _should_come(self, unit: int) -> float:
        usual = self._units[unit].notice
        return self._shifts[unit].finish(self._env.now, 0.0 if usual is None else on_clock(usual.mean))

    def _is_free_or_coming(self, unit: int) -> bool:
        return unit in self._coming or not self._busy[unit]

    def _is_due(self, unit: int, ready: float) -> bool:
        return self._policies[unit].is_called_for(self._hours_until(unit, ready))

    def _usual_shifts(self, unit: int) -> Calendar:
        """Give the hours by which a unit is called and stays: days on which it is missing bring no work nearer."""
        shifts = self._shifts[unit]
        return shifts.usual or shifts

    def _hours_until(self, unit: int, instant: float) -> float:
        shifts = self._usual_shifts(unit)
        return shifts.hours_before(instant) - shifts.hours_before(self._env.now)

    def _is_wanted(self, unit: int) -> bool:
        """Tell whether work for a unit waits, or is expected soon."""
        if any(unit in group for *_, ask in self._pending for group in ask.needs):
            return True
        policy = self._policies[unit]
        return any(
            policy.stays_for(self._hours_until(unit, ready))
            for needs, ready in self._expected.values()
            if any(unit in group for group in needs)
        )

    def _call(self, unit: int) -> None:
        """Call a unit, which comes after its notice."""
        now, name, usual = self._env.now, self._units[unit].name, self._units[unit].notice
        notice = 0.0 if usual is None else on_clock(self._luck.draw(usual, stream("call", name), self._calls[unit]))
        self._calls[unit] += 1
        self._coming[unit] = self._away.pop(unit), now
        self._ledger.remark(now, "", "{} is called", name)
        self._come_at(unit, self._shifts[unit].finish(now, notice), "is called, and cannot come within the horizon")

    def _come_at(self, unit: int, instant: float, otherwise: str) -> None:
        """Let a unit come at an instant [h], or say why it never does."""
        if instant < NEVER:
            self._env.timeout(instant - self._env.now).callbacks.append(partial(self._come, unit))
        else:
            self._why_away[unit] = otherwise

    def _come(self, unit: int, _: simpy.Event) -> None:
        now = self._env.now
        if unit in self._coming:
            self._ledger.comings.append(Coming(unit, *self._coming.pop(unit), now))
        self._ledger.remark(now, "", "{} comes", self._units[unit].name)
        self.give_back((unit,), NOBODY)
