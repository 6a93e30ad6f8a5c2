"""Speed as ratios within one run, so that a slow or busy machine does not fail what is not slower by itself."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
import simpy

from sitesim.ledger import RunClosing
from sitesim.plan import Plan
from sitesim.scenario import load
from sitesim.site import Played, Stage, play
from sitesim.site.world import Process

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
MOST_TIMES_BARE = 9.0
"""How many times the bare engine's cost a run may cost, weather, ledger and closing included; measured: about 7.5.

The bare engine lets as many timeouts pass in as many processes, and does nothing at all in between. Four times its cost
would be fine; most of the rest is what happens in an event, and the fewer events a run needs, the higher the ratio.
"""


@pytest.fixture(scope="module")
def demo() -> Plan:
    return load(DEMO).plan()


def bare_seconds(events: int, processes: int) -> float:
    """Time the bare engine for as many timeouts, shared by some processes."""
    env = simpy.Environment()

    def wait() -> Process:
        for _ in range(events // processes):
            yield env.timeout(1.0)

    for _ in range(processes):
        env.process(wait())
    return seconds(env.run)


def seconds(do: Callable[[], object]) -> float:
    """Time a call by the processor's clock, which stands still while others have the processor."""
    start = time.process_time()
    do()
    return time.process_time() - start


def events_and_processes(stage: Stage, run: int, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Count the events that the engine processes in a run, and the processes that are started."""
    count = {"events": 0, "processes": 0}
    step, begin = simpy.Environment.step, simpy.Process.__init__

    def counted_step(env: simpy.Environment) -> None:
        count["events"] += 1
        step(env)

    def counted_begin(process: simpy.Process, env: simpy.Environment, story: Process) -> None:
        count["processes"] += 1
        begin(process, env, story)

    with monkeypatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counted_step)
        patch.setattr(simpy.Process, "__init__", counted_begin)
        play(stage, 1, run)
    return count["events"], count["processes"]


def test_a_run_costs_few_times_the_bare_engine(
    demo: Plan, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stage = Stage(demo)
    closing = RunClosing(demo, stage.unit_shifts, stage.shift(("site",)))
    runs = range(12)
    counts = [events_and_processes(stage, run, monkeypatch) for run in runs]
    events, processes = (round(sum(column) / len(runs)) for column in zip(*counts, strict=True))
    playing, telling = [1.0] * len(runs), [1.0] * len(runs)
    few, as_many = [], []

    def close(run: int, played: Played) -> None:
        closing.tables(run, played.ledger, played.unfinished, keep_loads=False)

    # The least of several is what the machine can do when nothing else disturbs it.
    for _ in range(4):
        for run in runs:
            playing[run] = min(playing[run], seconds(partial(play, stage, 1, run)))
            telling[run] = min(telling[run], seconds(partial(close, run, play(stage, 1, run))))
            few.append(bare_seconds(events, 10))
            as_many.append(bare_seconds(events, processes))
    play_time, close_time = sum(playing) / len(runs), sum(telling) / len(runs)
    ours = play_time + close_time
    ratio = ours / min(as_many)
    layers = sum(building.shell.wall.layers for building in demo.buildings if building.shell)
    with capsys.disabled():
        print(
            f"\n  a run: {play_time * 1e3:.1f} ms played, {close_time * 1e3:.1f} ms closed; "
            f"{events} events, {processes} processes; "
            f"{ours * 1e6 / layers:.0f} µs for each of {layers} layers, "
            f"{ours * 1e6 / len(demo.nodes):.0f} µs for each of {len(demo.nodes)} tasks; "
            f"{ratio:.1f} times the bare engine with as many processes, {ours / min(few):.1f} times with ten"
        )
    assert ratio < MOST_TIMES_BARE


def test_the_weather_of_a_run_costs_little(demo: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    from sitesim.chance import Luck
    from sitesim.site.skies import RunHours

    stage = Stage(demo)
    kinds = {node.task.limits for node in demo.nodes if node.task.limits}
    for kind in kinds:  # the slots of a calendar are made once for all runs
        RunHours(stage, Luck(1, 0)).open(kind, ("site",))

    def weather(run: int) -> None:
        hours = RunHours(stage, Luck(1, run))
        for kind in kinds:
            hours.open(kind, ("site",))

    runs = range(20)
    share = min(seconds(partial(weather, run)) for run in runs) / min(
        seconds(partial(play, stage, 1, run)) for run in runs
    )
    with capsys.disabled():
        print(f"\n  drawing the weather and opening {len(kinds)} calendars: {100 * share:.0f} % of a run")
    assert share < 0.25
