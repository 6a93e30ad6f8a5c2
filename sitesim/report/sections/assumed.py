"""What is assumed, and how sure the figures are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph
from sitesim.report.words import several
from sitesim.weather import MANY_YEARS

Summary = Mapping[str, Any]


def assumed(summary: Summary) -> Html:
    """Answer what is assumed, and name the weather record."""
    lines = summary.get("assumptions", [])
    weather = summary["weather"]
    parts = [bullets(lines) if lines else Html("")]
    if summary.get("description"):
        parts.append(in_full("What was played, in words", bullets(summary["description"])))
    if weather is None:
        parts.append(paragraph("No weather record: nothing waits for rain, wind or cold."))
    else:
        parts.append(element("h3", "Which weather?"))
        parts.append(paragraph(_record(weather)))
        parts.append(paragraph(weather["origin"], class_="facts") if weather["origin"] else Html(""))
    return joined(parts)


def _record(weather: Summary) -> str:
    years = weather["years"]
    few = (
        " Few years are few: weather rarer than that is not in the record, and the intervals on this page do "
        "not cover it."
        if years < MANY_YEARS
        else ""
    )
    block = weather["block_days"]
    drawn = "as whole years" if block is None else f"in blocks of {several(block, 'day')} from the same season"
    return (
        f"Every run draws its weather from the record {weather['name']}, {several(years, 'year')} long, {drawn}.{few}"
    )


def how_sure(summary: Summary, seed: int | None) -> Html:
    """Say in plain words what the runs, P80 and the intervals mean."""
    runs = summary["runs"]
    seeded = "" if seed is None else f" The seed is {seed}: with it, everything on this page can be made again."
    standing = ", ".join(f"{run} for {name}" for name, run in summary["standing_for"].items())
    lines = [
        f"The site was played {'once' if runs == 1 else f'{runs:,} times'}, each time with other durations, weather, "
        f"travel times, breakdowns and inspections.{seeded}",
        "P80 is the date by which 4 in 5 of the runs finish; 1 in 5 finishes later. P50 is as likely missed as met. "
        "None of them is a guarantee.",
        "What stands after ± or beneath a date is a 95 % interval: of a hundred studies like this one, about 95 would "
        "enclose the true figure of this model. More runs make it narrower.",
        "The intervals cover the luck of the runs only. They do not cover durations, rates or limits that were put in "
        "wrong.",
        f"Runs that stand for the confidences: {standing}.",
    ]
    return bullets(lines)
