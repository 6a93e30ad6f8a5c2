"""A quote out of a folder of runs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitesim.answers.charged import chance_met
from sitesim.answers.dates import SiteDates
from sitesim.answers.quote import Quote, make_quote
from sitesim.answers.statistics import Estimate
from sitesim.errors import UserError
from sitesim.study.answering import scenario_of
from sitesim.study.folder import NO_RUN_KEPT, StudyFolder, StudyFolderError


@dataclass(frozen=True, slots=True)
class Kept:
    """A date that the scenario has promised already, and the chance that it is met; the whole site has no ``place``."""

    place: str
    by: date
    met: Estimate


@dataclass(frozen=True, slots=True)
class Quoted:
    """A quote with what belongs beside it; of an interrupted study it is made of the runs that were kept.

    ``doubts`` are about numbers of the scenario, for its author and not for whom it is quoted to.
    """

    scenario: str
    units: str
    quote: Quote
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    is_complete: bool = True
    promised: tuple[Kept, ...] = ()
    doubts: tuple[str, ...] = ()


def quote_folder(path: Path, confidence: float | None) -> Quoted:
    """Quote the homes of a study at a confidence, or at the scenario's own.

    Raises StudyFolderError if the folder holds no runs, UserError if it hands nothing over.
    """
    folder = StudyFolder(path)
    manifest = folder.manifest()
    complete = bool(manifest.get("complete"))
    if not folder.run_count():
        raise StudyFolderError(f"{path}: {NO_RUN_KEPT}")
    scenario = scenario_of(path)
    plan = scenario.plan()
    runs = int(manifest["runs"]) if complete else None
    dates = SiteDates(plan.start, plan.calendars["site"])
    milestones, of_runs = folder.table("milestones", runs), folder.table("runs", runs)
    try:
        quote = make_quote(milestones, of_runs, dates, scenario.confidence if confidence is None else confidence)
    except ValueError as error:
        raise UserError(f"{path}: {error}") from None
    return Quoted(
        scenario.name,
        scenario.units,
        quote,
        tuple(scenario.assumptions()),
        tuple(line for line in scenario.cautions() if line not in scenario.doubts),
        complete,
        tuple(
            Kept(promise.name if promise.building else "", promise.by, chance_met(promise, dates, of_runs, milestones))
            for promise in plan.promises
        ),
        scenario.doubts,
    )
