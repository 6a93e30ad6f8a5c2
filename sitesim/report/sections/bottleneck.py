"""Where the bottleneck is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.bottleneck_words import command_parts, days_label, evidence, gang_label, how_counted, rhythm
from sitesim.report.markup import Html, bar, bullets, element, in_full, joined, paragraph, table
from sitesim.report.relief_beside import ReliefBeside
from sitesim.report.words import Style, percent

_LEAST_DAYS = 0.5

Summary = Mapping[str, Any]


def bottleneck(style: Style, summary: Summary, relief: ReliefBeside | None) -> Html:
    """Answer where the bottleneck is: the sentence, the evidence, and what more of it would bring.

    Parameters: ``relief``, what was found by playing one more of each thing, None where nobody has.
    """
    found = summary.get("bottleneck")
    if found is None:
        return Html("")
    most = found["by"][0]["days"]
    rows = [
        [days_label(row), f"{row['days']:.1f}", percent(row["share"]), bar(row["days"] / most)]
        for row in found["by"]
        if row["days"] >= _LEAST_DAYS
    ]
    busy = [
        [
            gang_label(row["gang"]) + (f" ({row['number']})" if row["number"] > 1 else ""),
            percent(row["busy"]),
            bar(row["busy"]),
        ]
        for row in found["gangs"]
    ]
    return joined(
        [
            paragraph(element("strong", rhythm(found))),
            bullets(evidence(found)),
            _what_more_brings(style, found, relief),
            paragraph(how_counted(found)),
            table(
                "Calendar days up to the last hand-over by who or what had them in hand, mean of the runs that finish",
                ["", "Calendar days", "Share", ""],
                rows,
                numbers=(1, 2),
                class_="bars",
            ),
            in_full(
                "How busy each gang is",
                table(
                    "Of the hours on shift from the first work of a gang to its last, those at work; mean of the runs",
                    ["Gang", "At work", ""],
                    busy,
                    numbers=(1,),
                    class_="bars",
                ),
            )
            if busy
            else Html(""),
        ]
    )


def _what_more_brings(style: Style, found: Summary, relief: ReliefBeside | None) -> Html:
    if relief is None:
        return _to_ask(found)
    return joined(
        [
            paragraph(f"Played with one more of each thing: {relief.answer} ", element("a", "More", href=relief.page)),
            table(
                f"What one more of each wins, mean of {relief.runs} pairs of runs",
                ["", "Working days won", "Money, + dearer"],
                list(relief.rows(style)),
                numbers=(1, 2),
            ),
        ]
    )


def _to_ask(found: Summary) -> Html:
    if not found.get("worth_trying"):
        return Html("")
    parts = joined([element("span", part) for part in command_parts(found)], " ")
    return paragraph("What more of it would bring, this plays: ", element("code", parts))
