"""A quote in the terminal: dates by home, the chance that all are met, what it assumes, and cautions."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from sitesim.answers.quote import EARLIER, HomeQuote, Quote
from sitesim.answers.statistics import Estimate
from sitesim.report.words import Style, percent, several
from sitesim.study.quoting import Quoted

if TYPE_CHECKING:
    from rich.console import Group, RenderableType
    from rich.table import Table

NOT_A_GUARANTEE = (
    "Not a guarantee. The dates come out of a model with the assumptions below; they leave out what the model does not "
    "know. A change of scope, a strike, a design change or a ruling of an authority moves them."
)


def quote_report(quoted: Quoted) -> Group:
    """Lay a quote out for a terminal of 100 columns."""
    from rich.console import Group
    from rich.text import Text

    style = Style(quoted.units == "us", "")
    parts: list[RenderableType] = [
        Text(heading(quoted), style="bold"),
        "",
        _homes(style, quoted),
        "",
        one_date(style, quoted.quote),
        *together_lines(style, quoted),
        "",
        Text(NOT_A_GUARANTEE, style="bold"),
    ]
    cautions = (*quoted.doubts, *quoted.cautions)
    for title, lines in (("What is assumed", quoted.assumptions), ("Cautions", cautions)):
        if lines:
            parts += ["", Text(title, style="bold"), *(f"· {line}" for line in lines)]
    return Group(*parts)


def heading(quoted: Quoted) -> str:
    """Say what is quoted, and how surely."""
    return f"Hand-over dates for {quoted.scenario} at {percent(quoted.quote.confidence)}"


def as_data(quoted: Quoted) -> dict[str, Any]:
    """Give a quote as plain data for programs."""
    quote = quoted.quote
    return {
        "scenario": quoted.scenario,
        "confidence": quote.confidence,
        "runs": quote.runs,
        "unfinished_runs": quote.unfinished,
        "homes": [_home_data(home) for home in quote.homes],
        "all_homes": _iso(quote.all_homes),
        "chance_that_all_are_met": _estimate(quote.together),
        "each_needs": quote.each_needs,
        "dates_if_all_are_to_be_met": [
            {"building": home.building, "home": home.home, "promised": _iso(day)}
            for home, day in zip(quote.homes, quote.dates_together, strict=True)
        ],
        "promised_already": [
            {"place": kept.place or "site", "by": kept.by.isoformat(), "chance": _estimate(kept.met)}
            for kept in quoted.promised
        ],
        "guarantee": False,
        "assumptions": list(quoted.assumptions),
        "cautions": [*quoted.doubts, *quoted.cautions],
    }


def _home_data(home: HomeQuote) -> dict[str, Any]:
    return {
        "building": home.building,
        "home": home.home,
        "promised": _iso(home.promised),
        "low": _iso(home.low),
        "high": _iso(home.high),
        "met": _estimate(home.met),
        "met_if_earlier": {
            f"{days} days": _estimate(chance) for days, chance in zip(EARLIER, home.met_if_earlier, strict=True)
        },
    }


def can_be_told(quote: Quote) -> bool:
    """Tell whether the runs reach as far as the dates that all homes together would need."""
    return quote.each_needs is not None and quote.each_needs < 1.0


def _iso(day: Any) -> str | None:
    return None if day is None else day.isoformat()


def _estimate(estimate: Estimate) -> dict[str, float | None]:
    return {
        name: value if math.isfinite(value) else None
        for name, value in (("value", estimate.value), ("low", estimate.low), ("high", estimate.high))
    }


def home_name(home: HomeQuote) -> str:
    """Name a home, or a building that has none."""
    return home.home or home.building


def _homes(style: Style, quoted: Quoted) -> Table:
    from rich import box
    from rich.table import Table

    quote = quoted.quote
    table = Table(
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        caption="interval: 95 %, of sampling (open: too few runs); -1 wk: the chance to meet the date a week earlier",
        caption_justify="left",
    )
    confidence = percent(quote.confidence)
    together = can_be_told(quote)
    headings = ["Home", f"at {confidence}", "interval"]
    headings += [f"-{days // 7} wk" for days in EARLIER] + (
        [f"own at {percent(quote.each_needs or 0.0)}"] if together else []
    )
    for heading in headings:
        table.add_column(heading, justify="left" if heading == "Home" else "right", no_wrap=True)
    for home, day in zip(quote.homes, quote.dates_together, strict=True):
        between = (
            f"{style.day_and_month(home.low)} – {style.day_and_month(home.high)}" if home.low and home.high else "open"
        )
        cells = [home_name(home), style.short_date(home.promised), between]
        cells += [percent(chance.value) for chance in home.met_if_earlier]
        table.add_row(*cells, *([style.short_date(day)] if together else []))
    return table


def one_date(style: Style, quote: Quote) -> str:
    """Give the one date for the whole site."""
    homes = several(len(quote.homes), "home" if any(home.home for home in quote.homes) else "building")
    if quote.all_homes is None:
        return f"There is no date by which {percent(quote.confidence)} of the runs hand over {homes}."
    by = style.long_date(quote.all_homes)
    return f"One date for the whole site: all {homes} handed over by {by} at {percent(quote.confidence)}."


def together_lines(style: Style, quoted: Quoted) -> list[str]:
    """Say whether the dates of all homes are met together, what that takes, and what stands behind them."""
    quote = quoted.quote
    lines = [
        f"A date of its own for each: the chance that all of the dates at {percent(quote.confidence)} are met together "
        f"is {percent(quote.together.value)} ({percent(quote.together.low)} to {percent(quote.together.high)}).",
    ]
    if not can_be_told(quote):
        lines.append(
            f"For all of them to be met at {percent(quote.confidence)}, each needs a later date than "
            f"{several(quote.runs, 'run')} can tell; more --runs may tell it."
        )
    else:
        lines.append(
            f"For all of them to be met at {percent(quote.confidence)}, each needs its own date at "
            f"{percent(quote.each_needs or 0.0)}: the last column."
        )
    if quote.unfinished:
        lines.append(f"{several(quote.unfinished, 'run')} of {quote.runs:,} did not come to an end and count as late.")
    if quoted.promised:
        told = [
            f"{kept.place or 'the whole site'} by {style.short_date(kept.by)}, met at {percent(kept.met.value)} "
            f"({percent(kept.met.low)} to {percent(kept.met.high)})"
            for kept in quoted.promised
        ]
        lines.append(f"Promised already: {'; '.join(told)}.")
    of_study = "" if quoted.is_complete else " that were kept of a study that was interrupted"
    lines.append(f"From {several(quote.runs, 'run')}{of_study}; dates are rounded up to working days.")
    return lines
