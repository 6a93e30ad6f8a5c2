"""What a day costs, and whose day it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.cost_chart import charged_bars
from sitesim.report.figures import chart
from sitesim.report.markup import Html, joined, paragraph, table
from sitesim.report.words import HELD_BY, Style, mean, name_label, together

_LEAST_SHARE = 0.002
_LEAST_DAYS = 0.5

Summary = Mapping[str, Any]


def whose_days(style: Style, summary: Summary) -> Html:
    """Answer what a day costs and whose it is: by cause its working days, and all that is charged to it."""
    rows = told_causes(summary)
    if not rows:
        return Html("")
    cells = [
        [
            HELD_BY[row["cause"]],
            mean(row["days"]) if row["days"]["value"] else "–",
            style.money(row["running"]),
            style.money(row["idle"]),
            style.money(row["other"]),
            style.mean_money(row["amount"]),
            a_day(style, row),
        ]
        for row in rows
    ]
    return joined(
        [
            paragraph(" ".join(charged_lines(style, summary))),
            chart(charged_bars(style, rows), "What is charged to each cause", "", has_legend=True),
            table(
                "Working days of the site held, and money charged, by cause",
                [
                    "Cause",
                    "Working days",
                    "Overhead and penalties",
                    "Waiting, idle hire",
                    "Waste and other",
                    "Together",
                    "For each working day",
                ],
                cells,
                numbers=(1, 2, 3, 4, 5, 6),
                class_="folds",
            ),
        ]
    )


def told_causes(summary: Summary) -> list[Summary]:
    """Give the causes that are worth a row, most charged first; older summaries have none."""
    rows = [row for row in summary["cost"].get("causes", []) if row["cause"]]
    charged = sum(row["amount"]["value"] or 0.0 for row in rows)
    return [row for row in rows if (row["amount"]["value"] or 0.0) > _LEAST_SHARE * charged]


def a_day(style: Style, row: Summary) -> str:
    """Write what each of a cause's days costs with all that is charged to it; where it held too few, nothing."""
    days = row["days"]["value"] or 0.0
    return style.money(row["amount"]["value"] / days) if days >= _LEAST_DAYS else "–"


def charged_lines(style: Style, summary: Summary) -> list[str]:
    """Say what one more day costs, what is charged to causes, and how to read it."""
    rates = [
        f"{name_label(rate['what'])} {style.money(rate['amount'])} a {rate['per']}"
        for rate in summary["cost"].get("rates", [])
    ]
    found, whole = summary["cost"].get("causes", []), summary["cost"]["mean"]["value"]
    itself = sum(row["amount"]["value"] for row in found if not row["cause"])
    lines = []
    if rates:
        lines.append(f"A day costs, before anybody waits: {together(rates)}.")
    lines.append(
        f"Of {style.money(whole)}, {style.money(itself)} is the work itself and charged to no cause; the rest is "
        "charged to what held the date or made somebody wait."
    )
    lines.append(
        "Each working day until the last hand-over belongs to what held the date on it, and so do its overhead and "
        "penalties; waiting and idle hire belong to what was waited for, also where it held no date. "
        "A working day is as long as the site's shift; the days under “What held the date?” have 24 hours."
    )
    return lines
