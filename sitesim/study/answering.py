"""A study with its answers: the plan is played, summarised, and everything is kept in one folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitesim.answers.bottleneck import bottleneck
from sitesim.answers.summary import SUMMARISED, summarise
from sitesim.errors import UserError
from sitesim.hours import NEVER
from sitesim.plan import Plan, plain
from sitesim.site import Played, Stage, play
from sitesim.study.folder import StudyFolder, StudyFolderError
from sitesim.study.runner import Progress, StudySettings, claim, keep_standing_runs, run_study
from sitesim.study.worth_trying import worth_trying

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

SCENARIO_FILE = "scenario.yaml"


def answer(scenario: Scenario, settings: StudySettings, path: Path, progress: Progress | None = None) -> dict[str, Any]:
    """Play a scenario many times into a folder and summarise it; returns the summary.

    Raises StudyFolderError if the folder holds something else, Interrupted on a keyboard interrupt.
    """
    plan = scenario.plan()
    keep_scenario(scenario, claim(path, scenario.digest, settings))
    study = run_study(plan, scenario.digest, settings, path, progress)
    return _summarise(scenario, plan, study.folder, study.runs, settings)


def keep_scenario(scenario: Scenario, folder: StudyFolder) -> None:
    """Keep the scenario as it was played beside its runs, with the data files that it reads."""
    for name, file in scenario.data_files().items():
        folder.write_bytes(folder.path / name, file.read_bytes())
    folder.write_bytes(folder.path / SCENARIO_FILE, scenario.resolved_yaml().encode())


def play_plainly(plan: Plan) -> Played:
    """Play the plain plan, in which nothing is left to luck, once."""
    return play(Stage(plain(plan)), 0, 0)


def plain_finish(plan: Plan) -> float:
    """Give the finish [h] of the plain plan; `NEVER` if even that does not end."""
    return _finish_of(play_plainly(plan))


def _finish_of(played: Played) -> float:
    return max(played.ledger.ended.values(), default=0.0) if played.finished else NEVER


def described(scenario: Scenario, plainly: Played) -> list[str]:
    """Say what is played, with what the plain plan, as played, tells of it: how late gangs kept running begin."""
    from sitesim.scenario.telling.flow import tell_start_delays

    names = {scenario.plan().units[unit].name: delay for unit, delay in plainly.start_delays.items()}
    return [*scenario.description(), *tell_start_delays(names, scenario.day_hours)]


def check_that_it_ends(scenario: Scenario) -> Played:
    """Play the plain plan once; raises UserError with the reason if not even that comes to an end."""
    played = play_plainly(scenario.plan())
    if not played.finished:
        raise UserError(
            f"{scenario.name}: not even the plain plan, without weather and stops, comes to an end: "
            f"{played.unfinished}; give that step longer hours, less to do, or more time before the horizon"
        )
    return played


def scenario_of(path: Path) -> Scenario:
    """Load the scenario that a folder of runs was played from.

    Raises StudyFolderError if it is missing, or is no longer the one that was played.
    """
    from sitesim.scenario import load

    file = path / SCENARIO_FILE
    if not file.exists():
        raise StudyFolderError(f"{path}: no {SCENARIO_FILE} here, so this is not a folder of runs")
    scenario = load(file)
    if scenario.digest != StudyFolder(path).manifest()["scenario_digest"]:
        raise StudyFolderError(f"{file}: has been changed since it was played; play the changed scenario with `run`")
    return scenario


def _summarise(
    scenario: Scenario, plan: Plan, folder: StudyFolder, runs: int, settings: StudySettings
) -> dict[str, Any]:
    tables = {name: folder.table(name, runs) for name in SUMMARISED}
    plainly = play_plainly(plan)
    summary = summarise(plan, tables, _finish_of(plainly))
    summary |= {
        "seed": settings.seed,
        "description": described(scenario, plainly),
        "assumptions": scenario.assumptions(),
        "cautions": scenario.cautions(),
    }
    stands_for = tuple(dict.fromkeys(summary["standing_for"].values()))
    keep_standing_runs(plan, settings.seed, folder, stands_for)
    found = bottleneck(plan, tables, folder.table("activities"))
    summary["bottleneck"] = None if found is None else found | {"worth_trying": worth_trying(scenario, found)}
    folder.write_json("summary.json", summary)
    return summary
