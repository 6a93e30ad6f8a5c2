"""`replay` and `report` as a user meets them."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pandas as pd
import pytest
from command_line import (
    done,
    refused,
    strict_json,
    words,
)


def test_a_replayed_run_tells_what_the_activities_table_says(played: Path) -> None:
    activities = pd.read_parquet(played / "activities.parquet")
    run = int(activities["run"].iloc[0])
    told = strict_json(done("replay", played, run, "--json"))
    lines = {(line["time"], line["text"].split(": begun")[0]) for day in told["days"] for line in day["lines"]}
    start = pd.Timestamp("2027-03-01")
    checked = 0
    for row in activities.query(f"run == {run} and kind == 'work' and resource != ''").itertuples():
        if str(row.activity).endswith("rework"):
            continue
        label = f"{str(row.activity).partition('/')[0]}: {str(row.activity).partition('/')[2].replace('_', ' ')}"
        instant = (start + pd.Timedelta(seconds=round(row.start * 3600))).isoformat()
        assert (instant, label) in lines
        checked += 1
    assert checked > 50


def test_a_replay_can_be_of_one_building_and_one_day(played: Path) -> None:
    told = strict_json(done("replay", played, 3, "--building", "B", "--json"))
    assert {line["building"] for day in told["days"] for line in day["lines"]} == {"B"}
    printing = next(
        day["date"] for day in told["days"] if any("print day 1: begun" in line["text"] for line in day["lines"])
    )
    number = (pd.Timestamp(printing) - pd.Timestamp("2027-03-01")).days + 1
    of_day = done("replay", played, 3, "--building", "B", "--day", number)
    assert "layer 1 done" in of_day
    assert f"· day {number} ·" in of_day, "the weather stands behind the day"
    assert of_day.rstrip().splitlines()[-1] == f"The page: {played / f'replay-3-{number}-B.html'}"
    assert done("replay", played, 3, "--building", "B", "--day", printing) == of_day, "a date does as well"


def test_a_print_day_leaves_a_page_unless_told_not_to(played: Path) -> None:
    told = strict_json(done("replay", played, 4, "--json"))
    dates = [day["date"] for day in told["days"] if any("print day 1: begun" in one["text"] for one in day["lines"])]
    number = (pd.Timestamp(dates[0]) - pd.Timestamp("2027-03-01")).days + 1
    page = played / f"replay-4-{number}.html"
    assert "The page" not in done("replay", played, 4, "--day", number, "--no-page")
    assert not page.exists()
    data = strict_json(done("replay", played, 4, "--day", number, "--json"))
    (day,) = data["print_days"]
    assert day["balance"]["batched_m3"] == sum(
        volume for name, volume in day["balance"].items() if name[:7] != "batched"
    )
    assert sum(day["account_hours"].values()) == day["length_hours"]
    assert "<figure" in page.read_text(encoding="utf-8")


def test_a_day_without_printing_is_told_as_ever(played: Path) -> None:
    text = words(done("replay", played, 3, "--day", 1))
    assert "A: slab: ready to be built on" in text
    assert "This is no print day; the nearest print days are day " in text
    assert "The page" not in text


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (
            "soon",
            r"--day soon: is not a day; write the day of the run from 1, such as 12, or a date, such as 2027-04-12",
        ),
        ("2027-04-31", r"--day 2027-04-31: is not a day"),
        ("-3", r"--day -3: is not a day"),
        (
            "0",
            r"--day 0: is not a day of run 3, .* day 1 \(2027-03-01\) to day \d+ .* the nearest print days are day \d+",
        ),
        ("2027-02-28", r"--day 2027-02-28: is not a day of run 3"),
        ("9999", r"--day 9999: is not a day of run 3"),
    ],
)
def test_a_wrong_day_is_refused_with_the_nearest_print_days(played: Path, day: str, said: str) -> None:
    assert re.search(said, refused("replay", played, 3, f"--day={day}"))


def test_a_run_can_be_named_by_the_confidence_that_it_stands_for(played: Path) -> None:
    standing = strict_json((played / "summary.json").read_text())["standing_for"]
    for confidence, run in standing.items():
        assert strict_json(done("replay", played, confidence.lower(), "--json"))["run"] == run
    assert f"or {', '.join(standing)}" in refused("replay", played, "P75")


def test_what_was_interrupted_before_a_run_was_kept_is_told_as_such(played: Path, tmp_path: Path) -> None:
    begun = tmp_path / "begun"
    begun.mkdir()
    manifest = strict_json((played / "manifest.json").read_text())
    for kept in ("scenario.yaml", "seattle-daily-2012-2015.csv"):
        shutil.copy(played / kept, begun / kept)
    del manifest["runs"]
    (begun / "manifest.json").write_text(json.dumps(manifest | {"complete": False}))
    for command in (("quote", begun), ("replay", begun, 0)):
        assert "begun: no run is kept here yet" in refused(*command)
    for command in (("report", begun), ("replay", begun, "P80")):
        assert "begun: the study is not complete; run it again" in refused(*command)


def test_a_run_or_building_that_is_not_there(played: Path) -> None:
    assert "there is no run 12; the runs are 0 to 11" in refused("replay", played, 12)
    assert "there is no building Q; there are A, B, C, D, E" in refused("replay", played, 1, "--building", "Q")


def test_the_page_can_be_made_again(played: Path) -> None:
    page = played / "report.html"
    before = page.read_bytes()
    page.unlink()
    assert done("report", played).strip() == str(page)
    assert page.read_bytes() == before


def test_the_page_of_a_folder_that_keeps_no_weeks_says_so(played: Path, tmp_path: Path) -> None:
    older = tmp_path / "older"
    shutil.copytree(played, older)
    assert "The folder was written by an older version" not in (older / "report.html").read_text(encoding="utf-8")
    (older / "weeks.parquet").unlink()
    done("report", older)
    assert "The folder was written by an older version" in (older / "report.html").read_text(encoding="utf-8")
