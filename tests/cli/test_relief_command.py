"""`relief` as a user meets it: a line of two stages of which the slow one is known."""

from __future__ import annotations

import os
import re
import signal
from pathlib import Path

import pytest
from command_line import HERE, Start, done, needs_signals, refused, strict_json, wait_for, words
from small_sites import LINE

from sitesim.study import StudyFolder

SEVERAL = ("--only", "boarders", "--only", "painters", "--runs", 3, *HERE)
PLACE = "outputs/line-relief"


@pytest.fixture(autouse=True)
def _line(_folder: None) -> None:
    Path("line.yaml").write_text(LINE)


def test_it_tells_the_days_the_money_and_the_reason_and_leaves_a_page() -> None:
    text = words(done("relief", "line.yaml", *SEVERAL))
    assert "With a second boarders gang the date at 4 in 5 comes 11 working days earlier" in text
    assert "$11,000" in text  # eleven days of overhead less, the same work
    assert "With a second painters gang no day is won in any of 3 runs" in text
    assert f"The page: {PLACE}/relief.html The runs: {PLACE}" in text
    names = {entry.name for entry in Path(PLACE).iterdir()}
    assert {"relief.html", "relief.json", "as-planned", "second-boarders-gang", "second-painters-gang"} <= names


def test_without_a_name_all_that_the_scenario_suggests_is_played_and_paired() -> None:
    data = strict_json(done("relief", "line.yaml", "--runs", 2, "--json", *HERE))
    names = {one["name"] for one in data["reliefs"]}
    assert {"Second boarders gang", "Second painters gang", "Saturdays for every gang"} <= names
    assert data["pairs"]
    assert not data["asked_only"]


def test_pairs_are_left_out_where_none_are_asked_for() -> None:
    data = strict_json(done("relief", "line.yaml", "--runs", 2, "--pairs", 0, "--json", *HERE))
    assert data["pairs"] == []


def test_as_json_it_is_what_lies_beside_the_page_and_the_same_again() -> None:
    first = done("relief", "line.yaml", *SEVERAL, "--json")
    data = strict_json(first)
    assert {one["name"]: one["won_p80"]["shift"] for one in data["reliefs"]} == {
        "Second boarders gang": 11.0,
        "Second painters gang": 0.0,
    }
    assert data["asked_only"]
    assert strict_json((Path(data["folder"]) / "relief.json").read_text(encoding="utf-8")) == data
    assert done("relief", "line.yaml", *SEVERAL, "--json") == first


def test_settings_hold_for_the_plan_and_for_each_relief() -> None:
    fast = ("--set", "finishing.tasks.boards.time=1")
    data = strict_json(done("relief", "line.yaml", *SEVERAL, *fast, "--json"))
    won = {one["name"]: one["won_p80"]["shift"] for one in data["reliefs"]}
    # a day of boards and a day of paint in each home: 7 days, and neither gang alone brings more than a day
    assert data["planned"]["finish_p80"] == "2027-03-09"
    assert won["Second boarders gang"] == 0.0


def test_a_list_of_ones_own_is_played() -> None:
    Path("mine.yaml").write_text("reliefs:\n  - {name: Both gangs, both: [boarders, painters]}\n")
    data = strict_json(done("relief", "line.yaml", "--list", "mine.yaml", "--runs", 2, "--json", *HERE))
    assert [(one["name"], one["won_p80"]["shift"]) for one in data["reliefs"] if one["parts"]] == [("Both gangs", 12.0)]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("nowhere.yaml",), r"^nowhere\.yaml  cannot be read"),
        (("line.yaml", "--only", "bordrs"), r"^--only bordrs: there is no such relief: .*boarders"),
        (("line.yaml", "--list", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("line.yaml", "--list", "line.yaml"), r"^line\.yaml:\d+  .* is not known here"),
        (("line.yaml", "--pairs", "9"), r"--pairs"),
        (("line.yaml", "--runs", "0"), r"--runs"),
        (("line.yaml", "--engine", "cluster"), r"'cluster' is not known"),
        (("line.yaml", "--set", "crews.boarders.cuont=2"), r"did you mean count\?"),
        (("line.yaml", "--set", "site.horizon=5 d"), r"Line: not even the plain plan.*comes to an end: A"),
        (("line.yaml", "--out", "line.yaml"), r"^line\.yaml/as-planned: Not a directory$"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_bad_input_is_told_and_leaves_nothing_behind(arguments: tuple[str, ...], said: str) -> None:
    assert re.search(said, refused("relief", *arguments), re.MULTILINE)
    assert [file.name for file in Path().iterdir()] == ["line.yaml"]


def test_every_fault_of_a_list_is_told_with_its_line() -> None:
    Path("mine.yaml").write_text("reliefs:\n  - {name: Nothing}\n  - {name: Wrong, set: {crews.boarders.cuont: 2}}\n")
    lines = refused("relief", "line.yaml", "--list", "mine.yaml").splitlines()
    assert [line.split("  ")[0] for line in lines] == ["mine.yaml:2", "mine.yaml:3"]


def test_the_page_of_a_run_shows_what_a_relief_study_beside_it_found() -> None:
    done("run", "line.yaml", "--runs", 3, *HERE)
    page = Path("outputs/line/report.html")
    text = page.read_text(encoding="utf-8")
    assert "The boarders gang sets the pace" in text
    assert "sitesim relief FILE" in text
    done("relief", "line.yaml", *SEVERAL)
    done("report", "outputs/line")
    text = page.read_text(encoding="utf-8")
    assert "Played with one more of each thing: With a second boarders gang" in text
    assert '<a href="../line-relief/relief.html">' in text


@needs_signals
def test_ctrl_c_keeps_what_is_done_and_the_same_command_goes_on(start: Start, tmp_path: Path) -> None:
    asked = ("relief", tmp_path / "line.yaml", "--only", "boarders", "--runs", 1500, "--workers", 1, "--json")
    here = ("--out", tmp_path / "out")
    study = start(*asked, *here, start_new_session=True)
    wait_for(lambda: any(StudyFolder(folder).run_count() for folder in (tmp_path / "out").glob("*/")))
    os.killpg(study.pid, signal.SIGINT)
    stdout, stderr = study.communicate(timeout=120)
    assert study.returncode == 130
    assert stdout == ""
    assert re.search(r"Interrupted: .* The same command goes on from there\.", stderr), stderr
    assert "Traceback" not in stderr
    kept = sum(StudyFolder(folder).run_count() for folder in (tmp_path / "out").glob("*/"))
    assert 0 < kept < 3000
    assert not (tmp_path / "out/relief.json").exists(), "no answer of half a study"

    again, undisturbed = start(*asked, *here), start(*asked, "--out", tmp_path / "undisturbed")
    answers = [strict_json(one.communicate(timeout=240)[0]) for one in (again, undisturbed)]
    assert [one.returncode for one in (again, undisturbed)] == [0, 0]
    assert answers[0] | {"folder": ""} == answers[1] | {"folder": ""}
