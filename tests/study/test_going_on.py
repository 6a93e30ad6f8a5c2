"""What is done is never done again: interruption, going on, more runs, damaged files, other people's folders."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from pandas.testing import assert_frame_equal
from rigs import network_plan

from sitesim.chance import Pert
from sitesim.errors import UserError
from sitesim.ledger import COLUMNS, OF_STANDING_RUNS
from sitesim.plan import Plan
from sitesim.study import Interrupted, StudyFolder, StudyFolderError, StudySettings, run_study

TABLES = [table for table in COLUMNS if table not in OF_STANDING_RUNS]


def plan_of_three() -> Plan:
    return network_plan(
        {
            "dig": ((), Pert(8.0, 16.0, 40.0)),
            "pour": (("dig",), Pert(4.0, 8.0, 30.0)),
            "frame": (("dig",), Pert(20.0, 30.0, 60.0)),
        },
        {"gang": ("dig", "pour", "frame")},
    )


def settings(runs: int = 12, **changes: object) -> StudySettings:
    return StudySettings(**{"runs": runs, "workers": 1, "engine": "here", "block": 4} | changes)  # type: ignore[arg-type]


def stop_after(calls: int) -> Callable[[int, int, list[float]], None]:
    """Press Ctrl-C when the progress has been told so many times."""
    told: list[int] = []

    def progress(done: int, wanted: int, finishes: list[float]) -> None:
        told.append(done)
        if len(told) > calls:
            raise KeyboardInterrupt

    return progress


@pytest.fixture
def undisturbed(tmp_path: Path) -> StudyFolder:
    return run_study(plan_of_three(), "three", settings(), tmp_path / "undisturbed").folder


def files_of(folder: StudyFolder) -> dict[str, tuple[int, int]]:
    """Give each block file with its time of writing and its inode: a file written again has others."""
    return {
        str(file.relative_to(folder.path)): (file.stat().st_mtime_ns, file.stat().st_ino)
        for file in folder.path.glob("*/block-*.parquet")
    }


def test_an_interrupted_study_keeps_its_blocks_and_goes_on(tmp_path: Path, undisturbed: StudyFolder) -> None:
    path = tmp_path / "study"
    with pytest.raises(Interrupted) as stopped:
        run_study(plan_of_three(), "three", settings(), path, stop_after(1))
    assert stopped.value.kept == 4
    assert "4 runs are kept" in str(stopped.value)
    assert str(path) in str(stopped.value)
    folder = StudyFolder(path)
    assert folder.run_count() == 4
    assert folder.manifest()["complete"] is False
    kept = files_of(folder)
    run_study(plan_of_three(), "three", settings(), path)
    assert folder.digest(12) == undisturbed.digest(12)
    assert folder.manifest()["complete"] is True
    now = files_of(folder)
    assert {name: now[name] for name in kept} == kept, "finished blocks were played again"


def test_the_manifest_tells_when_the_runs_were_begun_and_how_long_they_took(tmp_path: Path) -> None:
    path = tmp_path / "study"
    with pytest.raises(Interrupted):
        run_study(plan_of_three(), "three", settings(), path, stop_after(1))
    folder = StudyFolder(path)
    assert folder.manifest()["seconds"] > 0.0
    of_old = {"started": "2020-02-03T04:05:06+00:00", "seconds": 1000.0}
    folder.write_json("manifest.json", folder.manifest() | of_old)
    run_study(plan_of_three(), "three", settings(), path)
    whole = folder.manifest()
    assert whole["started"] == of_old["started"]
    assert 1000.0 < whole["seconds"] < 1060.0
    # Who only looks at them changes nothing of it, with however many workers.
    run_study(plan_of_three(), "three", settings(workers=2, engine="processes"), path)
    assert folder.manifest() == whole
    run_study(plan_of_three(), "three", settings(16), path)
    assert folder.manifest()["started"] == of_old["started"]
    assert whole["seconds"] < folder.manifest()["seconds"] < 1120.0


def test_here_at_most_the_block_in_hand_is_lost(tmp_path: Path) -> None:
    """However many workers were asked for: in this process a block is kept before the next one begins."""
    seen: list[tuple[int, int]] = []
    path = tmp_path / "study"

    def progress(done: int, wanted: int, finishes: list[float]) -> None:
        seen.append((done, StudyFolder(path).run_count()))

    run_study(plan_of_three(), "three", settings(workers=2), path, progress)
    assert seen == [(0, 0), (4, 4), (8, 8), (12, 12)]


def test_an_interrupt_before_the_first_block_leaves_a_folder_to_go_on_from(
    tmp_path: Path, undisturbed: StudyFolder
) -> None:
    path = tmp_path / "study"
    with pytest.raises(Interrupted) as stopped:
        run_study(plan_of_three(), "three", settings(), path, stop_after(0))
    assert stopped.value.kept == 0
    folder = run_study(plan_of_three(), "three", settings(), path).folder
    assert folder.digest(12) == undisturbed.digest(12)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a system with signals")
def test_a_killed_worker_keeps_what_is_done_and_names_how_to_go_on(tmp_path: Path) -> None:
    path = tmp_path / "study"
    wanted = settings(400, engine="processes", workers=2)

    def kill_a_worker(done: int, wanted: int, finishes: list[float]) -> None:
        workers = multiprocessing.active_children()
        if done >= 40 and len(workers) == 2:
            os.kill(workers[0].pid or 0, signal.SIGKILL)

    with pytest.raises(Interrupted) as stopped:
        run_study(plan_of_three(), "three", wanted, path, kill_a_worker)
    folder = StudyFolder(path)
    assert 40 <= folder.run_count() == stopped.value.kept < 400
    assert f"{stopped.value.kept} runs are kept in {path}" in str(stopped.value)
    assert "worker" in str(stopped.value), "it should say what ended the study"
    run_study(plan_of_three(), "three", wanted, path)
    whole = run_study(plan_of_three(), "three", settings(400), tmp_path / "undisturbed").folder
    assert folder.digest(400) == whole.digest(400)


def test_blocks_may_be_missing_anywhere(tmp_path: Path, undisturbed: StudyFolder) -> None:
    folder = run_study(plan_of_three(), "three", settings(), tmp_path / "study").folder
    for table in TABLES:
        (folder.path / table / "block-0000004-0000008.parquet").unlink()
    assert folder.run_count() == 8
    run_study(plan_of_three(), "three", settings(), folder.path)
    assert folder.digest(12) == undisturbed.digest(12)


def test_a_block_without_one_of_its_tables_is_played_again(tmp_path: Path, undisturbed: StudyFolder) -> None:
    folder = run_study(plan_of_three(), "three", settings(), tmp_path / "study").folder
    (folder.path / "time" / "block-0000004-0000008.parquet").unlink()
    run_study(plan_of_three(), "three", settings(), folder.path)
    assert folder.digest(12) == undisturbed.digest(12)


def test_more_runs_extend_a_study_without_changing_earlier_rows(tmp_path: Path, undisturbed: StudyFolder) -> None:
    folder = run_study(plan_of_three(), "three", settings(6), tmp_path / "study").folder
    before = {table: folder.table(table) for table in TABLES}
    digest_before, whole_block = folder.digest(6), files_of(folder)["runs/block-0000000-0000004.parquet"]
    study = run_study(plan_of_three(), "three", settings(12), folder.path)
    assert study.runs == 12
    assert folder.digest(6) == digest_before
    for table in TABLES:
        assert_frame_equal(folder.table(table, 6), before[table], check_exact=True)
    assert folder.digest(12) == undisturbed.digest(12)
    assert files_of(folder)["runs/block-0000000-0000004.parquet"] == whole_block
    assert sorted(file.name for file in (folder.path / "runs").iterdir()) == [
        "block-0000000-0000004.parquet",
        "block-0000004-0000008.parquet",
        "block-0000008-0000012.parquet",
    ]


def test_fewer_runs_than_there_are_are_not_forgotten(tmp_path: Path) -> None:
    folder = run_study(plan_of_three(), "three", settings(12), tmp_path / "study").folder
    assert run_study(plan_of_three(), "three", settings(5), folder.path).runs == 12


@pytest.mark.parametrize("reverse", [False, True])
def test_a_shorter_block_left_behind_by_a_kill_is_not_counted_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, reverse: bool
) -> None:
    """A study of 6 runs is extended to 8 and killed after the longer block is whole, before the shorter is removed.

    A folder may name its files in any order.
    """
    folder = run_study(plan_of_three(), "three", settings(6), tmp_path / "study").folder
    short = {table: (folder.path / table / "block-0000004-0000006.parquet") for table in TABLES}
    content = {table: file.read_bytes() for table, file in short.items()}
    run_study(plan_of_three(), "three", settings(8), folder.path)
    digest = folder.digest(8)
    for table, file in short.items():
        file.write_bytes(content[table])
    glob = Path.glob
    monkeypatch.setattr(Path, "glob", lambda path, pattern: sorted(glob(path, pattern), reverse=reverse))
    assert folder.table("runs")["run"].tolist() == list(range(8))
    assert folder.digest(8) == digest


def test_a_longer_block_that_is_not_whole_is_not_counted(tmp_path: Path) -> None:
    """The same study is killed when the longer block has reached some tables only."""
    folder = run_study(plan_of_three(), "three", settings(6), tmp_path / "study").folder
    digest = folder.digest(6)
    longer = run_study(plan_of_three(), "three", settings(8), tmp_path / "longer").folder
    name = "block-0000004-0000008.parquet"
    (folder.path / "time" / name).write_bytes((longer.path / "time" / name).read_bytes())
    assert folder.run_count() == 6
    assert folder.digest(6) == digest
    run_study(plan_of_three(), "three", settings(8), folder.path)
    assert folder.digest(8) == longer.digest(8)


def test_a_cut_file_fails_loudly_and_says_how_to_mend_it(tmp_path: Path, undisturbed: StudyFolder) -> None:
    folder = run_study(plan_of_three(), "three", settings(), tmp_path / "study").folder
    cut = folder.path / "time" / "block-0000004-0000008.parquet"
    cut.write_bytes(cut.read_bytes()[:-40])
    with pytest.raises(StudyFolderError, match=r"block-0000004-0000008\.parquet: .*remove it") as error:
        folder.table("time")
    assert isinstance(error.value, UserError)
    with pytest.raises(StudyFolderError, match=r"block-0000004-0000008\.parquet"):
        run_study(plan_of_three(), "three", settings(), folder.path)
    cut.unlink()
    run_study(plan_of_three(), "three", settings(), folder.path)
    assert folder.digest(12) == undisturbed.digest(12)


def test_a_file_in_the_middle_of_being_written_is_no_block(tmp_path: Path, undisturbed: StudyFolder) -> None:
    folder = StudyFolder(tmp_path / "study")
    run_study(plan_of_three(), "three", settings(), folder.path)
    (folder.path / "runs" / ".block-0000012-0000016.parquet.part").write_bytes(b"half a bl")
    assert folder.run_count() == 12
    assert folder.digest(12) == undisturbed.digest(12)


@pytest.mark.parametrize(
    ("digest", "changes", "what"),
    [
        ("another", {}, "scenario digest"),
        ("three", {"seed": 2}, "seed"),
        ("three", {"loads_of": 3}, "loads of"),
        ("three", {"block": 5}, "block"),
    ],
)
def test_a_folder_of_another_study_is_refused(
    tmp_path: Path, digest: str, changes: dict[str, object], what: str
) -> None:
    folder = run_study(plan_of_three(), "three", settings(), tmp_path / "study").folder
    before = folder.digest(12)
    with pytest.raises(UserError, match=f"study: holds runs with another {what}; choose another folder with --out"):
        run_study(plan_of_three(), digest, settings(**changes), folder.path)
    assert folder.digest(12) == before


def test_a_folder_of_other_things_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    with pytest.raises(UserError, match="is not empty and holds no runs"):
        run_study(plan_of_three(), "three", settings(), tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["thesis.txt"]


def test_a_manifest_that_is_no_json_is_a_fault_with_its_name(tmp_path: Path) -> None:
    (tmp_path / "manifest.json").write_text("{ not json")
    with pytest.raises(UserError, match=r"manifest\.json: cannot be read as JSON"):
        run_study(plan_of_three(), "three", settings(), tmp_path)


@pytest.mark.parametrize(
    ("manifest", "fault"),
    [
        ("[]", r"manifest\.json: should hold names with their values"),
        ("{}", r"manifest\.json: does not say scenario_digest and seed and versions"),
        ('{"scenario_digest": "", "versions": {}}', r"manifest\.json: does not say seed,"),
    ],
)
def test_a_manifest_that_says_nothing_of_a_study_is_a_fault_with_its_name(
    tmp_path: Path, manifest: str, fault: str
) -> None:
    (tmp_path / "manifest.json").write_text(manifest)
    with pytest.raises(UserError, match=fault):
        StudyFolder(tmp_path).manifest()


@pytest.mark.parametrize("engine", ["cluster", ""])
def test_an_unknown_engine_is_bad_input(tmp_path: Path, engine: str) -> None:
    with pytest.raises(UserError, match="processes, here"):
        run_study(plan_of_three(), "three", settings(engine=engine), tmp_path / "study")
    assert not (tmp_path / "study").exists(), "nothing is to be left behind by a mistyped word"
