"""Gangs kept running against the line of balance: buffers, idle time and finishes of repeated buildings.

The relations are those of textbooks on repetitive work (line of balance, vertical production method): from memory.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import pytest
from rigs import ROUND_THE_CLOCK, WEEKDAYS, account_of, bare_plan, entries_of, play_plan

from sitesim.chance import Distribution, Fixed, Triangular
from sitesim.hours import WeekPattern
from sitesim.ledger import time_account
from sitesim.plan import Building, Cause, Kind, Node, Plan, State, Task, Unit, UnitKind
from sitesim.policies import KeptRunning
from sitesim.site import Played, Stage, play

AUTO = KeptRunning()


def line(
    stages: Sequence[Distribution],
    buildings: int,
    kept: Mapping[int, KeptRunning],
    calendar: WeekPattern = ROUND_THE_CLOCK,
    days: int = 2000,
) -> Plan:
    """Make equal buildings that go through the same stages, each with a gang of its own; ``kept``, by stage."""
    count = len(stages)
    nodes = [
        Node(
            index=building * count + stage,
            key=f"{building}/{stage}",
            task=Task(f"stage {stage}", Kind.WORK, stage, ((stage,),), duration, "site"),
            building=building,
            home="",
            after=(building * count + stage - 1,) if stage else (),
        )
        for building in range(buildings)
        for stage, duration in enumerate(stages)
    ]
    gangs = [Unit(f"gang {stage}", UnitKind.GANG, "site", flow=kept.get(stage)) for stage in range(count)]
    return bare_plan(nodes, gangs, [Building(str(b), b, (), None) for b in range(buildings)], days, calendar)


def idle_of(plan: Plan, played: Played, unit: int) -> float:
    hours = time_account(account_of(plan, played), plan.units)
    return sum(hours.get((unit, State.WAITING, cause), 0.0) for cause in Cause)


def begin_and_end(played: Played, stage: int) -> tuple[float, float]:
    entries = [entry for entry in played.ledger.entries if entry.units == (stage,)]
    return min(entry.start for entry in entries), max(entry.end for entry in entries)


@pytest.mark.parametrize("buildings", [1, 2, 5, 12])
@pytest.mark.parametrize(("a", "b"), [(40.0, 16.0), (24.0, 24.0), (16.0, 40.0)])
def test_two_stages_in_closed_form(buildings: int, a: float, b: float) -> None:
    # Kept running: (n − 1)(a − b) of buffer, no idle time, and the finish of those called, whose last building rules.
    # Called: as much idle time as the buffer; where the second stage is the slower one there is neither.
    buffer = max(0.0, (buildings - 1) * (a - b))
    plans = [line([Fixed(a), Fixed(b)], buildings, kept) for kept in ({}, {1: AUTO})]
    called, kept = (play_plan(plan) for plan in plans)
    assert begin_and_end(called, 1)[0] == a
    assert begin_and_end(kept, 1)[0] == a + buffer
    assert idle_of(plans[0], called, 1) == buffer
    assert idle_of(plans[1], kept, 1) == 0.0
    assert begin_and_end(kept, 1)[1] == begin_and_end(called, 1)[1] == max(buildings * a + b, a + buildings * b)


def test_the_first_buildings_pay_for_the_flow() -> None:
    # Of ten buildings the last is done on the same day, each one before it later by what the gang would have waited.
    called, kept = (play_plan(line([Fixed(40.0), Fixed(16.0)], 10, flow)) for flow in ({}, {1: AUTO}))
    for building in range(10):
        late = entries_of(kept)[f"{building}/1"].end - entries_of(called)[f"{building}/1"].end
        assert late == (9 - building) * 24.0


def test_the_wait_for_a_gang_that_begins_late_is_a_wait_for_a_crew() -> None:
    first = entries_of(play_plan(line([Fixed(40.0), Fixed(16.0)], 10, {1: AUTO})))["0/1"]
    assert (first.ready, first.start) == (40.0, 256.0)
    assert [(hold.end, hold.cause) for hold in first.holds] == [(256.0, Cause.CREW)]


def test_stages_behind_one_another_are_balanced_one_by_one() -> None:
    # 40, 16, 24, 8 h, ten buildings, by hand: gang 1 begins at 40 + 9 · 24 = 256, its homes done every 16 h from 272;
    # gang 2 takes 24, begins at 272 and is done at 296, 320, ... 512; gang 3 at 296 + 9 · 16 = 440, done at 520.
    plan = line([Fixed(time) for time in (40.0, 16.0, 24.0, 8.0)], 10, dict.fromkeys((1, 2, 3), AUTO))
    played = play_plan(plan)
    assert [begin_and_end(played, stage)[0] for stage in range(4)] == [0.0, 256.0, 272.0, 440.0]
    assert [idle_of(plan, played, stage) for stage in range(4)] == [0.0] * 4
    assert begin_and_end(played, 3)[1] == 520.0
    # Called, the site is done with the slowest stage: 40 · 10 + 16 + 24 + 8.
    called = line([Fixed(time) for time in (40.0, 16.0, 24.0, 8.0)], 10, {})
    assert begin_and_end(play_plan(called), 3)[1] == 448.0


def test_a_delay_that_is_given_runs_in_working_hours_from_the_first_work_on() -> None:
    # Eight hours a day: the first home is ready on Tuesday at 15:00, and 20 h of work later it is Friday at 11:00.
    plan = line([Fixed(16.0), Fixed(4.0)], 3, {1: KeptRunning(20.0)}, WEEKDAYS)
    entries = entries_of(play_plan(plan))
    assert entries["0/1"].ready == 24.0 + 15.0
    assert entries["0/1"].start == 4 * 24.0 + 11.0


def test_a_buffer_that_is_worked_out_counts_working_hours() -> None:
    # Two days of work a building and one behind it: over five buildings four days of buffer, which a weekend lengthens.
    plan = line([Fixed(16.0), Fixed(8.0)], 5, {1: AUTO}, WEEKDAYS)
    played = play_plan(plan)
    assert play_plan(plan).finished
    assert entries_of(played)["0/1"].ready == 39.0
    # Wednesday to Friday and Monday are the four days: it begins on Tuesday of the second week.
    assert entries_of(played)["0/1"].start == (7 + 1) * 24.0 + 7.0
    assert idle_of(plan, played, 1) == 0.0


def test_a_faster_gang_called_when_work_is_ready_idles_for_what_it_is_faster_and_kept_running_not_at_all() -> None:
    # Steady state: its share of idle time is 1 − its time ÷ the slowest stage's, while it is kept on site.
    times = [Fixed(16.0), Fixed(40.0), Fixed(24.0)]
    called, kept = (line(times, 20, flow) for flow in ({}, {2: AUTO}))
    played = play_plan(called)
    first, last = begin_and_end(played, 2)
    assert idle_of(called, played, 2) == (1 - 24 / 40) * (last - 24.0 - first)
    assert idle_of(kept, play_plan(kept), 2) == 0.0


def test_with_chance_flow_buys_idle_time_with_lead_time() -> None:
    # The known trade: over 60 runs of the same luck the gang kept running waits less and its buildings are later on
    # average, by more than three standard errors, and the last of them is no earlier.
    spread = [Triangular(0.6 * time, time, 1.8 * time) for time in (40.0, 16.0)]
    plans = [line(spread, 12, flow) for flow in ({}, {1: AUTO})]
    stages = [Stage(plan) for plan in plans]
    runs = range(60)
    played = [[play(stage, 3, run) for run in runs] for stage in stages]
    idle = [np.array([idle_of(plan, one, 1) for one in of]) for plan, of in zip(plans, played, strict=True)]
    mean_end = [np.array([np.mean([entries_of(one)[f"{b}/1"].end for b in range(12)]) for one in of]) for of in played]
    finish = [np.array([begin_and_end(one, 1)[1] for one in of]) for of in played]
    for less, more in ((idle[1], idle[0]), (mean_end[0], mean_end[1])):
        gain = more - less
        assert gain.mean() > 3 * gain.std(ddof=1) / math.sqrt(len(gain))
    assert (finish[1] >= finish[0]).all()
    # By expected times there would be no waiting at all: what is left is chance.
    assert idle[1].mean() < 0.25 * idle[0].mean()
