"""Speed as ratios within one run, so that a slow or busy machine does not fail what is not slower by itself."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
import simpy

from sitesim.ledger import RunClosing
from sitesim.plan import Plan
from sitesim.scenario import load
from sitesim.site import Stage, play

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
MOST_TIMES_BARE = 8.0
"""How many times the bare engine's cost for as many timeouts a run may cost, weather, ledger and closing included."""


@pytest.fixture(scope="module")
def demo() -> Plan:
    return load(DEMO).plan()


def bare_seconds(events: int, processes: int = 10) -> float:
    """Time the bare engine for as many timeouts, shared by a few processes."""
    env = simpy.Environment()

    def wait() -> object:
        for _ in range(events // processes):
            yield env.timeout(1.0)

    for _ in range(processes):
        env.process(wait())
    start = time.perf_counter()
    env.run()
    return time.perf_counter() - start


def events_of_a_run(stage: Stage, run: int, monkeypatch: pytest.MonkeyPatch) -> int:
    """Count the events that the engine processes in a run."""
    count = 0
    step = simpy.Environment.step

    def counted(env: simpy.Environment) -> None:
        nonlocal count
        count += 1
        step(env)

    with monkeypatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counted)
        play(stage, 1, run)
    return count


def test_a_run_costs_few_times_the_bare_engine(
    demo: Plan, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stage = Stage(demo)
    closing = RunClosing(demo, stage.unit_shifts, stage.shift(("site",)))
    runs = range(12)
    events = sum(events_of_a_run(stage, run, monkeypatch) for run in runs) / len(runs)
    ours, bare, layers, tasks = [], [], 0, 0
    for _ in range(3):
        for run in runs:
            start = time.perf_counter()
            played = play(stage, 1, run)
            closing.tables(run, played.ledger, played.unfinished, keep_loads=False)
            ours.append(time.perf_counter() - start)
            bare.append(bare_seconds(round(events)))
            layers += sum(building.shell.wall.layers for building in demo.buildings if building.shell)
            tasks += len(demo.nodes)
    # The least of each is what the machine can do when nothing else disturbs it.
    ratio = min(ours) / min(bare)
    with capsys.disabled():
        print(
            f"\n  a run: {min(ours) * 1e3:.1f} ms, {events:.0f} events, {ratio:.1f} times the bare engine; "
            f"{min(ours) * 1e6 * len(ours) / layers:.0f} µs a layer, "
            f"{min(ours) * 1e6 * len(ours) / tasks:.0f} µs a task"
        )
    assert ratio < MOST_TIMES_BARE


def test_the_weather_of_a_run_costs_little(demo: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    from sitesim.chance import Luck
    from sitesim.site.skies import RunHours

    stage = Stage(demo)
    kinds = {node.task.limits for node in demo.nodes if node.task.limits}
    for kind in kinds:  # the slots of a calendar are made once for all runs
        RunHours(stage, Luck(1, 0)).open(kind, ("site",))

    def weather(run: int) -> float:
        start = time.perf_counter()
        hours = RunHours(stage, Luck(1, run))
        for kind in kinds:
            hours.open(kind, ("site",))
        return time.perf_counter() - start

    def whole(run: int) -> float:
        start = time.perf_counter()
        play(stage, 1, run)
        return time.perf_counter() - start

    share = min(weather(run) for run in range(20)) / min(whole(run) for run in range(20))
    with capsys.disabled():
        print(f"\n  drawing the weather and opening {len(kinds)} calendars: {100 * share:.0f} % of a run")
    assert share < 0.25
