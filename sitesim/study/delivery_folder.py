"""The folder of a deliveries study: the table of all runs, the summary, the scenarios and the manifest."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitesim.errors import UserError
from sitesim.study.answering import keep_scenario
from sitesim.study.folder import StudyFolder
from sitesim.study.kept_print_days import KeptPrintDays
from sitesim.study.runner import code_digest, versions

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

KIND = "deliveries"
"""What the manifest of such a folder says that it holds."""

AGAINST_FILE = "against.yaml"
"""The scenario that the first one was set against."""


def claim_folder(path: Path) -> Path:
    """Take a folder for the results, or one that holds such results already; raises UserError for any other."""
    folder = StudyFolder(path)
    if folder.manifest_path.exists():
        ours = folder.manifest().get("kind") == KIND
    else:
        ours = not path.exists() or all(place.name == KeptPrintDays.PLACE for place in path.iterdir())
    if not ours:
        raise UserError(f"{path}: holds something else; choose another folder with --out")
    return path


def keep(
    path: Path,
    scenario: Scenario,
    against: Scenario | None,
    summary: dict[str, Any],
    rows: Sequence[dict[str, Any]],
) -> None:
    """Write the table of all runs, the summary, the scenarios and the manifest into a folder."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    folder = StudyFolder(path)
    sink = pa.BufferOutputStream()
    pq.write_table(pa.concat_tables([pa.table(each) for each in rows]), sink, compression="zstd")
    table = sink.getvalue().to_pybytes()
    folder.write_bytes(path / "print_days.parquet", table)
    folder.write_json("summary.json", summary)
    keep_scenario(scenario, folder)
    if against is not None:
        folder.write_bytes(path / AGAINST_FILE, against.resolved_yaml().encode())
    folder.write_json(
        "manifest.json",
        {
            "kind": KIND,
            "scenario": scenario.name,
            "scenario_digest": scenario.digest,
            "against_digest": None if against is None else against.digest,
            "seed": summary["seed"],
            "runs": summary["runs"],
            "versions": versions(),
            "code_digest": code_digest(),
        },
    )
