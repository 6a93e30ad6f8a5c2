"""One self-contained page that tells what a study found; it opens without a network."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from sitesim.report.document import Section, document
from sitesim.report.engagements import engagements
from sitesim.report.markup import Html, bullets, element, joined, paragraph
from sitesim.report.relief_beside import ReliefBeside
from sitesim.report.sections import (
    assumed,
    concrete,
    cost,
    dates,
    held,
    milestones,
    promised,
    waiting,
    whereabouts,
    whose_days,
)
from sitesim.report.sections.bottleneck import bottleneck
from sitesim.report.sections.trades import trades
from sitesim.report.sections.weeks import gangs_weeks
from sitesim.report.sentence import answer
from sitesim.report.words import Style, several

if TYPE_CHECKING:
    import pandas as pd


def build_page(
    summary: Mapping[str, Any],
    runs: pd.DataFrame,
    activities: pd.DataFrame,
    weeks: pd.DataFrame | None,
    manifest: Mapping[str, Any],
    relief: ReliefBeside | None = None,
) -> str:
    """Build the page of a study.

    Parameters: ``summary``, as in ``summary.json``; ``runs``, the table of all runs; ``activities``, the ledger of
    the runs that stand for the confidences; ``weeks``, their time account by weeks, None where the folder has none;
    ``manifest``, as in ``manifest.json``; ``relief``, what a relief study of the same site found, None without one.
    """
    name = summary["scenario"]
    head = [
        element("h1", name),
        paragraph(answer(summary), class_="answer"),
        paragraph(_facts(summary, manifest), class_="facts"),
    ]
    sections = _sections(summary, runs, activities, weeks, manifest, relief)
    return document(name, head, sections, _footer(manifest))


def _sections(
    summary: Mapping[str, Any],
    runs: pd.DataFrame,
    activities: pd.DataFrame,
    weeks: pd.DataFrame | None,
    manifest: Mapping[str, Any],
    relief: ReliefBeside | None,
) -> Iterator[Section]:
    """Give the sections in turn."""
    style = Style.of(summary)
    standing = summary["standing_for"]["P80"]
    entries = engagements(activities, standing)
    yield "when", "When will it be finished?", dates.when(style, summary, runs)
    yield "promised", "Are the promised dates met?", promised.promised(style, summary)
    yield "milestones", "When is each milestone reached?", milestones.milestones(style, summary)
    yield "trades", "How do the trades go through the buildings?", trades(style, summary, activities)
    yield "where", "Who was where?", whereabouts.who_was_where(style, summary, entries, standing)
    yield (
        "waiting",
        "Who waited, and for what?",
        joined([waiting.who_waited(summary), waiting.inspections(summary)]),
    )
    yield "weeks", "What did each gang do, week by week?", gangs_weeks(style, summary, weeks)
    yield "bottleneck", "Where is the bottleneck?", bottleneck(style, summary, relief)
    yield "held", "What held the date?", held.what_held(summary)
    yield "concrete", "Where did the concrete go?", concrete.concrete(style, summary, runs)
    yield "cost", "What does it cost?", cost.cost(style, summary)
    yield "days", "What does a day cost, and whose day is it?", whose_days.whose_days(style, summary)
    yield "assumed", "What is assumed?", assumed.assumed(summary)
    yield "sure", "How sure are these figures?", assumed.how_sure(summary, manifest.get("seed"))
    cautions = summary.get("cautions", [])
    yield "cautions", "Cautions", bullets(cautions) if cautions else Html("")


def _facts(summary: Mapping[str, Any], manifest: Mapping[str, Any]) -> str:
    style = Style.of(summary)
    homes, buildings = len(summary["homes"]), len(summary["buildings"])
    parts = [f"Starts {style.long_date(summary['start'])}"]
    if buildings:
        parts.append(several(buildings, "building") + (f" with {several(homes, 'home')}" if homes else ""))
    parts.append(several(summary["runs"], "run"))
    if "seed" in manifest:
        parts.append(f"seed {manifest['seed']}")
    return " · ".join(parts)


def _footer(manifest: Mapping[str, Any]) -> Html:
    """Name what made the page, so that it can be made again."""
    versions = ", ".join(f"{name} {version}" for name, version in manifest.get("versions", {}).items())
    known = {
        "Made with": versions,
        "Played": str(manifest.get("started", "")).replace("T", " ").replace("+00:00", " UTC"),
        "Scenario": str(manifest.get("scenario_digest", ""))[:16],
        "Tables": str(manifest.get("tables_digest", ""))[:16],
    }
    pairs = [element("dt", name) + element("dd", value) for name, value in known.items() if value]
    return element("footer", element("dl", *(Html(pair) for pair in pairs))) if pairs else Html("")
