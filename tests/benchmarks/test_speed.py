"""Speed as ratios within one run, so that a slow or busy machine does not fail what is not slower by itself."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
import simpy
from counted_events import counted_events

from sitesim.chance import Luck
from sitesim.hours import NEVER
from sitesim.ledger import RunClosing
from sitesim.plan import Plan, printing_only
from sitesim.scenario import load
from sitesim.site import Stage, play
from sitesim.site.engine import Story
from sitesim.site.skies import RunHours
from sitesim.study.print_day_worker import Block, PrintDayWorker

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
MOST_TIMES_BARE = 8.0
"""How many times the bare engine's cost for as many timeouts a run may cost, weather, ledger and closing included.

The aim is 4, and is not reached: 6.1 to 6.6 are measured where nothing else wants to go on, and up to 7.6 on a busy
machine, which takes more from a run than from the bare engine. That one turns round in a small loop which stays in the
processor's nearest cache, with twice the instructions a nanosecond of a run's many different lines; by instructions
counted a run costs 2.9 times the bare engine. The bound guards against getting slower.
"""


@pytest.fixture(scope="module")
def demo() -> Plan:
    return load(DEMO).plan()


@pytest.fixture(autouse=True)
def without_collector() -> Iterator[None]:
    """Keep the garbage of other tests out of the timing."""
    gc.collect()
    gc.freeze()
    gc.disable()
    yield
    gc.enable()
    gc.unfreeze()


def seconds(work: Callable[[], object]) -> float:
    """Time work by the processor's clock: on a busy machine the one that runs longer is interrupted more often."""
    start = time.process_time()
    work()
    return time.process_time() - start


def bare_seconds(events: int, processes: int) -> float:
    """Time the bare engine for as many timeouts in as many processes."""
    env = simpy.Environment()

    def wait() -> Iterator[simpy.Event]:
        for _ in range(events // processes):
            yield env.timeout(1.0)

    for _ in range(processes):
        env.process(wait())
    return seconds(env.run)


def size_of_a_run(stage: Stage, run: int, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Count the events that the engine processes in a run, and the processes that it starts."""
    processes = 0
    begin = Story.__init__

    def counted_begin(story: Story, *args: Any) -> None:
        nonlocal processes
        processes += 1
        begin(story, *args)

    with monkeypatch.context() as patch, counted_events() as count:
        patch.setattr(Story, "__init__", counted_begin)
        play(stage, 1, run)
    return count[0], processes


def test_a_run_costs_few_times_the_bare_engine(
    demo: Plan, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stage = Stage(demo)
    closing = RunClosing(demo, stage.unit_shifts, stage.shift(("site",)))
    runs = range(12)
    sizes = [size_of_a_run(stage, run, monkeypatch) for run in runs]
    events, processes = (round(sum(column) / len(runs)) for column in zip(*sizes, strict=True))

    def whole(run: int) -> None:
        played = play(stage, 1, run)
        closing.tables(run, played.ledger, played.unfinished, keep_loads=False)

    ours, bare, few = [[NEVER] * len(runs) for _ in range(3)]
    for _ in range(5):
        for run in runs:
            ours[run] = min(ours[run], seconds(partial(whole, run)))
            bare[run] = min(bare[run], bare_seconds(events, processes))
            few[run] = min(few[run], bare_seconds(events, 10))
    # The least of each run is what the machine can do when nothing else disturbs it; runs differ in their events.
    cost, bare_cost, few_cost = (sum(least) / len(runs) for least in (ours, bare, few))
    layers = sum(building.shell.wall.layers for building in demo.buildings if building.shell)
    with capsys.disabled():
        print(
            f"\n  a run: {cost * 1e3:.1f} ms, {events} events in {processes} processes; {cost / bare_cost:.1f} times "
            f"the bare engine ({cost / few_cost:.1f} times with ten processes); {cost * 1e6 / layers:.0f} µs a layer, "
            f"{cost * 1e6 / len(demo.nodes):.0f} µs a task"
        )
    assert cost / bare_cost < MOST_TIMES_BARE


def test_the_weather_of_a_run_costs_little(demo: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    stage = Stage(demo)
    kinds = {node.task.limits for node in demo.nodes if node.task.limits}

    def weather(run: int) -> None:
        hours = RunHours(stage, Luck(1, run))
        for kind in kinds:
            hours.open(kind, ("site",))

    weather(0)  # the slots of a calendar are made once for all runs
    runs = range(20)
    share = min(seconds(partial(weather, run)) for run in runs) / min(
        seconds(partial(play, stage, 1, run)) for run in runs
    )
    with capsys.disabled():
        print(f"\n  drawing the weather and opening {len(kinds)} calendars: {100 * share:.0f} % of a run")
    assert share < 0.125  # one millisecond where a run takes eight


def test_forty_ways_of_delivery_answer_within_a_minute(demo: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    """The print days alone cost no more than a whole run, so that 40 ways × 100 runs take a minute of two cores."""
    alone = printing_only(demo)
    worker, whole = PrintDayWorker([alone], 1, keep_loads=False), Stage(demo)
    worker.play_block(Block(0, (0,)))
    play(whole, 1, 0)
    runs = range(16)
    ours = [seconds(partial(worker.play_block, Block(0, (run,)))) for run in runs]
    theirs = [seconds(partial(play, whole, 1, run)) for run in runs]
    mean = sum(ours) / len(ours)
    with capsys.disabled():
        print(
            f"\n  the print days of a run: {mean * 1e3:.1f} ms, {sum(ours) / sum(theirs):.2f} of a whole run; "
            f"40 ways × 100 runs on two cores: {2000 * mean:.0f} s"
        )
    assert sum(ours) < 0.9 * sum(theirs)
