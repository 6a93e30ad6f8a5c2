"""The commands as a user meets them: what they print, where they print it, and the status they end with."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from small_sites import low_walls_file, network_file
from typer.testing import CliRunner, Result

from sitesim.cli import app
from sitesim.study import StudyFolder

ROOT = Path(__file__).parents[1]
COMMANDS = [command.name or command.callback.__name__ for command in app.registered_commands if command.callback]
HERE = ("--engine", "here", "--workers", "1")
needs_signals = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a system with signals")


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test stands in an empty folder of its own."""
    monkeypatch.chdir(tmp_path)


def sitesim(*arguments: object) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def done(*arguments: object) -> str:
    """Run a command that is to succeed without a word on standard error, and give what it prints."""
    result = sitesim(*arguments)
    assert result.exit_code == 0, result.stderr or result.exception
    assert result.stderr == ""
    return result.stdout


def refused(*arguments: object) -> str:
    """Run a command that is to refuse its input, and give what it says about it."""
    result = sitesim(*arguments)
    assert result.exit_code == 2, result.exception
    assert isinstance(result.exception, SystemExit), "a fault of the user's is no exception"
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    return result.stderr


def strict_json(text: str) -> Any:
    """Read JSON, refusing NaN and infinities, which are none."""

    def refuse(constant: str) -> None:
        raise AssertionError(f"{constant} is not JSON")

    return json.loads(text, parse_constant=refuse)


def words(text: str) -> str:
    """Take the line breaks out of a text."""
    return " ".join(text.split())


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with twelve runs of the demo with low walls."""
    folder = tmp_path_factory.mktemp("played")
    done("run", low_walls_file(folder), "--runs", 12, "--out", folder / "study", *HERE)
    return folder / "study"


# Help


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example_of_files_that_are_there(command: str) -> None:
    text = words(done(command, "--help"))
    assert f"Example: sitesim {command} " in text or text.rstrip().endswith(f"Example: sitesim {command}")
    example = text[text.index("Example: ") :]
    for file in re.findall(r"scenarios/\S+\.yaml", example):
        assert (ROOT / file).exists()


def test_help_names_every_command() -> None:
    text = done("--help")
    known = {"check", "run", "compare", "stress", "deliveries", "quote", "replay", "weather", "report", "new", "schema"}
    assert known <= set(COMMANDS)
    assert all(command in text for command in COMMANDS)


def test_help_loads_nothing_heavy() -> None:
    script = (
        "import sys; sys.argv = ['sitesim', '--help']\n"
        "from sitesim.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'numpy', 'scipy', 'pydantic', 'plotly', 'pyarrow', 'pint', 'simpy', 'ruamel.yaml'}\n"
        "print('LOADED', sorted(heavy & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert found.stdout.splitlines()[-1] == "LOADED []"


# Bad input


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("check", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read: No such file or directory$"),
        (("check", "."), r"^\.  cannot be read: "),
        (("run", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("compare", "two-homes.yaml", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("compare", "two-homes.yaml"), r"name two or more files"),
        (("stress", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("stress", "two-homes.yaml", "--stresses", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("stress", "two-homes.yaml", "--stresses", "two-homes.yaml"), r"^two-homes\.yaml:\d+  .* is not known here"),
        (("stress", "two-homes.yaml", "--date", "soon"), r"--date soon: is not a date; write it like 2027-12-17"),
        (("stress", "two-homes.yaml", "--only", "flood"), r"--only flood: there is no such stress: "),
        (("stress", "two-homes.yaml", "--months", "25"), r"--months"),
        (("deliveries", "two-homes.yaml"), r"nothing is printed here, so there is no concrete"),
        (("deliveries", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("deliveries", "two-homes.yaml", "--building", "A"), r"--building, --from-layer and --date together"),
        (
            ("deliveries", "two-homes.yaml", "--building", "A", "--from-layer", "1", "--date", "soon"),
            r"^--date soon: is not a date; write it like 2027-05-04$",
        ),
        (("deliveries", "two-homes.yaml", "--trucks", "some"), r"--trucks some: not a number of trucks"),
        (("quote", "nowhere"), r"^nowhere  cannot be read"),
        (("quote", "."), r"no manifest\.json here, so this is not a folder of runs"),
        (("replay", ".", "0"), r"no manifest\.json here"),
        (("replay", "nowhere", "0"), r"^nowhere: no manifest\.json here"),
        (("report", "."), r"no manifest\.json here"),
        (("new", "two-homes.yaml"), r"^two-homes\.yaml: File exists$"),
        (("new", "two-homes.yaml/site.yaml"), r"^two-homes\.yaml: "),
        (("run", "two-homes.yaml", "--engine", "cluster"), r"'cluster' is not known; there are processes, here"),
        (("run", "two-homes.yaml", "--until", "soon"), r"--until soon: .*such as 1d or 12h"),
        (("run", "two-homes.yaml", "--runs", "0"), r"--runs"),
        (("run", "two-homes.yaml", "--runs", "many"), r"--runs"),
        (("run", "two-homes.yaml", "--seed", "-1"), r"--seed"),
        (("run", "two-homes.yaml", "--out", "two-homes.yaml"), r"^two-homes\.yaml: Not a directory$"),
        (("run", "two-homes.yaml", "--out", "."), r"is not empty and holds no runs; choose another folder with --out"),
        (("quote", "two-homes.yaml", "--confidence", "100"), r"--confidence"),
        (("check", "two-homes.yaml", "--set", "crews.gang"), r"should be path=value"),
        (("check", "two-homes.yaml", "--set", "crews.gang.siez=3"), r"did you mean size\?"),
        (
            ("check", "two-homes.yaml", "--set", "site.horizon=tomorrow"),
            r"^--set site\.horizon=tomorrow  site\.horizon: ",
        ),
        (("weigh", "two-homes.yaml"), r"No such command 'weigh'"),
        (("run",), r"Missing argument"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_bad_input_is_said_on_standard_error_in_words(tmp_path: Path, arguments: tuple[str, ...], said: str) -> None:
    network_file(tmp_path)
    assert re.search(said, refused(*arguments), re.MULTILINE)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["two-homes.yaml"], "a refusal leaves nothing behind"


def test_all_faults_of_a_file_are_told_at_once_with_their_lines(tmp_path: Path) -> None:
    file = network_file(tmp_path, ("size: 2", "siez: 2"), ("[frame]", "[plaster]"), ("[4, 8, 16]", "[16, 8, 4]"))
    lines = refused("check", file.name).splitlines()
    assert [line.split("  ")[0] for line in lines] == ["two-homes.yaml:4", "two-homes.yaml:7", "two-homes.yaml:10"]
    assert "crews.gang.siez" in lines[0]
    assert "did you mean size?" in lines[0]
    assert "finishing.tasks.frame.time" in lines[1]
    assert "finishing.sequences.only.paint" in lines[2]


def test_a_file_that_is_no_yaml_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("name: [unclosed\nsite: {start: 2027-03-01}\n")
    assert refused("check", "site.yaml").startswith("site.yaml:")


def test_a_fault_of_ours_shows_itself(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr("sitesim.study.answering.answer", broken)
    result = sitesim("run", network_file(tmp_path))
    assert result.exit_code == 1
    assert isinstance(result.exception, RuntimeError)


# Check, schema, new


def test_check_says_back_what_will_be_played(tmp_path: Path) -> None:
    text = words(done("check", network_file(tmp_path)))
    assert "Two homes" in text
    assert "March 2027" in text
    assert "gang" in text


def test_check_takes_settings(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    assert "Renamed" in done("check", file, "--set", "name=Renamed")


def test_the_schema_is_json_and_knows_the_sections() -> None:
    schema = strict_json(done("schema"))
    assert {"site", "calendar", "wall", "printer", "supply", "crews", "finishing"} <= set(schema["properties"])
    assert schema["additionalProperties"] is False


def test_from_an_empty_folder_to_a_date(tmp_path: Path) -> None:
    assert "written: my-site.yaml" in done("new", "my-site.yaml")
    assert "Two printed buildings" in done("check", "my-site.yaml")
    text = words(done("run", "my-site.yaml", "--runs", 5, *HERE))
    assert "Four in five runs finish by" in text
    assert "The tables: outputs/my-site" in text
    assert (tmp_path / "outputs/my-site/report.html").exists()


def test_new_writes_over_nothing(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("mine")
    refused("new", "site.yaml")
    assert (tmp_path / "site.yaml").read_text() == "mine"


# Run


def test_run_leaves_what_users_rely_on(played: Path) -> None:
    names = {file.name for file in played.iterdir()}
    assert {"manifest.json", "scenario.yaml", "summary.json", "report.html", "activities.parquet"} <= names
    assert {"runs", "milestones", "time", "held", "loads"} <= names


def test_run_tells_the_date_its_error_and_the_places_of_page_and_tables(tmp_path: Path) -> None:
    text = words(done("run", network_file(tmp_path), "--runs", 60, "--out", "out", *HERE))
    assert re.search(r"Four in five runs finish by \d+ April 2027 \(± \d working days\)", text)
    assert "The page: out/report.html The tables: out" in text


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


# Compare


def test_scenarios_that_differ_in_name_only_cannot_be_told_apart(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    other = network_file(tmp_path, ("name: Two homes", "name: The same again"), name="same.yaml")
    text = words(done("compare", one, other, "--runs", 10, *HERE))
    assert "The same again: finish dates cannot be told apart from those of Two homes" in text
    assert "costs cannot be told apart (difference $0 to $0)" in text
    assert "0 % / 100 % / 0 %" in text
    data = strict_json(done("compare", one, other, "--runs", 10, "--json", *HERE))
    assert data[1]["against_the_first"]["finish_days"] | {"n": 0} == {
        "mean": 0.0,
        "low": 0.0,
        "high": 0.0,
        "n": 0,
        "distinguishable": False,
        "unpaired_infinite": 0,
        "only_a_infinite": 0,
        "only_b_infinite": 0,
    }


def test_a_slower_gang_is_told_apart_from_the_first(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    slow = network_file(tmp_path, ("name: Two", "name: Slow"), ("[2, 4, 9]", "[12, 14, 19]"), name="slow.yaml")
    text = words(done("compare", one, slow, "--runs", 20, *HERE))
    assert re.search(r"Slow homes: [\d.]+ calendar days later on average", text)
    assert re.search(r"about \$[\d,]+ dearer", text)


def test_square_brackets_in_a_name_are_no_markup(tmp_path: Path) -> None:
    one = network_file(tmp_path, ("name: Two homes", 'name: "Two [red]homes"'))
    other = network_file(tmp_path, ("name: Two homes", 'name: "Other [b]"'), name="other.yaml")
    assert "Other [b]: " in done("compare", one, other, "--runs", 5, *HERE)
    assert "Two [red]homes" in done("quote", one, "--runs", 5, *HERE)
    assert "Two [red]homes" in done("check", one)


# Stress

LATE = """\
stresses:
  - {name: Painters slow, factors: {finishing.tasks.paint.time: 2}}
  - {name: Gang missing for two weeks, gang_missing: {gang: busiest, week: 1, lasts: 14 d}}
  - {name: Tent lost, tent_lost: {lasts: 21 d}}
"""


def test_stress_ranks_and_leaves_a_page(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    told = done("stress", file, "--stresses", "late.yaml", "--runs", 10, "--months", 2, "--date", "2027-04-30", *HERE)
    text = words(told)
    assert re.search(r"What if it goes wrong: Two homes .* \+[\d.]+ working days", text)
    assert "gang missing for two weeks +10" in text.casefold()
    assert "Does not apply: Tent lost: the scenario has no tent." in text
    assert re.search(r"Mar 2027 .* Apr 2027", text)
    assert "The page: outputs/two-homes-stress/stress.html The runs: outputs/two-homes-stress" in text
    assert {"stress.html", "stress.json", "as-planned", "painters-slow"} <= {
        entry.name for entry in (tmp_path / "outputs/two-homes-stress").iterdir()
    }


def test_stress_as_json_and_again_the_same(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    asked = ("stress", file, "--stresses", "late.yaml", "--only", "gang", "--months", 0, "--runs", 8, "--json", *HERE)
    first = done(*asked)
    data = strict_json(first)
    assert [(one["name"], one["p80"]["shift"]) for one in data["shifts"]] == [("Gang missing for two weeks", 10.0)]
    assert done(*asked) == first
    assert strict_json((tmp_path / data["folder"] / "stress.json").read_text()) == data


def test_settings_hold_under_stress(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    asked = ("stress", file, "--stresses", "late.yaml", "--only", "gang", "--months", 0, "--runs", 4, "--json", *HERE)
    plain, slow = (strict_json(done(*asked, *more)) for more in ((), ("--set", "finishing.tasks.frame.time=20")))
    assert slow["planned"]["finish_p80"] > plain["planned"]["finish_p80"]


def test_faults_of_a_list_are_told_with_their_lines(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE.replace("factors", "factor").replace("gang: busiest", "gnag: busiest"))
    lines = refused("stress", file, "--stresses", "late.yaml").splitlines()
    assert [line.split("  ")[0] for line in lines][:2] == ["late.yaml:2", "late.yaml:3"]
    assert "did you mean factors?" in lines[0]
    assert "did you mean gang?" in lines[1]


def test_the_usual_list_is_printed_to_be_copied(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text(done("stress", "--usual"))
    file = network_file(tmp_path)
    text = words(done("stress", file, "--stresses", "mine.yaml", "--runs", 4, "--months", 0, *HERE))
    assert "Windows four weeks late: the scenario has no delivery of windows." in text


# Quote


def test_quote_a_folder_and_a_file(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    of_file = done("quote", file, "--runs", 20, "--confidence", 70, "--out", "out", *HERE)
    assert "Hand-over dates for Two homes at 70 %" in of_file
    assert done("quote", "out", "--confidence", 70) == of_file
    assert "Not a guarantee." in of_file


def test_a_quote_takes_the_confidence_of_the_scenario(played: Path) -> None:
    assert strict_json(done("quote", played, "--json"))["confidence"] == 0.8


def test_a_surer_quote_is_no_earlier(played: Path) -> None:
    half, sure = (strict_json(done("quote", played, "--json", "--confidence", share)) for share in (50, 90))
    for home, surer in zip(half["homes"], sure["homes"], strict=True):
        assert home["promised"] <= surer["promised"]
    assert half["all_homes"] < sure["all_homes"]


def test_settings_are_not_for_runs_that_have_been_played(played: Path) -> None:
    assert "holds runs that have been played" in refused("quote", played, "--set", "supply.spacing=90 min")


# Replay, report


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


# In a process of its own


Start = Callable[..., "subprocess.Popen[str]"]


@pytest.fixture
def start() -> Iterator[Start]:
    """Start commands; what is left of them at the end of a test is ended."""
    started: list[subprocess.Popen[str]] = []

    def start_one(*arguments: object, **options: Any) -> subprocess.Popen[str]:
        piped = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
        command = [sys.executable, "-m", "sitesim", *map(str, arguments)]
        started.append(subprocess.Popen(command, **piped | options))
        return started[-1]

    yield start_one
    for process in started:
        process.kill()
        process.communicate()


def wait_for(what: Callable[[], object], seconds: float = 60.0) -> None:
    deadline = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(0.002)


@pytest.fixture
def long_study(tmp_path: Path) -> tuple[object, ...]:
    """A command that takes some seconds on two worker processes."""
    return "run", low_walls_file(tmp_path), "--runs", 200, "--workers", 2, "--out", tmp_path / "out"


@needs_signals
def test_ctrl_c_keeps_what_is_done_and_the_same_command_goes_on(
    start: Start, tmp_path: Path, long_study: tuple[object, ...]
) -> None:
    study = start(*long_study, start_new_session=True)
    wait_for(StudyFolder(tmp_path / "out").run_count)
    os.killpg(study.pid, signal.SIGINT)  # as a terminal does: to the command and its workers
    stdout, stderr = study.communicate(timeout=120)
    assert study.returncode == 130
    assert stdout == ""
    found = re.fullmatch(
        r"\nInterrupted: (\d+) runs are kept in \S+/out\. The same command goes on from there\.\n", stderr
    )
    assert found, stderr
    assert 25 <= int(found[1]) < 200
    assert len(pd.read_parquet(tmp_path / "out/runs")) == int(found[1])

    again = start(*long_study)
    _, stderr = again.communicate(timeout=120)
    assert (again.returncode, stderr) == (0, "")
    done("run", long_study[1], "--runs", 200, "--out", "undisturbed", *HERE)
    digests = [
        json.loads((tmp_path / of / "manifest.json").read_text())["tables_digest"] for of in ("out", "undisturbed")
    ]
    assert digests[0] == digests[1]


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks the system for the children of a process")
def test_workers_end_with_the_command_that_was_killed(
    start: Start, tmp_path: Path, long_study: tuple[object, ...]
) -> None:
    study = start(*long_study, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    wait_for(StudyFolder(tmp_path / "out").run_count)
    workers = Path(f"/proc/{study.pid}/task/{study.pid}/children").read_text().split()
    assert len(workers) >= 2
    study.kill()
    study.wait()
    wait_for(lambda: not any(is_alive(worker) for worker in workers), seconds=20)


def is_alive(process: str) -> bool:
    """Tell whether a process is there and not merely waiting to be taken note of."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


def test_a_pipe_silences_the_progress(start: Start, tmp_path: Path) -> None:
    study = start("run", network_file(tmp_path), "--runs", 5, *HERE)
    stdout, stderr = study.communicate(timeout=120)
    assert (study.returncode, stderr) == (0, "")
    assert stdout.startswith("Four in five runs finish by")
    assert "\x1b" not in stdout, "no colours in a pipe"


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo terminal")
@pytest.mark.parametrize(("option", "shown"), [((), True), (("--quiet",), False), (("--json",), False)])
def test_a_terminal_shows_the_progress_unless_silenced(
    start: Start, tmp_path: Path, option: tuple[str, ...], shown: bool
) -> None:
    terminal, end = os.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "120"}
    study = start("run", network_file(tmp_path), "--runs", 100, *option, *HERE, stderr=end, env=environment)
    os.close(end)
    study.communicate(timeout=120)
    told = b""
    try:
        while piece := os.read(terminal, 65536):
            told += piece
    except OSError:  # what the other end's closing looks like here
        pass
    finally:
        os.close(terminal)
    assert study.returncode == 0
    assert (b"P80 so far" in told) is shown
    assert bool(told) is shown


@pytest.mark.skipif(os.name == "nt", reason="needs a shell")
def test_a_reader_that_goes_away_leaves_no_traceback(tmp_path: Path) -> None:
    command = f"{sys.executable} -m sitesim schema | head -n 1"
    found = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert found.stdout == "{\n"
    assert found.stderr == ""


# ------------------------------------------------------------------------------------------------------------- weather


DEMO = ROOT / "scenarios" / "tern-quay.yaml"


def test_weather_tells_and_writes_its_page() -> None:
    text = done("weather", DEMO, "--runs", "5")
    assert "the weather takes most from" in words(text)
    assert "4 years are few" in words(text)
    assert text.rstrip().endswith("The page: outputs/tern-quay-weather/weather.html")
    folder = Path("outputs/tern-quay-weather")
    assert sorted(file.name for file in folder.iterdir()) == ["weather.html", "weather.json"]


def test_weather_as_json_is_what_lies_beside_the_page() -> None:
    data = strict_json(done("weather", DEMO, "--runs", "5", "--out", "here", "--json", "--set", "weather.draw=2013"))
    assert data == strict_json(Path("here/weather.json").read_text(encoding="utf-8"))
    assert data["drawn"] == {"how": "years", "years": [2013]}
    for kind in data["kinds"]:
        lost = sum(map(sum, kind["lost_hours"].values()))
        assert sum(kind["workable_hours"]) + lost == pytest.approx(sum(kind["shift_hours"]), abs=1e-6)


def test_weather_is_the_same_twice_and_another_under_another_seed() -> None:
    texts = [done("weather", DEMO, "--runs", "5", "--quiet", "--seed", seed) for seed in (1, 1, 2)]
    assert texts[0] == texts[1] != texts[2]
    assert "The page" not in texts[0]


def test_weather_refuses_what_is_wrong() -> None:
    assert "weather.draw: the record has no whole year 2011; it has 2012," in refused(
        "weather", DEMO, "--set", "weather.draw=2011"
    )
    assert "did you mean indoors?" in refused("weather", DEMO, "--set", "weather.indors.rise=3 delta_degC")


# Deliveries

FEW_WAYS = ("--load", "3, 4 yd^3", "--spacing", "120 min", "--spacing", "150, 180 min", "--runs", "3", *HERE)


def test_deliveries_set_ways_and_supplies_side_by_side() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    text = words(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--out", "found"))
    assert re.match(r"(Order ready-mix in loads of|Mix on site:)", text)
    assert "The cheapest of 6 ways" in text
    assert "truck standby, an hour" in text
    assert {file.name for file in Path("found").iterdir()} == {
        "against.yaml",
        "deliveries.html",
        "manifest.json",
        "print_days.parquet",
        "scenario.yaml",
        "seattle-daily-2012-2015.csv",
        "summary.json",
    }
    assert len(pd.read_parquet("found/print_days.parquet")) == 3 * 7  # six ways and the mixer
    again = words(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--out", "found"))
    assert again == text


def test_deliveries_take_the_scenarios_in_either_order() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    one = strict_json(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--json"))
    other = strict_json(done("deliveries", mixed, "--against", demo, *FEW_WAYS, "--json"))
    assert one == other


def test_the_order_for_one_day_is_printed() -> None:
    demo = ROOT / "scenarios" / "tern-quay.yaml"
    day = ("--building", "B", "--from-layer", "16", "--date", "2027-05-04", "--weather", "dry")
    text = words(done("deliveries", demo, *day, *FEW_WAYS))
    assert re.match(r"Row B, layers 16–30: (two|three) loads of \S+( and \S+)? yd³ at the gate at 07:00, ", text)
    for said in (
        "Place the order by 15:00 on Monday, May 3.",
        "to be used by",
        "Go or no go at 05:30",
        "Never add water",
    ):
        assert said in text
    assert Path("outputs/tern-quay-deliveries-B-16/deliveries.html").exists()


def test_settings_of_the_supply_are_for_the_first_scenario_alone() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    sets = ("--set", "supply.haul=80 min", "--set", "costs.blend=100 /m^3")
    found = strict_json(done("deliveries", demo, "--against", mixed, *FEW_WAYS, *sets, "--json"))
    assert found["turning"]["travel"]["now"] == pytest.approx(80 / 60, abs=1e-3)
    assert found["turning"]["blend"]["now"] == 100.0


def test_a_comparison_says_that_it_plays_as_often_as_a_folder_holds(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    other = network_file(tmp_path, ("name: Two homes", "name: The same again"), name="same.yaml")
    assert "held" not in done("compare", one, other, "--runs", 6, *HERE)
    text = words(done("compare", one, other, "--runs", 4, *HERE))
    assert "A folder held 6 runs already, so each scenario is played as often." in text
