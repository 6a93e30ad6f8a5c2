"""What it costs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.markup import Html, bar, escaped, joined, paragraph, small, table
from sitesim.report.words import CONFIDENCES, Style, item_label, percent

Summary = Mapping[str, Any]


def cost(style: Style, summary: Summary) -> Html:
    """Answer what it costs: the whole with its spread, and item by item."""
    found = summary["cost"]
    whole = found["mean"]["value"]
    if not whole:
        return Html("")
    largest = max([row["mean"] for row in found["items"] if row["mean"] > 0.0], default=1.0)
    rows = [
        [
            item_label(row["item"]),
            style.mean_money({"value": row["mean"], "low": row.get("low"), "high": row.get("high")}),
            percent(row["mean"] / whole) if row["mean"] >= 0.0 else "–",
            bar(row["mean"] / largest) if row["mean"] >= 0.0 else "",
        ]
        for row in found["items"]
    ]
    spread = [[f"{name}, {told}", _money_quantile(style, found[name])] for name, told in CONFIDENCES.items()]
    return joined(
        [
            paragraph(f"{style.mean_money(found['mean'])} on average, at the rates of the scenario."),
            table(
                "How far it spreads, with 95 % intervals",
                ["", "Runs cost no more than"],
                spread,
                numbers=(1,),
            ),
            table(
                "Mean of the runs by item",
                ["Item", "Amount", "Share", ""],
                rows,
                numbers=(1, 2),
                class_="bars",
            ),
        ]
    )


def _money_quantile(style: Style, quantile: Summary) -> Html:
    written = style.money(quantile["value"])
    if quantile["low"] is None or quantile["high"] is None:
        return escaped(written)
    return joined([written, small(f"{style.money(quantile['low'])} to {style.money(quantile['high'])}")])
