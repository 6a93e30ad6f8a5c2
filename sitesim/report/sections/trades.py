"""How the trades go through the buildings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from sitesim.answers.flow import flow
from sitesim.answers.stages import stages_from
from sitesim.hours import civil_date, civil_time
from sitesim.report.figures import chart
from sitesim.report.markup import Html, in_full, joined, paragraph, table
from sitesim.report.standing import standing_runs
from sitesim.report.trades_chart import Line, buildings_in_turn, lines_of, stage_names, trades_chart
from sitesim.report.words import Style

if TYPE_CHECKING:
    import pandas as pd

Summary = Mapping[str, Any]


def trades(style: Style, summary: Summary, activities: pd.DataFrame) -> Html:
    """Answer how the trades go through the buildings: a chart and a table for each run that stands for a confidence."""
    if "stages" not in summary:
        return paragraph(
            "The folder was written by an older version, which kept no stages; play the study again to have them.",
            class_="facts",
        )
    stages = stages_from(summary["stages"])
    start = date.fromisoformat(summary["start"])
    names = stage_names(stages)

    def show(run: int) -> Html | None:
        lines = lines_of(names, flow(stages, activities[activities["run"] == run]))
        figure = trades_chart(style, start, lines)
        if figure is None:
            return None
        drawn = chart(figure, f"Buildings against time in run {run}", "", has_legend=True, needs_room=True)
        return joined([drawn, in_full("The same as a table", _table(style, start, lines))])

    shown = standing_runs(summary, show)
    if not shown:
        return Html("")
    return joined(
        [
            paragraph(
                "A line for each trade: in the strip of a building from the start of its work there, at the foot, to "
                "the end, at the top; of printer and tent from setting up to taking down. Steep is fast. Between two "
                "strips the trade goes on to the next building, and waits for it where the line is long. Lines that "
                "come together are trades of which one waits for the other; where they draw apart the homes wait. "
                "Choose a word to hide or show its line."
            ),
            shown,
        ]
    )


def _table(style: Style, start: date, lines: Sequence[Line]) -> Html:
    buildings = buildings_in_turn(line.visits for line in lines)
    rows = []
    for line in lines:
        at = {visit.building: visit for visit in line.visits}
        rows.append(
            [
                line.name,
                *(
                    f"{style.day_and_month(civil_time(start, at[name].start).date())} – "
                    f"{style.day_and_month(civil_date(start, at[name].end))}"
                    if name in at
                    else "–"
                    for name in buildings
                ),
            ]
        )
    return table("First and last day of each trade at each building", ["Trade", *buildings], rows, class_="dates folds")
