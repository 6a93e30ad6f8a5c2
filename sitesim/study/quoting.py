"""A quote out of a folder of runs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitesim.answers.dates import SiteDates
from sitesim.answers.quote import Quote, make_quote
from sitesim.errors import UserError
from sitesim.study.answering import scenario_of
from sitesim.study.folder import StudyFolder, StudyFolderError


@dataclass(frozen=True, slots=True)
class Quoted:
    """A quote with what belongs beside it on the page."""

    scenario: str
    units: str
    quote: Quote
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def quote_folder(path: Path, confidence: float | None) -> Quoted:
    """Quote the homes of a study at a confidence, or at the scenario's own.

    Raises StudyFolderError if the folder holds no runs, UserError if it hands nothing over.
    """
    folder = StudyFolder(path)
    manifest = folder.manifest()
    if not manifest.get("complete"):
        raise StudyFolderError(f"{path}: the study is not complete; run it again, it goes on from what is kept")
    scenario = scenario_of(path)
    plan = scenario.plan()
    runs = int(manifest["runs"])
    try:
        quote = make_quote(
            folder.table("milestones", runs),
            folder.table("runs", runs),
            SiteDates(plan.start, plan.calendars["site"]),
            scenario.confidence if confidence is None else confidence,
        )
    except ValueError as error:
        raise UserError(f"{path}: {error}") from None
    return Quoted(scenario.name, scenario.units, quote, tuple(scenario.assumptions()), tuple(scenario.cautions()))
