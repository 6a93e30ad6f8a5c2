"""Runs until the P80 date is known: a study stops at fixed numbers of runs only, and at the first that is enough."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from rigs import network_plan
from scipy.stats import binom

from sitesim.chance import Fixed, Pert
from sitesim.errors import UserError
from sitesim.plan import Plan
from sitesim.study import StudySettings, parse_until, run_study

CHECKPOINTS = (100, 200, 400, 800)


def plan_of_one() -> Plan:
    return network_plan({"work": ((), Pert(100.0, 200.0, 600.0))})


def settings(until: float | None, **changes: object) -> StudySettings:
    return StudySettings(**{"until": until, "runs": 800, "workers": 1, "engine": "here"} | changes)  # type: ignore[arg-type]


def half_width_at(finishes: list[float], n: int) -> float:
    """Reckon the longer arm of the 95 % interval of the P80 from the first n runs: order statistics, recomputed."""
    ordered = sorted(finishes[:n])
    low = ordered[int(binom.ppf(0.025, n, 0.8)) - 1]
    high = ordered[int(binom.ppf(0.975, n, 0.8))]
    value = ordered[math.ceil(0.8 * n) - 1]
    return max(value - low, high - value)


@pytest.fixture(scope="module")
def finishes(tmp_path_factory: pytest.TempPathFactory) -> list[float]:
    folder = run_study(plan_of_one(), "one", settings(None), tmp_path_factory.mktemp("all") / "study").folder
    return [float(value) for value in folder.table("runs")["finish_hours"]]


@pytest.mark.parametrize(("wanted_at", "block"), [(100, 25), (200, 25), (200, 30), (200, 7), (400, 90), (800, 200)])
def test_it_stops_at_the_first_checkpoint_that_is_enough(
    tmp_path: Path, finishes: list[float], wanted_at: int, block: int
) -> None:
    until = half_width_at(finishes, wanted_at)
    enough = next(n for n in CHECKPOINTS if half_width_at(finishes, n) <= until)
    study = run_study(plan_of_one(), "one", settings(until, block=block), tmp_path / "study")
    assert study.runs == enough
    assert study.folder.manifest()["runs"] == enough


def test_the_widths_differ_so_that_the_test_above_can_fail(finishes: list[float]) -> None:
    widths = [half_width_at(finishes, n) for n in CHECKPOINTS]
    assert widths == sorted(widths, reverse=True)
    assert len(set(widths)) == len(widths)


def test_a_study_that_went_further_before_still_stops_at_the_same_number(tmp_path: Path, finishes: list[float]) -> None:
    path = tmp_path / "study"
    run_study(plan_of_one(), "one", settings(None, runs=330), path)
    study = run_study(plan_of_one(), "one", settings(half_width_at(finishes, 200)), path)
    assert study.runs == 200
    fresh = run_study(plan_of_one(), "one", settings(half_width_at(finishes, 200)), tmp_path / "fresh")
    assert study.folder.manifest()["tables_digest"] == fresh.folder.manifest()["tables_digest"]


def test_fixed_durations_need_no_more_than_the_first_checkpoint(tmp_path: Path) -> None:
    plan = network_plan({"work": ((), Fixed(10.0))})
    assert run_study(plan, "fixed", settings(1.0), tmp_path / "study").runs == 100


def test_a_site_that_never_ends_is_not_played_for_ever(tmp_path: Path) -> None:
    plan = network_plan({"work": ((), Fixed(24.0 * 50))}, days=10)
    assert run_study(plan, "never", settings(1.0), tmp_path / "study").runs == 100


@pytest.mark.parametrize(
    ("text", "hours"), [("1d", 24.0), ("12h", 12.0), (" 2 d ", 48.0), ("0.5d", 12.0), ("1.5h", 1.5)]
)
def test_times_that_can_be_read(text: str, hours: float) -> None:
    assert parse_until(text) == hours


@pytest.mark.parametrize("text", ["", "soon", "1", "0d", "-1d", "1w", "d", "1dd", "1,5d"])
def test_times_that_cannot_be_read(text: str) -> None:
    with pytest.raises(UserError, match="such as 1d or 12h"):
        parse_until(text)
