"""Gangs that are kept running, as a scenario says it."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import SCENARIOS, changed, lines_of

from sitesim.chance import Distribution, Fixed, Pert
from sitesim.policies import AtNotice, KeptRunning
from sitesim.scenario import load
from sitesim.scenario.telling.flow import tell_start_delays

FINISHERS = "  finishers: {size: 4, rate: 190}"


def with_finishers(folder: Path, more: str) -> Path:
    return changed(folder, (FINISHERS, FINISHERS.replace("}", f", {more}}}")))


@pytest.mark.parametrize(
    ("written", "flow"),
    [
        ("flow: called", None),
        ("flow: kept-running", KeptRunning(None)),
        ("flow: kept-running, start_delay: auto", KeptRunning(None)),
        ("flow: kept-running, start_delay: 12 wd", KeptRunning(96.0)),
        ("flow: kept-running, start_delay: 12", KeptRunning(96.0)),
        ("flow: kept-running, start_delay: 20 h", KeptRunning(20.0)),
    ],
)
def test_a_gang_flows_as_it_is_written(tmp_path: Path, written: str, flow: KeptRunning | None) -> None:
    plan = load(with_finishers(tmp_path, written)).plan()
    assert {unit.name: unit.flow for unit in plan.units if unit.kind == "gang"} == {
        "shell": None,
        "roof": None,
        "services": None,
        "finishers": flow,
    }


@pytest.mark.parametrize(
    ("written", "fault"),
    [
        ("flow: kept", "crews.finishers.flow: kept should be called or kept-running"),
        ("start_delay: 3 wd", "crews.finishers.start_delay: is that of a gang kept running; write flow: kept-running"),
        ("flow: kept-running, start_delay: 20 d", "20 d would be 480 hours of work; write working days: 20 wd"),
        ("flow: kept-running, start_delay: -2 wd", "crews.finishers.start_delay: -2 wd is too little"),
        ("flow: kept-running, start_delay: [1, 2, 3]", "is a spread, but this is decided beforehand"),
        ("flow: kept-running, start_delay: soon", "'soon' is not a length of time; write it like 20 wd"),
        (
            "flow: kept-running, start_delai: 3 wd",
            "crews.finishers.start_delai: is not known here: did you mean start_delay?",
        ),
        (
            "flow: kept-running, start_delay: 15 wd, here_from: 2027-06-01, here_until: 2027-06-18",
            "crews.finishers.start_delay: 15 wd leaves it no hour of work: it can be had for 104 h, 13 wd",
        ),
    ],
)
def test_what_cannot_be_is_told(tmp_path: Path, written: str, fault: str) -> None:
    (line,) = lines_of(with_finishers(tmp_path, written))
    assert fault in line
    assert line.startswith("site.yaml:")


def test_who_prints_is_not_kept_running(tmp_path: Path) -> None:
    (line,) = lines_of(changed(tmp_path, ("calendar: print, rate: 320}", "calendar: print, flow: kept-running}")))
    assert "crews.shell.flow: prints, and goes from slab to slab with the gantry" in line


def test_it_is_said_back_with_what_is_assumed(tmp_path: Path) -> None:
    scenario = load(with_finishers(tmp_path, "flow: kept-running"))
    said = "\n".join(scenario.description())
    assert "Kept running: finishers begins so late that by the plain plan no wait comes afterwards." in said
    assert "buffer of the line of balance" in "\n".join(scenario.assumptions())
    given = load(with_finishers(tmp_path / "given", "flow: kept-running, start_delay: 20 wd"))
    assert "Kept running: finishers begins 20 wd after its first work is ready." in given.description()
    assert "buffer" not in "\n".join(given.assumptions())


def test_delays_that_were_worked_out_are_told() -> None:
    assert list(tell_start_delays({"drywall": 390.0, "paint": 20.0}, 8.0)) == [
        "Start delays, from the first work being ready: drywall 48.8 wd, paint 2.5 wd."
    ]
    assert list(tell_start_delays({}, 8.0)) == []


def test_the_demo_with_crews_kept_running_trades_idle_time_for_lead_time() -> None:
    from rigs import account_of, play_plan

    from sitesim.ledger import time_account
    from sitesim.plan import Plan, State, plain

    def idle_and_finish(plan: Plan) -> tuple[dict[str, float], float]:
        played = play_plan(plan)
        idle: dict[str, float] = {}
        for (unit, state, _), hours in time_account(account_of(plan, played), plan.units).items():
            if state is State.WAITING:
                idle[plan.units[unit].name] = idle.get(plan.units[unit].name, 0.0) + hours
        return idle, max(played.ledger.ended.values())

    plans = [load(SCENARIOS / f"{name}.yaml").plan() for name in ("tern-quay", "tern-quay-kept-running")]
    (called, called_finish), (kept, kept_finish) = (idle_and_finish(plain(plan)) for plan in plans)
    # By expected times a gang whose work does not hang on a second visit of its own waits for nothing.
    assert [kept.get(gang, 0.0) for gang in ("finishers", "paint", "trim", "kitchens")] == [0.0] * 4
    assert min(called[gang] for gang in ("drywall", "finishers", "paint", "trim", "kitchens")) > 200.0
    assert kept["drywall"] < 0.1 * called["drywall"]
    assert kept_finish > called_finish


@pytest.mark.parametrize(
    ("written", "policy", "notice"),
    [
        ("notice: 2 wd", AtNotice(8.0, 0.0), Fixed(16.0)),
        ("notice: [1, 2, 4], stays: 0", AtNotice(0.0, 0.0), Pert(8.0, 16.0, 32.0)),
        ("notice: 2, stays: 3 wd, call_ahead: 4 wd", AtNotice(24.0, 32.0), Fixed(16.0)),
    ],
)
def test_a_gang_is_called_as_it_is_written(
    tmp_path: Path, written: str, policy: AtNotice, notice: Distribution
) -> None:
    unit = next(unit for unit in load(with_finishers(tmp_path, written)).plan().units if unit.name == "finishers")
    assert unit.flow == policy
    assert unit.notice == notice


@pytest.mark.parametrize(
    ("written", "fault"),
    [
        ("notice: -2 wd", "crews.finishers.notice: -2 wd is too little"),
        ("notice: 3 d", "3 d would be 72 hours of work; write working days: 3 wd"),
        ("stays: 2 wd", "crews.finishers.stays: is that of a gang called at notice; write notice besides"),
        ("call_ahead: 2 wd", "crews.finishers.call_ahead: is that of a gang called at notice; write notice besides"),
        ("notice: 2, call_ahead: [1, 2, 3]", "crews.finishers.call_ahead: [1, 2, 3] is a spread"),
        (
            "notice: 2, flow: kept-running",
            "crews.finishers.notice: is that of a gang that leaves and is called back, but one kept running stays",
        ),
        (
            "notice: 20 wd, here_from: 2027-06-01, here_until: 2027-06-18",
            "crews.finishers.notice: 20 wd leaves it no hour of work: it can be had for 104 h, 13 wd",
        ),
    ],
)
def test_what_cannot_be_called_is_told(tmp_path: Path, written: str, fault: str) -> None:
    (line,) = lines_of(with_finishers(tmp_path, written))
    assert fault in line


def test_a_gang_called_at_notice_is_said_back(tmp_path: Path) -> None:
    scenario = load(with_finishers(tmp_path, "notice: [1, 2, 3], call_ahead: 3 wd"))
    assert (
        "Called at notice: finishers, 3 wd before work is expected, there after 2 wd on average, gone when nothing is "
        "expected within 3 wd."
    ) in scenario.description()
    assert "works elsewhere until its first call" in "\n".join(scenario.assumptions())
    assert "Called at notice" not in "\n".join(load(changed(tmp_path / "plain")).description())
