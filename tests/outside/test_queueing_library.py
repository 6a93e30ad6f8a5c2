"""The supply classes against a general queueing library (Ciw), where no closed form is known."""

from __future__ import annotations

import math

import ciw
import numpy as np
import pytest
from rigs import MONDAY, ready_mix
from test_deliveries import Server

from sitesim.chance import Luck, Triangular
from sitesim.ledger import Ledger
from sitesim.plan import ReadyMix
from sitesim.site.engine import Engine
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.supply import Surroundings, Truckload

LOADS = 20_000
BATCHES = 20
RATE = 3.5  # loads an hour
LOADING = (0.2, 0.3, 0.7)  # low, likely, high [h]: two bays are busy for 0.7 of the time
PUMPING = (0.1, 0.15, 0.35)  # hours at the one pump: busy for 0.7 of the time


def ours() -> tuple[np.ndarray, np.ndarray]:
    """Let loads come to two bays and on to one pump; gives the waits [h] at each, in order of arrival."""
    plan: ReadyMix = ready_mix(trucks=LOADS, bays=2, loading=Triangular(*LOADING), gate=0.0, wash=0.0)
    dice = np.random.default_rng(11)
    asked = dice.exponential(1.0 / RATE, LOADS).cumsum()
    pumping = dice.triangular(*PUMPING, LOADS).tolist()
    env = Engine()
    supply = ReadyMixSupply(Surroundings(env, Luck(5, 0), Ledger(), MONDAY.toordinal(), lambda batched: 1e9), plan)
    pump = Server(env, lambda number: pumping[number])
    lead = plan.loading.mean + plan.haul.mean
    loads = [Truckload("A", number, 1.0, float(instant) + lead) for number, instant in enumerate(asked)]
    for load in loads:
        env.process(supply.deliver(load, 0, pump, lambda refused: pytest.fail("a load was refused")))
    env.run()
    at_the_bay = np.array([load.batched for load in loads]) - asked
    at_the_pump = np.array([load.discharge_begun - load.arrived for load in loads])
    return at_the_bay, at_the_pump


def the_librarys() -> tuple[np.ndarray, np.ndarray]:
    """Give the same two waits from the library, which moves customers on at once: a fixed haul changes no wait."""
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Exponential(RATE), None],
        service_distributions=[
            ciw.dists.Triangular(LOADING[0], LOADING[1], LOADING[2]),
            ciw.dists.Triangular(PUMPING[0], PUMPING[1], PUMPING[2]),
        ],
        number_of_servers=[2, 1],
        routing=[[0.0, 1.0], [0.0, 0.0]],
    )
    ciw.seed(7)
    simulation = ciw.Simulation(network)
    simulation.simulate_until_max_customers(LOADS, method="Finish")
    records = sorted(simulation.get_all_records(), key=lambda record: record.arrival_date)
    return tuple(np.array([one.waiting_time for one in records if one.node == node][:LOADS]) for node in (1, 2))  # type: ignore[return-value]


def mean_and_error(waits: np.ndarray) -> tuple[float, float]:
    """Give the mean of the waits after a first batch that warms up, and its standard error from batch means."""
    size = len(waits) // (BATCHES + 1)
    means = waits[size : size * (BATCHES + 1)].reshape(BATCHES, size).mean(axis=1)
    return float(means.mean()), float(means.std(ddof=1) / math.sqrt(BATCHES))


def test_two_bays_and_a_pump_keep_loads_waiting_as_long_as_the_library_says() -> None:
    for mine, theirs in zip(ours(), the_librarys(), strict=True):
        (mean, error), (reference, its_error) = mean_and_error(mine), mean_and_error(theirs)
        spread = math.hypot(error, its_error)
        assert spread < 0.12 * reference  # small enough for agreement to mean something
        assert mean == pytest.approx(reference, abs=3 * spread)
