"""A quote out of a folder of runs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitesim.answers.dates import SiteDates
from sitesim.answers.quote import Quote, make_quote
from sitesim.errors import UserError
from sitesim.study.answering import scenario_of
from sitesim.study.folder import StudyFolder


@dataclass(frozen=True, slots=True)
class Quoted:
    """A quote with what belongs beside it; of an interrupted study it is made of the runs that were kept."""

    scenario: str
    units: str
    quote: Quote
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    is_complete: bool = True


def quote_folder(path: Path, confidence: float | None) -> Quoted:
    """Quote the homes of a study at a confidence, or at the scenario's own.

    Raises StudyFolderError if the folder holds no runs, UserError if it hands nothing over.
    """
    folder = StudyFolder(path)
    manifest = folder.manifest()
    complete = bool(manifest.get("complete"))
    scenario = scenario_of(path)
    plan = scenario.plan()
    runs = int(manifest["runs"]) if complete else None
    try:
        quote = make_quote(
            folder.table("milestones", runs),
            folder.table("runs", runs),
            SiteDates(plan.start, plan.calendars["site"]),
            scenario.confidence if confidence is None else confidence,
        )
    except ValueError as error:
        raise UserError(f"{path}: {error}") from None
    return Quoted(
        scenario.name, scenario.units, quote, tuple(scenario.assumptions()), tuple(scenario.cautions()), complete
    )
