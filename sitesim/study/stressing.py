"""A site played under each stress of a list and from each month of start, always with the same luck."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from sitesim.answers.stress import (
    AsPlanned,
    MonthsApart,
    PlayedVariant,
    Shift,
    StartMonth,
    as_planned,
    months_apart,
    rank,
    start_month,
)
from sitesim.errors import UserError
from sitesim.plan import UnitKind
from sitesim.study.answering import answer, check_that_it_ends
from sitesim.study.folder import StudyFolder
from sitesim.study.runner import Progress, StudySettings, free_folder
from sitesim.study.site_facts import PlayedFacts

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.stresses import Stress

_BUSIEST = re.compile(r"\bbusiest gang\b", re.IGNORECASE)

PLANNED = "as-planned"
"""The folder of the site without any stress."""


@dataclass(frozen=True, slots=True)
class StressAsked:
    """What is asked of a stress study.

    Parameters: ``sets``, the settings that the scenario was loaded with; ``asked``, the date to be met, the planned P80
    date where None; ``months``, how many months of start are played, the planned one counted; ``only``, names, or
    parts of names, of the stresses to be played, all where empty.
    """

    sets: tuple[str, ...] = ()
    asked: date | None = None
    months: int = 12
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StressStudy:
    """What a stress study found.

    Parameters: ``shifts``, by how much they hurt; ``left_out``, names of stresses that do not apply, with the reason;
    ``doubted``, names of stresses that may change little, with the reason; ``months`` of start in order;
    ``months_apart``, the best against the worst of them; ``played``, for each stress what is told of it besides;
    ``folder`` that holds a folder of runs for each variant.
    """

    planned: AsPlanned
    shifts: tuple[Shift, ...]
    left_out: tuple[tuple[str, str], ...]
    doubted: tuple[tuple[str, str], ...]
    months: tuple[StartMonth, ...]
    months_apart: MonthsApart | None
    played: tuple[tuple[str, tuple[str, ...]], ...]
    units: str
    currency: str
    seed: int
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    folder: Path


def play_under_stress(
    scenario: Scenario,
    stresses: Sequence[Stress],
    asked: StressAsked,
    settings: StudySettings,
    out: Path | None,
    progress: Progress | None = None,
) -> StressStudy:
    """Play a scenario as planned, under each stress and from each month of start, and compare.

    Parameters: ``out``, the folder that holds a folder for each variant, one under ``outputs`` named by the scenario's
    file where None. All are played as often as the one that has the most runs already, and at least as often as
    ``settings`` says. Raises UserError if a name in ``asked.only`` means no stress or the plain plan does not end,
    ScenarioError for stresses that make no scenario, Interrupted on a keyboard interrupt: what is played is kept.
    """
    from sitesim.scenario.stresses import restarted, stressed

    check_that_it_ends(scenario)
    facts = PlayedFacts(scenario.plan())
    named = [_with_its_gang(one, facts) for one in chosen(stresses, asked.only)]
    laid_over = stressed(scenario, asked.sets, named, facts)
    applied = [(one.stress, one.scenario) for one in laid_over if one.scenario is not None]
    starts = [restarted(scenario, asked.sets, months, facts) for months in range(1, asked.months)]
    theatre = _Theatre(scenario, settings, out, progress)
    theatre.take(PLANNED, scenario)
    for stress, one in applied:
        theatre.take(stress.name, one)
    for start in starts:
        theatre.take(f"start {start.wanted:%Y-%m}", start.scenario)
    planned, *played = theatre.play()
    under_stress, months = played[: len(applied)], [planned, *played[len(applied) :]]
    told = as_planned(planned, asked.asked)
    stressed_runs = [replace(one, name=stress.name) for (stress, _), one in zip(applied, under_stress, strict=True)]
    parts = {stress.name: stress.parts for stress, _ in applied}
    return StressStudy(
        planned=told,
        shifts=rank(planned, stressed_runs, told.asked, parts),
        left_out=tuple((one.stress.name, one.why_not) for one in laid_over if one.scenario is None),
        doubted=tuple((one.stress.name, doubt) for one in laid_over for doubt in one.doubts),
        months=_start_months(months, [start.wanted for start in starts]) if asked.months else (),
        months_apart=months_apart(months),
        played=tuple((stress.name, _told_besides(scenario, one)) for stress, one in applied),
        units=scenario.units,
        currency=scenario.currency,
        seed=settings.seed,
        assumptions=tuple(scenario.assumptions()),
        cautions=tuple(scenario.cautions()),
        folder=theatre.place,
    )


def _start_months(months: Sequence[PlayedVariant], wanted: Sequence[date]) -> tuple[StartMonth, ...]:
    """Say what each month comes to, the first being that of the plan, which begins on the day that it names."""
    planned, *later = months
    return (start_month(planned), *(start_month(one, day) for one, day in zip(later, wanted, strict=True)))


def _with_its_gang(stress: Stress, facts: PlayedFacts) -> Stress:
    """Name the gang in what is called "Busiest gang"; other names stay as their writer chose them."""
    from sitesim.scenario.stresses.kinds import BUSIEST, GangMissing

    means_busiest = any(isinstance(change, GangMissing) and change.gang == BUSIEST for change, _ in stress.steps)
    if not means_busiest or all(unit.kind is not UnitKind.GANG for unit in facts.plan.units):
        return stress
    return replace(stress, name=_BUSIEST.sub(lambda found: f"{found[0]} ({facts.busiest_gang})", stress.name))


def _told_besides(planned: Scenario, stressed: Scenario) -> tuple[str, ...]:
    """Give what is told of a scenario under stress and not of the planned one, but for its name."""
    known = {*planned.description(), *planned.assumptions()}
    told = [*stressed.description()[1:], *stressed.assumptions()]
    return tuple(line for line in told if line not in known)


def chosen(stresses: Sequence[Stress], only: Sequence[str]) -> tuple[Stress, ...]:
    """Choose stresses by their names or parts of them; raises UserError for a name that means none."""
    from sitesim.scenario.faults import nearest

    found: dict[str, Stress] = {}
    for wanted in only:
        meant = [one for one in stresses if wanted.casefold() == one.name.casefold()]
        meant = meant or [one for one in stresses if wanted.casefold() in one.name.casefold()]
        if not meant:
            raise UserError(f"--only {wanted}: there is no such stress: {nearest(wanted, [s.name for s in stresses])}")
        found |= {one.name: one for one in meant}
    return tuple(one for one in stresses if not only or one.name in found)


class _Theatre:
    """Plays variants of a scenario, each into its folder, with one progress for all.

    Parameters: ``out``, the folder that holds the others.
    """

    def __init__(
        self, scenario: Scenario, settings: StudySettings, out: Path | None, progress: Progress | None
    ) -> None:
        self._stem = f"{scenario.path.stem}-stress"
        self._settings = settings
        self._out = out
        self._progress = progress
        self._variants: dict[str, tuple[Path, Scenario]] = {}
        self.place = out or Path("outputs") / self._stem

    def take(self, name: str, scenario: Scenario) -> None:
        """Take a variant on, and find its folder."""
        slug = number = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-") or "stress"
        count = 1
        while number in self._variants:
            count += 1
            number = f"{slug}-{count}"
        folder = (
            self._out / number if self._out else free_folder(f"{self._stem}/{number}", scenario.digest, self._settings)
        )
        self._variants[number] = folder, scenario

    def play(self) -> list[PlayedVariant]:
        """Play all in turn, each as often as the others."""
        runs = max(self._settings.runs, *(StudyFolder(folder).run_count() for folder, _ in self._variants.values()), 0)
        settings = replace(self._settings, runs=runs)
        wanted = runs * len(self._variants)
        played: list[PlayedVariant] = []
        for path, scenario in self._variants.values():
            answer(scenario, settings, path, self._part(runs * len(played), wanted))
            folder = StudyFolder(path)
            tables = folder.table("runs", runs), folder.table("held", runs)
            played.append(PlayedVariant(scenario.name, scenario.plan(), *tables))
        return played

    def _part(self, before: int, wanted: int) -> Progress | None:
        """Give the progress of one variant as part of the whole; dates of different variants say nothing together."""
        told = self._progress
        if told is None:
            return None
        return lambda done, _, __: told(before + done, wanted, [])
