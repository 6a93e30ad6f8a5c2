"""Trucks against trade examples and queueing theory: the site's own supply before a plain server.

Simulated means must lie within three standard errors of theory, found from twenty batches of loads in steady state;
the standard error itself has to be small, so that agreement means something. Minutes of the sources are played as
clock hours, which keeps the rounding of the clock out of the comparison.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import pytest
import simpy
from rigs import MONDAY, ready_mix

from sitesim.chance import Distribution, Exponential, Fixed, Luck, stream
from sitesim.ledger import Ledger
from sitesim.plan import ReadyMix
from sitesim.site.engine import Engine
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.supply import Surroundings, Truckload
from sitesim.site.world import Process

SEED = 1
BATCHES = 20
AT_ONCE = Fixed(0.0)
SERVICE = stream("test", "service")

Service = Callable[[Luck, int], float]


class Server:
    """The pump of the sources: one load at a time, first come first served."""

    def __init__(self, env: simpy.Environment, service: Callable[[int], float]) -> None:
        self._env = env
        self._place = simpy.Resource(env)
        self._service = service

    def receive(self, load: Truckload) -> Process:
        with self._place.request() as turn:
            yield turn
            load.discharge_begun = self._env.now
            yield self._env.timeout(self._service(load.number))
            load.discharge_ended = self._env.now


def always(time: float) -> Service:
    return lambda luck, number: time


def exponential(mean: float) -> Service:
    return lambda luck, number: luck.draw(Exponential(mean), SERVICE, number)


def erlang(mean: float) -> Service:
    half = Exponential(mean / 2)
    return lambda luck, number: luck.draw(half, SERVICE, 2 * number) + luck.draw(half, SERVICE, 2 * number + 1)


def fleet(
    trucks: int,
    loading: Distribution = AT_ONCE,
    haul: Distribution = AT_ONCE,
    back: Distribution = AT_ONCE,
    bays: int = 1,
    gate: float = 0.0,
    wash: float = 0.0,
) -> ReadyMix:
    return ready_mix(trucks=trucks, loading=loading, haul=haul, back=back, bays=bays, gate=gate, wash=wash)


def deliver(plan: ReadyMix, due: Sequence[float], service: Service) -> list[Truckload]:
    """Let loads that are due at these hours go their way; returns them as they were discharged, first to last."""
    env = Engine()
    luck = Luck(SEED, 0)
    supply = ReadyMixSupply(Surroundings(env, luck, Ledger(), MONDAY.toordinal(), lambda batched: 1e9), plan)
    server = Server(env, lambda number: service(luck, number))
    loads = [Truckload("A", i + 1, 8.0, instant) for i, instant in enumerate(due)]
    for load in loads:
        env.process(supply.deliver(load, 0, server, lambda refused: pytest.fail("a load was refused")))
    env.run()
    return sorted(loads, key=lambda load: load.discharge_begun)


def waits(loads: Sequence[Truckload], gate: float = 0.0) -> np.ndarray:
    return np.array([load.discharge_begun - load.arrived - gate for load in loads])


def assert_mean(values: np.ndarray, theory: float, spread: float = 0.03) -> None:
    """Compare the mean of batches with theory: within 3 standard errors, of which one is at most ``spread`` of it."""
    error = values.std(ddof=1) / math.sqrt(len(values))
    assert error <= spread * theory
    assert values.mean() == pytest.approx(theory, abs=3 * error)


class Batches:
    """Steady state cut into batches of equally many loads; the first of them warms up and is left out."""

    def __init__(self, loads: Sequence[Truckload], trucks: int) -> None:
        size = (len(loads) - trucks) // (BATCHES + 1)
        self._size = size
        ends = np.array([load.discharge_ended for load in loads])
        self._hours = np.diff(ends[size - 1 : size * (BATCHES + 1) : size])
        self._span = slice(size, size * (BATCHES + 1))
        self._waits = waits(loads)[self._span].reshape(BATCHES, size)
        busy = np.array([load.discharge_ended - load.discharge_begun for load in loads])
        self._busy = busy[self._span].reshape(BATCHES, size)

    @property
    def rate(self) -> np.ndarray:
        """Loads per clock hour."""
        return self._size / self._hours

    @property
    def wait(self) -> np.ndarray:
        return self._waits.mean(axis=1)

    @property
    def waiting(self) -> np.ndarray:
        """How many stand in the queue on average (the integral of the queue is the sum of the waits)."""
        return self._waits.sum(axis=1) / self._hours

    @property
    def idle(self) -> np.ndarray:
        """The share of time in which the server has nothing to do."""
        return 1.0 - self._busy.sum(axis=1) / self._hours

    @property
    def made_to_wait(self) -> np.ndarray:
        return (self._waits > 0.0).mean(axis=1)


@pytest.mark.parametrize(
    ("trucks", "travel", "idle"),
    [(7, 20.0, 0.0), (6, 20.0, 10.0), (5, 20.0, 30.0), (9, 30.0, 0.0), (8, 30.0, 5.0)],
)
def test_the_smallest_fleet_that_keeps_a_pump_busy(trucks: int, travel: float, idle: float) -> None:
    # Trade worked example: load 5, check 5, travel 20, unload 10, wash 5, return 20 min; 65/10 → 7 trucks, 15 loads.
    # Idle times recomputed by hand: a fleet of six is 5 min short each time round, and goes round twice after its
    # first.
    plan = fleet(trucks, loading=Fixed(5.0), haul=Fixed(travel), back=Fixed(travel), gate=5.0, wash=5.0)
    loads = deliver(plan, [0.0] * 15, always(10.0))
    assert sum(after.discharge_begun - before.discharge_ended for before, after in pairwise(loads)) == idle


def test_a_crew_slower_than_the_deliveries() -> None:
    # Textbook problem: 160 yd³ come by 8 yd³ every 10 min to a crew that places 24 yd³/h: 6 h 40 min; the mean wait is
    # 95 min and the longest 190 (recomputed: the n-th of twenty waits 10(n − 1)).
    loads = deliver(fleet(20, bays=20), [10.0 * i for i in range(20)], always(20.0))
    assert loads[-1].discharge_ended - loads[0].arrived == 400.0
    assert waits(loads).mean() == 95.0
    assert waits(loads).max() == 190.0


@pytest.mark.parametrize(
    ("trucks", "loads_an_hour", "wait"),
    [(1, 1.2000, 0.0), (2, 2.3077, 2.000), (3, 3.2958, 4.615), (4, 4.1359, 8.028), (5, 4.8056, 12.427)],
)
def test_a_few_trucks_at_one_pump(trucks: int, loads_an_hour: float, wait: float) -> None:
    # Exact M/M/1//N, recomputed: unload 10 min, away 40 min, both exponential.
    plan = fleet(trucks, haul=Exponential(40.0))
    batches = Batches(deliver(plan, [0.0] * 8000, exponential(10.0)), trucks)
    assert_mean(batches.rate * 60, loads_an_hour)
    if trucks == 1:
        assert not batches.wait.any()
    else:
        assert_mean(batches.wait, wait, spread=0.05)


@pytest.mark.parametrize(("factor", "made_to_wait", "efficiency"), [(0.05, 0.198, 0.989), (0.10, 0.386, 0.950)])
def test_finite_queuing_tables(factor: float, made_to_wait: float, efficiency: float) -> None:
    # Peck & Hazelwood 1958, population 5, one channel: the service factor X = T/(T + U) gives the probability D that a
    # unit waits and the efficiency F = 1 − share of time lost in the queue. Tables to three places.
    trucks, cycle = 5, 100.0
    plan = fleet(trucks, haul=Exponential((1 - factor) * cycle))
    batches = Batches(deliver(plan, [0.0] * 12000, exponential(factor * cycle)), trucks)
    assert_mean(batches.made_to_wait, made_to_wait)
    assert_mean(1 - batches.waiting / trucks, efficiency)


def test_one_mechanic_for_six_machines() -> None:
    # Anderson et al.: N = 6, λ = 0.05/h, μ = 0.5/h. Trucks are the machines, the pump the mechanic, haul the time
    # between breakdowns. Those who come see a system of five others: they wait with .4360, not 1 − P0 = .5155.
    plan = fleet(6, haul=Exponential(20.0))
    batches = Batches(deliver(plan, [0.0] * 12000, exponential(2.0)), 6)
    assert_mean(batches.idle, 0.4845)
    assert_mean(batches.waiting, 0.3297, spread=0.05)
    assert_mean(batches.wait, 1.279, spread=0.05)
    assert_mean(batches.made_to_wait, 0.4360)


@pytest.mark.parametrize(("trucks", "loads_an_hour"), [(1, 1.4286), (2, 2.6681), (3, 3.6923), (4, 4.4891)])
def test_plant_and_site_in_a_loop(trucks: int, loads_an_hour: float) -> None:
    # Exact mean value analysis, recomputed: load 5 min and unload 10 min, exponential, each with a queue; haul 15 and
    # return 12 min, of which only the means matter.
    plan = fleet(trucks, loading=Exponential(5.0), haul=Fixed(15.0), back=Fixed(12.0), bays=1)
    batches = Batches(deliver(plan, [0.0] * 8000, exponential(10.0)), trucks)
    assert_mean(batches.rate * 60, loads_an_hour)


def poisson(count: int, rate: float) -> np.ndarray:
    """Give instants of arrival with exponential gaps."""
    return np.random.default_rng(SEED).exponential(1.0 / rate, count).cumsum()


def test_three_bays_before_a_stream_of_orders() -> None:
    # Bronson 24.6, M/M/3: λ 300, μ 182.5: Lq .3524, P0 .17754 (recomputed; played with λ 0.3 and μ 0.1825 an hour).
    # An order is dispatched when a truck has to begin to load by expectation, so it is due a mean loading time later.
    loading = Exponential(1 / 0.1825)
    orders = 36000
    asked = poisson(orders, 0.3)
    loads = deliver(fleet(orders, loading=loading, bays=3), asked + loading.mean, always(0.0))
    loads.sort(key=lambda load: load.due)
    size = orders // BATCHES
    hours = np.array([batch[-1] - batch[0] for batch in asked.reshape(BATCHES, size)])
    queued = np.array([load.batched for load in loads]) - asked
    assert_mean(queued.reshape(BATCHES, size).sum(axis=1) / hours, 0.3524, spread=0.06)
    left = np.maximum.accumulate([load.left_plant for load in loads])
    empty = np.maximum(0.0, asked[1:] - left[:-1])
    assert_mean(np.append(empty, 0.0).reshape(BATCHES, size).sum(axis=1) / hours, 0.17754, spread=0.06)


@pytest.mark.parametrize(
    ("service", "waiting"),
    [(always(8.0), 1.6), (erlang(8.0), 2.4), (exponential(8.0), 3.2)],
    ids=["fixed", "Erlang-2", "exponential"],
)
def test_one_pump_before_a_stream_of_trucks(service: Service, waiting: float) -> None:
    # Pollaczek-Khinchine at load .8, recomputed: Lq = ρ²(1 + cs²)/(2(1 − ρ)) = 1.6, 2.4, 3.2 for cs² = 0, ½, 1.
    loads = deliver(fleet(48000, bays=48000), poisson(48000, 0.1).tolist(), service)
    assert_mean(Batches(loads, 0).waiting, waiting, spread=0.08)
