"""Who was where in one run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from sitesim.hours import civil_time
from sitesim.report.engagements import Engagement
from sitesim.report.figures import chart
from sitesim.report.markup import Html, in_full, joined, paragraph, table
from sitesim.report.site_chart import site_chart
from sitesim.report.words import Style, activity_label, name_label, together

Summary = Mapping[str, Any]


def who_was_where(style: Style, summary: Summary, entries: Sequence[Engagement], run: int) -> Html:
    """Answer who was where in one run: the site chart and, folded away, its table."""
    figure = site_chart(style, summary, entries)
    if figure is None:
        return Html("")
    end = summary["finish"]["P80"]["date"]
    told = (
        f"the run whose finish is the P80 date, {style.long_date(end)}"
        if end
        else "a run at P80; it did not come to an end"
    )
    which = f"One run of the {summary['runs']:,}:" if summary["runs"] > 1 else "The only run,"
    return joined(
        [
            paragraph(
                f"{which} number {run}, {told}. Bars cross nights and weekends; where "
                "a row is empty nobody was there. Point at a bar to see what it had to wait for; choose a word below "
                "to hide or show its bars; the buttons at the top right of the chart zoom and move."
            ),
            chart(figure, f"Who was where in run {run}", "", has_legend=True, needs_room=True),
            in_full("The same as a table", _engagement_table(style, summary, entries)),
        ]
    )


def _engagement_table(style: Style, summary: Summary, entries: Sequence[Engagement]) -> Html:
    start = date.fromisoformat(summary["start"])
    rows = [
        [
            activity_label(entry.activity),
            together(name_label(name) for name in entry.who) or "–",
            style.moment(civil_time(start, entry.start)),
            style.moment(civil_time(start, entry.end)),
            activity_label(entry.after) if entry.after else "–",
        ]
        for entry in entries
        if entry.end > entry.start
    ]
    return table("Every step of the run", ["What", "Who", "From", "To", "Had to wait for"], rows)
