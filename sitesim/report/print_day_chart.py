"""The chart of a print day: printer, age at the nozzle, concrete at the pump and trucks over one axis of time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from sitesim.answers.printed_day import Level, Ticket, ToldDay
from sitesim.hours import civil_time
from sitesim.ledger import Span
from sitesim.plan import Cause, Doing, Plan, ReadyMix
from sitesim.report.bars import Bars
from sitesim.report.charts import plain_layout
from sitesim.report.colours import (
    BLUE,
    CAUSE_LOOKS,
    GREEN,
    LIGHT,
    ORANGE,
    PURPLE,
    SKY,
    VERMILION,
    YELLOW,
    Look,
)
from sitesim.report.print_day_words import DayTeller, load_name, span_of_layers
from sitesim.report.week_axis import MILLISECONDS
from sitesim.report.words import WAITED_FOR, Style, hours_and_minutes

if TYPE_CHECKING:
    import plotly.graph_objects as go

_ROOM_FOR_A_WORD = 0.6
_MARGIN = timedelta(minutes=8)
_PRINTER_HEIGHT, _AGE_HEIGHT, _PUMP_HEIGHT, _TRUCK_HEIGHT = 62, 150, 130, 34
_BETWEEN = 46
_TOP, _BOTTOM = 34, 40

_LAYING = "laying a layer, with its number"
_ROUND_IT = "aligning, tests, priming, wash-out"
_PLANNED = "joint steel and other planned stops"
_DOING_LOOKS: dict[Doing, tuple[str, Look]] = {
    Doing.LAYING: (_LAYING, Look(BLUE)),
    Doing.TENT_SIDES: ("the tent's sides let down or put up", Look(BLUE, "x")),
    Doing.ALIGNING: (_ROUND_IT, Look(LIGHT)),
    Doing.PLANNED_JOINT: (_ROUND_IT, Look(LIGHT)),
    Doing.TESTING: (_ROUND_IT, Look(LIGHT)),
    Doing.PRIMING: (_ROUND_IT, Look(LIGHT)),
    Doing.MEAL: (_ROUND_IT, Look(LIGHT)),
    Doing.WASHING_OUT: (_ROUND_IT, Look(LIGHT)),
    Doing.KEEPING_WET: (_ROUND_IT, Look(LIGHT)),
    Doing.PLANNED_STOP: (_PLANNED, Look(GREEN, ".")),
    Doing.UNPLANNED_JOINT: ("preparing an unplanned joint", Look(VERMILION, "x")),
    Doing.STOPPED: ("printer or pump stopped", CAUSE_LOOKS[Cause.BREAKDOWN]),
}
_UNDER_WAY = Look(SKY, "/")
_AT_THE_GATE = Look(YELLOW, "|")
_DISCHARGING = Look(ORANGE)
_STANDBY = Look(VERMILION, "/")
_BATCH = Look(ORANGE)


class DayChart:
    """Draws one print day."""

    def __init__(self, plan: Plan, told: ToldDay) -> None:
        self._plan = plan
        self._told = told
        self._teller = DayTeller(plan, told)
        self._style = Style.of_plan(plan)
        self._bars: dict[str, Bars] = {}
        self._trucks = [ticket for ticket in told.tickets if ticket.batched is not None] if not told.batches else []

    def figure(self) -> go.Figure:
        """Draw the chart: four rows, of which the last tells trucks or batches."""
        import plotly.graph_objects as go

        figure = go.Figure(layout=plain_layout(self._height(), barmode="overlay"))
        self._put_the_printer()
        self._put_the_trucks()
        self._put_the_batches()
        figure.add_traces([bars.trace() for bars in self._bars.values()])
        figure.add_traces([*self._age_lines(), *self._pump_lines()])
        self._lay_out(figure)
        self._mark_joints(figure)
        return figure

    def _rows(self) -> list[tuple[str, float]]:
        """Give the rows with their titles and heights [px]."""
        unit = self._style.volume_unit
        rows: list[tuple[str, float]] = [
            ("Printer", _PRINTER_HEIGHT),
            ("Age of the concrete at the nozzle, h:mm", _AGE_HEIGHT),
            (f"Concrete at the pump, {unit}", _PUMP_HEIGHT),
        ]
        if self._told.batches:
            rows.append(("Mixer on site, batch by batch", _TRUCK_HEIGHT))
        elif self._trucks:
            rows.append(("Trucks", _TRUCK_HEIGHT * len(self._trucks)))
        return rows

    def _height(self) -> int:
        rows = self._rows()
        return int(_TOP + _BOTTOM + sum(height for _, height in rows) + _BETWEEN * (len(rows) - 1))

    def _time(self, instant: float) -> datetime:
        return civil_time(self._plan.start, instant)

    def _put(
        self,
        name: str,
        looks: Look,
        row: int,
        place: float,
        span: tuple[float, float],
        hover: str,
        text: str = "",
        thickness: float = 0.8,
    ) -> None:
        start, end = span
        if end <= start:
            return
        bars = self._bars.setdefault(name, Bars(name, looks, thickness, _axis("y", row), edge=1))
        clock = self._teller.clock
        bars.add(place, self._time(start), end - start, f"{hover}<br>{clock(start)} to {clock(end)}", text)

    def _put_the_printer(self) -> None:
        self._put_the_layers()
        for span in self._told.printed.spans:
            if span.doing is Doing.LAYING:
                continue
            name, looks = _look_of(span)
            self._put(name, looks, 1, 0.0, (span.start, span.end), self._teller.stretch(span), _short(span))

    def _put_the_layers(self) -> None:
        """Draw the laying of each layer, cut where the nozzle stood; its number stands on the longest piece."""
        name, looks = _DOING_LOOKS[Doing.LAYING]
        laid = [span for span in self._told.printed.spans if span.doing is Doing.LAYING]
        for layer in self._told.layers:
            pieces = [
                (max(span.start, layer.start), min(span.end, layer.end))
                for span in laid
                if span.start < layer.end and span.end > layer.start
            ]
            longest = max(pieces, key=lambda piece: piece[1] - piece[0], default=None)
            hover = f"layer {layer.layer}, concrete {hours_and_minutes(layer.age)} old at its end"
            for piece in pieces:
                self._put(name, looks, 1, 0.0, piece, hover, str(layer.layer) if piece == longest else "")
        done = max((layer.end for layer in self._told.layers), default=self._told.printed.start)
        for span in laid:
            hover = f"{span_of_layers(self._told.printed.last + 1, self._told.printed.last + 1)}, not finished"
            self._put(name, looks, 1, 0.0, (max(span.start, done), span.end), hover)

    def _put_the_trucks(self) -> None:
        supply = self._plan.supply
        wash = supply.wash if isinstance(supply, ReadyMix) else 0.0
        for place, ticket in enumerate(self._trucks):
            self._put_a_truck(ticket, place, wash)

    def _put_a_truck(self, ticket: Ticket, place: float, wash: float) -> None:
        name = load_name(ticket.number)
        assert ticket.left_plant is not None
        assert ticket.arrived is not None
        left = ticket.left_site if ticket.left_site is not None else ticket.arrived
        begun, ended = ticket.discharge_begun, ticket.discharge_ended
        arrived = ticket.arrived
        self._put("truck on its way", _UNDER_WAY, 4, place, (ticket.left_plant, arrived), f"{name} on its way")
        waits = (arrived, left - wash if begun is None else begun)
        self._put("truck at the gate: tests, waiting", _AT_THE_GATE, 4, place, waits, f"{name} at the gate")
        if begun is not None and ended is not None:
            hover = f"{name} discharges {self._style.fine_volume(ticket.used)}: {self._teller.fate(ticket)}"
            self._put("truck discharging", _DISCHARGING, 4, place, (begun, ended), hover)
        stood = left - wash
        paid = f"{name}: {ticket.standby * 60.0:.0f} min of paid standby"
        self._put(
            "of it paid standby", _STANDBY, 4, place + 0.33, (stood - ticket.standby, stood), paid, thickness=0.24
        )

    def _put_the_batches(self) -> None:
        for number, batch in enumerate(self._told.batches, 1):
            hover = f"batch {number}, {self._style.fine_volume(batch.volume)}"
            self._put("a batch, from first water into the hopper", _BATCH, 4, 0.0, batch[:2], hover)

    def _age_lines(self) -> Iterator[go.Scatter]:
        """Draw the age at the nozzle, with gaps where nothing was drawn, and the end of the working life."""
        import plotly.graph_objects as go

        lines = self._told.ages()
        instants: list[float | None] = []
        ages: list[float | None] = []
        for earlier, line in pairwise([None, *lines]):
            assert line is not None
            if earlier is not None and line.start > earlier.end:
                instants.append(None)
                ages.append(None)
            instants += [line.start, line.end]
            ages += [line.age, line.age_at_end]
        limits = [(instant, line.life) for line in lines for instant in (line.start, line.end)]
        yield go.Scatter(
            name="age at the nozzle",
            x=[None if instant is None else self._time(instant) for instant in instants],
            y=ages,
            mode="lines",
            line={"color": BLUE, "width": 2.5},
            marker={"color": BLUE},
            hovertext=["" if age is None else f"{hours_and_minutes(age)} old at the nozzle" for age in ages],
            hoverinfo="text+x",
            xaxis="x",
            yaxis="y2",
        )
        yield go.Scatter(
            name="end of its working life",
            x=[self._time(instant) for instant, _ in limits],
            y=[life for _, life in limits],
            mode="lines",
            line={"color": VERMILION, "width": 2, "dash": "dash", "shape": "hv"},
            marker={"color": VERMILION},
            hovertext=[f"of no use from {hours_and_minutes(life)} on" for _, life in limits],
            hoverinfo="text",
            xaxis="x",
            yaxis="y2",
        )

    def _pump_lines(self) -> Iterator[go.Scatter]:
        """Draw what is at the pump: in the hopper, and in the truck that stands at it."""
        hopper = self._hopper()
        points = _points(self._told.levels(), hopper)
        if any(content > hopper for _, content in points):
            yield self._level("hopper and the truck at it", points, {"color": PURPLE, "width": 2})
        inside = [(instant, min(content, hopper)) for instant, content in points]
        in_hopper = self._level("in the hopper", inside, {"color": GREEN, "width": 2})
        in_hopper.update(fill="tozeroy", fillcolor="rgba(0, 158, 115, 0.3)")
        yield in_hopper

    def _level(self, name: str, points: Sequence[tuple[float, float]], line: dict[str, Any]) -> go.Scatter:
        import plotly.graph_objects as go

        return go.Scatter(
            name=name,
            x=[self._time(instant) for instant, _ in points],
            y=[self._style.in_volume_unit(content) for _, content in points],
            mode="lines",
            line=line,
            marker={"color": line["color"]},
            hovertext=[f"{name}: {self._style.fine_volume(content)}" for _, content in points],
            hoverinfo="text+x",
            xaxis="x",
            yaxis="y3",
        )

    def _hopper(self) -> float:
        rules, supply = self._plan.print_day, self._plan.supply
        assert rules is not None
        holding = supply.holding if isinstance(supply, ReadyMix) else None
        return rules.hopper + (0.0 if holding is None else holding.capacity)

    def _lay_out(self, figure: go.Figure) -> None:
        rows, height = self._rows(), self._height()
        plot = height - _TOP - _BOTTOM
        top = 1.0
        for place, (title, tall) in enumerate(rows, 1):
            bottom = top - tall / plot
            figure.update_layout({_axis("yaxis", place): self._y_axis(place) | {"domain": [max(0.0, bottom), top]}})
            figure.add_annotation(
                text=f"<b>{title}</b>",
                x=0,
                xref="paper",
                xanchor="left",
                y=top,
                yref="paper",
                yanchor="bottom",
                showarrow=False,
            )
            top = bottom - _BETWEEN / plot
        begin, end = self._span()
        figure.update_layout(
            uniformtext={"minsize": 9, "mode": "hide"},
            margin={"l": 10, "r": 14, "t": _TOP, "b": _BOTTOM},
            xaxis={
                "type": "date",
                "range": [begin, end],
                "dtick": MILLISECONDS,
                "tickformat": "%H:%M",
                "gridcolor": "#dcdcdc",
                "anchor": _axis("y", len(rows)),
                "fixedrange": False,
                "hoverformat": "%H:%M",
            },
        )

    def _y_axis(self, place: int) -> dict[str, Any]:
        axis: dict[str, Any] = {"automargin": True, "fixedrange": True, "zeroline": False, "gridcolor": "#e8e8e8"}
        if place == 1:
            return axis | {"range": [-0.5, 0.5], "tickvals": [], "showgrid": False}
        if place == 2:
            oldest = max((max(line.life, line.age_at_end) for line in self._told.ages()), default=1.0)
            whole = list(range(int(oldest) + 2))
            return axis | {"range": [0, oldest * 1.08], "tickvals": whole, "ticktext": [f"{hour}:00" for hour in whole]}
        if place == 3:
            return axis | {"rangemode": "tozero", "nticks": 5}
        names = [load_name(ticket.number) for ticket in self._trucks] or ["mixer"]
        return axis | {
            "range": [len(names) - 0.5, -0.5],
            "tickvals": list(range(len(names))),
            "ticktext": names,
            "showgrid": False,
        }

    def _span(self) -> tuple[datetime, datetime]:
        """Give the ends of the axis: from the crew's start, or the first truck that leaves, to wash-out."""
        printed = self._told.printed
        leaves = [ticket.left_plant for ticket in self._trucks if ticket.left_plant is not None]
        goes = [ticket.left_site for ticket in self._trucks if ticket.left_site is not None]
        begin, end = min([printed.start, *leaves]), max([printed.end, *goes])
        return self._time(begin) - _MARGIN, self._time(end) + _MARGIN

    def _mark_joints(self, figure: go.Figure) -> None:
        """Mark the unplanned joints from the printer down to the trucks."""
        for span in self._told.printed.spans:
            if span.doing is not Doing.UNPLANNED_JOINT:
                continue
            at = self._time(span.start)
            dotted = {"color": VERMILION, "width": 2, "dash": "dot"}
            figure.add_shape(type="line", x0=at, x1=at, y0=0, y1=1, yref="paper", line=dotted)
            figure.add_annotation(
                text="unplanned joint",
                x=at,
                xanchor="left",
                xshift=3,
                y=1.0,
                yref="paper",
                yanchor="bottom",
                showarrow=False,
                font={"color": "#a34700"},
                bgcolor="white",
            )


def _axis(letter: str, place: int) -> str:
    return letter if place == 1 else f"{letter}{place}"


def _look_of(span: Span) -> tuple[str, Look]:
    """Give the entry of the legend, and the look, of a stretch of the day."""
    if span.doing is not None:
        return _DOING_LOOKS[span.doing]
    assert span.cause is not None
    return f"waiting for {WAITED_FOR[span.cause]}", CAUSE_LOOKS[span.cause]


def _short(span: Span) -> str:
    """Give the word that stands on a bar, where it has room even on a phone."""
    if span.end - span.start < _ROOM_FOR_A_WORD:
        return ""
    words = {
        Doing.ALIGNING: "align",
        Doing.PRIMING: "prime",
        Doing.WASHING_OUT: "wash-out",
        Doing.MEAL: "meal",
        Doing.TESTING: "test",
    }
    return words.get(span.doing, "") if span.doing is not None else ""


def _points(levels: Sequence[Level], hopper: float) -> list[tuple[float, float]]:
    """Give the corners of the content's line, and where it crosses the hopper's brim."""
    points: list[tuple[float, float]] = []
    for level in levels:
        if points:
            since, content = points[-1]
            if (content - hopper) * (level.before - hopper) < 0.0:
                share = (content - hopper) / (content - level.before)
                points.append((since + share * (level.instant - since), hopper))
        points += [(level.instant, level.before), (level.instant, level.after)]
    return points
