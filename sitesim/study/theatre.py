"""Variants of one scenario played with the same luck, each into a folder of its own, with one progress for all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from sitesim.answers.variants import PlayedVariant
from sitesim.study.answering import answer
from sitesim.study.basis import Basis
from sitesim.study.choosing import told_besides
from sitesim.study.folder import StudyFolder
from sitesim.study.runner import Progress, StudySettings, free_folder

if TYPE_CHECKING:
    import pandas as pd

    from sitesim.scenario import Scenario
    from sitesim.scenario.variants import AnyListed, LaidOver

PLANNED = "as-planned"
"""The folder of the site as it is planned."""


@dataclass(frozen=True, slots=True, eq=False)
class Staged:
    """A variant that has been played: its ``scenario``, its ``folder`` and how many ``runs`` of it count."""

    scenario: Scenario
    folder: StudyFolder
    runs: int

    def table(self, name: str) -> pd.DataFrame:
        """Read one of its tables."""
        return self.folder.table(name, self.runs)

    def played(self, name: str = "") -> PlayedVariant:
        """Give its runs, to be compared, under a ``name`` or else that of the scenario."""
        return PlayedVariant(name or self.scenario.name, self.scenario.plan(), self.table("runs"), self.table("held"))


class Theatre:
    """Plays variants of a scenario, each into its folder and as often as the others.

    Parameters: ``kind`` of study, which names its folder and a variant without letters; ``out``, the folder that holds
    the others, one under ``outputs`` named by the scenario's file and the kind where None.
    """

    def __init__(
        self, kind: str, scenario: Scenario, settings: StudySettings, out: Path | None, progress: Progress | None
    ) -> None:
        self._kind = kind
        self._scenario = scenario
        self._stem = f"{scenario.path.stem}-{kind}"
        self._settings = settings
        self._out = out
        self._progress = progress
        self._variants: dict[str, tuple[Path, Scenario]] = {}
        self._waiting: list[str] = []
        self._runs = 0
        self.place = out or Path("outputs") / self._stem

    def take(self, name: str, scenario: Scenario) -> None:
        """Take a variant on, and find its folder."""
        slug = number = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-") or self._kind
        count = 1
        while number in self._variants:
            count += 1
            number = f"{slug}-{count}"
        folder = (
            self._out / number if self._out else free_folder(f"{self._stem}/{number}", scenario.digest, self._settings)
        )
        self._variants[number] = folder, scenario
        self._waiting.append(number)

    def take_laid(self, found: Sequence[LaidOver[AnyListed]]) -> list[tuple[AnyListed, Scenario]]:
        """Take on what has been laid over the scenario, as far as it applies; give each with its scenario."""
        applied = [(one.laid, one.scenario) for one in found if one.scenario is not None]
        for laid, scenario in applied:
            self.take(laid.name, scenario)
        return applied

    def play(self, yet_to_come: int = 0) -> list[Staged]:
        """Play in turn all that have been taken on and not yet been played, each as often as the others.

        Parameters: ``yet_to_come``, about how many are taken on later, for the progress.
        """
        if not self._runs:
            counts = (StudyFolder(folder).run_count() for folder, _ in self._variants.values())
            self._runs = max(self._settings.runs, *counts, 0)
        settings = replace(self._settings, runs=self._runs)
        wanted = self._runs * (len(self._variants) + yet_to_come)
        staged: list[Staged] = []
        done = len(self._variants) - len(self._waiting)
        for number in self._waiting:
            path, scenario = self._variants[number]
            answer(scenario, settings, path, self._part(self._runs * (done + len(staged)), wanted))
            staged.append(Staged(scenario, StudyFolder(path), self._runs))
        self._waiting.clear()
        return staged

    def basis(self, laid: Sequence[LaidOver[AnyListed]], told: Sequence[tuple[AnyListed, Scenario]]) -> Basis:
        """Give what the figures of all that was played stand on.

        Parameters: ``laid``, what has been laid over the scenario, whether it applies or not; ``told``, what was taken
        on of it and is told of besides.
        """
        scenario = self._scenario
        return Basis(
            left_out=tuple((one.laid.name, one.why_not) for one in laid if one.scenario is None),
            played=tuple((one.name, told_besides(scenario, changed)) for one, changed in told),
            units=scenario.units,
            currency=scenario.currency,
            seed=self._settings.seed,
            assumptions=tuple(scenario.assumptions()),
            cautions=tuple(scenario.cautions()),
            folder=self.place,
        )

    def _part(self, before: int, wanted: int) -> Progress | None:
        """Give the progress of one variant as part of the whole; dates of different variants say nothing together."""
        told = self._progress
        if told is None:
            return None
        return lambda done, _, __: told(before + done, wanted, [])
