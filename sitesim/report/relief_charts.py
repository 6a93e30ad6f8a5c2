"""The figure of the page of a relief study: days won beside money, a row for each relief with its name on it."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from sitesim.answers.relief import Relieved
from sitesim.report.charts import as_letters, plain_layout
from sitesim.report.colours import BLUE, GREY, INK, VERMILION
from sitesim.report.relief_figures import money_interval, money_signed, won_alone
from sitesim.report.shift_words import interval_of
from sitesim.report.words import Style

if TYPE_CHECKING:
    import plotly.graph_objects as go

_ROW = 62
_LINES = "#e4e4e4"
_NAME_ABOVE = 0.2
_LONGEST = 46
"""Characters of a name that stand on a line of a narrow page."""


def relief_chart(style: Style, reliefs: Sequence[Relieved]) -> go.Figure | None:
    """Draw what each relief wins at 4 in 5, and what it costs, with intervals; None if no days can be drawn."""
    import plotly.graph_objects as go

    shown = [one for one in reliefs if math.isfinite(one.won_p80.shift) and math.isfinite(one.cost.mean)]
    if not shown:
        return None
    figure = go.Figure(layout=plain_layout(92 + _ROW * len(shown), margin={"l": 12, "r": 16, "t": 30, "b": 44}))
    colours = [BLUE if one.wins else VERMILION if one.distinguishable else GREY for one in shown]
    _add_panel(figure, "x", shown, [one.won_p80.shift for one in shown], _ends_of_days, colours, _told_days)
    _add_panel(
        figure,
        "x2",
        shown,
        [one.cost.mean for one in shown],
        lambda one: (one.cost.low, one.cost.high),
        colours,
        lambda one: f"{money_signed(style, one.cost.mean)} ({money_interval(style, one.cost)})",
    )
    for place, one in enumerate(shown):
        _name_row(figure, place, one.name)
    span = {"gridcolor": _LINES, "zeroline": True, "zerolinecolor": INK, "zerolinewidth": 1, "fixedrange": True}
    figure.update_layout(
        xaxis={**span, "domain": [0.0, 0.46], "range": _range([_ends_of_days(one) for one in shown]), "nticks": 6},
        xaxis2={
            **span,
            "domain": [0.56, 1.0],
            "range": _range([(one.cost.low, one.cost.high) for one in shown]),
            "tickformat": "~s",
            "tickprefix": "$" if style.currency == "USD" else "",
            "nticks": 4,
            "tickangle": 0,
        },
        yaxis={"range": [len(shown) - 0.4, -0.85], "showgrid": False, "showticklabels": False, "fixedrange": True},
    )
    heads = ("working days won at 4 in 5", 0.0), (f"money, {style.currency}, + dearer", 0.56)
    for head, left in heads:
        figure.add_annotation(
            text=head, x=left, xref="paper", xanchor="left", y=1.0, yref="paper", yanchor="bottom", showarrow=False
        )
    return figure


def _ends_of_days(one: Relieved) -> tuple[float, float]:
    return one.won_p80.low, one.won_p80.high


def _told_days(one: Relieved) -> str:
    return f"{won_alone(one.won_p80)} working days ({interval_of(one.won_p80)})"


def _range(ends: Sequence[tuple[float, float]]) -> list[float]:
    """Give an axis that holds 0 and every end that is known, with a little room."""
    known = [end for each in ends for end in each if math.isfinite(end)]
    low, high = min([0.0, *known]), max([0.0, *known])
    room = 0.06 * (high - low or 1.0)
    return [low - room, high + room]


def _add_panel(
    figure: go.Figure,
    axis: str,
    shown: Sequence[Relieved],
    values: Sequence[float],
    ends: Callable[[Relieved], tuple[float, float]],
    colours: Sequence[str],
    told: Callable[[Relieved], str],
) -> None:
    """Add the values of one panel: a mark for each relief and a bar along its interval."""
    for place, (one, colour) in enumerate(zip(shown, colours, strict=True)):
        low, high = (
            end if math.isfinite(end) else value for end, value in zip(ends(one), (values[place],) * 2, strict=True)
        )
        figure.add_scatter(
            x=[low, high],
            y=[place, place],
            xaxis=axis,
            yaxis="y",
            mode="lines",
            line={"color": colour, "width": 6},
            opacity=0.35,
            hoverinfo="skip",
        )
    figure.add_scatter(
        x=list(values),
        y=list(range(len(shown))),
        xaxis=axis,
        yaxis="y",
        mode="markers",
        marker={"size": 10, "color": list(colours), "symbol": [_symbol(one) for one in shown]},
        customdata=[[as_letters(one.name), as_letters(told(one))] for one in shown],
        hovertemplate="%{customdata[0]}: %{customdata[1]}<extra></extra>",
    )


def _symbol(one: Relieved) -> str:
    """Tell winners, losers and what cannot be told apart by form as well as by colour."""
    return "circle" if one.wins else "x" if one.distinguishable else "circle-open"


def _name_row(figure: go.Figure, place: int, name: str) -> None:
    """Write the name of a relief above its row, on two lines where it is long for a phone."""
    lines = textwrap.wrap(name, _LONGEST)
    figure.add_annotation(
        text="<br>".join(as_letters(line) for line in lines),
        x=0.0,
        xref="paper",
        xanchor="left",
        y=place - _NAME_ABOVE,
        yref="y",
        yanchor="bottom",
        align="left",
        showarrow=False,
        bgcolor="rgba(255,255,255,0.85)",
        borderpad=1,
    )
