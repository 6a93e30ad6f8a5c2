"""The weeks of gangs and machines: a row each, a column a week, as high as its hours of work, moving and waiting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

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


class _Column(NamedTuple):
    """A week of a gang or machine: whose, where its row has its foot, and its Monday."""

    name: str
    week: Week
    foot: int
    monday: str


def weeks_chart(style: Style, start: date, weeks: Mapping[str, Sequence[Week]]) -> go.Figure | None:
    """Draw the weeks of one run; None if there are none.

    Parameters: ``start`` of the site; ``weeks`` by gang and machine, in the order of their rows.
    """
    import plotly.graph_objects as go

    if not weeks:
        return None
    rows = range(len(weeks))
    figure = go.Figure(
        layout=plain_layout(
            60 + _ROW_HEIGHT * len(rows), barmode="overlay", margin={"l": 10, "r": 14, "t": 46, "b": 10}
        )
    )
    columns = [
        _Column(name, week, -row, week.monday(start).isoformat())
        for row, name in enumerate(weeks)
        for week in weeks[name]
    ]
    _draw_states(figure, columns, fullest(weeks))
    _tell(figure, columns, fullest(weeks), [_told(style, start, one.name, one.week) for one in columns])
    figure.update_traces(offset=_EDGE, width=_COLUMN)
    last = max(week.monday(start) for of_name in weeks.values() for week in of_name) + timedelta(days=6)
    figure.update_layout(
        xaxis=week_axis(style, monday_of(start), last),
        yaxis={
            "tickvals": [_TALLEST / 2 - row for row in rows],
            "ticktext": [wrapped(name_label(name)) for name in weeks],
            "range": [0.02 - len(rows) + 0.9, 1.0],
            "showgrid": False,
            "fixedrange": True,
        },
        shapes=[
            {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": -row, "y1": -row, "line": _GROUND} for row in rows
        ],
    )
    return figure


def _draw_states(figure: go.Figure, columns: Sequence[_Column], most: float) -> None:
    """Draw the hours of each state upon one another, and a low mark where there is no shift."""
    for state in STACKED:
        drawn = [one for one in columns if one.week.states.get(state)]
        if drawn:
            figure.add_bar(
                name=STATES[state],
                x=[one.monday for one in drawn],
                y=[_height(one.week.states[state], most) for one in drawn],
                base=[round(one.foot + _height(_beneath(one.week, state), most), 3) for one in drawn],
                marker=look(STATE_LOOKS[state]),
                hoverinfo="skip",
            )
    away = [one for one in columns if one.week.has_no_shift]
    if away:
        figure.add_bar(
            name="away, or without a shift",
            x=[one.monday for one in away],
            y=[_AWAY_HEIGHT] * len(away),
            base=[one.foot for one in away],
            marker=look(AWAY),
            hoverinfo="skip",
        )


def _tell(figure: go.Figure, columns: Sequence[_Column], most: float, told: Sequence[str]) -> None:
    """Lay an unseen bar over each column, which says what is in it."""
    figure.add_bar(
        name=TOLD,
        showlegend=False,
        x=[one.monday for one in columns],
        y=[_AWAY_HEIGHT if one.week.has_no_shift else _height(one.week.on_shift, most) for one in columns],
        base=[one.foot for one in columns],
        marker={"color": "rgba(0,0,0,0)"},
        hovertext=told,
        hoverinfo="text",
    )


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
