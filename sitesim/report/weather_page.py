"""The page of a weather record: one self-contained file, opens without a network."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitesim.report.charts import as_letters, look, plain_layout, titled, wrapped
from sitesim.report.colours import BLUE, INK, WEATHER_LOOKS
from sitesim.report.document import Section, document, write_with_data
from sitesim.report.figures import chart
from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph, table
from sitesim.report.weather_words import (
    IN_TURN,
    LEAST_SHOWN,
    LOST_TO,
    answer,
    few_years,
    hours_name,
    kept_and_lost,
    measures_of,
    monthly_shares,
    rain_rows,
    record_facts,
    record_line,
    span_line,
    workable_share,
)
from sitesim.report.words import month_label, name_label, percent, together

if TYPE_CHECKING:
    import plotly.graph_objects as go

PAGE = "weather.html"

_SHADES = [[0.0, "#4393c3"], [1.0, "#f7fbff"]]
"""One hue, darker where little can be worked, and light enough for dark figures on it."""

Told = Mapping[str, Any]


def write_weather_page(told: Told, path: Path) -> Path:
    """Write the page, and its figures as JSON beside it, into a folder; returns the page's place."""
    return write_with_data(path / PAGE, build_weather_page(told), told)


def build_weather_page(told: Told) -> str:
    """Build the page out of what `sitesim.study.weathering.study_weather` found."""
    title = f"{told['scenario']}: weather"
    head = [
        element("h1", title),
        paragraph(answer(told), class_="answer"),
        paragraph(record_line(told), class_="facts"),
        _warnings(told),
    ]
    return document(title, head, _sections(told))


def _sections(told: Told) -> Iterator[Section]:
    yield "workable", "When can work go on?", _when(told)
    yield "lost", "What are hours lost to?", _lost(told)
    yield "record", "What is in the record?", _record(told)
    yield "drawn", "What does drawing keep, and lose?", _drawn(told)
    yield "assumed", "What is assumed of the weather?", bullets(told["assumptions"])
    yield "cautions", "Cautions", bullets(told["cautions"])


def _warnings(told: Told) -> Html:
    lines = [line for line in (few_years(told), *told["record"]["doubts"]) if line]
    return element("div", *(paragraph(line) for line in lines), class_="notice") if lines else Html("")


def _heads(told: Told, first: str, last: str) -> list[str]:
    return [first, *(month_label(month["month"]) for month in told["months"]), last]


def _numbers(told: Told) -> range:
    return range(1, len(told["months"]) + 2)


def _when(told: Told) -> Html:
    if not told["kinds"]:
        return paragraph("No step of the site is held to weather limits.")
    by_kind = [
        [name_label(kind["kind"]), *_whole(kind["workable_hours"]), percent(workable_share(kind))]
        for kind in told["kinds"]
    ]
    sure = [
        [name_label(kind["kind"]), *_whole(kind["workable_hours_4_in_5"]), f"{sum(kind['shift_hours']):,.0f}"]
        for kind in told["kinds"]
    ]
    limits = [[name_label(kind), text] for kind, text in told["limits"].items()]
    unused = told["unused"]
    return joined(
        [
            chart(
                _heat_map(told),
                "Share of the working hours that are workable, by month and kind of work",
                f"Hours in which work may go on, on average, {span_line(told)}; the darker, the smaller their share of "
                "the working hours, of which a month has more or fewer by its weekends and holidays.",
                needs_room=True,
                zooms=False,
            ),
            table("Workable hours of a month, mean", _heads(told, "Kind of work", "Of all"), by_kind, _numbers(told)),
            table(
                "Workable hours that a month reaches in 4 of 5 years",
                _heads(told, "Kind of work", "Working hours a year"),
                sure,
                _numbers(told),
            ),
            in_full(
                "The hours and limits behind these figures",
                joined(
                    [
                        _hours(told),
                        table("Limits, as the scenario gives them", ["Kind of work", "May go on in"], limits),
                    ]
                ),
            ),
            paragraph(f"Limits that no step of the site is held to: {together(unused)}.", class_="facts")
            if unused
            else Html(""),
        ]
    )


def _hours(told: Told) -> Html:
    rows = {hours_name(kind): kind["shift_hours"] for kind in told["kinds"]}
    used = {name: [name_label(kind["kind"]) for kind in told["kinds"] if hours_name(kind) == name] for name in rows}
    return table(
        "Working hours of a month; for each kind of work those of the gangs that mostly do it",
        _heads(told, "Hours", "Used for"),
        [[name, *_whole(hours), together(used[name])] for name, hours in rows.items()],
        range(1, len(told["months"]) + 1),
    )


def _whole(values: Sequence[float]) -> list[str]:
    return [f"{value:,.0f}" for value in values]


def _heat_map(told: Told) -> go.Figure:
    import plotly.graph_objects as go

    kinds, months = told["kinds"], told["months"]
    shares = [monthly_shares(kind) for kind in kinds]
    lowest = min((share for row in shares for share in row if share is not None), default=0.0)
    labels = [f"{month_label(month['month'])}<br>{month['year']}" for month in months]
    figure = go.Figure(
        go.Heatmap(
            z=shares,
            x=list(range(len(months))),
            y=list(range(len(kinds))),
            text=[_whole(kind["workable_hours"]) for kind in kinds],
            texttemplate="%{text}",
            textfont={"color": INK},
            customdata=[
                [[name_label(kind["kind"]), f"{shift:,.0f}"] for shift in kind["shift_hours"]] for kind in kinds
            ],
            hovertemplate="%{customdata[0]}, %{x}: %{text} of %{customdata[1]} hours (%{z:.0%})<extra></extra>",
            zmin=min(0.5, int(10.0 * lowest) / 10.0),
            zmax=1.0,
            colorscale=_SHADES,
            xgap=2,
            ygap=2,
            colorbar={"tickformat": ".0%", "thickness": 12, "outlinewidth": 0, "len": 1.0},
        ),
        plain_layout(90 + 34 * len(kinds)),
    )
    figure.update_xaxes(tickvals=list(range(len(months))), ticktext=labels, showgrid=False, side="top")
    names = [as_letters(name_label(kind["kind"])) for kind in kinds]
    figure.update_yaxes(tickvals=list(range(len(kinds))), ticktext=names, autorange="reversed", showgrid=False)
    return figure


def _lost(told: Told) -> Html:
    rows = [
        [f"{name_label(kind['kind'])}: {LOST_TO[cause]}", *(_or_dash(value) for value in hours), f"{sum(hours):,.0f}"]
        for kind in told["kinds"]
        for cause, hours in kind["lost_hours"].items()
        if sum(hours) >= LEAST_SHOWN
    ]
    if not rows:
        return paragraph("No working hour of the record is past a limit.")
    days = [
        [name_label(kind["kind"]), *(f"{value:.1f}" for value in kind["lost_days"]), f"{sum(kind['lost_days']):.0f}"]
        for kind in told["kinds"]
    ]
    return joined(
        [
            chart(
                _lost_bars(told),
                "Hours of a year that each kind of work loses, by what they are lost to",
                f"Each hour is counted once. {IN_TURN}",
                has_legend=True,
            ),
            table("Hours lost in a month, mean", _heads(told, "Lost to", "Year"), rows, _numbers(told)),
            table(
                "Days of a month on which half the shift or more is lost, mean",
                _heads(told, "Kind of work", "Year"),
                days,
                _numbers(told),
            ),
        ]
    )


def _or_dash(value: float) -> str:
    return f"{value:,.0f}" if value >= LEAST_SHOWN else "–"


def _lost_bars(told: Told) -> go.Figure:
    import plotly.graph_objects as go

    kinds = told["kinds"]
    names = [wrapped(name_label(kind["kind"])) for kind in kinds]
    figure = go.Figure(layout=plain_layout(70 + 32 * len(kinds), barmode="stack", bargap=0.28))
    for cause, label in LOST_TO.items():
        hours = [sum(kind["lost_hours"].get(cause, [])) for kind in kinds]
        if sum(hours) >= LEAST_SHOWN:
            figure.add_bar(
                name=label,
                orientation="h",
                x=hours,
                y=list(range(len(kinds))),
                marker=look(WEATHER_LOOKS[cause]),
                customdata=names,
                hovertemplate=f"%{{customdata}}: %{{x:.0f}} h lost to {as_letters(label)}<extra></extra>",
            )
    figure.update_xaxes(title=titled("hours lost in twelve months, mean"), rangemode="tozero")
    figure.update_yaxes(
        tickvals=list(range(len(kinds))), ticktext=names, range=[len(kinds) - 0.4, -0.6], showgrid=False
    )
    return figure


def _record(told: Told) -> Html:
    record = told["record"]
    facts = [element("dt", name) + element("dd", value) for name, value in record_facts(told)]
    return joined(
        [
            element("dl", *(Html(fact) for fact in facts)),
            bullets(record["remarks"]) if record["remarks"] else Html(""),
            paragraph(record["origin"], class_="facts") if record["origin"] else Html(""),
        ]
    )


def _drawn(told: Told) -> Html:
    lost = [
        [name_label(kind["kind"]), *(_mean_and_spread(kind["lost_hours_a_year"][source]) for source in _SOURCES)]
        for kind in told["kinds"]
    ]
    return joined(
        [
            bullets(kept_and_lost(told)),
            chart(
                _rain_chart(told),
                "Rain of each month in the record and as drawn",
                "Mean of each month's rain; the lines reach one standard deviation between years to either side.",
            ),
            table(
                f"Rain of a month, {'inches' if measures_of(told).us else 'mm'}",
                _heads(told, "", "Year"),
                rain_rows(told),
                _numbers(told),
            ),
            table(
                "Hours lost in a year, mean ± standard deviation between years",
                ["Kind of work", "In the record", "As drawn"],
                lost,
                (1, 2),
            )
            if lost
            else Html(""),
        ]
    )


_SOURCES = {"record": "in the record", "drawn": "as drawn"}


def _mean_and_spread(found: Mapping[str, float | None]) -> str:
    mean, spread = found["mean"], found["spread"]
    return f"{mean:,.0f}" if spread is None else f"{mean:,.0f} ± {spread:,.0f}"


def _to_either_side(means: Sequence[float], spread: Sequence[float] | None, scale: float) -> dict[str, Any] | None:
    """Give the lines of one spread to either side, down to nothing at most: rain is never less."""
    if spread is None:
        return None
    below = [scale * min(mean, each) for mean, each in zip(means, spread, strict=True)]
    return {"array": [scale * each for each in spread], "arrayminus": below, "thickness": 1.5, "width": 3}


def _rain_chart(told: Told) -> go.Figure:
    import plotly.graph_objects as go

    measures = measures_of(told)
    scale, unit = (1.0 / 25.4, "inches") if measures.us else (1.0, "mm")
    figure = go.Figure(layout=plain_layout(340, margin={"l": 10, "r": 14, "t": 34, "b": 50}))
    places = range(len(told["months"]))
    for (source, label), colour, shift in zip(_SOURCES.items(), (INK, BLUE), (-0.12, 0.12), strict=True):
        monthly = told["rain"][source]["monthly_mm"]
        spread = monthly["spread"]
        figure.add_scatter(
            name=label,
            x=[place + shift for place in places],
            y=[scale * value for value in monthly["mean"]],
            error_y=_to_either_side(monthly["mean"], spread, scale),
            mode="markers",
            marker={"color": colour, "size": 9, "symbol": "circle" if source == "drawn" else "diamond"},
            hovertemplate=f"%{{y:.1f}} {unit} {label}<extra></extra>",
        )
    figure.update_layout(
        showlegend=True, legend={"orientation": "h", "x": 0, "y": 1.02, "yanchor": "bottom", "itemclick": False}
    )
    labels = [month_label(month["month"]) for month in told["months"]]
    figure.update_xaxes(tickvals=list(places), ticktext=labels, showgrid=False)
    figure.update_yaxes(title=titled(f"{unit} a month"), rangemode="tozero")
    return figure
