"""A page that answers one question: the answer, what is asked next, and the sections behind them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sitesim.answers.variants import AsPlanned
from sitesim.report.document import Section, document
from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph
from sitesim.report.words import Style, several


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
    sections: Iterable[Section],
) -> str:
    """Build the page.

    Parameters: ``heading``, the question; ``name`` of the site; ``answer``, in a sentence; ``facts`` about what was
    played; ``more`` answers, a line each; ``sections`` behind them.
    """
    head = [
        element("h1", heading),
        paragraph(answer, class_="answer"),
        paragraph(" · ".join(facts), class_="facts"),
        bullets(more),
    ]
    return document(f"{heading}: {name}", head, sections)


def notice(heading: str, named: Sequence[tuple[str, str]]) -> Html:
    """Give a box of names, each with why it stands there; nothing where there are none."""
    lines = [f"{name}: {why}." for name, why in named]
    told = element("div", paragraph(element("strong", heading)), bullets(lines), class_="notice")
    return told if lines else Html("")


def assumed(lines: Sequence[str], of_scenario: Sequence[str]) -> Html:
    """Tell what the question assumes, and, to be opened, what the scenario itself does."""
    scenario = in_full("What the scenario itself assumes", bullets(of_scenario)) if of_scenario else Html("")
    return joined([bullets(lines), scenario])
