"""A page that answers one question: the answer, what is asked next, and the sections behind them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from sitesim.answers.variants import AsPlanned
from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph
from sitesim.report.page import document
from sitesim.report.words import Style, several
from sitesim.study import StudyFolder


def write_question_page(folder: Path, name: str, text: str, data: dict[str, Any]) -> Path:
    """Write a page, and its figures for programs beside it, into the folder of its study; returns the page's place."""
    study, page = StudyFolder(folder), folder / name
    study.write_json(page.with_suffix(".json").name, data)
    study.write_bytes(page, text.encode())
    return page


def facts_of(style: Style, planned: AsPlanned, each: str, seed: int) -> list[str]:
    """Say what was played: the site, from when, how often ``each``, and with which seed."""
    start = f"planned start {style.long_date(planned.start)}"
    return [planned.name, start, f"{several(planned.runs, 'run')} of each {each}", f"seed {seed}"]


def question_page(
    heading: str,
    name: str,
    answer: str,
    facts: Sequence[str],
    more: Sequence[str],
    sections: Iterable[tuple[str, str, Html]],
) -> str:
    """Build the page.

    Parameters: ``heading``, the question; ``name`` of the site; ``answer``, in a sentence; ``facts`` about what was
    played; ``more`` answers, a line each; ``sections``, anchor, question and answer of each, left out where empty.
    """
    told = [(anchor, question, body) for anchor, question, body in sections if body]
    header = element(
        "header",
        element("h1", heading),
        paragraph(answer, class_="answer"),
        paragraph(" · ".join(facts), class_="facts"),
        bullets(more),
        element("nav", bullets(element("a", question, href=f"#{anchor}") for anchor, question, _ in told)),
        element("noscript", paragraph("The charts need scripts; the tables say the same without.", class_="notice")),
    )
    parts = (element("section", element("h2", question), body, id=anchor) for anchor, question, body in told)
    return document(f"{heading}: {name}", joined([header, element("main", *parts)]))


def notice(heading: str, named: Sequence[tuple[str, str]]) -> Html:
    """Give a box of names, each with why it stands there; nothing where there are none."""
    lines = [f"{name}: {why}." for name, why in named]
    told = element("div", paragraph(element("strong", heading)), bullets(lines), class_="notice")
    return told if lines else Html("")


def assumed(lines: Sequence[str], of_scenario: Sequence[str]) -> Html:
    """Tell what the question assumes, and, to be opened, what the scenario itself does."""
    scenario = in_full("What the scenario itself assumes", bullets(of_scenario)) if of_scenario else Html("")
    return joined([bullets(lines), scenario])
