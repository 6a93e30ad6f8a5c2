"""The weeks of gangs and machines: a row each, a column a week, as high as its hours of work, moving and waiting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from sitesim.plan import State
from sitesim.report.charts import as_letters, look, plain_layout, wrapped
from sitesim.report.colours import AWAY, STATE_LOOKS
from sitesim.report.gang_weeks import Week, absence, most_first
from sitesim.report.week_axis import MILLISECONDS, monday_of, week_axis
from sitesim.report.words import STATES, WAITED_FOR, Style, hours, name_label

if TYPE_CHECKING:
    import plotly.graph_objects as go

_ROW_HEIGHT = 46
_TALLEST = 0.82
"""Of a row, so that one is told from the next."""
_AWAY_HEIGHT = 0.1
_COLUMN = 6 * 24 * MILLISECONDS
_EDGE = 12 * MILLISECONDS
"""Left free between Sunday and Monday, on both sides of a column's six days."""

TOLD = "told"
"""The columns as a whole, unseen, which say what is in them."""

STACKED = (State.WORKING, State.MOVING, State.OVERTIME, State.WAITING, State.DOWN)
"""The states that are drawn, from the foot of a column up."""


def weeks_chart(style: Style, start: date, weeks: Mapping[str, Sequence[Week]]) -> go.Figure | None:
    """Draw the weeks of one run; None if there are none.

    Parameters: ``start`` of the site; ``weeks`` by gang and machine, in the order of their rows.
    """
    import plotly.graph_objects as go

    if not weeks:
        return None
    most = fullest(weeks)
    names = list(weeks)
    figure = go.Figure(
        layout=plain_layout(
            60 + _ROW_HEIGHT * len(names), barmode="overlay", margin={"l": 10, "r": 14, "t": 46, "b": 10}
        )
    )
    columns = [
        (-row, name, week, week.monday(start).isoformat()) for row, name in enumerate(names) for week in weeks[name]
    ]
    for state in STACKED:
        drawn = [one for one in columns if one[2].states.get(state)]
        if drawn:
            figure.add_bar(
                name=STATES[state],
                x=[monday for _, _, _, monday in drawn],
                y=[_height(week.states[state], most) for _, _, week, _ in drawn],
                base=[round(foot + _height(_beneath(week, state), most), 3) for foot, _, week, _ in drawn],
                marker=look(STATE_LOOKS[state]),
                hoverinfo="skip",
            )
    away = [one for one in columns if one[2].has_no_shift]
    if away:
        figure.add_bar(
            name="away, or without a shift",
            x=[monday for _, _, _, monday in away],
            y=[_AWAY_HEIGHT] * len(away),
            base=[foot for foot, _, _, _ in away],
            marker=look(AWAY),
            hoverinfo="skip",
        )
    figure.add_bar(
        name=TOLD,
        showlegend=False,
        x=[monday for _, _, _, monday in columns],
        y=[_AWAY_HEIGHT if week.has_no_shift else _height(week.on_shift, most) for _, _, week, _ in columns],
        base=[foot for foot, _, _, _ in columns],
        marker={"color": "rgba(0,0,0,0)"},
        hovertext=[_told(style, start, name, week) for _, name, week, _ in columns],
        hoverinfo="text",
    )
    figure.update_traces(offset=_EDGE, width=_COLUMN)
    last = max(week.monday(start) for of_name in weeks.values() for week in of_name) + timedelta(days=6)
    figure.update_layout(
        xaxis=week_axis(style, monday_of(start), last),
        yaxis={
            "tickvals": [_TALLEST / 2 - row for row in range(len(names))],
            "ticktext": [wrapped(name_label(name)) for name in names],
            "range": [0.02 - len(names) + 0.9, 1.0],
            "showgrid": False,
            "fixedrange": True,
        },
        shapes=[
            {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": -row, "y1": -row, "line": _GROUND}
            for row in range(len(names))
        ],
    )
    return figure


_GROUND = {"color": "#cfcfcf", "width": 1}


def fullest(weeks: Mapping[str, Sequence[Week]]) -> float:
    """Give the hours [h] of the fullest week of all, which fills its row."""
    return max((week.on_shift for of_name in weeks.values() for week in of_name), default=0.0)


def _height(amount: float, most: float) -> float:
    return round(_TALLEST * amount / most, 3)


def _beneath(week: Week, state: State) -> float:
    """Give the hours [h] that are drawn beneath those of a state."""
    return sum(week.states.get(other, 0.0) for other in STACKED[: STACKED.index(state)])


def _told(style: Style, start: date, name: str, week: Week) -> str:
    lines = [f"<b>{as_letters(name_label(name))}</b>, week from {style.day_and_month(week.monday(start))}"]
    lines += [f"{STATES[state]}: {hours(week.states[state])}" for state in STACKED if week.states.get(state)]
    lines += [f"– for {WAITED_FOR[cause]}: {hours(value)}" for cause, value in most_first(week.waiting)]
    lines += [absence(week)] if absence(week) else []
    return "<br>".join(lines)
