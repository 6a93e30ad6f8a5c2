"""How long work waited for each inspector, what lost visits cost, and what was witnessed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sitesim.report.markup import Html, joined, paragraph, table
from sitesim.report.words import mean, name_label

_WITNESSED = ("witnessed", "not_witnessed")


def of_each_inspector(summary: Mapping[str, Any]) -> Html:
    """Say of each inspector how many visits there were and what they cost in days; nothing where nobody was called."""
    called: Sequence[Mapping[str, Any]] = summary.get("inspectors", [])
    if not called:
        return Html("")
    has = {key: any(row[key]["value"] for row in called) for key in ("visits", "moved", *_WITNESSED)}
    witnesses = any(has[key] for key in _WITNESSED)
    columns = [
        ("Inspector", None, 0),
        *((("Visits", "visits", 1), ("Failed", "failed", 1), ("Lost", "lost", 1)) if has["visits"] else ()),
        *((("Moved", "moved", 1),) if has["moved"] else ()),
        *(
            (("Days waited", "waited_days", 1), ("of these for lost visits", "waited_for_lost_days", 1))
            if has["visits"]
            else ()
        ),
        *((("and for moved ones", "waited_for_moved_days", 1),) if has["moved"] else ()),
        *((("Witnessed", "witnessed", 1), ("Not witnessed", "not_witnessed", 1)) if witnesses else ()),
    ]
    rows = [
        [name_label(row["inspector"]) if key is None else mean(row[key], places) for _, key, places in columns]
        for row in called
    ]
    said = (
        "Days are those of the calendar from finished work to the visit, added up over all homes and buildings, "
        "whether the date hung on them or not; a lost visit costs the days from finished work to the next one."
    )
    if witnesses:
        said += " A witness who does not come stops nothing; it is counted."
    return joined(
        [
            table(
                "Inspectors, mean of a run",
                [heading for heading, _, _ in columns],
                rows,
                numbers=tuple(range(1, len(columns))),
                class_="folds",
            ),
            paragraph(said),
        ]
    )
