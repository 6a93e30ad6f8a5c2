"""Repeated buildings against textbook identities: line of balance, crews in tandem, Little's law, learning."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from rigs import bare_plan, play_plan

from sitesim.chance import Distribution, Exponential, Fixed
from sitesim.ledger import Account, Entry, time_account
from sitesim.plan import Building, Cause, Kind, Learning, Node, Plan, StartingState, State, Task, Unit, UnitKind
from sitesim.site import Stage, play

NO_LEARNING = Learning()


def row_of_buildings(
    stages: Sequence[Distribution],
    released: Sequence[float],
    learning: Learning = NO_LEARNING,
    days: int = 4000,
) -> Plan:
    """Make equal buildings that go through the same stages, each with one gang of its own, around the clock.

    ``released`` gives for each building the hour at which its first stage may begin.
    """
    nodes = [
        Node(
            index=building * len(stages) + stage,
            key=f"{building}/{stage}",
            task=Task(f"stage {stage}", Kind.WORK, stage, ((stage,),), duration, "site", learning=learning),
            building=building,
            home="",
            after=(building * len(stages) + stage - 1,) if stage else (),
            not_before=0.0 if stage else hour,
        )
        for building, hour in enumerate(released)
        for stage, duration in enumerate(stages)
    ]
    gangs = [Unit(f"gang {stage}", UnitKind.GANG, "site") for stage in range(len(stages))]
    buildings = [Building(str(i), i, (), None) for i in range(len(released))]
    return bare_plan(nodes, gangs, buildings, days)


def by_stage(plan: Plan, entries: Sequence[Entry]) -> list[list[Entry]]:
    """Sort the entries into stages, each in the order in which it was done."""
    stages: list[list[Entry]] = [[] for _ in plan.units]
    for entry in entries:
        stages[entry.units[0]].append(entry)
    return [sorted(stage, key=lambda entry: entry.start) for stage in stages]


@pytest.mark.parametrize("times", [(16.0, 40.0, 24.0, 8.0), (40.0, 16.0, 24.0, 8.0), (8.0, 16.0, 24.0, 40.0)])
def test_buildings_leave_at_the_pace_of_the_slowest_stage(times: tuple[float, ...]) -> None:
    # Line of balance: the first takes the sum of its stages, every further one the slowest stage.
    plan = row_of_buildings([Fixed(time) for time in times], [0.0] * 12)
    left = [entry.end for entry in by_stage(plan, play_plan(plan).ledger.entries)[-1]]
    assert left[0] == sum(times)
    assert {after - before for before, after in pairwise(left)} == {max(times)}


def test_a_faster_crew_that_is_kept_on_site_is_idle_for_what_it_is_faster() -> None:
    # Line of balance: behind the slowest stage a crew idles 1 − its time ÷ the slowest's; before it, it never has to.
    plan = row_of_buildings([Fixed(16.0), Fixed(40.0), Fixed(24.0), Fixed(8.0)], [0.0] * 12)
    played = play_plan(plan)
    stages = by_stage(plan, played.ledger.entries)
    hours = time_account(Account(played.ledger.entries, Stage(plan).unit_shifts), plan.units)
    for stage, share in enumerate((0.0, 0.0, 1 - 24 / 40, 1 - 8 / 40)):
        idle = sum(hours.get((stage, State.WAITING, cause), 0.0) for cause in Cause)
        # From its first start to its last, so that whole rounds are counted.
        assert idle == share * (stages[stage][-1].start - stages[stage][0].start)


def test_in_steady_state_the_buildings_under_way_are_the_pace_times_the_time_of_each() -> None:
    # Little's law, exact here: one building every 40 h, 88 h each: 2.2 under way on average.
    times = (16.0, 40.0, 24.0, 8.0)
    plan = row_of_buildings([Fixed(time) for time in times], [40.0 * i for i in range(20)])
    stages = by_stage(plan, play_plan(plan).ledger.entries)
    begun = np.array([entry.start for entry in stages[0]])
    ended = np.array([entry.end for entry in stages[-1]])
    assert set(ended - begun) == {88.0}
    instants = np.arange(200.0, 600.0) + 0.5  # ten whole rounds, hour by hour
    under_way = [(begun <= instant).sum() - (ended <= instant).sum() for instant in instants]
    assert np.mean(under_way) == pytest.approx(88 / 40)


def test_crews_in_a_row_queue_like_servers_in_tandem() -> None:
    # Jackson 1957 (Burke): buildings released at random, exponential stages of 60 and 75 % load: each stage is a queue
    # of its own with ρ/(1 − ρ) buildings, 1.5 and 3. Mean over 25 runs of 900 buildings after the first hundred;
    # tolerance three standard errors.
    gap, stages = 40.0, [Exponential(24.0), Exponential(30.0)]
    found = []
    for run in range(25):
        released = np.random.default_rng(run).exponential(gap, 1000).cumsum()
        plan = row_of_buildings(stages, released.tolist(), days=3000)
        entries = by_stage(plan, play(Stage(plan), 1, run).ledger.entries)
        span = slice(100, 1000)
        hours = released[-1] - released[99]
        first, second = (np.array([entry.end for entry in stage])[span] for stage in entries)
        found.append(((first - released[span]).sum() / hours, (second - first).sum() / hours))
    for values, theory in zip(np.array(found).T, (1.5, 3.0), strict=True):
        error = values.std(ddof=1) / math.sqrt(len(values))
        assert error <= 0.08 * theory
        assert values.mean() == pytest.approx(theory, abs=3 * error)


def test_a_gang_learns_along_crawfords_curve() -> None:
    # The 90 % curve, as quoted: units 2, 4, 8, 16 take .9000, .8100, .7290, .6561 of the first.
    plan = row_of_buildings([Fixed(4096.0)], [0.0] * 16, Learning(0.90))
    hours = [entry.end - entry.start for entry in by_stage(plan, play_plan(plan).ledger.entries)[0]]
    assert [hours[unit - 1] / 4096 for unit in (1, 2, 4, 8, 16)] == pytest.approx(
        [1.0, 0.9000, 0.8100, 0.7290, 0.6561], abs=1e-7
    )


def test_learning_stops_at_its_floor_and_each_stage_learns_for_itself() -> None:
    plan = row_of_buildings([Fixed(100.0), Fixed(50.0)], [0.0] * 9, Learning(0.80, floor=0.64))
    for first, stage in zip((100.0, 50.0), by_stage(plan, play_plan(plan).ledger.entries), strict=True):
        shares = [(entry.end - entry.start) / first for entry in stage]
        assert shares[:2] == pytest.approx([1.0, 0.8], abs=1e-5)
        assert shares[3:] == pytest.approx([0.64] * 6, abs=1e-5)


def test_buildings_done_before_the_run_begins_have_been_learned_from() -> None:
    plan = row_of_buildings([Fixed(100.0)], [0.0] * 4, Learning(0.90))
    plan = replace(plan, state=StartingState(done=frozenset({"0/0", "1/0"})))
    entries = play_plan(plan).ledger.entries
    hours = [entry.end - entry.start for entry in entries if entry.units]
    assert hours == pytest.approx([100 * 0.90 ** math.log2(3), 81.0], abs=1e-3)


def test_who_is_done_first_is_the_first_to_learn_from() -> None:
    # The building that asked first is not the one that is built first: the later one has the better place in the order.
    plan = row_of_buildings([Fixed(100.0)], [0.0, 2.0, 1.0], Learning(0.80))
    hours = [entry.end - entry.start for entry in by_stage(plan, play_plan(plan).ledger.entries)[0]]
    assert hours == pytest.approx([100.0, 80.0, 100 * 0.80 ** math.log2(3)], abs=1e-3)
