"""The section of the page of a stress study that says what the weather costs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sitesim.report.charts import look, month_axis, plain_layout, titled
from sitesim.report.colours import BLUE, GREY, ORANGE, PURPLE, SKY, VERMILION, Look
from sitesim.report.figures import chart
from sitesim.report.markup import Html, joined, paragraph, table
from sitesim.report.weather_cost_words import MONEY, ToldMonth, exact_money, told_in_all, told_months, weather_sentences
from sitesim.report.words import Style
from sitesim.study.stressing import StressStudy

if TYPE_CHECKING:
    import plotly.graph_objects as go

_ON_A_PHONE = 8
_LOOKS = {
    "waiting": Look(BLUE),
    "hire": Look(SKY, "/"),
    "overhead": Look(GREY, "/"),
    "penalties": Look(VERMILION),
    "heating": Look(ORANGE, "."),
    "other": Look(PURPLE),
}


def weather_section(style: Style, study: StressStudy) -> Html:
    """Say what the weather costs, in all and month by month; nothing where no weather is played."""
    sentences = weather_sentences(style, study)
    if not sentences:
        return Html("")
    months = told_months(study.weather.by_month)
    parts = [paragraph(line) for line in sentences]
    if months:
        if any(month.money for month in months):
            figure = _money_chart(style, months)
            wide = len(months) > _ON_A_PHONE
            parts.append(chart(figure, "What the weather costs by month", "", True, needs_room=wide, zooms=False))
        parts.append(_table(style, months))
    return joined(parts)


def _table(style: Style, months: Sequence[ToldMonth]) -> Html:
    in_all = told_in_all(months)
    rows = [
        [
            month.name,
            month.days,
            *(exact_money(style, amount) for amount in month.parts.values()),
            exact_money(style, month.money),
        ]
        for month in (*months, in_all)
    ]
    heads = [MONEY[part][0].capitalize() for part in in_all.parts]
    return table(
        "What the weather costs in each month, mean of the runs",
        ["", "Working days of the finish", *heads, "Together"],
        rows,
        numbers=range(1, len(heads) + 3),
        class_="folds",
    )


def _money_chart(style: Style, months: Sequence[ToldMonth]) -> go.Figure:
    """Draw the money of each month, part upon part."""
    import plotly.graph_objects as go

    figure = go.Figure(layout=plain_layout(300, barmode="stack", margin={"l": 10, "r": 14, "t": 14, "b": 44}))
    for part in months[0].parts:
        amounts = [month.parts[part] for month in months]
        name = MONEY[part][0]
        figure.add_bar(
            name=name,
            x=[month.name for month in months],
            y=amounts,
            marker=look(_LOOKS[part]),
            hovertemplate=f"%{{x}}: %{{customdata}}, {name}<extra></extra>",
            customdata=[exact_money(style, amount) for amount in amounts],
        )
    figure.update_xaxes(month_axis([month.name for month in months]))
    figure.update_yaxes(title=titled(style.currency), tickformat=",.0f", rangemode="tozero")
    return figure
