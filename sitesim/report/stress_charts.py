"""The figures of the page of a stress study."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from sitesim.answers.differences import QuantileShift
from sitesim.answers.stress import Shift, StartMonth
from sitesim.report.charts import as_letters, month_axis, plain_layout, titled, wrapped
from sitesim.report.colours import BLUE, GREY, INK, SKY, VERMILION
from sitesim.report.stress_words import short_month
from sitesim.report.words import Style

if TYPE_CHECKING:
    import plotly.graph_objects as go

_ROW = 46
_PANEL = 220
_LINES = "#e4e4e4"

Point = tuple[str, float, float, float]
"""A month of start, a value and the ends of its interval; an end that is not known is that of the value."""


def ranking_chart(shifts: Sequence[Shift]) -> go.Figure | None:
    """Draw how far each stress shifts the finish at 4 in 5 and at 1 in 2, with intervals; None if no shift ends."""
    import plotly.graph_objects as go

    shown = [one for one in shifts if math.isfinite(one.p80.shift)]
    if not shown:
        return None
    figure = go.Figure(layout=plain_layout(96 + _ROW * len(shown), margin={"l": 10, "r": 20, "t": 10, "b": 50}))
    figure.add_vline(x=0, line={"color": INK, "width": 1})
    told = (
        ("at 1 in 2", [one.p50 for one in shown], 0.17, {"color": "white", "line": {"color": BLUE, "width": 2}}, SKY),
        ("at 4 in 5", [one.p80 for one in shown], -0.13, {"color": BLUE, "line": {"color": BLUE, "width": 2}}, BLUE),
    )
    for name, of, aside, marker, colour in told:
        for is_told in (True, False):
            kept = [place for place, one in enumerate(shown) if one.distinguishable is is_told]
            look = marker if is_told else _faint(marker)
            _add_shifts(figure, name, shown, of, kept, aside, look, colour if is_told else GREY)
    figure.update_xaxes(title=titled("working days later"), zeroline=False, rangemode="normal")
    figure.update_yaxes(
        tickvals=list(range(len(shown))),
        ticktext=[wrapped(one.name) for one in shown],
        range=[len(shown) - 0.4, -0.6],
        showgrid=True,
    )
    return figure


def _faint(marker: dict[str, Any]) -> dict[str, Any]:
    """Grey a marker whose stress cannot be told apart from no change."""
    fill = GREY if marker["color"] == BLUE else marker["color"]
    return {"color": fill, "line": {"color": GREY, "width": 2}}


def _add_shifts(
    figure: go.Figure,
    name: str,
    shown: Sequence[Shift],
    of: Sequence[QuantileShift],
    kept: Sequence[int],
    aside: float,
    marker: dict[str, Any],
    colour: str,
) -> None:
    kept = [place for place in kept if math.isfinite(of[place].shift)]
    if not kept:
        return
    shifts = [of[place] for place in kept]
    figure.add_scatter(
        name=name,
        mode="markers",
        x=[one.shift for one in shifts],
        y=[place + aside for place in kept],
        marker={"size": 10, **marker},
        error_x={
            "type": "data",
            "symmetric": False,
            "array": [_arm(one.high - one.shift) for one in shifts],
            "arrayminus": [_arm(one.shift - one.low) for one in shifts],
            "color": colour,
            "thickness": 2,
            "width": 5,
        },
        customdata=[[as_letters(shown[place].name), _ends(one)] for place, one in zip(kept, shifts, strict=True)],
        hovertemplate=f"%{{customdata[0]}}, {name}: %{{x:+.0f}}%{{customdata[1]}}<extra></extra>",
    )


def _arm(length: float) -> float:
    """Give an arm of an interval; one that is not bounded has no end to draw."""
    return length if math.isfinite(length) else 0.0


def _ends(shift: QuantileShift) -> str:
    if not (math.isfinite(shift.low) and math.isfinite(shift.high)):
        return ""
    return f" ({shift.low:+.0f} to {shift.high:+.0f})"


def months_chart(style: Style, months: Sequence[StartMonth]) -> go.Figure | None:
    """Draw by month of start the finish and the duration at 4 in 5 and the working days lost to weather."""
    import plotly.graph_objects as go

    known = [one for one in months if one.finish is not None]
    if len(known) < 2:
        return None
    figure = go.Figure(layout=plain_layout(60 + 3 * _PANEL, margin={"l": 10, "r": 16, "t": 30, "b": 40}))
    panels: tuple[tuple[str, list[Point], str, Callable[[float], Any], str], ...] = (
        ("finish at 4 in 5", _finish_points(known), VERMILION, _as_date, f"%{{y|{style.axis_date}}}"),
        ("days from start to finish at 4 in 5", _duration_points(known), BLUE, float, "%{y:.0f} days"),
        ("working days lost to weather, mean", _weather_points(known), SKY, float, "%{y:.1f} working days"),
    )
    for number, (title, points, colour, shown_as, told) in enumerate(panels):
        _add_panel(figure, number, title, points, colour, shown_as, told)
    figure.update_yaxes(fixedrange=True, automargin=True, gridcolor=_LINES, zeroline=False)
    figure.update_layout(yaxis={"tickformat": "%b %Y", "nticks": 5}, yaxis3={"rangemode": "tozero"})
    figure.update_xaxes(month_axis([short_month(one.start) for one in known]), anchor="y3")
    return figure


def _add_panel(
    figure: go.Figure,
    number: int,
    title: str,
    points: Sequence[Point],
    colour: str,
    shown_as: Callable[[float], Any],
    told: str,
) -> None:
    """Add one of three panels that stand above one another: a line through the values, and their intervals."""
    axis = "y" if number == 0 else f"y{number + 1}"
    top = 1.0 - number / 3.0
    figure.update_layout({axis.replace("y", "yaxis"): {"domain": [top - 0.27, top - 0.03]}})
    for month, _, low, high in points:
        figure.add_scatter(
            x=[month, month],
            y=[shown_as(low), shown_as(high)],
            yaxis=axis,
            mode="lines",
            line={"color": colour, "width": 6},
            opacity=0.35,
            hoverinfo="skip",
        )
    figure.add_scatter(
        name=title,
        x=[month for month, *_ in points],
        y=[shown_as(value) for _, value, *_ in points],
        yaxis=axis,
        mode="lines+markers",
        line={"color": colour, "width": 1.5},
        marker={"size": 9, "color": colour},
        hovertemplate=f"start %{{x}}: {told}<extra></extra>",
    )
    figure.add_annotation(
        text=title, x=0, xref="paper", y=top - 0.02, yref="paper", xanchor="left", yanchor="bottom", showarrow=False
    )


def _as_date(ordinal: float) -> date:
    return date.fromordinal(int(ordinal))


def _finish_points(months: Sequence[StartMonth]) -> list[Point]:
    found: list[Point] = []
    for one in months:
        assert one.finish is not None
        ends = (one.finish_low or one.finish, one.finish_high or one.finish)
        found.append((short_month(one.start), one.finish.toordinal(), *(day.toordinal() for day in ends)))  # type: ignore[arg-type]
    return found


def _duration_points(months: Sequence[StartMonth]) -> list[Point]:
    return [(short_month(one.start), one.days.value, *_bounded(one)) for one in months]


def _bounded(month: StartMonth) -> tuple[float, float]:
    days = month.days
    low, high = (end if math.isfinite(end) else days.value for end in (days.low, days.high))
    return low, high


def _weather_points(months: Sequence[StartMonth]) -> list[Point]:
    found: list[Point] = []
    for one in months:
        lost = one.weather_days
        if lost is not None:
            low, high = (end if math.isfinite(end) else lost.value for end in (lost.low, lost.high))
            found.append((short_month(one.start), lost.value, max(0.0, low), high))
    return found
