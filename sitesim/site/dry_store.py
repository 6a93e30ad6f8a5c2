"""The dry material beside a mixer: used batch by batch, ordered again in time or not."""

from __future__ import annotations

from collections.abc import Callable

import simpy

from sitesim.chance import Luck, stream
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.plan import DryStore, in_drops

_LEAD = stream("dry material", "lead")


class Store:
    """Dry material, counted as the concrete that it makes; full when the site begins.

    Parameters: ``hours``, the calendar in which lead times count and deliveries come.
    """

    def __init__(self, env: simpy.Environment, plan: DryStore, luck: Luck, hours: Calendar) -> None:
        self._env = env
        self._plan = plan
        self._luck = luck
        self._hours = hours
        self._level = in_drops(plan.capacity)
        self._ordered = 0
        self._is_ordered = False
        self._waiting: list[Callable[[], None]] = []

    def has(self, volume: float) -> bool:
        """Tell whether there is enough for a batch of ``volume`` [m³]."""
        return self._level >= volume

    def use(self, volume: float) -> None:
        """Take the material for a batch, and order more where the level has fallen far enough."""
        self._level -= volume
        self._order_in_time()

    def tell_of_delivery(self, then: Callable[[], None]) -> None:
        """Tell somebody when the next delivery has come, which is ordered by now at the latest."""
        self._waiting.append(then)
        self._order_in_time(empty=True)

    def _order_in_time(self, empty: bool = False) -> None:
        if self._is_ordered or (self._level > self._plan.reorder_at and not empty):
            return
        self._is_ordered = True
        lead = on_clock(self._luck.draw(self._plan.lead, _LEAD, self._ordered))
        self._ordered += 1
        arrives = self._hours.finish(self._env.now, lead)
        if arrives < NEVER:
            self._env.timeout(arrives - self._env.now).callbacks.append(self._arrive)

    def _arrive(self, _: simpy.Event) -> None:
        """Fill the store up with what came, as far as it has room, and order again if that is still too little."""
        self._is_ordered = False
        self._level = min(in_drops(self._plan.capacity), self._level + in_drops(self._plan.delivery))
        self._order_in_time()
        waiting, self._waiting = self._waiting, []
        for then in waiting:
            then()
