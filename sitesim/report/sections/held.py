"""What held the date."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.answers.statistics import proportion_interval
from sitesim.report.charts import held_bars
from sitesim.report.figures import chart
from sitesim.report.markup import Html, element, joined, paragraph, table
from sitesim.report.words import HELD_BY, activity_label, days, mean, percent, print_days_as_one

_TASKS_NAMED = 4
_STEPS_NAMED = 12

Summary = Mapping[str, Any]


def what_held(summary: Summary) -> Html:
    """Answer what held the date: days by cause, the tasks behind them, and the steps most often on the chain."""
    figure = held_bars(summary)
    if figure is None:
        return Html("")
    rows = [
        [
            HELD_BY[row["cause"]],
            mean(row["days"]),
            f"{row['off_shift_days']:.1f}",
            ", ".join(f"{task} {value:.1f}" for task, value in print_days_as_one(row["tasks"])[:_TASKS_NAMED]) or "–",
        ]
        for row in summary["held"]
        if (row["days"]["value"] or 0.0) >= 0.05
    ]
    return joined(
        [
            paragraph(
                "From the last hand-over back to the first day there is a chain of steps, each held by the one "
                "before it. These are its calendar days of 24 hours, by what they were spent on: what would bring the "
                "date forward. Mean of the runs that finish."
            ),
            chart(figure, "Calendar days of the finish by cause", "", has_legend=True),
            table(
                "Calendar days by cause, and the steps with most of them",
                [
                    "Cause",
                    "Calendar days",
                    "Of these nights and weekends",
                    "Mostly in (days)",
                ],
                rows,
                numbers=(1, 2),
                class_="words",
            ),
            _steps(summary),
        ]
    )


def _steps(summary: Summary) -> Html:
    """Name the steps with most days on the chain."""
    finished = summary["runs"] - summary["unfinished"]["runs"]
    if not finished or not summary["criticality"]:
        return Html("")
    longest = sorted(summary["criticality"], key=lambda row: -row["days"])[:_STEPS_NAMED]
    rows = [
        [activity_label(row["activity"]), days(row["days"]), _share_of_runs(row["share"], finished)] for row in longest
    ]
    return joined(
        [
            element("h3", "Which steps were in the way?"),
            table(
                "The steps with most days on that chain",
                ["Step", "Calendar days, mean", "Runs with it on the chain"],
                rows,
                numbers=(1, 2),
            ),
        ]
    )


def _share_of_runs(share: float, runs: int) -> str:
    found = proportion_interval(round(share * runs), runs)
    return f"{percent(share)} ({100 * found.low:.0f} to {100 * found.high:.0f})"
