"""`run` as a user meets it."""

from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
from command_line import (
    HERE,
    done,
    refused,
    strict_json,
    words,
)
from small_sites import low_walls_file, network_file


def test_run_leaves_what_users_rely_on(played: Path) -> None:
    names = {file.name for file in played.iterdir()}
    assert {"manifest.json", "scenario.yaml", "summary.json", "report.html", "activities.parquet"} <= names
    assert {"runs", "milestones", "time", "held", "loads"} <= names


def test_run_tells_the_date_its_error_and_the_places_of_page_and_tables(tmp_path: Path) -> None:
    text = words(done("run", network_file(tmp_path), "--runs", 60, "--out", "out", *HERE))
    assert re.search(r"Four in five runs finish by \d+ April 2027 \(± \d working days\)", text)
    assert "The page: out/report.html The tables: out" in text


def test_the_command_that_asks_for_more_can_be_typed_as_it_is_printed(tmp_path: Path) -> None:
    folder = tmp_path / "my site"
    folder.mkdir()
    file = low_walls_file(folder)
    told = words(done("run", file, "--runs", 4, "--set", "supply.spacing=120 min", *HERE))
    assert f"sitesim relief '{file}' --set 'supply.spacing=120 min' --only " in told


def test_run_as_json(tmp_path: Path) -> None:
    summary = strict_json(done("run", network_file(tmp_path), "--runs", 20, "--json", *HERE))
    kept = strict_json((tmp_path / "outputs/two-homes/summary.json").read_text(encoding="utf-8"))
    assert summary == kept
    assert summary["runs"] == 20


def test_json_is_json_even_if_no_run_ends(tmp_path: Path) -> None:
    file = network_file(tmp_path, ("200 d", "5 d"))
    summary = strict_json(done("run", file, "--runs", 5, "--json", "--out", "out", *HERE))
    assert summary["unfinished"]["runs"] == 5
    assert summary["finish"]["P80"]["date"] is None
    strict_json(done("quote", "out", "--json"))
    strict_json(done("replay", "out", 0, "--json"))
    other = network_file(tmp_path, name="ends.yaml")
    strict_json(done("compare", file, other, "--runs", 5, "--json", *HERE))


def test_run_says_that_no_run_ends(tmp_path: Path) -> None:
    text = words(done("run", network_file(tmp_path, ("200 d", "5 d")), "--runs", 5, *HERE))
    assert "None of 5 runs comes to an end" in text
    assert "frame" in text, "the reason names a step"


def test_settings_change_what_is_played_and_are_kept(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    slow = ("--set", "finishing.tasks.paint.time=[20, 30, 40]")
    first = strict_json(done("run", file, "--runs", 10, "--json", *HERE))
    second = strict_json(done("run", file, "--runs", 10, "--json", *slow, *HERE))
    assert second["finish"]["P50"]["hours"] > first["finish"]["P50"]["hours"] + 10 * 24
    assert "20" in (tmp_path / "outputs/two-homes-2/scenario.yaml").read_text()


def test_the_same_command_again_goes_to_the_same_folder(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    for runs in (5, 10):
        done("run", file, "--runs", runs, *HERE)
    assert [folder.name for folder in (tmp_path / "outputs").iterdir()] == ["two-homes"]
    assert len(pd.read_parquet(tmp_path / "outputs/two-homes/runs")) == 10


def test_another_seed_goes_to_another_folder(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    for seed in (1, 2):
        done("run", file, "--runs", 5, "--seed", seed, *HERE)
    assert sorted(folder.name for folder in (tmp_path / "outputs").iterdir()) == ["two-homes", "two-homes-2"]


def test_a_folder_of_another_study_is_refused(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    done("run", file, "--runs", 5, "--out", "out", *HERE)
    said = refused("run", file, "--runs", 5, "--seed", 2, "--out", "out", *HERE)
    assert said == "out: holds runs with another seed; choose another folder with --out, or remove this one\n"


def test_run_until_the_date_is_known_well_enough(tmp_path: Path) -> None:
    summary = strict_json(done("run", network_file(tmp_path), "--until", "30d", "--json", *HERE))
    assert summary["runs"] == 100


def test_a_damaged_file_is_named(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    done("run", file, "--runs", 5, "--out", "out", *HERE)
    block = tmp_path / "out/runs/block-0000000-0000005.parquet"
    block.write_bytes(block.read_bytes()[:-20])
    assert "block-0000000-0000005.parquet: is damaged" in refused("run", file, "--runs", 10, "--out", "out", *HERE)
