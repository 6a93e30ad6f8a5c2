"""A scenario played into a folder: what is kept beside the tables, and what can be asked of the folder afterwards."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_sites import low_walls_file, network_file

from sitesim.errors import UserError
from sitesim.ledger import RunClosing
from sitesim.scenario import load
from sitesim.site import Stage
from sitesim.study import Interrupted, StudyFolder, StudyFolderError, StudySettings
from sitesim.study.answering import answer, scenario_of
from sitesim.study.comparing import compare_scenarios
from sitesim.study.quoting import quote_folder
from sitesim.study.replaying import replay_run


def settings(runs: int = 8, **changes: object) -> StudySettings:
    return StudySettings(**{"runs": runs, "workers": 1, "engine": "here", "block": 4} | changes)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def low_walls(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with six runs of the demo with low walls."""
    folder = tmp_path_factory.mktemp("low-walls")
    answer(load(low_walls_file(folder)), settings(6), folder / "study")
    return folder / "study"


def test_the_folder_holds_what_it_takes_to_play_it_again(low_walls: Path, tmp_path: Path) -> None:
    manifest = StudyFolder(low_walls).manifest()
    kept = scenario_of(low_walls)
    assert kept.digest == manifest["scenario_digest"]
    answer(kept, settings(6), tmp_path / "again")
    assert StudyFolder(tmp_path / "again").manifest()["tables_digest"] == manifest["tables_digest"]


def test_the_summary_is_json_without_what_json_does_not_know(low_walls: Path) -> None:
    text = (low_walls / "summary.json").read_text(encoding="utf-8")

    def refuse(constant: str) -> None:
        raise AssertionError(f"{constant} is not JSON")

    summary = json.loads(text, parse_constant=refuse)
    assert summary["runs"] == 6
    assert [home["home"] for home in summary["homes"]] == ["A1", "B1", "C1", "D1", "E1"]


def test_activities_of_the_runs_that_stand_for_the_quantiles_are_kept(low_walls: Path) -> None:
    summary = json.loads((low_walls / "summary.json").read_text(encoding="utf-8"))
    activities = StudyFolder(low_walls).table("activities")
    assert set(activities["run"]) == set(summary["standing_for"].values())
    finish = StudyFolder(low_walls).table("runs").set_index("run")["finish_hours"]
    for run, ends in activities.groupby("run")["end"]:
        assert ends.max() == finish[run]


def test_a_replayed_run_does_the_same_as_the_activities_table(low_walls: Path) -> None:
    activities = StudyFolder(low_walls).table("activities")
    run = int(activities["run"].iloc[0])
    replayed = replay_run(low_walls, run)
    stage = Stage(replayed.plan)
    closing = RunClosing(replayed.plan, stage.unit_shifts, stage.shift(("site",)))
    rows = closing.activities(run, replayed.played.ledger)
    recorded = activities[activities["run"] == run]
    order = ["serial", "resource", "start"]
    again = sorted(((row[1], row[2], row[9], row[10], row[3]) for row in rows), key=lambda row: row[:3])
    expected = [tuple(row) for row in recorded.sort_values(order)[[*order, "end", "activity"]].itertuples(index=False)]
    assert [tuple(row) for row in again] == expected


def test_replaying_keeps_layers_and_remarks(low_walls: Path) -> None:
    ledger = replay_run(low_walls, 0).played.ledger
    assert len(ledger.layers or ()) == 5 * 12
    assert ledger.diary


def test_a_run_that_is_not_there_cannot_be_replayed(low_walls: Path) -> None:
    with pytest.raises(UserError, match="there is no run 6; the runs are 0 to 5"):
        replay_run(low_walls, 6)


def test_a_building_that_is_not_there_cannot_be_replayed(low_walls: Path) -> None:
    with pytest.raises(UserError, match="there is no building Q; there are A, B, C, D, E"):
        replay_run(low_walls, 0, "Q")


def test_a_folder_without_runs_answers_nothing(tmp_path: Path) -> None:
    for ask in (lambda: replay_run(tmp_path, 0), lambda: quote_folder(tmp_path, 0.8), lambda: scenario_of(tmp_path)):
        with pytest.raises(StudyFolderError, match="so this is not a folder of runs"):
            ask()


def test_an_interrupted_study_can_be_quoted_and_replayed_from_what_is_kept(tmp_path: Path) -> None:
    def stop(done: int, wanted: int, finishes: list[float]) -> None:
        if done >= 8:
            raise KeyboardInterrupt

    with pytest.raises(Interrupted):
        answer(load(network_file(tmp_path)), settings(40), tmp_path / "study", stop)
    assert quote_folder(tmp_path / "study", 0.8).quote.runs == 8
    assert replay_run(tmp_path / "study", 7).played.finished
    with pytest.raises(UserError, match="the runs are 0 to 7"):
        replay_run(tmp_path / "study", 8)


def test_a_folder_of_other_things_stays_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "thesis.txt").write_text("years of work")
    with pytest.raises(StudyFolderError):
        answer(load(network_file(tmp_path)), settings(), tmp_path / "other")
    assert [file.name for file in (tmp_path / "other").iterdir()] == ["thesis.txt"]


def test_compared_scenarios_get_a_folder_each(tmp_path: Path) -> None:
    files = network_file(tmp_path), network_file(tmp_path, ("size: 2", "size: 3"), name="three-men.yaml")
    compared = compare_scenarios(
        [load(file) for file in files], [file.stem for file in files], settings(), tmp_path / "out"
    )
    assert sorted(file.name for file in (tmp_path / "out").iterdir()) == ["1-two-homes", "2-three-men"]
    assert [one.name for one in compared] == ["Two homes", "Two homes"]


def test_compared_scenarios_have_as_many_runs_each(tmp_path: Path) -> None:
    """One of them was played more often before: all are brought to that, so that figures and pairs agree."""
    files = network_file(tmp_path), network_file(tmp_path, ("rate: 100", "rate: 120"), name="dearer.yaml")
    answer(load(files[1]), settings(16), tmp_path / "out" / "2-dearer")
    compared = compare_scenarios(
        [load(file) for file in files], [file.stem for file in files], settings(8), tmp_path / "out"
    )
    assert [one.summary["runs"] for one in compared] == [16, 16]
    assert compared[1].against is not None
    assert compared[1].against.finish_days.n == 16


def test_one_scenario_alone_is_no_comparison(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="name two or more files"):
        compare_scenarios([load(network_file(tmp_path))], ["one"], settings(), tmp_path / "out")


def test_costs_in_two_currencies_are_not_compared(tmp_path: Path) -> None:
    other = network_file(tmp_path, ("name: Two", "costs: {currency: EUR}\nname: Two"), name="euro.yaml")
    with pytest.raises(UserError, match="different currencies"):
        compare_scenarios([load(network_file(tmp_path)), load(other)], ["a", "b"], settings(), tmp_path / "out")
    assert not (tmp_path / "out").exists()
