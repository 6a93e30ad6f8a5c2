"""Gangs kept running behind a start delay: what the line of balance leaves open, on small sites worked out by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from rigs import account_of, entries_of, network_plan, play_plan

from sitesim.chance import Distribution, Fixed
from sitesim.ledger import on_site
from sitesim.plan import Plan, StartingState
from sitesim.policies import KeptRunning

Tasks = dict[str, tuple[Sequence[str], Distribution]]
TWO_HOMES: Tasks = {
    "frame 1": ((), Fixed(10.0)),
    "boards 1": (("frame 1",), Fixed(4.0)),
    "frame 2": ((), Fixed(10.0)),
    "boards 2": (("frame 2",), Fixed(4.0)),
}
GANGS = {"framers": ["frame 1", "frame 2"], "boards": ["boards 1", "boards 2"]}


def kept(plan: Plan, *units: int, delay: float | None = None) -> Plan:
    return replace(
        plan,
        units=tuple(
            replace(unit, flow=KeptRunning(delay)) if index in units else unit for index, unit in enumerate(plan.units)
        ),
    )


def begun(plan: Plan, *keys: str) -> list[float]:
    entries = entries_of(play_plan(plan))
    return [entries[key].start for key in keys]


def test_the_delay_is_told_with_the_run() -> None:
    plan = kept(network_plan(TWO_HOMES, GANGS), 1)
    assert begun(plan, "boards 1", "boards 2") == [16.0, 20.0]
    assert play_plan(plan).start_delays == {1: 6.0}
    assert play_plan(network_plan(TWO_HOMES, GANGS)).start_delays == {}


def test_its_time_on_site_begins_with_its_work() -> None:
    plan = kept(network_plan(TWO_HOMES, GANGS), 1)
    assert on_site(account_of(plan, play_plan(plan)))[1] == (16.0, 24.0)


def test_nobody_else_is_held_by_the_buffer() -> None:
    tasks: Tasks = {**TWO_HOMES, "wires 1": (("frame 1",), Fixed(3.0))}
    plan = network_plan(tasks, {**GANGS, "electricians": ["wires 1"]})
    assert begun(kept(plan, 1, delay=50.0), "boards 1", "frame 2", "wires 1") == [60.0, 10.0, 10.0]


def test_a_second_visit_calls_for_no_delay() -> None:
    # The boards' gang comes back to each home after eight hours of taping: a later start would only move that on.
    tasks: Tasks = {
        **TWO_HOMES,
        "tape 1": (("boards 1",), Fixed(8.0)),
        "tape 2": (("boards 2",), Fixed(8.0)),
        "patch 1": (("tape 1",), Fixed(1.0)),
        "patch 2": (("tape 2",), Fixed(1.0)),
    }
    gangs = {
        "framers": GANGS["framers"],
        "boards": [*GANGS["boards"], "patch 1", "patch 2"],
        "tape": ["tape 1", "tape 2"],
    }
    plan = kept(network_plan(tasks, gangs), 1)
    assert play_plan(plan).start_delays == {1: 6.0}
    assert begun(plan, "boards 1", "boards 2", "patch 1", "patch 2") == [16.0, 20.0, 28.0, 36.0]


def test_whoever_comes_behind_a_gang_kept_running_reckons_with_it() -> None:
    # Taping takes two hours: boards end at 20 and 24, so it needs no buffer behind boards that wait for nothing.
    tasks: Tasks = {
        **TWO_HOMES,
        "tape 1": (("boards 1",), Fixed(2.0)),
        "tape 2": (("boards 2",), Fixed(2.0)),
    }
    plan = network_plan(tasks, {**GANGS, "tape": ["tape 1", "tape 2"]})
    assert play_plan(kept(plan, 1, 2)).start_delays == {1: 6.0, 2: 2.0}
    assert begun(kept(plan, 1, 2), "tape 1", "tape 2") == [22.0, 24.0]
    # Behind boards that are called the same gang would wait from 16 to 24, which is eight hours of buffer.
    assert play_plan(kept(plan, 2)).start_delays == {2: 8.0}


def test_gangs_alike_have_each_a_delay_of_their_own() -> None:
    plan = network_plan(TWO_HOMES, {**GANGS, "more boards": []})
    nodes = [
        replace(node, task=replace(node.task, needs=((1, 2),))) if node.key.startswith("boards") else node
        for node in plan.nodes
    ]
    plan = kept(replace(plan, nodes=tuple(nodes)), 1, 2, delay=12.0)
    played = play_plan(plan)
    assert played.start_delays == {1: 12.0, 2: 12.0}
    # Both count from the first work that either could do, at 10.
    assert begun(plan, "boards 1", "boards 2") == [22.0, 22.0]


def test_who_has_begun_before_the_run_waits_no_more() -> None:
    plan = kept(network_plan(TWO_HOMES, GANGS), 1, delay=50.0)
    plan = replace(plan, state=StartingState(done=frozenset({"frame 1", "boards 1"})))
    assert begun(plan, "frame 2", "boards 2") == [0.0, 10.0]


@pytest.mark.parametrize("days", [2, 40])
def test_a_delay_past_the_horizon_is_told(days: int) -> None:
    plan = replace(kept(network_plan(TWO_HOMES, GANGS), 1, delay=2000.0), days=days)
    assert play_plan(plan).unfinished == (
        "boards 1: boards is kept running, with a start delay that ends past the horizon"
    )
