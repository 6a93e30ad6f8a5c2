"""A mixer on site: batch after batch with its own hands, as far as there is room in the hopper."""

from __future__ import annotations

from collections.abc import Callable

import simpy

from sitesim.chance import Luck, stream
from sitesim.hours import Calendar, on_clock
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import Load
from sitesim.plan import SiteMix, in_drops
from sitesim.site.pump import Lot
from sitesim.site.supply import Gate, Order
from sitesim.site.world import Process

_CYCLE = stream("mixer", "cycle")
_FAILS = stream("mixer", "batch fails")
_BATCHES_A_DAY = 10_000


class SiteMixSupply:
    """Needs no order: mixes what the day needs, and stops when it is told to.

    Parameters: as for a plant; ``working_life`` gives the hours [h] that a batch begun at an instant [h] may live.
    """

    def __init__(
        self,
        env: simpy.Environment,
        plan: SiteMix,
        luck: Luck,
        ledger: Ledger,
        first_ordinal: int,
        working_life: Callable[[float], float],
    ) -> None:
        self._env = env
        self._plan = plan
        self._luck = luck
        self._ledger = ledger
        self._first_ordinal = first_ordinal
        self._working_life = working_life
        self._mixing: dict[str, bool] = {}

    def can_be_ordered(self, morning: float, now: float, shift: Calendar) -> bool:
        """Tell that the mixer is always there."""
        return now <= morning

    def order(self, need: float, morning: float) -> Order:
        """Note what the day needs."""
        return Order(need, morning)

    def begin(self, order: Order, gate: Gate) -> None:
        """Begin to mix when the mixer has been made ready."""
        gate.pump.expect(in_drops(order.need))
        self._mixing[gate.building] = True
        self._env.process(self._mix_the_day(order, gate))

    def call_off(self, order: Order) -> None:
        """Leave the mixer shut; nothing has been lost."""

    def last_call(self, gate: Gate) -> None:
        """Mix no further batch for this gate."""
        self._mixing[gate.building] = False

    def _mix_the_day(self, order: Order, gate: Gate) -> Process:
        plan, pump = self._plan, gate.pump
        day = int(order.morning // 24)
        yield self._env.timeout(max(0.0, order.morning + plan.ready - self._env.now))
        begun = self._env.now
        made = failed = wasted = 0.0
        number = 0
        to_come = in_drops(order.need)
        while to_come > 0.0 and self._mixing[gate.building] and gate.is_open:
            ordinal = (self._first_ordinal + day) * _BATCHES_A_DAY + number
            number += 1
            born = self._env.now
            volume = min(in_drops(plan.batch), max(to_come, in_drops(plan.batch / 2)))
            yield self._env.timeout(on_clock(self._luck.draw(plan.cycle, _CYCLE, ordinal)))
            self._ledger.concrete.batched += volume
            made += volume
            if plan.fails and self._luck.uniform(_FAILS, ordinal) < plan.fails:
                self._ledger.concrete.rejected += volume
                failed += volume
                continue
            yield pump.below(max(0.0, pump.hopper - volume))
            if not gate.is_open:
                self._ledger.concrete.washed_out += volume
                wasted += volume
                break
            pump.add(Lot(volume, born, born + self._working_life(born)))
            delivered = min(volume, to_come)
            to_come -= delivered
            pump.no_longer_expect(delivered)
        if gate.is_open and to_come > 0.0:
            pump.no_longer_expect(to_come)
        self._ledger.loads.append(
            Load(
                gate.building,
                day,
                number,
                made,
                order.morning,
                begun,
                begun,
                begun,
                begun,
                self._env.now,
                made - failed - wasted,
                failed,
                wasted,
                0.0,
                "mixed on site",
            )
        )
