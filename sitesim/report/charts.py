"""The figures of the page, but for the site chart."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from html import escape
from typing import TYPE_CHECKING, Any

from sitesim.hours import civil_date
from sitesim.plan import Cause
from sitesim.report.colours import BLUE, CAUSE_LOOKS, INK, SKY, VERMILION, Look
from sitesim.report.words import CONFIDENCES, HELD_BY, WAITED_FOR, Style, half_width, hours, name_label

if TYPE_CHECKING:
    import pandas as pd
    import plotly.graph_objects as go

FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"
_GRID = "#e4e4e4"
_LABEL_WIDTH = 18
_MARKED = ("P50", "P80", "P90")
_ROOM_FOR_LABELS = 0.35

Summary = Mapping[str, Any]


def plain_layout(height: int, **more: Any) -> go.Layout:
    """Begin a layout in the page's own look; ``height`` [px]."""
    import plotly.graph_objects as go

    layout = go.Layout(
        template="none",
        height=height,
        font={"family": FONT, "size": 13, "color": INK},
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        showlegend=False,
        dragmode=False,
        modebar={"bgcolor": "rgba(0,0,0,0)", "color": "#6b6b6b", "activecolor": INK},
        margin={"l": 10, "r": 14, "t": 14, "b": 44},
        hoverlabel={
            "bgcolor": "white",
            "bordercolor": INK,
            "font": {"family": FONT, "size": 13, "color": INK},
            "align": "left",
        },
        xaxis={"gridcolor": _GRID, "zeroline": False, "automargin": True, "fixedrange": True},
        yaxis={"gridcolor": _GRID, "zeroline": False, "automargin": True, "fixedrange": True},
    )
    layout.update(more)
    return layout


def titled(text: str) -> dict[str, Any]:
    """Give an axis its title, no larger than the other words of the chart."""
    return {"text": text, "font": {"size": 13}, "standoff": 10}


def month_axis(names: Sequence[str]) -> dict[str, Any]:
    """Give the look of an axis of months by their ``names``, in this order, each with its year beneath it."""
    return {
        "type": "category",
        "categoryorder": "array",
        "categoryarray": list(names),
        "tickvals": list(names),
        "ticktext": [name.replace(" ", "<br>") for name in names],
        "tickangle": 0,
        "showgrid": False,
    }


def look(of: Look) -> dict[str, Any]:
    """Give a bar's colour and pattern."""
    pattern = {"shape": of.pattern, "size": 6, "solidity": 0.3, "fgcolor": "white", "bgcolor": of.colour}
    return {"color": of.colour, "pattern": pattern if of.pattern else None, "line": {"width": 0}}


def as_letters(text: str) -> str:
    """Make the marks in a text plain letters of a chart, which knows no entity for quotation marks."""
    return escape(text, quote=False)


def wrapped(label: str) -> str:
    """Break a label into lines that leave room for the chart on a phone."""
    return "<br>".join(as_letters(line) for line in textwrap.wrap(label, _LABEL_WIDTH))


def finish_curve(style: Style, summary: Summary, runs: pd.DataFrame) -> go.Figure | None:
    """Draw how many runs have finished by each date; None if none finishes.

    Parameters: ``runs``, the table of runs, of which ``finish_hours`` [h] is read.
    """
    import plotly.graph_objects as go

    start = date.fromisoformat(summary["start"])
    finishes = sorted(civil_date(start, value) for value in runs["finish_hours"].tolist() if value != float("inf"))
    if not finishes:
        return None
    shares = {day: 100.0 * (place + 1) / len(runs) for place, day in enumerate(finishes)}
    first, last = _span(summary, finishes)
    days = [first, finishes[0], *shares, last]
    figure = go.Figure(
        go.Scatter(
            x=days,
            y=[0.0, 0.0, *shares.values(), 100.0 * len(finishes) / len(runs)],
            mode="lines",
            line={"shape": "hv", "color": BLUE, "width": 2.5},
            hovertemplate=f"%{{y:.0f}} in 100 runs finish by %{{x|{style.axis_date}}}<extra></extra>",
        ),
        plain_layout(400, margin={"l": 10, "r": 14, "t": 30, "b": 50}),
    )
    figure.update_xaxes(
        range=[first, last], tickformat=f"{style.axis_day}<br>%Y", tickangle=0, nticks=6, fixedrange=True
    )
    figure.update_yaxes(
        range=[0, 106],
        tickvals=list(range(0, 101, 20)),
        ticktext=[f"{share} %" for share in range(0, 101, 20)],
        title=titled("of the runs have finished"),
    )
    figure.update_xaxes(ticks="outside", ticklen=7, tickcolor=_GRID)
    _draw_band(figure, summary["finish"]["P80"], first, last)
    _mark_plain_plan(figure, style, summary)
    _mark_quantiles(figure, style, summary)
    return figure


def _span(summary: Summary, finishes: Sequence[date]) -> tuple[date, date]:
    """Give the dates between which the curve is drawn, with room for the plain plan and for the labels."""
    marked = [summary["finish"][name]["date"] for name in _MARKED]
    dates = [date.fromisoformat(day) for day in (*marked, summary["plain_plan"]["date"]) if day is not None]
    first, last = min([finishes[0], *dates]), max([finishes[-1], *dates])
    room = timedelta(days=max(8, round(_ROOM_FOR_LABELS * (last - first).days)))
    earliest, latest = (min(dates), max(dates)) if dates else (first, last)
    edge = room / 4
    return min(first - edge, earliest - edge, _labelled(summary, "P50", last) - room), max(
        last + edge, latest + edge, _labelled(summary, "P90", first) + room
    )


def _labelled(summary: Summary, name: str, otherwise: date) -> date:
    day = summary["finish"][name]["date"]
    return otherwise if day is None else date.fromisoformat(day)


def _draw_band(figure: go.Figure, quantile: Summary, first: date, last: date) -> None:
    """Shade the interval of the P80 date; an open end reaches to the chart's edge."""
    if quantile["date"] is None or (quantile["low"] is None and quantile["high"] is None):
        return
    figure.add_vrect(
        x0=quantile["low"] or first.isoformat(),
        x1=quantile["high"] or last.isoformat(),
        fillcolor=SKY,
        opacity=0.35,
        line_width=0,
        layer="below",
    )


def _mark_plain_plan(figure: go.Figure, style: Style, summary: Summary) -> None:
    plain = summary["plain_plan"]["date"]
    if plain is None:
        return
    figure.add_vline(x=plain, line={"color": VERMILION, "width": 2, "dash": "dash"})
    figure.add_annotation(
        x=plain,
        y=1,
        yref="paper",
        text=f"plain plan: {style.short_date(plain)}",
        showarrow=False,
        xanchor="center" if _is_inside(summary) else "left",
        yanchor="bottom",
        font={"color": "#a34700"},
    )


def _is_inside(summary: Summary) -> bool:
    """Tell whether the plain plan ends late enough for its label to stand over the middle of its line."""
    half = summary["finish"]["P50"]["date"]
    return half is not None and summary["plain_plan"]["date"] > half


def _mark_quantiles(figure: go.Figure, style: Style, summary: Summary) -> None:
    for name in _MARKED:
        day = summary["finish"][name]["date"]
        if day is None:
            continue
        height, is_main = float(name[1:]), name == "P80"
        figure.add_scatter(
            x=[day],
            y=[height],
            mode="markers",
            marker={
                "size": 13 if is_main else 9,
                "color": BLUE if is_main else "white",
                "line": {"color": BLUE, "width": 2},
            },
            hovertemplate=f"{CONFIDENCES[name]} ({name}): {style.short_date(day)}<extra></extra>",
        )
        label = f"{name}, {CONFIDENCES[name]}<br>{style.short_date(day)}"
        is_last = name == _MARKED[-1]  # stands below the curve, the others above it
        figure.add_annotation(
            x=day,
            y=height,
            text=f"<b>{label}</b>" if is_main else label,
            showarrow=False,
            align="left" if is_last else "right",
            xanchor="left" if is_last else "right",
            yanchor="top" if is_last else "bottom",
            xshift=8 if is_last else -8,
            yshift=-4,
        )


def waiting_bars(summary: Summary) -> go.Figure | None:
    """Draw the waiting hours of each gang and machine by cause; None if nobody waits."""
    import plotly.graph_objects as go

    rows = [row for row in summary["time"] if row["idle_hours"] > 0.0]
    if not rows:
        return None
    figure = go.Figure(layout=plain_layout(70 + 30 * len(rows), barmode="stack", bargap=0.28))
    names = [wrapped(name_label(row["resource"])) for row in rows]
    for cause in _most_waited_for_first(rows):
        waited = [row["waiting"].get(cause, 0.0) for row in rows]
        figure.add_bar(
            name=WAITED_FOR[cause],
            orientation="h",
            x=waited,
            y=list(range(len(rows))),
            marker=look(CAUSE_LOOKS[cause]),
            customdata=[[name, hours(value)] for name, value in zip(names, waited, strict=True)],
            hovertemplate=f"%{{customdata[0]}}: %{{customdata[1]}}<br>waiting for {WAITED_FOR[cause]}<extra></extra>",
        )
    figure.update_xaxes(title=titled("hours of waiting, mean of the runs"), rangemode="tozero")
    figure.update_yaxes(tickvals=list(range(len(rows))), ticktext=names, range=[len(rows) - 0.4, -0.6], showgrid=False)
    return figure


def _most_waited_for_first(rows: Sequence[Summary]) -> list[Cause]:
    totals = {cause: sum(row["waiting"].get(cause, 0.0) for row in rows) for cause in Cause}
    return [cause for cause in sorted(totals, key=lambda cause: -totals[cause]) if totals[cause] > 0.0]


def held_bars(summary: Summary) -> go.Figure | None:
    """Draw the days of the finish by cause, nights and weekends apart; None if nothing held it."""
    import plotly.graph_objects as go

    rows = [row for row in summary["held"] if (row["days"]["value"] or 0.0) >= 0.05]
    if not rows:
        return None
    places = list(range(len(rows)))
    off_shift = [row["off_shift_days"] for row in rows]
    on_shift = [max(0.0, row["days"]["value"] - off) for row, off in zip(rows, off_shift, strict=True)]
    errors = [half_width(row["days"]) or 0.0 for row in rows]
    figure = go.Figure(layout=plain_layout(74 + 40 * len(rows), barmode="stack", bargap=0.3))
    figure.add_bar(
        name="hours on shift",
        orientation="h",
        x=on_shift,
        y=places,
        marker=look(Look(BLUE)),
        hovertemplate="%{x:.1f} days in hours on shift<extra></extra>",
    )
    figure.add_bar(
        name="nights and weekends in between",
        orientation="h",
        x=off_shift,
        y=places,
        marker=look(Look(SKY, "/")),
        error_x={"type": "data", "array": errors, "color": INK, "thickness": 1.5, "width": 4},
        hovertemplate="%{x:.1f} days of nights and weekends<extra></extra>",
    )
    figure.update_xaxes(title=titled("calendar days, 95 % interval"), rangemode="tozero")
    labels = [wrapped(HELD_BY[row["cause"]]) for row in rows]
    figure.update_yaxes(tickvals=places, ticktext=labels, range=[len(rows) - 0.4, -0.6], showgrid=False)
    return figure
