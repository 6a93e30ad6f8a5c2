"""What each gang and machine did, week by week, in one run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from sitesim.plan import State
from sitesim.report.figures import chart
from sitesim.report.gang_weeks import Week, absence, most_first, weeks_of
from sitesim.report.markup import Html, in_full, joined, paragraph, table
from sitesim.report.standing import standing_runs
from sitesim.report.weeks_chart import STACKED, fullest, weeks_chart
from sitesim.report.words import STATES, WAITED_FOR, Style, hours, name_label

if TYPE_CHECKING:
    import pandas as pd

Summary = Mapping[str, Any]


def gangs_weeks(style: Style, summary: Summary, weeks: pd.DataFrame | None) -> Html:
    """Answer what the gangs did each week: for each run that stands for a confidence a chart and, folded away, a table.

    Parameters: ``weeks``, the table of that name, None where the folder is of a version that kept none.
    """
    if weeks is None:
        return paragraph(
            "The folder was written by an older version, which kept no weeks; play the study again to have them.",
            class_="facts",
        )
    start = date.fromisoformat(summary["start"])
    names = [row["resource"] for row in summary["time"]]

    def show(run: int) -> Html | None:
        of_gangs = weeks_of(weeks, run, names)
        figure = weeks_chart(style, start, of_gangs)
        if figure is None:
            return None
        highest = f"The highest column has {hours(fullest(of_gangs))}."
        drawn = chart(figure, f"Weeks of gangs and machines in run {run}", highest, has_legend=True, needs_room=True)
        return joined([drawn, in_full("The same as a table", _weeks_table(style, start, of_gangs))])

    shown = standing_runs(summary, show)
    if not shown:
        return Html("")
    return joined(
        [
            paragraph(
                "Week by week from Monday to Sunday, in the run that stands for each date: where the runs differ, a "
                "gang is as unsure of its weeks. A column is as high as the hours of the shifts in that week. A grey "
                "mark: somebody was away between two stays, or had no shift. Point at a column to see what was waited "
                "for."
            ),
            shown,
        ]
    )


def _weeks_table(style: Style, start: date, weeks: Mapping[str, Sequence[Week]]) -> Html:
    states = [
        state for state in STACKED if any(week.states.get(state) for of_gang in weeks.values() for week in of_gang)
    ]
    heads = ["Who", "Week from", *(STATES[state] for state in states), "Waiting for"]
    return table(
        "Hours of each week on site",
        heads,
        _rows(style, start, weeks, states),
        numbers=range(2, 2 + len(states)),
    )


def _rows(
    style: Style, start: date, weeks: Mapping[str, Sequence[Week]], states: Sequence[State]
) -> Iterator[list[str]]:
    for name, of_gang in weeks.items():
        for week in of_gang:
            yield [
                name_label(name),
                style.day_and_month(week.monday(start)),
                *(f"{week.states[state]:.1f}" if week.states.get(state) else "–" for state in states),
                ", ".join(_remarks(week)) or "–",
            ]


def _remarks(week: Week) -> Iterator[str]:
    """Say what was waited for, and how long it was away."""
    yield from (f"{WAITED_FOR[cause]} {value:.1f}" for cause, value in most_first(week.waiting))
    if absence(week):
        yield absence(week)
