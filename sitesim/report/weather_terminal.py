"""What a weather record says, in the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sitesim.report.laid_out import laid_out, listed, plain_row, titled_grid
from sitesim.report.monthly_table import MonthlyTable, close_table
from sitesim.report.weather_words import (
    IN_TURN,
    LEAST_SHOWN,
    LOST_TO,
    answer,
    few_years,
    hours_name,
    kept_and_lost,
    measures_of,
    rain_rows,
    record_facts,
    record_line,
    span_line,
    workable_share,
)
from sitesim.report.words import month_label, name_label, percent, together

if TYPE_CHECKING:
    from rich.console import Group, RenderableType

Told = Mapping[str, Any]


def weather_report(told: Told) -> Group:
    """Lay out for a terminal of 100 columns what the weather does to the work."""
    from rich.text import Text

    warnings = [few_years(told), *told["record"]["doubts"]]
    answers = [Text(answer(told), style="bold"), Text(record_line(told))]
    return laid_out([*answers, *(Text(line, style="bold") for line in warnings if line)], _parts(told))


def _parts(told: Told) -> Iterator[RenderableType]:
    if told["kinds"]:
        yield _workable(told)
        yield _lost(told)
        yield IN_TURN
        yield _lost_days(told)
    if told["unused"]:
        yield f"Limits that no step of the site is held to: {together(told['unused'])}."
    yield _record(told)
    yield _rain(told)
    yield from kept_and_lost(told)
    if told["kinds"]:
        yield _spread(told)
    for title, lines in (("What is assumed of the weather", told["assumptions"]), ("Cautions", told["cautions"])):
        if lines:
            yield listed(title, lines)


def _monthly(title: str, first: str, told: Told, last: str) -> MonthlyTable:
    return MonthlyTable(title, first, [month_label(month["month"]) for month in told["months"]], last)


def _whole(values: Sequence[float]) -> list[str]:
    return [f"{value:,.0f}" for value in values]


def _workable(told: Told) -> RenderableType:
    title = f"When can work go on?  (mean workable hours, {span_line(told)})"
    table = _monthly(title, "Kind of work", told, "Of all")
    by_hours: dict[str, list[Told]] = {}
    for kind in told["kinds"]:
        by_hours.setdefault(hours_name(kind), []).append(kind)
    for name, kinds in by_hours.items():
        table.add(name, _whole(kinds[0]["shift_hours"]), "")
        for kind in kinds:
            table.add(name_label(kind["kind"]), _whole(kind["workable_hours"]), percent(workable_share(kind)))
        table.end_section()
    return table


def _lost(told: Told) -> RenderableType:
    table = _monthly(
        "What are hours lost to?  (mean hours of a month, each charged once)", "Kind of work", told, "Year"
    )
    for kind in told["kinds"]:
        shown = [(cause, hours) for cause, hours in kind["lost_hours"].items() if sum(hours) >= LEAST_SHOWN]
        for cause, hours in shown:
            label = f"{name_label(kind['kind'])}: {LOST_TO[cause]}"
            table.add(label, [_or_dash(value) for value in hours], f"{sum(hours):,.0f}")
        if not shown:
            table.add(f"{name_label(kind['kind'])}: nothing", ["–" for _ in kind["shift_hours"]], "–")
    return table


def _or_dash(value: float) -> str:
    return f"{value:,.0f}" if value >= LEAST_SHOWN else "–"


def _lost_days(told: Told) -> RenderableType:
    title = "On how many days is half the shift or more lost?  (days of a month, mean)"
    table = _monthly(title, "Kind of work", told, "Year")
    for kind in told["kinds"]:
        days = kind["lost_days"]
        table.add(name_label(kind["kind"]), [f"{value:.1f}" for value in days], f"{sum(days):.0f}")
    return table


def _record(told: Told) -> RenderableType:
    table = titled_grid("What is in the record?", 2)
    for name, value in record_facts(told):
        plain_row(table, name, value)
    return table


def _rain(told: Told) -> RenderableType:
    unit = "inches" if measures_of(told).us else "mm"
    table = _monthly(f"What does drawing keep?  (rain of a month, {unit})", "", told, "Year")
    for row in rain_rows(told):
        table.add(row[0], row[1:-1], row[-1])
    return table


def _spread(told: Told) -> RenderableType:
    title = "Hours lost in a year  (mean ± spread between years)"
    table = close_table(title, len(title))
    table.add_column("Kind of work")
    table.add_column("Record", justify="right")
    table.add_column("As drawn", justify="right")
    for kind in told["kinds"]:
        lost = kind["lost_hours_a_year"]
        plain_row(table, name_label(kind["kind"]), _mean_and_spread(lost["record"]), _mean_and_spread(lost["drawn"]))
    return table


def _mean_and_spread(found: Mapping[str, float | None]) -> str:
    mean, spread = found["mean"], found["spread"]
    return f"{mean:,.0f}" if spread is None else f"{mean:,.0f} ± {spread:,.0f}"
