"""Activity networks against textbooks, Clark's formulas and a graph library, played by the site's own classes.

Sampled values must lie within three standard errors of the source's; the standard error stands beside each test.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from statistics import NormalDist

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rigs import WEEKDAYS, account_of, network_plan, play_plan

from sitesim.chance import Distribution, Exponential, Fixed, Observed, Pert
from sitesim.ledger import Account
from sitesim.plan import Plan, Unit, UnitKind
from sitesim.site import Stage, play

WEEK = 64.0  # clock hours for a week of the sources: weeks and their sixths stay well above the clock's tick
SEED = 1

Estimates = Mapping[str, tuple[str, tuple[float, float, float]]]

# Hillier & Lieberman, the building contract; figures from memory.
BUILDING: Estimates = {
    "A": ("", (1, 2, 3)),
    "B": ("A", (2, 3.5, 8)),
    "C": ("B", (6, 9, 18)),
    "D": ("C", (4, 5.5, 10)),
    "E": ("C", (1, 4.5, 5)),
    "F": ("E", (4, 4, 10)),
    "G": ("D", (5, 6.5, 11)),
    "H": ("EG", (5, 8, 17)),
    "I": ("C", (3, 7.5, 9)),
    "J": ("FI", (3, 9, 9)),
    "K": ("J", (4, 4, 4)),
    "L": ("J", (1, 5.5, 7)),
    "M": ("H", (1, 2, 3)),
    "N": ("KL", (5, 5.5, 9)),
}
# Heizer & Render, the filter of a plant.
PLANT: Estimates = {
    "A": ("", (1, 2, 3)),
    "B": ("", (2, 3, 4)),
    "C": ("A", (1, 2, 3)),
    "D": ("AB", (2, 4, 6)),
    "E": ("C", (1, 4, 7)),
    "F": ("C", (1, 2, 9)),
    "G": ("DE", (3, 4, 11)),
    "H": ("FG", (1, 2, 3)),
}


def at_the_mean(low: float, likely: float, high: float) -> Distribution:
    return Fixed((low + 4 * likely + high) / 6 * WEEK)


def sampled(low: float, likely: float, high: float) -> Distribution:
    return Fixed(low * WEEK) if low == high else Pert(low * WEEK, likely * WEEK, high * WEEK)


def plan_of(estimates: Estimates, as_duration: Callable[..., Distribution]) -> Plan:
    return network_plan({name: (after, as_duration(*weeks)) for name, (after, weeks) in estimates.items()})


def driving_chain(account: Account) -> list[str]:
    """Name the activities that drove the finish, first to last."""
    last = max(account.entries, key=lambda entry: entry.end)
    return [account.entries[segment.entry].key for segment in account.back_from(last)][::-1]


def finishes_and_chains(plan: Plan, runs: int) -> Iterator[tuple[float, list[str]]]:
    stage = Stage(plan)
    for run in range(runs):
        played = play(stage, SEED, run)
        assert played.finished
        yield max(played.ledger.ended.values()), driving_chain(Account(played.ledger.entries, stage.unit_shifts))


def finishes(plan: Plan, runs: int) -> np.ndarray:
    return np.array([finish for finish, _ in finishes_and_chains(plan, runs)])


def assert_share(events: int, runs: int, share: float) -> None:
    """The standard error of a share p is √(p(1 − p)/n)."""
    assert events / runs == pytest.approx(share, abs=3 * math.sqrt(share * (1 - share) / runs))


@pytest.mark.parametrize(
    ("estimates", "weeks", "chain"),
    [(BUILDING, 44, "ABCEFJLN"), (PLANT, 15, "ACEGH")],
    ids=["building contract (Hillier & Lieberman, from memory)", "plant (Heizer & Render)"],
)
def test_at_the_means_the_network_ends_with_the_textbooks_critical_path(
    estimates: Estimates, weeks: float, chain: str
) -> None:
    plan = plan_of(estimates, at_the_mean)
    played = play_plan(plan)
    assert max(played.ledger.ended.values()) == weeks * WEEK
    assert driving_chain(account_of(plan, played)) == list(chain)


RUNS = 8000


@pytest.fixture(scope="module")
def building_runs() -> list[tuple[float, list[str]]]:
    return list(finishes_and_chains(plan_of(BUILDING, sampled), RUNS))


# The sampled figures of both networks were recomputed from the estimates with four million beta variates each,
# by numpy and without this program.


def test_the_building_contract_sampled_takes_longer_than_at_its_means(
    building_runs: list[tuple[float, list[str]]],
) -> None:
    weeks = np.array([finish for finish, _ in building_runs]) / WEEK
    # The standard deviation is 2.93 weeks, so one standard error of the mean is 2.93/√8000 = 0.033.
    assert weeks.mean() == pytest.approx(44.326, abs=3 * 2.93 / math.sqrt(RUNS))
    assert_share(int((weeks <= 44.196).sum()), RUNS, 0.50)
    assert_share(int((weeks <= 46.809).sum()), RUNS, 0.80)


def test_an_activity_of_the_building_contract_is_critical_as_often_as_theory_says(
    building_runs: list[tuple[float, list[str]]],
) -> None:
    critical = Counter(name for _, chain in building_runs for name in set(chain))
    assert critical["A"] == critical["B"] == critical["C"] == RUNS
    for name, share in {"E": 0.831, "F": 0.831, "L": 0.744, "D": 0.098}.items():
        assert_share(critical[name], RUNS, share)


def test_the_plant_sampled() -> None:
    weeks = finishes(plan_of(PLANT, sampled), RUNS) / WEEK
    # The standard deviation is 1.71 weeks, so one standard error of the mean is 1.71/√8000 = 0.019.
    assert weeks.mean() == pytest.approx(15.236, abs=3 * 1.71 / math.sqrt(RUNS))
    assert_share(int((weeks <= 16.66).sum()), RUNS, 0.80)


def normal(mean: float, deviation: float, cells: int = 2000) -> Observed:
    """Give a normal distribution as the middles of equally likely cells."""
    shape = NormalDist(mean, deviation)
    return Observed(tuple(shape.inv_cdf((i + 0.5) / cells) for i in range(cells)))


def test_the_later_of_two_normal_paths() -> None:
    # Clark 1961: the greater of two independent N(20, 2²) has mean 20 + 2/√π and variance 4(1 − 1/π).
    # Standard errors with 8000 runs: mean √(2.7268/8000) = 0.018; variance 2.7268 √(2.06/8000) = 0.044.
    path = normal(20 * WEEK, 2 * WEEK)
    weeks = finishes(network_plan({"A": ("", path), "B": ("", path)}), RUNS) / WEEK
    assert weeks.mean() == pytest.approx(21.1284, abs=3 * math.sqrt(2.7268 / RUNS))
    assert weeks.var(ddof=1) == pytest.approx(2.7268, abs=3 * 2.7268 * math.sqrt(2.06 / RUNS))


@pytest.mark.parametrize("paths", [1, 2, 3, 5])
def test_independent_paths_are_seldom_all_on_time(paths: int) -> None:
    # Each path is two exponential steps of mean 1; half of such sums lie below 1.6783470 (Erlang-2 median).
    # All k are on time at their own P50 with 0.5^k.
    tasks: dict[str, tuple[str, Distribution]] = {}
    for first, second in ("Aa", "Bb", "Cc", "Dd", "Ee")[:paths]:
        tasks[first] = ("", Exponential(WEEK))
        tasks[second] = (first, Exponential(WEEK))
    weeks = finishes(network_plan(tasks), RUNS // 2) / WEEK
    assert_share(int((weeks <= 1.6783470).sum()), RUNS // 2, 0.5**paths)


@st.composite
def networks(draw: st.DrawFn) -> dict[str, tuple[list[str], Distribution]]:
    """Draw up to twelve tasks; each waits for any of those before it and takes a whole number of sixteenths."""
    names = [f"task {i}" for i in range(draw(st.integers(1, 12)))]
    return {
        name: (
            draw(st.lists(st.sampled_from(names[:i]), unique=True, max_size=3)) if i else [],
            Fixed(draw(st.integers(0, 400)) / 16),
        )
        for i, name in enumerate(names)
    }


def longest_path(tasks: Mapping[str, tuple[list[str], Distribution]]) -> float:
    graph = nx.DiGraph()
    for name, (after, duration) in tasks.items():
        graph.add_edge(name, "end", weight=duration.mean)
        for before in after:
            graph.add_edge(before, name, weight=tasks[before][1].mean)
    return nx.dag_longest_path_length(graph)


@given(networks())
@settings(max_examples=60, deadline=None)
def test_without_contention_the_finish_is_the_longest_path(
    tasks: dict[str, tuple[list[str], Distribution]],
) -> None:
    # Oracle: networkx.dag_longest_path_length. All numbers are exact in binary.
    assert max(play_plan(network_plan(tasks)).ledger.ended.values()) == longest_path(tasks)


@given(networks())
@settings(max_examples=30, deadline=None)
def test_in_shifts_the_longest_path_is_counted_in_working_hours(
    tasks: dict[str, tuple[list[str], Distribution]],
) -> None:
    plan = network_plan(tasks, calendar=WEEKDAYS)
    shift = Stage(plan).shift(("site",))
    finish = max(play_plan(plan).ledger.ended.values())
    assert shift.worked(0.0, finish) == longest_path(tasks)


@given(networks(), st.data())
@settings(max_examples=60, deadline=None)
def test_gangs_with_tasks_of_their_own_take_at_least_the_longest_path_and_their_work(
    tasks: dict[str, tuple[list[str], Distribution]], data: st.DataObject
) -> None:
    gangs: dict[str, list[str]] = {"one": [], "two": [], "three": []}
    for name in tasks:
        gangs[data.draw(st.sampled_from(list(gangs)))].append(name)
    finish = max(play_plan(network_plan(tasks, gangs)).ledger.ended.values())
    work = {gang: sum(tasks[name][1].mean for name in done) for gang, done in gangs.items()}
    assert finish >= longest_path(tasks)
    assert finish >= max(work.values())
    # Nobody idles while somebody could work, so all of the work in turn is the worst there can be.
    assert finish <= sum(work.values())


def with_equal_gangs(plan: Plan, gangs: int) -> Plan:
    """Let any one of some equal gangs do each task."""
    anyone = (tuple(range(gangs)),)
    return replace(
        plan,
        units=tuple(Unit(f"gang {i + 1}", UnitKind.GANG, "site") for i in range(gangs)),
        nodes=tuple(replace(node, task=replace(node.task, needs=anyone)) for node in plan.nodes),
    )


@given(networks(), st.integers(1, 3))
@settings(max_examples=60, deadline=None)
def test_equal_gangs_keep_within_the_bounds_of_list_scheduling(
    tasks: dict[str, tuple[list[str], Distribution]], gangs: int
) -> None:
    # Below: longest path, and work ÷ gangs. Above: Graham 1966, no list schedule on m equal machines is longer than
    # work/m + (1 − 1/m) × longest path (from memory, and derived in two lines: when not all work, a chain advances).
    finish = max(play_plan(with_equal_gangs(network_plan(tasks), gangs)).ledger.ended.values())
    work = sum(duration.mean for _, duration in tasks.values())
    path = longest_path(tasks)
    assert finish >= max(path, work / gangs - 1e-9)
    assert finish <= work / gangs + (1 - 1 / gangs) * path + 1e-9
