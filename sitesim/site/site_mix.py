"""A mixer on site: batch after batch with its own hands, as far as there is room in the hopper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import simpy

from sitesim.chance import stream
from sitesim.hours import Calendar, on_clock
from sitesim.ledger.rows import Load, Rejection
from sitesim.plan import Cause, SiteMix, in_drops
from sitesim.policies import Course
from sitesim.site.dry_store import Store
from sitesim.site.pump import Lot, Pump
from sitesim.site.supply import Gate, Order, Surroundings
from sitesim.site.world import Process

_CYCLE = stream("mixer", "cycle")
_FAILS = stream("mixer", "batch fails")
_BATCHES_A_DAY = 10_000
_BATCHES_OF_ONE_MIXER = 1 << 40
"""Ordinals set apart for each printer's mixer, so that another one has luck of its own."""


@dataclass(slots=True)
class MixingDay:
    """What is ``to_come`` [m³] for one gate, whether mixing ``goes_on``, and the mixer's wait while it is ``idle``.

    Once one of the ``lots`` has grown too old while nobody drew, no further batch is begun before the printer
    ``is_wanting`` some.
    """

    to_come: float
    lots: list[Lot] = field(default_factory=list)
    goes_on: bool = True
    is_wanting: bool = True
    idle: simpy.Event | None = None

    def wait_until_wanted(self, pump: Pump) -> None:
        """Begin no further batch until the printer goes on, and wants concrete of the pump."""

        def want() -> None:
            pump.on_wanted = None
            self.is_wanting = True
            self.look_again()

        self.is_wanting = False
        pump.on_wanted = want

    def look_again(self) -> None:
        """Wake the mixer where it waits for something to do."""
        if self.idle is not None:
            self.idle.succeed()
            self.idle = None


class SiteMixSupply:
    """Needs no order: mixes what the day needs, and stops when it is told to.

    Parameters: ``hours``, the calendar in which dry material is delivered.
    """

    asks_for_notice = False

    def __init__(self, around: Surroundings, plan: SiteMix, hours: Calendar) -> None:
        self._around = around
        self._env, self._luck, self._ledger = around.env, around.luck, around.ledger
        self._plan = plan
        self._store = None if plan.store is None else Store(around.env, plan.store, around.luck, hours)
        self._days: dict[str, MixingDay] = {}

    def open_gate(self, hopper: float, building: str, line: int) -> Gate:
        """Give the gate of a print day."""
        return Gate(self._env, self._around.pump(hopper), self._ledger.concrete, building, line)

    def can_be_ordered(self, morning: float, now: float, shift: Calendar) -> bool:
        """Tell that the mixer is always there."""
        return now <= morning

    def works_on(self, morning: float) -> bool:
        """Tell that it mixes on any day."""
        return True

    def order(self, need: float, morning: float, course: Callable[[float], Course]) -> Order:
        """Note what the day needs."""
        return Order(need, morning)

    def begin(self, order: Order, gate: Gate) -> None:
        """Begin to mix when the mixer has been made ready; what is lost on the way is made up for."""
        mixing = self._days[gate.building] = MixingDay(in_drops(order.need))
        gate.pump.expect(mixing.to_come)

        def make_up(volume: float) -> None:
            if mixing.goes_on:
                mixing.to_come += volume
                too_old = any(lot.rejected_at == self._env.now for lot in mixing.lots)
                if too_old and not gate.pump.is_drawn_from:
                    mixing.wait_until_wanted(gate.pump)
                gate.pump.expect(volume)
                mixing.look_again()

        gate.pump.on_loss = make_up
        self._env.process(self._mix_the_day(order, gate, mixing))

    def confirm(self, order: Order, need: float, course: Callable[[float], Course]) -> Order:
        """Leave what the day needs as it was noted, once the day before was over."""
        return order

    def call_off(self, order: Order, building: str) -> None:
        """Leave the mixer shut; nothing has been lost."""

    def last_call(self, gate: Gate) -> None:
        """Mix no further batch for this gate."""
        mixing = self._days[gate.building]
        mixing.goes_on = False
        mixing.look_again()

    def _mix_the_day(self, order: Order, gate: Gate, mixing: MixingDay) -> Process:
        plan, pump = self._plan, gate.pump
        day = int(order.morning // 24)
        yield max(0.0, order.morning + plan.ready - self._env.now)
        begun = last_batch = cleaned = self._env.now
        made = failed = 0.0
        lots = mixing.lots
        number = 0
        while mixing.goes_on and gate.is_open:
            if mixing.to_come <= 0.0 or not mixing.is_wanting:
                mixing.idle = self._env.event()
                yield mixing.idle
                continue
            volume = min(in_drops(plan.batch), max(mixing.to_come, in_drops(plan.batch / 2)))
            if self._store is not None and not self._store.has(volume):
                pump.miss(Cause.MATERIAL)
                mixing.idle = self._env.event()
                self._store.tell_of_delivery(mixing.look_again)
                yield mixing.idle
                pump.miss(Cause.CONCRETE)
                continue
            if self._env.now - cleaned >= plan.clean_every:
                yield plan.clean_time
                cleaned = self._env.now
                continue
            if self._store is not None:
                self._store.use(volume)
            ordinal = gate.line * _BATCHES_OF_ONE_MIXER + (self._around.first_ordinal + day) * _BATCHES_A_DAY + number
            number += 1
            born = self._env.now
            yield on_clock(self._luck.draw(plan.cycle, _CYCLE, ordinal))
            self._ledger.concrete.batched += volume
            made += volume
            if plan.fails and self._luck.uniform(_FAILS, ordinal) < plan.fails:
                self._ledger.concrete.rejected += volume
                failed += volume
                continue
            yield pump.below(max(0.0, pump.hopper - volume))
            if not gate.is_open:
                self._ledger.concrete.washed_out += volume
                break
            lots.append(Lot(volume, born, self._around.of_no_use_after(born)))
            pump.add(lots[-1])
            last_batch = self._env.now
            delivered = min(volume, mixing.to_come)
            mixing.to_come -= delivered
            pump.no_longer_expect(delivered)
        if gate.is_open and mixing.to_come > 0.0:
            pump.no_longer_expect(mixing.to_come)
        rejected = failed + sum(lot.rejected for lot in lots)
        if self._ledger.rejections is not None:
            self._ledger.rejections += [
                Rejection(gate.building, day, None, lot.rejected_at, lot.rejected, lot.born, lot.born, lot.expires)
                for lot in lots
                if lot.rejected
            ]
        returned = sum(lot.returned for lot in lots)  # what a batch larger than the hopper leaves in the mixer
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
                last_batch,
                made - rejected - returned,
                rejected,
                returned,
                0.0,
                "mixed on site",
            )
        )
