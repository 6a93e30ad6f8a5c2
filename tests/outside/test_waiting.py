"""Waiting behind other customers at the plant's bay: the formula of M/M/1, real competitors, and the site's own loads.

Source, from memory: a newcomer's wait at a server with Poisson arrivals and exponential service has P(W > t) =
ρ exp(−(1 − ρ) t/s) and the mean ρ s/(1 − ρ). Means must lie within three standard errors.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
import pytest
from rigs import MONDAY, play_plan, printing_plan, ready_mix

from sitesim.chance import Exponential, Luck
from sitesim.ledger import Ledger
from sitesim.plan import ReadyMix
from sitesim.site.engine import Engine
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.supply import Surroundings, Truckload
from sitesim.site.world import Process
from sitesim.trade.waiting import mean_wait_behind_others, wait_behind_others

SERVICE = 0.25
BATCHES = 20

Floats = npt.NDArray[np.float64]


def share_above(busy: float, wait: float) -> float:
    return busy * math.exp(-(1.0 - busy) * wait / SERVICE)


class Sink:
    """Takes every load at once."""

    def receive(self, load: Truckload) -> Process:
        yield from ()

    def miss(self, load: Truckload) -> None:
        pytest.fail("a load was missed")


def waits_at_the_bay(plan: ReadyMix, asked: Sequence[float], seed: int = 1) -> Floats:
    """Let loads come to the bay at given instants [h]; returns how long each waited there, in that order."""
    env, ledger, sink = Engine(), Ledger(), Sink()
    supply = ReadyMixSupply(Surroundings(env, Luck(seed, 0), ledger, MONDAY.toordinal(), lambda batched: 1e9), plan)
    ahead = plan.loading.mean + plan.haul.mean + mean_wait_behind_others(plan.other_customers, plan.loading.mean)
    loads = [Truckload("A", i + 1, 1.0, instant + ahead) for i, instant in enumerate(asked)]
    for load in loads:
        env.process(supply.deliver(load, 0, sink, lambda refused: pytest.fail("a load was refused")))
    env.run()
    return np.array([load.batched for load in loads]) - np.array(asked)


def assert_mean(values: Floats, theory: float, spread: float = 0.05) -> None:
    """Compare with theory the mean of independent values, or of batches of a steady state, to 3 standard errors."""
    error = values.std(ddof=1) / math.sqrt(len(values))
    assert error <= spread * theory
    assert values.mean() == pytest.approx(theory, abs=3 * error)


def batches(waits: Floats) -> Floats:
    """Give the means of equally many, the first of which warms up and is left out."""
    size = len(waits) // (BATCHES + 1)
    found: Floats = waits[size : size * (BATCHES + 1)].reshape(BATCHES, size).mean(axis=1)
    return found


@pytest.mark.parametrize("busy", [0.2, 0.6, 0.9])
def test_the_formula_has_the_distribution_that_it_names(busy: float) -> None:
    ranks = (np.arange(20_000) + 0.5) / 20_000
    waits = np.array([wait_behind_others(float(rank), busy, SERVICE) for rank in ranks])
    assert waits.mean() == pytest.approx(busy * SERVICE / (1.0 - busy), rel=0.005)
    assert mean_wait_behind_others(busy, SERVICE) == pytest.approx(busy * SERVICE / (1.0 - busy))
    for wait in (0.0, 0.1, 0.5, 2.0):
        assert (waits > wait).mean() == pytest.approx(share_above(busy, wait), abs=2e-4)


@pytest.mark.parametrize("busy", [0.3, 0.6])
def test_real_competitors_make_a_load_wait_as_long(busy: float) -> None:
    # Everybody who loads at the bay is played as a load: Poisson, exponential loading of 15 min on average.
    # Four stretches of steady state, each with its own arrivals and its own luck.
    crowd = 21_000
    stretches = []
    for seed in range(1, 5):
        asked = 100.0 + np.random.default_rng(seed).exponential(SERVICE / busy, crowd).cumsum()
        plan = ready_mix(trucks=crowd, loading=Exponential(SERVICE))
        stretches.append(waits_at_the_bay(plan, asked.tolist(), seed))
    assert_mean(np.concatenate([batches(waits) for waits in stretches]), busy * SERVICE / (1.0 - busy))
    for wait in (0.01, 0.25, 0.5):
        longer = np.concatenate([batches((waits > wait).astype(float)) for waits in stretches])
        assert_mean(longer, share_above(busy, wait))


@pytest.mark.parametrize("busy", [0.3, 0.6, 0.9])
def test_loads_behind_others_that_are_not_played_wait_as_long(busy: float) -> None:
    # Loads of ours an hour apart, each at a bay of its own, so that none waits for another of ours.
    count = 8_000
    plan = ready_mix(trucks=count, bays=count, other_customers=busy)
    waits = waits_at_the_bay(plan, [100.0 + hour for hour in range(count)])
    assert_mean(waits, busy * SERVICE / (1.0 - busy))
    for wait in (0.0, 0.25, 0.5):
        assert_mean((waits > wait).astype(float), share_above(busy, wait), spread=0.1)


def second_loads(busy: float) -> Iterator[tuple[float, float]]:
    """Give for the second load of each print day of a site how long it waited at the bay, and how late it came.

    The first is sent for at the go of the morning, when it may be too late for it to be on time.
    """
    plan = printing_plan(buildings=1, supply=ready_mix(other_customers=busy, bays=2))
    expected = busy * SERVICE / (1.0 - busy)
    for run in range(400):
        for load in play_plan(plan, run=run).ledger.loads:
            if load.number == 2:
                yield load.batched - (load.due - 1.0 - SERVICE - expected), load.arrived - load.due


def test_loads_of_a_whole_site_wait_as_long_and_are_on_time_on_average() -> None:
    found = np.array(list(second_loads(0.6)))
    assert_mean(found[:, 0], 0.375, spread=0.06)
    late = found[:, 1]
    assert late.mean() == pytest.approx(0.0, abs=3 * late.std(ddof=1) / math.sqrt(len(late)))
