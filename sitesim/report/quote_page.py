"""A quote on a page to be handed over or printed: dates, chances, what an earlier promise risks, what it assumes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from sitesim.answers.quote import EARLIER
from sitesim.report.document import Section, document, write_with_data
from sitesim.report.markup import Html, bullets, element, joined, paragraph, small, table
from sitesim.report.quoted import (
    NOT_A_GUARANTEE,
    as_data,
    can_be_told,
    heading,
    home_name,
    one_date,
    together_lines,
)
from sitesim.report.words import Style, percent
from sitesim.study.quoting import Quoted

PAGE = "quote.html"


def write_quote_page(quoted: Quoted, folder: Path) -> Path:
    """Write the page of a quote, and beside it its data, into the folder of its runs; returns its place."""
    return write_with_data(folder / PAGE, quote_page(quoted), as_data(quoted))


def quote_page(quoted: Quoted) -> str:
    """Build the page."""
    style = Style(quoted.units == "us", "")
    title = heading(quoted)
    head = [
        element("h1", title),
        paragraph(one_date(style, quoted.quote), class_="answer"),
        element("div", paragraph(element("strong", NOT_A_GUARANTEE)), class_="notice"),
    ]
    return document(title, head, _sections(style, quoted), has_charts=False)


def _sections(style: Style, quoted: Quoted) -> Iterator[Section]:
    confidence = percent(quoted.quote.confidence)
    yield "dates", f"Which home is handed over by when, at {confidence}?", _homes(style, quoted)
    yield "together", "Are they all met together?", bullets(together_lines(style, quoted))
    yield "assumed", "What is assumed?", _fine(quoted.assumptions)
    yield "cautions", "Cautions", _fine(quoted.cautions)


def _homes(style: Style, quoted: Quoted) -> Html:
    """Give a row for each home: its date, the chance of earlier ones, and the date if all are to be met."""
    quote, told_together = quoted.quote, can_be_told(quoted.quote)
    heads = ["Home", f"At {percent(quote.confidence)}", *(f"{_weeks(days)} earlier" for days in EARLIER)]
    if told_together:
        heads.append(f"Its own at {percent(quote.each_needs or 0.0)}")
    rows = []
    for home, day in zip(quote.homes, quote.dates_together, strict=True):
        between = (
            f"{style.day_and_month(home.low)} – {style.day_and_month(home.high)}" if home.low and home.high else "open"
        )
        row = [home_name(home), joined([style.short_date(home.promised), small(between)])]
        row += [
            joined(
                [
                    percent(chance.value),
                    small(style.day_and_month(home.promised - timedelta(days=days)) if home.promised else ""),
                ]
            )
            for days, chance in zip(EARLIER, home.met_if_earlier, strict=True)
        ]
        rows.append([*row, *([style.short_date(day)] if told_together else [])])
    said = paragraph(
        "Small beneath a date: the 95 % interval that the number of runs leaves it. An earlier promise is met with the "
        "chance that stands in its column, beneath it the day.",
        class_="facts",
    )
    return joined([table("Dates of hand-over", heads, rows, class_="dates folds"), said])


def _weeks(days: int) -> str:
    weeks = days // 7
    return "A week" if weeks == 1 else f"{weeks} weeks"


def _fine(lines: tuple[str, ...]) -> Html:
    """Set many lines small, in two columns where there is room."""
    return element("div", bullets(lines), class_="fine") if lines else Html("")
