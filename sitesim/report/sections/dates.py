"""When it will be finished: the curve, and the dates of site, buildings and homes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from sitesim.report.charts import finish_curve
from sitesim.report.figures import chart
from sitesim.report.markup import Html, bullets, element, joined, paragraph, small, table
from sitesim.report.words import CONFIDENCES, Style, chance_of, chance_range, interval, is_singular, several

if TYPE_CHECKING:
    import pandas as pd


Summary = Mapping[str, Any]


def when(style: Style, summary: Summary, runs: pd.DataFrame) -> Html:
    """Answer when it will be finished: the curve, the dates of site, buildings and homes."""
    curve = finish_curve(style, summary, runs)
    return joined(
        [
            _unfinished(summary),
            _plain_plan(style, summary),
            Html("")
            if curve is None
            else chart(curve, "How many of the runs have finished by each date", _curve_caption(summary)),
            _dates(style, summary),
            _home_dates(style, summary),
        ]
    )


def _unfinished(summary: Summary) -> Html:
    unfinished, runs = summary["unfinished"], summary["runs"]
    if not unfinished["runs"]:
        return Html("")
    lines = [f"{row['reason']} ({several(row['runs'], 'run')})" for row in unfinished["reasons"]]
    return element(
        "div",
        paragraph(
            element("strong", f"{unfinished['runs']:,} of {several(runs, 'run')} did not come to an end."),
            " Among the dates they count as later than any; what held the date is told from the others. Why:",
        ),
        bullets(lines),
        class_="notice",
    )


def _plain_plan(style: Style, summary: Summary) -> Html:
    plain = summary["plain_plan"]
    if plain["date"] is None:
        return paragraph("The plain plan, with expected durations, no stops and no weather, does not come to an end.")
    within = chance_range(plain["chance"])
    share = plain["chance"]["value"] or 0.0
    verb = "finishes" if is_singular(share, summary["runs"]) else "finish"
    return paragraph(
        "The plain plan takes every duration at its expected value, with no stops and no weather, as a bar chart "
        f"would. It ends on {style.long_date(plain['date'])}; "
        f"{chance_of(share, summary['runs'])} {verb} by then" + (f" (95 % interval: {within})." if within else ".")
    )


def _curve_caption(summary: Summary) -> str:
    shaded = "" if _is_open(summary["finish"]["P80"]) else " Shaded: the 95 % interval of the P80 date."
    left = summary["unfinished"]["runs"]
    short = f" The curve stops short of 100 %, for {several(left, 'run')} did not come to an end." if left else ""
    return f"Read it upwards: at each date, the share of the runs that have finished.{shaded}{short}"


def _is_open(quantile: Summary) -> bool:
    return quantile["date"] is None or (quantile["low"] is None and quantile["high"] is None)


def _dates(style: Style, summary: Summary) -> Html:
    rows = [("Whole site", summary["finish"])]
    rows += [(row["building"], row) for row in summary["buildings"]]
    return _date_table(style, "Last hand-over of site and building, with 95 % intervals", rows)


def _home_dates(style: Style, summary: Summary) -> Html:
    if not summary["homes"]:
        return Html("")
    rows = [(row["home"], row) for row in summary["homes"]]
    return joined(
        [
            element("h3", "Which home is handed over when?"),
            _date_table(style, "Hand-over of each home, with 95 % intervals", rows),
            paragraph(
                "Each home meets its own date with the chance at the head of the column. That all of them do so "
                "together is less likely; the date for the whole site is that of the last.",
                class_="facts",
            ),
        ]
    )


def _date_table(style: Style, caption: str, rows: Iterable[tuple[str, Summary]]) -> Html:
    heads = ["", *(joined([name, small(told)]) for name, told in CONFIDENCES.items())]
    return table(
        caption,
        heads,
        [[name, *(_date_cell(style, found[key]) for key in CONFIDENCES)] for name, found in rows],
        class_="dates",
    )


def _date_cell(style: Style, quantile: Summary) -> Html:
    within = " – ".join(end.replace(" ", "\N{NO-BREAK SPACE}") for end in interval(style, quantile).split(" – "))
    return joined([style.short_date(quantile["date"]), small(within) if within else Html("")])
