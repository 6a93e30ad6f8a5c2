"""A figure put on a page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sitesim.report.markup import Html, element

if TYPE_CHECKING:
    import plotly.graph_objects as go


def chart(
    figure: go.Figure,
    label: str,
    caption: str,
    has_legend: bool = False,
    needs_room: bool = False,
    zooms: bool = True,
) -> Html:
    """Put a figure on the page, with a legend of its traces that can be switched on and off.

    Parameters: ``needs_room``, whether it scrolls sideways where the page is narrow, and then, if it ``zooms``, can be
    zoomed.
    """
    data = Html(figure.to_json().replace("<", "\\u003c"))
    height = int(figure.layout.height)
    plot = element("div", class_="plot", style=f"block-size: {height}px")
    return element(
        "figure",
        _legend(figure) if has_legend else Html(""),
        element("div", plot, class_="roomy", tabindex="0") if needs_room else plot,
        element("script", data, type="application/json"),
        element("figcaption", caption) if caption else Html(""),
        data_chart=True,
        data_zoom=needs_room and zooms,
        aria_label=label,
    )


def _legend(figure: go.Figure) -> Html:
    entries = []
    for place, trace in enumerate(figure.data):
        colour = trace.marker.color
        is_line = trace.type != "bar"
        pattern = trace.line.dash if is_line else trace.marker.pattern.shape
        swatch = element(
            "span",
            class_="swatch line" if is_line else "swatch",
            style=f"--of: {colour}",
            data_pattern=pattern or False,
            data_pale=colour in ("#ececec", "#d9d9d9"),
        )
        button = element("button", swatch, trace.name, type="button", data_trace=str(place), aria_pressed="true")
        entries.append(element("li", button))
    return element("ul", *entries, class_="legend")
