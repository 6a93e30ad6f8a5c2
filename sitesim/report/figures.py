"""A figure put on a page."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from sitesim.report.markup import Html, element, joined

if TYPE_CHECKING:
    import plotly.graph_objects as go


_NOT_OURS = re.compile("<(?!br>|b>)")
"""What could end a script, or begin a comment or another script in it; a plain ``<br>`` cannot."""


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
    written = json.dumps(json.loads(figure.to_json()), ensure_ascii=False, separators=(",", ":"))
    data = Html(_NOT_OURS.sub(r"\\u003c", written))
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


def choice(label: str, parts: Mapping[str, str], chosen: str) -> Html:
    """Put parts on the page of which one is shown at a time, with a button for each; all of them without scripts.

    Parameters: ``parts`` by what stands on their button; ``chosen``, the one that is shown at first.
    """
    if len(parts) == 1:
        return joined(parts.values())
    buttons = [
        element("button", name, type="button", data_shows=True, aria_pressed="true" if name == chosen else "false")
        for name in parts
    ]
    return element(
        "div",
        element("div", *buttons, class_="chosen", role="group", aria_label=label),
        *(element("div", part, data_panel=True) for part in parts.values()),
        data_choice=True,
    )


def _legend(figure: go.Figure) -> Html:
    entries = []
    for place, trace in enumerate(figure.data):
        if trace.showlegend is False:
            continue
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
