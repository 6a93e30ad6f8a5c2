"""Several scenarios played with the same luck, and set side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from sitesim.answers.comparison import Compared, compare
from sitesim.errors import UserError
from sitesim.study.answering import answer
from sitesim.study.folder import StudyFolder
from sitesim.study.runner import Progress, StudySettings, free_folder

if TYPE_CHECKING:
    from sitesim.scenario import Scenario


MOST = 20
"""The most scenarios in one comparison."""


def compare_scenarios(
    scenarios: Sequence[Scenario],
    names: Sequence[str],
    settings: StudySettings,
    out: Path | None,
    progress: Progress | None = None,
    more_runs: Callable[[int], None] | None = None,
) -> tuple[Compared, ...]:
    """Play each scenario into a folder of its own and compare each with the first.

    Parameters: ``names`` of their folders; ``out``, the folder that holds these, ``outputs`` where None. All are played
    as often as the one that has the most runs already, and at least as often as ``settings`` says; ``more_runs``, told
    beforehand how often that is where it is oftener.
    Raises UserError if there are fewer than two, or if their currencies differ.
    """
    if len(scenarios) < 2:
        raise UserError("compare: one scenario alone cannot be compared; name two or more files")
    if len(scenarios) > MOST:
        raise UserError(f"compare: {len(scenarios)} scenarios are too many to be told apart; name {MOST} at most")
    if len({scenario.currency for scenario in scenarios}) > 1:
        raise UserError("compare: the scenarios have different currencies, so their costs cannot be compared")
    folders = [
        free_folder(name, scenario.digest, settings) if out is None else out / f"{number}-{name}"
        for number, (scenario, name) in enumerate(zip(scenarios, names, strict=True), start=1)
    ]
    runs = max(settings.runs, *(StudyFolder(folder).run_count() for folder in folders))
    if more_runs is not None and runs > settings.runs:
        more_runs(runs)
    settings = replace(settings, runs=runs)
    summaries = [
        answer(scenario, settings, folder, progress) for scenario, folder in zip(scenarios, folders, strict=True)
    ]
    frames, costs, held = (
        [StudyFolder(folder).table(table, runs) for folder in folders] for table in ("runs", "cost_causes", "held")
    )
    return compare([scenario.name for scenario in scenarios], summaries, frames, costs, held)
