"""Who waited for what, and how the inspections went."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.called import called_gangs
from sitesim.report.charts import waiting_bars
from sitesim.report.figures import chart
from sitesim.report.markup import Html, joined, paragraph, table
from sitesim.report.sections.inspectors import of_each_inspector
from sitesim.report.words import WAITED_FOR, hours, mean, name_label, percent

_LEAST_HOURS = 1.0

Summary = Mapping[str, Any]


def who_waited(summary: Summary) -> Html:
    """Answer who waited for what: bars by cause, and the same as a table."""
    if not summary["time"]:
        return Html("")
    figure = waiting_bars(summary)
    rows = [
        [
            name_label(row["resource"]),
            hours(row["on_shift_hours"]),
            _waiting(row),
            percent(row["idle_share"]),
            _causes(row["waiting"]),
        ]
        for row in summary["time"]
    ]
    return joined(
        [
            paragraph(
                "From the first day on site to the last, in shift hours: time in which a gang or machine was there "
                "and could not work, by what its next piece of work was waiting for. Which of it is paid is said "
                "under what is assumed."
            ),
            Html("") if figure is None else chart(figure, "Hours of waiting by cause", "", has_legend=True),
            table(
                "Mean of the runs",
                ["Who", "On shift", "Waiting", "Of shift", "For what"],
                rows,
                numbers=(1, 2, 3),
                class_="words",
            ),
            paragraph(told) if (told := called_gangs(summary)) else Html(""),
        ]
    )


def _waiting(row: Summary) -> str:
    """Write the mean hours of waiting, with their error where the summary gives it."""
    return f"{mean(row['idle'], 0)} h" if "idle" in row else hours(row["idle_hours"])


def _causes(waiting: Mapping[str, float]) -> str:
    told = [f"{WAITED_FOR[cause]} {value:,.0f}" for cause, value in waiting.items() if value >= _LEAST_HOURS]
    return f"{', '.join(told)} h" if told else "–"


def inspections(summary: Summary) -> Html:
    """Say how the inspections went."""
    quality = summary["quality"]
    if not quality["inspections"]["value"]:
        return of_each_inspector(summary)
    said = paragraph(
        f"Inspections: {mean(quality['inspections'])} visits in a run, of which "
        f"{mean(quality['failed_inspections'])} find something to put right; "
        f"{mean(quality['lost_visits'])} more visits are lost because the work is late."
    )
    return joined([said, of_each_inspector(summary)])
