"""The site chart of one run: buildings and homes down, weeks across, who was where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sitesim.hours import civil_date, civil_time
from sitesim.plan import Kind, UnitKind
from sitesim.report.bars import Bars
from sitesim.report.charts import as_letters, plain_layout
from sitesim.report.colours import INK, MOVING, OUTSIDE_LOOKS, PRINTING, STANDING, gang_look
from sitesim.report.engagements import PRINTING as PRINT_DAY
from sitesim.report.engagements import Engagement, in_rows, of_kind
from sitesim.report.week_axis import week_axis
from sitesim.report.words import (
    OUTSIDE_THE_CREWS,
    WAITED_FOR,
    Style,
    activity_label,
    hours,
    name_label,
    together,
)

if TYPE_CHECKING:
    import plotly.graph_objects as go

SITE = "site"
_ROW_HEIGHT = 19
_ROOM_FOR_A_WORD = 0.5
_LONGEST_LABEL = 20
_OUTSIDE_ORDER = (Kind.DELIVERY, Kind.CURE, Kind.WORK, Kind.INSPECTION)

Summary = Mapping[str, Any]


@dataclass(slots=True)
class Drawing:
    """The chart while it is laid out, row by row from the top.

    Parameters: ``kinds``, gang, crane, printer or tent by resource; ``bars`` by entry of the legend, the undermost
    first.
    """

    style: Style
    start: date
    kinds: Mapping[str, str]
    bars: dict[str, Bars]
    labels: list[str] = field(default_factory=list)
    buildings: list[tuple[int, int]] = field(default_factory=list)

    @property
    def next_row(self) -> int:
        """The row that comes next."""
        return len(self.labels)

    def draw(self, entry: str, row: float, start: float, end: float, hover: str) -> None:
        """Put a bar from ``start`` to ``end`` [h] into a row."""
        bars = self.bars[entry]
        text = bars.name if bars.thickness > _ROOM_FOR_A_WORD else ""
        bars.add(row, civil_time(self.start, start), end - start, hover, text)

    def tell(self, entry: Engagement) -> str:
        """Say in a few lines who did what, from when to when, after what, and what stopped them."""
        who = together(name_label(name) for name in entry.who)
        lines = [f"<b>{as_letters(activity_label(entry.activity))}</b>"]
        if who:
            lines.append(as_letters(who))
        began, ended = civil_time(self.start, entry.start), civil_time(self.start, entry.end)
        lines.append(f"{self.style.moment(began)} to {self.style.moment(ended)}")
        lines += [f"waiting for {WAITED_FOR[cause]}: {hours(length)}" for cause, length in entry.stopped.items()]
        if entry.after:
            lines.append(f"had to wait for {as_letters(activity_label(entry.after))}")
        return "<br>".join(lines)


def site_chart(style: Style, summary: Summary, entries: Sequence[Engagement]) -> go.Figure | None:
    """Draw the engagements of one run; None if there are none.

    Parameters: ``entries``, sorted by start.
    """
    shown = [entry for entry in entries if entry.end > entry.start]
    if not shown:
        return None
    kinds = {row["resource"]: row["kind"] for row in summary["time"]}
    drawing = Drawing(style, date.fromisoformat(summary["start"]), kinds, _legend(shown, kinds))
    for building in _buildings(summary, shown):
        first = drawing.next_row
        _draw_building(drawing, building, [entry for entry in shown if entry.building == building])
        drawing.buildings.append((first, drawing.next_row))
    return _figure(drawing, max(entry.end for entry in shown))


def _legend(entries: Sequence[Engagement], kinds: Mapping[str, str]) -> dict[str, Bars]:
    """Give the entries of the legend, in the order in which they are drawn."""
    bars = {
        "standing": Bars("printer or tent stands here", STANDING, 0.78),
        "moving": Bars("setting up, moving, taking down", MOVING, 0.78),
        PRINT_DAY: Bars("printing", PRINTING, 0.78),
    }
    at_work = {name for entry in entries for name in entry.who}
    gangs = [name for name, kind in kinds.items() if kind == UnitKind.GANG]
    for place, gang in enumerate(gangs):
        if gang in at_work:
            bars[f"gang {gang}"] = Bars(name_label(gang), gang_look(place), 0.56)
    for kind in _OUTSIDE_ORDER:
        bars[kind] = Bars(OUTSIDE_THE_CREWS[kind], OUTSIDE_LOOKS[kind], 0.22)
    return bars


def _buildings(summary: Summary, entries: Sequence[Engagement]) -> list[str]:
    """Give the buildings in the order of the tables; work for the whole site, in no building, comes first."""
    named = [row["building"] for row in summary["buildings"]]
    met = [entry.building for entry in entries]
    return [name for name in dict.fromkeys(["", *named, *met]) if name in met]


def _draw_building(drawing: Drawing, building: str, entries: Sequence[Engagement]) -> None:
    for kind in (UnitKind.PRINTER, UnitKind.TENT):
        for machine in dict.fromkeys(name for entry in entries for name in of_kind(entry.who, drawing.kinds, kind)):
            _draw_machine(drawing, building, machine, [entry for entry in entries if machine in entry.who])
    homes = sorted({entry.home for entry in entries})
    for home in homes:
        _draw_place(drawing, home or building or SITE, [entry for entry in entries if entry.home == home])


def _draw_machine(drawing: Drawing, building: str, machine: str, entries: Sequence[Engagement]) -> None:
    """Draw a printer or tent over one building: how long it stands there, and when it moves and prints."""
    row, called = drawing.next_row, f"{building} {name_label(machine)}"
    drawing.labels.append(called)
    begin, end = entries[0].start, max(entry.end for entry in entries)
    stands = f"<b>{as_letters(called)}</b><br>here {_from_to(drawing, begin, end)}"
    drawing.draw("standing", row, begin, end, stands)
    prints = drawing.kinds[machine] == UnitKind.PRINTER  # a tent only stands there while it is printed under
    for entry in entries:
        if entry.kind in (Kind.GANTRY, Kind.TENT):
            drawing.draw("moving", row, entry.start, entry.end, drawing.tell(entry))
        elif prints:
            drawing.draw(PRINT_DAY, row, entry.start, entry.end, drawing.tell(entry))


def _from_to(drawing: Drawing, begin: float, end: float) -> str:
    days = drawing.style.day_and_month
    first, last = civil_time(drawing.start, begin).date(), civil_date(drawing.start, end)
    return f"from {days(first)} to {days(last)}"


def _draw_place(drawing: Drawing, place: str, entries: Sequence[Engagement]) -> None:
    """Draw the gangs at a building or home, in as many rows as they need, and beneath what else goes on there."""
    first = drawing.next_row
    with_gang = [entry for entry in entries if _gang(drawing, entry)]
    for row in in_rows(with_gang) or [[]]:
        drawing.labels.append(place if drawing.next_row == first else "")
        for entry in row:
            drawing.draw(
                f"gang {_gang(drawing, entry)}",
                drawing.next_row - 1.14,
                entry.start,
                entry.end,
                drawing.tell(entry),
            )
    for entry in entries:
        if not entry.who and entry.kind in _OUTSIDE_ORDER:
            drawing.draw(entry.kind, first + 0.31, entry.start, entry.end, drawing.tell(entry))


def _gang(drawing: Drawing, entry: Engagement) -> str:
    """Give the gang that an engagement is drawn for; empty if there is none in it."""
    return next(iter(of_kind(entry.who, drawing.kinds, UnitKind.GANG)), "")


def _figure(drawing: Drawing, last: float) -> go.Figure:
    import plotly.graph_objects as go

    figure = go.Figure(
        layout=plain_layout(
            90 + _ROW_HEIGHT * len(drawing.labels),
            barmode="overlay",
            margin={"l": 10, "r": 14, "t": 50, "b": 30},
        )
    )
    figure.add_traces([bars.trace() for bars in drawing.bars.values() if bars.places])
    _draw_axes(figure, drawing, last)
    return figure


def _draw_axes(figure: go.Figure, drawing: Drawing, last: float) -> None:
    begin, end = drawing.start, civil_date(drawing.start, last)
    figure.update_layout(
        uniformtext={"minsize": 9, "mode": "hide"},
        xaxis=week_axis(drawing.style, begin, end),
        yaxis={
            "tickvals": list(range(len(drawing.labels))),
            "ticktext": [as_letters(_short(label)) for label in drawing.labels],
            "range": [len(drawing.labels) - 0.4, -0.6],
            "showgrid": False,
            "fixedrange": True,
        },
        shapes=list(_bands(drawing)),
    )
    figure.add_vline(x=end + timedelta(days=1), line={"color": INK, "width": 1.5, "dash": "dot"})
    figure.add_annotation(
        x=end + timedelta(days=1),
        y=0,
        yref="paper",
        yanchor="top",
        xanchor="right",
        text=f"last hand-over {drawing.style.short_date(end)}",
        showarrow=False,
    )


def _short(label: str) -> str:
    return label if len(label) <= _LONGEST_LABEL else f"{label[: _LONGEST_LABEL - 1]}…"


def _bands(drawing: Drawing) -> Iterator[dict[str, Any]]:
    """Shade every other building."""
    for first, after in drawing.buildings[1::2]:
        yield {
            "type": "rect",
            "xref": "paper",
            "x0": 0,
            "x1": 1,
            "y0": first - 0.5,
            "y1": after - 0.5,
            "fillcolor": "#f6f4ef",
            "line": {"width": 0},
            "layer": "below",
        }
