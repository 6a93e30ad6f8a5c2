"""The tables of a study: their columns, what is in them, and runs that never end."""

from __future__ import annotations

import math
import shutil
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from pandas.api import types
from rigs import network_plan, printing_plan

from sitesim.answers.statistics import quantile_estimate
from sitesim.chance import Fixed, Pert
from sitesim.ledger import COLUMNS, OF_STANDING_RUNS
from sitesim.plan import Inspection
from sitesim.study import StudyFolder, StudyFolderError, StudySettings, run_study
from sitesim.study.runner import keep_standing_runs

# What users were told that they can rely on; kept here as text, so that it does not follow the program.
PROMISED = {
    "runs": "run finish_hours cost batched_m3 in_place_m3 rejected_m3 returned_m3 unplanned_joints print_days finished",
    "milestones": "run building home milestone hours",
    "time": "run resource state cause hours",
    "held": "run cause activity days",
    "loads": "run",
    "weeks": "run resource week state cause hours",
    "activities": "run resource activity building home state cause start end held_by",
}
WHOLE = {"run", "week", "serial", "unplanned_joints", "print_days", "day", "load", "loads", "stops", "inspections"}
WHOLE |= {"visits", "failed", "lost", "moved", "witnessed", "not_witnessed"}
TEXT = {"building", "home", "milestone", "resource", "state", "cause", "activity", "item", "verdict", "held_by"}
TEXT |= {"inspector"}


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> StudyFolder:
    """A study of two printed buildings, all durations fixed."""
    settings = StudySettings(runs=6, workers=1, engine="here", block=4, loads_of=2)
    plan = printing_plan()
    seen = replace(plan.nodes[-1].task, inspection=Inspection(0, 0.0, Fixed(0.0)))
    plan = replace(plan, nodes=(*plan.nodes[:-1], replace(plan.nodes[-1], task=seen)))
    folder = run_study(plan, "printed", settings, tmp_path_factory.mktemp("printed") / "study").folder
    keep_standing_runs(plan, settings.seed, folder, (1, 4))
    return folder


@pytest.fixture(scope="module")
def cut_short(tmp_path_factory: pytest.TempPathFactory) -> StudyFolder:
    """A study of two steps in a row, 30 to 90 hours each, played for five days only."""
    plan = network_plan({"first": ((), Pert(30.0, 50.0, 90.0)), "second": (("first",), Pert(30.0, 50.0, 90.0))}, days=5)
    settings = StudySettings(runs=40, workers=1, engine="here")
    return run_study(plan, "short", settings, tmp_path_factory.mktemp("short") / "study").folder


@pytest.mark.parametrize("table", list(COLUMNS))
def test_tables_have_exactly_their_columns(printed: StudyFolder, table: str) -> None:
    assert tuple(printed.table(table).columns) == COLUMNS[table]


@pytest.mark.parametrize(("table", "columns"), PROMISED.items())
def test_tables_have_the_columns_that_users_rely_on(printed: StudyFolder, table: str, columns: str) -> None:
    assert set(columns.split()) <= set(printed.table(table).columns)


@pytest.mark.parametrize("table", list(COLUMNS))
def test_columns_have_their_kind(printed: StudyFolder, table: str) -> None:
    frame = printed.table(table)
    assert len(frame), f"the rig leaves {table} empty, so nothing is tested"
    for column in frame.columns:
        kind = frame[column].dtype
        if column == "finished":
            assert types.is_bool_dtype(kind)
        elif column in WHOLE:
            assert types.is_integer_dtype(kind), column
        elif column in TEXT:
            assert types.is_string_dtype(kind), column
    for column in frame.select_dtypes("number").columns:
        assert not frame[column].isna().any(), f"{column} holds what is no number"


def test_the_folder_reads_as_a_plain_parquet_data_set(printed: StudyFolder) -> None:
    """Other programs read the folder of blocks as one table."""
    frame = pd.read_parquet(printed.path / "runs")
    assert sorted(frame["run"]) == list(range(6))


def test_delivery_records_are_kept_for_the_first_runs_only(printed: StudyFolder) -> None:
    assert set(printed.table("loads")["run"]) == {0, 1}
    assert (printed.table("runs")["loads"] > 0).all()


def test_activities_and_weeks_are_kept_for_the_runs_asked_for(printed: StudyFolder) -> None:
    for table in OF_STANDING_RUNS:
        assert set(printed.table(table)["run"]) == {1, 4}


def test_a_table_can_be_read_up_to_a_run(printed: StudyFolder) -> None:
    assert set(printed.table("time", 3)["run"]) == {0, 1, 2}


def test_a_missing_table_is_named(tmp_path: Path) -> None:
    with pytest.raises(StudyFolderError, match="the table held is missing"):
        StudyFolder(tmp_path).table("held")


def test_a_folder_of_an_older_version_that_holds_fewer_tables_is_read(printed: StudyFolder, tmp_path: Path) -> None:
    older = StudyFolder(tmp_path / "older")
    shutil.copytree(printed.path, older.path)
    for table in ("loads", "weeks"):
        place = older.path / table
        shutil.rmtree(place) if place.is_dir() else place.with_suffix(".parquet").unlink()
    assert older.run_count() == printed.run_count()
    assert older.table("runs").equals(printed.table("runs"))
    assert (older.has("runs"), older.has("loads"), older.has("weeks")) == (True, False, False)
    with pytest.raises(StudyFolderError, match="the table loads is missing"):
        older.table("loads")


def test_a_block_that_lacks_a_table_which_others_have_does_not_count(printed: StudyFolder, tmp_path: Path) -> None:
    cut = StudyFolder(tmp_path / "cut")
    shutil.copytree(printed.path, cut.path)
    first, *_ = sorted((cut.path / "held").glob("block-*.parquet"))
    first.unlink()
    assert cut.run_count() < printed.run_count()


def test_costs_add_up_to_the_cost_of_the_run(printed: StudyFolder) -> None:
    by_run = printed.table("costs").groupby("run")["amount"].sum()
    assert by_run.tolist() == pytest.approx(printed.table("runs")["cost"].tolist(), rel=1e-12)


def test_held_days_add_up_to_the_finish(printed: StudyFolder) -> None:
    by_run = printed.table("held").groupby("run")["days"].sum()
    finish = printed.table("runs")["finish_hours"] / 24
    assert by_run.tolist() == pytest.approx(finish.tolist(), rel=1e-12)


def test_the_manifest_tells_what_was_played(printed: StudyFolder) -> None:
    manifest = printed.manifest()
    assert manifest["scenario"] == "rig"
    assert manifest["scenario_digest"] == "printed"
    assert (manifest["seed"], manifest["runs"], manifest["complete"]) == (1, 6, True)
    assert {"sitesim", "python", "simpy", "numpy"} <= set(manifest["versions"])
    assert manifest["started"].startswith("20")
    assert manifest["seconds"] >= 0
    assert len(manifest["tables_digest"]) == 64


def test_runs_that_never_end_are_kept_with_their_reason(cut_short: StudyFolder) -> None:
    runs = cut_short.table("runs")
    assert len(runs) == 40
    late = runs[~runs["finished"]]
    assert 0 < len(late) < 40, "the rig should have both sorts of runs"
    assert (late["finish_hours"] == math.inf).all()
    assert late["unfinished_reason"].str.contains("first|second").all(), "the reason names the step"
    done = runs[runs["finished"]]
    assert (done["finish_hours"] <= 5 * 24).all()
    assert (done["unfinished_reason"] == "").all()


def test_what_they_did_not_reach_has_no_hour(cut_short: StudyFolder) -> None:
    late = cut_short.table("runs").query("not finished")["run"]
    milestones = cut_short.table("milestones")
    of_late = milestones[milestones["run"].isin(late)]
    assert (of_late["hours"] == math.inf).all()
    assert (milestones[~milestones["run"].isin(late)]["hours"] < math.inf).all()


def test_they_hold_no_days_of_a_finish_that_never_came(cut_short: StudyFolder) -> None:
    late = set(cut_short.table("runs").query("not finished")["run"])
    assert not late & set(cut_short.table("held")["run"])


def test_they_rank_last(cut_short: StudyFolder) -> None:
    runs = cut_short.table("runs")
    done = int(runs["finished"].sum())
    share = done / 40
    finishes = runs["finish_hours"].to_numpy()
    assert quantile_estimate(finishes, share).value == max(value for value in finishes if value < math.inf)
    assert quantile_estimate(finishes, share + 1 / 40).value == math.inf
