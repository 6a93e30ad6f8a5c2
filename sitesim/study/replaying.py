"""One run of a study played again, with its diary."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitesim.errors import UserError
from sitesim.plan import Plan
from sitesim.site import Played, Stage, play
from sitesim.study.answering import scenario_of
from sitesim.study.folder import StudyFolder, StudyFolderError
from sitesim.study.runner import versions


@dataclass(frozen=True, slots=True)
class Replayed:
    """A run played again: its plan, and the run with its diary kept."""

    plan: Plan
    played: Played


def replay_run(path: Path, run: int, building: str = "") -> Replayed:
    """Play one run of a folder of runs again.

    Parameters: ``building``, one that is asked about, if any. Raises StudyFolderError if the folder holds no runs,
    UserError if it does not hold this one or there is no such building.
    """
    manifest = StudyFolder(path).manifest()
    runs = int(manifest.get("runs", 0)) or StudyFolder(path).run_count()
    if not 0 <= run < runs:
        raise UserError(f"{path}: there is no run {run}; the runs are 0 to {runs - 1}")
    played_with = manifest["versions"]
    others = [name for name, here in versions().items() if played_with.get(name) != here]
    if others:
        raise StudyFolderError(
            f"{path}: was played with another version of {', '.join(others)}, which may tell another run; "
            f"install {', '.join(f'{name} {played_with.get(name)}' for name in others)}, or run the scenario again"
        )
    plan = scenario_of(path).plan()
    buildings = [one.name for one in plan.buildings]
    if building and building not in buildings:
        raise UserError(f"{path}: there is no building {building}; there are {', '.join(buildings)}")
    return Replayed(plan, play(Stage(plan), int(manifest["seed"]), run, keep_diary=True))
