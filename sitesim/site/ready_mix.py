"""Ready-mix: a plant an hour away, its loading bay, and the trucks that go between."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from sitesim.chance import Distribution, stream
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger.rows import REPLACEMENT, Departure, Rejection, as_load
from sitesim.plan import Link, ReadyMix, in_drops
from sitesim.policies import Course, Delivery, MorningView, TodayView, TomorrowView
from sitesim.site.holding import HoldingGate
from sitesim.site.outages import Outages
from sitesim.site.places import Places
from sitesim.site.supply import Destination, Gate, Order, ShutSite, Surroundings, Truckload, cut_off_before
from sitesim.site.world import Process
from sitesim.trade.waiting import mean_wait_behind_others, wait_behind_others

_LOADING = stream("truck", "loading")
_HAUL = stream("truck", "haul")
_BACK = stream("truck", "back")
_REFUSED = stream("truck", "refused")
_OTHERS = stream("truck", "behind other customers")
_LOADS_A_DAY = 1000
"""Ordinals set apart for each civil day, so that the n-th load of a day has its own luck."""


class ReadyMixSupply:
    """Orders by the cut-off the evening before; each load then goes its way from the plant to the gate and back.

    Parameters: ``hours``, the plant's calendar, None for one that never shuts.
    """

    def __init__(self, around: Surroundings, plan: ReadyMix, hours: Calendar | None = None) -> None:
        self._around = around
        self._env, self._luck, self._ledger = around.env, around.luck, around.ledger
        self._plan = plan
        self._hours = hours
        self.asks_for_notice = plan.notice > 0.0
        self._never_shuts = hours is None and not plan.outages
        self._outages = Outages(plan.outages, around.luck, around.first_ordinal)
        self._trucks = Places(around.env, plan.trucks)
        self._bays = Places(around.env, plan.bays)
        self._under_way: list[tuple[Truckload, Gate]] = []
        self._unloaded: list[tuple[Truckload, int]] = []
        self._numbers: dict[int, int] = {}
        self._trucks_lost_before = 0
        self._shut_until = 0.0
        self._usual_loading, self._usual_haul = plan.loading.mean, plan.haul.mean
        self._wait_at_the_bay = (
            on_clock(mean_wait_behind_others(plan.other_customers, plan.loading.mean)) if plan.other_customers else 0.0
        )

    def open_gate(self, hopper: float, building: str, line: int) -> Gate:
        """Give the gate of a print day, with the holding hopper if there is one."""
        holding, concrete = self._plan.holding, self._ledger.concrete
        if holding is None:
            return Gate(self._env, self._around.pump(hopper), concrete, building, line)
        pump = self._around.pump(hopper + holding.capacity)
        return HoldingGate(self._env, pump, concrete, building, line, holding=holding)

    def can_be_ordered(self, morning: float, now: float, shift: Calendar) -> bool:
        """Tell whether the plant works that day, and ``now`` is before the cut-off of the last working day before."""
        midnight = 24.0 * (morning // 24)
        if not self.works_on(morning):
            return False
        cut_off = cut_off_before(shift, midnight, self._plan.cut_off)
        return now < midnight if cut_off is None else now <= cut_off

    def works_on(self, morning: float) -> bool:
        """Tell whether the plant is expected to batch at all on the day of ``morning`` [h], and the road to be open."""
        if self._never_shuts:
            return True
        day = int(morning // 24)
        lost = Calendar.of(self._outages.known(Link.PLANT, day) + self._outages.known(Link.ROAD, day))
        begins, ends = 24.0 * day, 24.0 * (day + 1)
        hours = [(begins, ends)] if self._hours is None else self._hours.within(begins, ends)
        return any(lost.worked(start, end) < end - start for start, end in hours)

    def order(self, need: float, morning: float, course: Callable[[float], Course]) -> Order:
        """Decide the loads for the day by the ordering policy."""
        deliveries = self._plan.ordering.order(TomorrowView(need, 24.0 * (morning // 24), course))
        return Order(need, morning, tuple(Delivery(in_drops(one.volume), on_clock(one.due)) for one in deliveries))

    def begin(self, order: Order, gate: Gate) -> None:
        """Send the trucks on their way, each so as to be at the gate when it is due."""
        day = int(order.morning // 24)
        self._lose_trucks(day)
        for delivery in order.deliveries:
            self._send(self._take_on(gate.building, day, delivery), day, gate)
        if self._plan.ordering.calls:
            gate.look_ahead = partial(self._look_ahead, gate, day)

    def _look_ahead(self, gate: Gate, day: int, need: float, layer: float, pace: float, until: float) -> None:
        """Let the ordering policy call the plant for one more load, unless it is known to be shut for the day."""
        if self._env.now < self._shut_until:
            return
        pump = gate.pump
        view = TodayView(self._env.now, need, pump.content, pump.coming, pace, until, layer)
        called = self._plan.ordering.call(view)
        if called is not None:
            delivery = Delivery(in_drops(called.volume), on_clock(called.due))
            self._send(self._take_on(gate.building, day, delivery), day, gate)

    def _lose_trucks(self, until: int) -> None:
        """Let the trucks be lost that break down up to a day of the run; once, however many print on that day."""
        if not self._plan.outages:
            return
        for day in range(self._trucks_lost_before, until + 1):
            for begins, ends in self._outages.spans(Link.TRUCK, day):
                if ends > self._env.now:
                    self._env.process(self._lose_a_truck(begins, ends))
        self._trucks_lost_before = max(self._trucks_lost_before, until + 1)

    def _lose_a_truck(self, begins: float, ends: float) -> Process:
        """Keep one truck away from the loads for a while [h]."""
        yield max(0.0, begins - self._env.now)
        turn = self._trucks.take()
        if turn is not None:
            yield turn
        yield max(0.0, ends - self._env.now)
        self._trucks.leave()

    def _send(self, load: Truckload, day: int, gate: Gate) -> None:
        """Let a load go its way; one that is refused at the gate is replaced by the plant as soon as it can."""

        def refuse(refused: Truckload) -> None:
            gate.refuse(refused)
            if gate.is_open:
                soonest = self._env.now + on_clock(self._plan.expected_lead)
                self._send(Truckload(gate.building, load.number + REPLACEMENT, load.volume, soonest), day, gate)

        self._ledger.counts.loads += 1
        gate.pump.expect(load.volume)
        self._under_way.append((load, gate))
        self._env.process(self.deliver(load, day, gate, refuse))

    def confirm(self, order: Order, need: float, course: Callable[[float], Course]) -> Order:
        """Tell the plant with the go what of an order comes, where the day needs something else than it was for."""
        if need == order.need:
            return order
        now, plan = self._env.now, self._plan
        view = MorningView(
            order.deliveries,
            [self._is_settled(load.due, now) for load in order.deliveries],
            self.order(need, order.morning, course).deliveries,
            self._planned_arrival(now + plan.notice),
        )
        coming = plan.morning_call.call(view)
        self._ledger.counts.loads_called_off += len(order.deliveries) - len(coming)
        return Order(need, order.morning, coming, order)

    def call_off(self, order: Order, building: str) -> None:
        """Count the loads that the plant had planned for nothing; those that are settled come for nothing."""
        day, site = int(order.morning // 24), ShutSite(self._ledger.concrete)
        for delivery in order.deliveries:
            if self._is_settled(delivery.due, self._env.now):
                self._ledger.counts.loads += 1
                load = self._take_on(building, day, delivery)
                self._env.process(self.deliver(load, day, site, site.send_back))
            else:
                self._ledger.counts.loads_called_off += 1

    def _is_settled(self, due: float, said: float) -> bool:
        """Tell whether a load [h] can be called off or changed no more when the plant is told at an instant [h]."""
        notice = self._plan.notice
        return notice > 0.0 and self._planned_batching(due) < said + notice

    def last_call(self, gate: Gate) -> None:
        """Call off every load for this gate that has not been batched and is not settled."""
        for load, its_gate in self._under_way:
            if its_gate is not gate or load.called_off or self._is_about_to_be_batched(load.due):
                continue
            if load.batched > self._env.now:
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
        ordinal = (self._around.first_ordinal + day) * _LOADS_A_DAY + load.number
        dispatched = self._to_be_dispatched(load.due)
        if dispatched > env.now:
            yield dispatched - env.now
        turn = self._trucks.take()
        if turn is not None:
            yield turn
        turn = self._bays.take()
        if turn is not None:
            yield turn
        turn_comes = self._after_other_customers(ordinal)
        begins = self._batching_begins(turn_comes)
        shut = begins >= 24.0 * (turn_comes // 24 + 1)
        if begins > env.now and not shut and not load.called_off:
            yield begins - env.now
        if shut:
            self._shut_until = max(self._shut_until, begins)
        if load.called_off or shut:
            self._let_go(load, destination)
            return
        load.batched = env.now
        load.expires = self._around.of_no_use_after(load.batched)
        self._ledger.concrete.batched += load.volume
        yield self._time(plan.loading, _LOADING, ordinal)
        self._bays.leave()
        load.left_plant = self._outages.restored(Link.ROAD, env.now)
        haul = self._time(plan.haul, _HAUL, ordinal)
        load.arrived = load.left_plant + (on_clock(haul * plan.traffic_at(load.left_plant)) if plan.traffic else haul)
        yield load.arrived + plan.gate - env.now
        if plan.refused and self._luck.uniform(_REFUSED, ordinal) < plan.refused:
            refuse(load)
        else:
            yield from destination.receive(load)
        self._leave(load, day)
        yield plan.wash + self._time(plan.back, _BACK, ordinal)
        self._trucks.leave()

    def _to_be_dispatched(self, due: float) -> float:
        """Give the instant [h] at which a load comes to the bay so as to be at the gate when it is due."""
        return self._planned_batching(due) - self._wait_at_the_bay

    def _is_about_to_be_batched(self, due: float) -> bool:
        """Tell whether a load [h] is settled and will be batched in time; one that is late can be called off."""
        return self._is_settled(due, self._env.now) and self._planned_batching(due) >= self._env.now

    def _planned_batching(self, due: float) -> float:
        """Give the instant [h] at which the plant plans to begin with a load so as to be at the gate when it is due."""
        plan, haul = self._plan, self._usual_haul
        factor = plan.traffic_at(due - haul) if plan.traffic else 1.0
        return on_clock(due - self._usual_loading - haul * factor)

    def _planned_arrival(self, batched: float) -> float:
        """Give the instant [h] at which the plant expects a load at the gate with which it begins at another."""
        plan, left = self._plan, batched + self._usual_loading
        factor = plan.traffic_at(left) if plan.traffic else 1.0
        return on_clock(left + self._usual_haul * factor)

    def _after_other_customers(self, ordinal: int) -> float:
        """Give the instant [h] at which the turn of a load comes whose truck is at the bay now."""
        plan, now = self._plan, self._env.now
        if not plan.other_customers:
            return now
        uniform = self._luck.uniform(_OTHERS, ordinal)
        return now + on_clock(wait_behind_others(uniform, plan.other_customers, plan.loading.mean))

    def _batching_begins(self, instant: float) -> float:
        """Give the first instant [h] at or after one at which the plant is open and there."""
        while True:
            opening = instant if self._hours is None else self._hours.next_open(instant)
            restored = self._outages.restored(Link.PLANT, opening) if opening < NEVER else NEVER
            if restored in (instant, NEVER):
                return restored
            instant = restored

    def _let_go(self, load: Truckload, destination: Destination) -> None:
        """Let a load go that was called off, or that the plant cannot batch today."""
        if not load.called_off:
            load.called_off = True
            destination.miss(load)
        self._bays.leave()
        self._trucks.leave()

    def _take_on(self, building: str, day: int, delivery: Delivery) -> Truckload:
        number = self._numbers[day] = self._numbers.get(day, 0) + 1
        return Truckload(building, number, delivery.volume, delivery.due)

    def _time(self, distribution: Distribution, of: int, ordinal: int) -> float:
        return on_clock(self._luck.draw(distribution, of, ordinal))

    def _leave(self, load: Truckload, day: int) -> None:
        """Let the truck go; its record waits for what it left in the hopper, which may still grow too old there."""
        load.left_site = self._env.now
        if self._ledger.departures is not None:
            let_go = load.left_site
            self._ledger.departures.append(Departure(load.building, day, load.number, let_go, let_go + self._plan.wash))
        self._unloaded.append((load, day))
        self._close_records()

    def _close_records(self) -> None:
        left = []
        for load, day in self._unloaded:
            if load.is_used_up:
                self._record(load, day)
            else:
                left.append((load, day))
        self._unloaded = left

    def _record(self, load: Truckload, day: int) -> None:
        """Write the delivery record; waiting for the gate before it was due is the truck's own time."""
        plan, rejected, returned = self._plan, load.rejected, load.returned
        if self._ledger.rejections is not None and rejected:
            instant, born, expires = load.rejection
            self._ledger.rejections.append(
                Rejection(load.building, day, load.number, instant, rejected, load.batched, born, expires)
            )
        stood = load.left_site - max(load.arrived + plan.gate, min(load.due, load.left_site))
        standby = max(0.0, stood - plan.standby_free * load.volume)
        self._ledger.loads.append(
            as_load(
                (
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
                    load.volume - rejected - returned,
                    rejected,
                    returned,
                    standby,
                    load.verdict,
                )
            )
        )
