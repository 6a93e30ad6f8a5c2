"""One scenario, seed and number of runs give the same tables, whatever plays them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pandas.testing import assert_frame_equal

from sitesim.ledger import COLUMNS, OF_STANDING_RUNS
from sitesim.plan import Plan
from sitesim.scenario import load
from sitesim.study import StudyFolder, StudySettings, run_study

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
RUNS = 12


def settings(**changes: object) -> StudySettings:
    usual = {"runs": RUNS, "seed": 7, "workers": 1, "engine": "here", "block": 4, "loads_of": 5}
    return StudySettings(**usual | changes)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def plan() -> Plan:
    return load(DEMO).plan()


@pytest.fixture(scope="module")
def reference(plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> StudyFolder:
    return run_study(plan, "demo", settings(), tmp_path_factory.mktemp("reference") / "study").folder


@pytest.mark.parametrize(
    "other",
    [
        pytest.param({"engine": "processes", "workers": 2}, id="two worker processes"),
        pytest.param({"engine": "processes", "workers": 1}, id="processes, of which one"),
        pytest.param({"workers": 2}, id="here, though two were asked for"),
        pytest.param({"block": 1}, id="a run at a time"),
        pytest.param({"block": 5}, id="blocks that do not divide the runs"),
        pytest.param({"block": 50}, id="all in one block"),
        pytest.param({"engine": "processes", "workers": 2, "block": 1}, id="blocks that overtake each other"),
    ],
)
def test_tables_do_not_depend_on_who_plays_them(
    plan: Plan, reference: StudyFolder, tmp_path: Path, other: dict[str, object]
) -> None:
    folder = run_study(plan, "demo", settings(**other), tmp_path / "study").folder
    for table in COLUMNS:
        if table not in OF_STANDING_RUNS:
            assert_frame_equal(folder.table(table), reference.table(table), check_exact=True)
    assert folder.digest(RUNS) == reference.digest(RUNS)


def test_the_manifest_keeps_the_digest_of_the_tables(reference: StudyFolder) -> None:
    assert reference.manifest()["tables_digest"] == reference.digest(RUNS)


def test_tables_do_not_depend_on_the_order_of_sets(reference: StudyFolder, tmp_path: Path) -> None:
    """Text hashes differ from process to process: an answer that follows the order of a set would too."""
    hash_seed = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    script = (
        "import sys; from pathlib import Path; from sitesim.scenario import load; "
        "from sitesim.study import StudySettings, run_study; "
        "settings = StudySettings(runs=12, seed=7, workers=1, engine='here', block=4, loads_of=5); "
        "study = run_study(load(sys.argv[1]).plan(), 'demo', settings, Path(sys.argv[2])); "
        "print(study.folder.digest(12))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(DEMO), str(tmp_path / "study")],
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == reference.digest(RUNS)


def test_another_seed_gives_other_tables(plan: Plan, reference: StudyFolder, tmp_path: Path) -> None:
    folder = run_study(plan, "demo", settings(seed=8), tmp_path / "study").folder
    assert folder.digest(RUNS) != reference.digest(RUNS)
    assert not folder.table("runs")["finish_hours"].equals(reference.table("runs")["finish_hours"])


def test_runs_differ_from_each_other(reference: StudyFolder) -> None:
    assert reference.table("runs")["finish_hours"].nunique() == RUNS


def test_the_digest_notices_a_change_of_the_last_bit(tmp_path: Path) -> None:
    columns = {"run": [0, 1], "item": ["mix", "mix"], "amount": [0.1 + 0.2, 1.0]}
    changed = {**columns, "amount": [0.3, 1.0]}
    digests = []
    for name, costs in (("one", columns), ("other", changed)):
        folder = StudyFolder(tmp_path / name)
        empty = {table: {column: [] for column in COLUMNS[table]} for table in COLUMNS if table not in OF_STANDING_RUNS}
        folder.write_block(range(2), {**empty, "costs": costs})
        digests.append(folder.digest(2))
    assert digests[0] != digests[1]


def test_the_digest_does_not_depend_on_the_order_of_rows(tmp_path: Path) -> None:
    empty = {table: {column: [] for column in COLUMNS[table]} for table in COLUMNS if table not in OF_STANDING_RUNS}
    digests = []
    for name, order in (("one", [0, 1, 2]), ("other", [2, 0, 1])):
        folder = StudyFolder(tmp_path / name)
        rows = [(0, "crane", 3.0), (0, "mix", 4.0), (1, "mix", 5.0)]
        run, item, amount = zip(*(rows[place] for place in order), strict=True)
        folder.write_block(range(2), {**empty, "costs": {"run": list(run), "item": list(item), "amount": list(amount)}})
        digests.append(folder.digest(2))
    assert digests[0] == digests[1]
