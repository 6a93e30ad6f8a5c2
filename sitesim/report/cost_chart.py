"""The figure of what is charged to each cause."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sitesim.report.charts import look, plain_layout, titled, wrapped
from sitesim.report.colours import BLUE, GREY, ORANGE, Look
from sitesim.report.words import HELD_BY, Style

if TYPE_CHECKING:
    import plotly.graph_objects as go

PARTS = {
    "running": ("site overhead and penalties", Look(BLUE)),
    "idle": ("waiting and idle hire", Look(ORANGE, "/")),
    "other": ("waste, standby, heating, visits", Look(GREY)),
}
"""What is charged to a cause, by its key in the summary: what it is called, and its look."""


def charged_bars(style: Style, rows: Sequence[Mapping[str, Any]]) -> go.Figure:
    """Draw what is charged to each cause, part by part."""
    import plotly.graph_objects as go

    places = list(range(len(rows)))
    figure = go.Figure(layout=plain_layout(74 + 36 * len(rows), barmode="stack", bargap=0.3))
    labels = [wrapped(HELD_BY[row["cause"]]) for row in rows]
    for part, (called, its_look) in PARTS.items():
        amounts = [row[part] for row in rows]
        if any(amounts):
            figure.add_bar(
                name=called,
                orientation="h",
                x=amounts,
                y=places,
                marker=look(its_look),
                customdata=[[label, style.money(amount)] for label, amount in zip(labels, amounts, strict=True)],
                hovertemplate=f"%{{customdata[0]}}: %{{customdata[1]}}<br>{called}<extra></extra>",
            )
    figure.update_xaxes(title=titled(f"{style.currency}, mean of the runs"), rangemode="tozero", tickformat=",.0f")
    figure.update_yaxes(tickvals=places, ticktext=labels, range=[len(rows) - 0.4, -0.6], showgrid=False)
    return figure
