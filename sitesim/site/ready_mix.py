"""Ready-mix: a plant an hour away, its loading bay, and the trucks that go between."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable

import simpy

from sitesim.chance import Distribution, Luck, stream
from sitesim.hours import Calendar, on_clock
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import Load
from sitesim.plan import ReadyMix, in_drops
from sitesim.policies import Delivery, TomorrowView
from sitesim.site.places import Places
from sitesim.site.supply import Destination, Gate, Order, Truckload
from sitesim.site.world import Process

_LOADING = stream("truck", "loading")
_HAUL = stream("truck", "haul")
_BACK = stream("truck", "back")
_REFUSED = stream("truck", "refused")
_LOADS_A_DAY = 1000
"""Ordinals set apart for each civil day, so that the n-th load of a day has its own luck."""
_REPLACEMENT = 100
"""Added to the number of a refused load for the one that replaces it, so that no other load's luck changes."""


class ReadyMixSupply:
    """Orders by the cut-off the evening before; each load then goes its way from the plant to the gate and back.

    Parameters: ``first_ordinal``, the ordinal of the date of hour 0, so that luck goes by civil day; ``working_life``
    gives the hours [h] that a load batched at an instant [h] may live.
    """

    def __init__(
        self,
        env: simpy.Environment,
        plan: ReadyMix,
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
        self._trucks = Places(env, plan.trucks)
        self._bays = Places(env, plan.bays)
        self._under_way: list[tuple[Truckload, Gate]] = []
        self._unloaded: list[tuple[Truckload, int]] = []
        self._numbers: dict[int, int] = {}

    def can_be_ordered(self, morning: float, now: float, shift: Calendar) -> bool:
        """Tell whether ``now`` is before the cut-off on the last working day before ``morning``."""
        earlier = bisect_left(shift.starts, 24.0 * (morning // 24)) - 1
        if earlier < 0:
            return now < 24.0 * (morning // 24)
        return now <= 24.0 * (shift.starts[earlier] // 24) + self._plan.cut_off

    def order(self, need: float, morning: float) -> Order:
        """Decide the loads for the day by the ordering policy."""
        deliveries = self._plan.ordering.order(TomorrowView(need, 24.0 * (morning // 24)))
        return Order(need, morning, tuple(Delivery(in_drops(one.volume), one.due) for one in deliveries))

    def begin(self, order: Order, gate: Gate) -> None:
        """Send the trucks on their way, each so as to be at the gate when it is due."""
        day = int(order.morning // 24)
        for delivery in order.deliveries:
            load = self._take_on(gate.building, day, delivery)
            self._send(load, day, gate)

    def _send(self, load: Truckload, day: int, gate: Gate) -> None:
        """Let a load go its way; one that is refused at the gate is replaced by the plant as soon as it can."""

        def refuse(refused: Truckload) -> None:
            gate.refuse(refused)
            if gate.is_open:
                soonest = self._env.now + on_clock(self._plan.loading.mean + self._plan.haul.mean)
                self._send(Truckload(gate.building, load.number + _REPLACEMENT, load.volume, soonest), day, gate)

        self._ledger.counts.loads += 1
        gate.pump.expect(load.volume)
        self._under_way.append((load, gate))
        self._env.process(self.deliver(load, day, gate, refuse))

    def call_off(self, order: Order) -> None:
        """Count the loads that the plant had planned for nothing."""
        self._ledger.counts.loads_called_off += len(order.deliveries)

    def last_call(self, gate: Gate) -> None:
        """Call off every load for this gate that has not been batched."""
        for load, its_gate in self._under_way:
            if its_gate is gate and load.batched > self._env.now:
                load.called_off = True
                gate.pump.no_longer_expect(load.volume)
                self._ledger.counts.loads_called_off += 1
        self._under_way = [pair for pair in self._under_way if pair[1] is not gate]
        self._close_records()

    def deliver(
        self,
        load: Truckload,
        day: int,
        destination: Destination,
        refuse: Callable[[Truckload], None],
    ) -> Process:
        """Follow one load: dispatched, batched, hauled, tested, discharged, washed out, and back.

        Parameters: ``day``, the day of the run on which it is due; ``refuse`` is told of a load that fails its test.
        """
        env, plan = self._env, self._plan
        ordinal = (self._first_ordinal + day) * _LOADS_A_DAY + load.number
        dispatched = on_clock(load.due - plan.loading.mean - plan.haul.mean)
        if dispatched > env.now:
            yield env.timeout(dispatched - env.now)
        turn = self._trucks.take()
        if turn is not None:
            yield turn
        turn = self._bays.take()
        if turn is not None:
            yield turn
        if load.called_off:
            self._bays.leave()
            self._trucks.leave()
            return
        load.batched = env.now
        load.expires = load.batched + self._working_life(load.batched)
        self._ledger.concrete.batched += load.volume
        yield env.timeout(self._time(plan.loading, _LOADING, ordinal))
        self._bays.leave()
        load.left_plant = env.now
        load.arrived = load.left_plant + self._time(plan.haul, _HAUL, ordinal)
        yield env.timeout(load.arrived + plan.gate - load.left_plant)
        if plan.refused and self._luck.uniform(_REFUSED, ordinal) < plan.refused:
            refuse(load)
        else:
            yield from destination.receive(load)
        self._leave(load, day)
        yield env.timeout(plan.wash + self._time(plan.back, _BACK, ordinal))
        self._trucks.leave()

    def _take_on(self, building: str, day: int, delivery: Delivery) -> Truckload:
        number = self._numbers[day] = self._numbers.get(day, 0) + 1
        return Truckload(building, number, delivery.volume, delivery.due)

    def _time(self, distribution: Distribution, of: int, ordinal: int) -> float:
        return on_clock(self._luck.draw(distribution, of, ordinal))

    def _leave(self, load: Truckload, day: int) -> None:
        """Let the truck go; its record waits for what it left in the hopper, which may still grow too old there."""
        load.left_site = self._env.now
        self._unloaded.append((load, day))
        self._close_records()

    def _close_records(self) -> None:
        for load, day in self._unloaded:
            if load.is_used_up:
                self._record(load, day)
        self._unloaded = [pair for pair in self._unloaded if not pair[0].is_used_up]

    def _record(self, load: Truckload, day: int) -> None:
        """Write the delivery record; waiting for the gate before it was due is the truck's own time."""
        plan = self._plan
        stood = load.left_site - max(load.arrived + plan.gate, min(load.due, load.left_site))
        standby = max(0.0, stood - plan.standby_free * load.volume)
        self._ledger.loads.append(
            Load(
                load.building,
                day,
                load.number,
                load.volume,
                load.due,
                load.batched,
                load.left_plant,
                load.arrived,
                load.discharge_begun,
                load.discharge_ended,
                load.volume - load.rejected - load.returned,
                load.rejected,
                load.returned,
                standby,
                load.verdict,
            )
        )
