"""Buildings against time: a line for each trade that goes through them in turn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sitesim.answers.flow import Visit
from sitesim.answers.stages import Stage
from sitesim.hours import civil_date, civil_time
from sitesim.report.charts import as_letters, plain_layout
from sitesim.report.colours import line_looks
from sitesim.report.slanted_labels import BETWEEN, LEADER, height, label, reach, spread
from sitesim.report.week_axis import week_axis
from sitesim.report.words import Style, name_label, several, task_label, together

if TYPE_CHECKING:
    import plotly.graph_objects as go

_BAND = 76
"""Pixels that a building takes where there are few."""
_TALLEST = 620
_LEAST_BAND = 40
_BETWEEN = 0.1
"""Of a band, left free at its foot and at its top."""
_NARROWEST = 680.0
"""Pixels that the weeks take at the least; labels are laid out so that they have room then."""
_MOST_LETTERS = 24


@dataclass(slots=True)
class Line:
    """A trade's way through the buildings.

    Parameters: ``name`` of the trade, as it stands beside the line; ``visits`` in the order in which they began;
    ``top``, the one at the building that is drawn highest, above which the name stands, ``named_at`` [h].
    """

    name: str
    visits: Sequence[Visit]
    top: Visit
    named_at: float = 0.0
    points: list[tuple[str | None, float | None, str]] = field(default_factory=list)


def stage_names(stages: Sequence[Stage]) -> list[str]:
    """Name stages: by the machine, by the gang where it comes once, and by the tasks where it comes again."""
    comes = [stage.of for stage in stages]
    return [
        name_label(stage.of)
        if stage.is_machine or comes.count(stage.of) == 1
        else together(task_label(task) for task in stage.tasks)
        for stage in stages
    ]


def lines_of(names: Sequence[str], visits: Sequence[Sequence[Visit]]) -> list[Line]:
    """Give the lines of those stages that were anywhere, in the order in which they began."""
    bands = {building: band for band, building in enumerate(buildings_in_turn(visits))}
    lines = [
        Line(name, of_stage, max(of_stage, key=lambda visit: bands[visit.building]))
        for name, of_stage in zip(names, visits, strict=True)
        if of_stage
    ]
    return sorted(lines, key=lambda line: line.visits[0].start)


def buildings_in_turn(visits: Iterable[Iterable[Visit]]) -> list[str]:
    """Give the buildings in the order in which anybody first came to them."""
    first: dict[str, float] = {}
    for of_stage in visits:
        for visit in of_stage:
            first[visit.building] = min(first.get(visit.building, visit.start), visit.start)
    return sorted(first, key=lambda building: (first[building], building))


def trades_chart(style: Style, start: date, lines: Sequence[Line]) -> go.Figure | None:
    """Draw the lines of one run, the building that comes first at the foot; None where there are none.

    Parameters: ``start`` of the site.
    """
    import plotly.graph_objects as go

    if not lines:
        return None
    buildings = buildings_in_turn(line.visits for line in lines)
    bands = {building: float(place) for place, building in enumerate(buildings)}
    band = max(_LEAST_BAND, min(_BAND, _TALLEST // len(buildings)))
    begin = civil_date(start, min(line.visits[0].start for line in lines))
    end = civil_date(start, max(visit.end for line in lines for visit in line.visits))
    axis = week_axis(style, begin, end)
    hours_a_pixel = 24.0 * (end - begin).days / _NARROWEST
    _lay_out_labels(lines, hours_a_pixel)
    names_height = LEADER + max(height(_short(line.name)) for line in lines)
    named = len(buildings) + LEADER / band
    looks = line_looks(len(lines))
    figure = go.Figure(
        layout=plain_layout(
            round(70 + band * len(buildings) + names_height), margin={"l": 10, "r": 14, "t": 46, "b": 10}
        )
    )
    for line, (colour, dash) in zip(lines, looks, strict=True):
        _lay_out_line(style, start, line, bands, named)
        figure.add_scatter(
            name=line.name,
            mode="lines+markers",
            x=[point[0] for point in line.points],
            y=[point[1] for point in line.points],
            hovertext=[point[2] for point in line.points],
            hoverinfo="text",
            line={"color": colour, "width": 2.6, "dash": dash},
            marker={"color": colour, "size": [5 if point[2] else 0 for point in line.points]},
            connectgaps=False,
        )
        foot = _to_the_minute(start, line.named_at)
        figure.add_annotation(label(as_letters(_short(line.name)), foot, named, line.name))
    last = civil_date(start, max(line.named_at + hours_a_pixel * reach(_short(line.name)) for line in lines))
    figure.update_layout(
        xaxis=axis | {"range": [begin - timedelta(days=2), max(end, last) + timedelta(days=2)]},
        yaxis={
            "tickvals": [place + 0.5 for place in range(len(buildings))],
            "ticktext": [as_letters(_short(building)) for building in buildings],
            "range": [0.0, len(buildings) + names_height / band],
            "showgrid": False,
            "fixedrange": True,
        },
        shapes=[_strip(place) for place in range(len(buildings))],
        hovermode="closest",
    )
    return figure


def _lay_out_labels(lines: Sequence[Line], hours_a_pixel: float) -> None:
    """Put the names above the last building, each as near to its line as the others let it.

    Parameters: ``hours_a_pixel`` [h] of the axis.
    """
    in_turn = sorted(lines, key=lambda line: (line.top.end, line.visits[0].start))
    for line, at in zip(in_turn, spread([line.top.end for line in in_turn], BETWEEN * hours_a_pixel), strict=True):
        line.named_at = at


def _lay_out_line(style: Style, start: date, line: Line, bands: Mapping[str, float], named: float) -> None:
    """Give the points of a line: up through each building, on to the next between their strips, then to its name."""
    points = line.points
    for before, visit in zip((None, *line.visits), line.visits, strict=False):
        if before is not None and before.end > visit.start:
            points.append((None, None, ""))
        told, foot = _told(style, start, line.name, visit), bands[visit.building]
        points.append((_to_the_minute(start, visit.start), foot + _BETWEEN, told))
        points.append((_to_the_minute(start, visit.end), foot + 1.0 - _BETWEEN, told))
    end = _to_the_minute(start, line.top.end)
    points.append((None, None, ""))
    points.append((end, bands[line.top.building] + 1.0 - _BETWEEN, ""))
    points.append((end, max(bands.values()) + 1.0, ""))
    points.append((_to_the_minute(start, line.named_at), named, ""))


def _to_the_minute(start: date, hours: float) -> str:
    return civil_time(start, hours).isoformat(timespec="minutes")


def _told(style: Style, start: date, name: str, visit: Visit) -> str:
    first, last = civil_time(start, visit.start).date(), civil_date(start, visit.end)
    days = (visit.end - visit.start) / 24.0
    lines = [
        f"<b>{as_letters(name)}</b>, {as_letters(visit.building)}",
        f"{style.day_and_month(first)} to {style.day_and_month(last)}, {days:.0f} days",
    ]
    if visit.homes:
        lines.append(several(len(visit.homes), "home"))
    return "<br>".join(lines)


def _short(name: str) -> str:
    return name if len(name) <= _MOST_LETTERS else f"{name[: _MOST_LETTERS - 1]}…"


def _strip(place: int) -> dict[str, Any]:
    """Shade the strip of a building."""
    return {
        "type": "rect",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "y0": place + _BETWEEN,
        "y1": place + 1 - _BETWEEN,
        "fillcolor": "#f6f4ef",
        "line": {"width": 0},
        "layer": "below",
    }
