"""Memory while a study is played: what a run needs is given back, and only its finish stays."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

from rigs import network_plan

from sitesim.chance import Pert
from sitesim.study import StudySettings, run_study

BYTES_A_RUN = 500
"""A finish as a float, its run number and a place in a table come to about 150 bytes; one kept ledger of this network
is more than 5,000."""


def test_memory_does_not_grow_with_the_runs(tmp_path: Path) -> None:
    tasks = {f"task {i}": ((f"task {i - 1}",) if i else (), Pert(1.0, 2.0, 4.0)) for i in range(12)}
    plan = network_plan(tasks, {"gang": tuple(tasks)}, days=30)
    in_use: dict[int, int] = {}

    def measure(done: int, wanted: int, finishes: list[float]) -> None:
        in_use[done] = tracemalloc.get_traced_memory()[0]

    settings = StudySettings(runs=600, workers=1, engine="here", block=50, loads_of=0)
    tracemalloc.start()
    try:
        run_study(plan, "memory", settings, tmp_path / "study", measure)
    finally:
        tracemalloc.stop()
    growth = (in_use[600] - in_use[200]) / 400
    assert growth < BYTES_A_RUN
