"""Horizontal bars over time, gathered one by one and drawn as one entry of a legend."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sitesim.report.charts import look
from sitesim.report.colours import Look
from sitesim.report.week_axis import MILLISECONDS

if TYPE_CHECKING:
    import plotly.graph_objects as go


@dataclass(slots=True)
class Bars:
    """The bars of one entry of the legend.

    Parameters: ``looks`` and ``thickness`` (of a row's height 1) of all of them; ``axis`` that their places are on;
    ``edge`` [px], how wide a white line parts those that touch.
    """

    name: str
    looks: Look
    thickness: float
    axis: str = "y"
    edge: int = 0
    places: list[float] = field(default_factory=list)
    starts: list[datetime] = field(default_factory=list)
    lengths: list[int] = field(default_factory=list)
    hovers: list[str] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def add(self, place: float, start: datetime, length: float, hover: str, text: str) -> None:
        """Put a bar of a ``length`` [h] at a place across the time, with the text that stands on it."""
        self.places.append(place)
        self.starts.append(start.replace(microsecond=0))
        self.lengths.append(round(MILLISECONDS * length))
        self.hovers.append(hover)
        self.texts.append(text)

    def trace(self) -> go.Bar:
        """Draw them; one text that stands on all of them is written once."""
        import plotly.graph_objects as go

        alike = set(self.texts)
        text: Any = self.texts if len(alike) > 1 else (alike.pop() or None)
        return go.Bar(
            name=self.name,
            orientation="h",
            base=self.starts,
            x=self.lengths,
            y=self.places,
            width=self.thickness,
            marker=look(self.looks) | ({"line": {"width": self.edge, "color": "white"}} if self.edge else {}),
            text=text,
            textposition="inside",
            insidetextanchor="middle",
            textangle=0,
            hovertext=self.hovers,
            hoverinfo="text",
            yaxis=self.axis,
        )
