"""A plan of deliveries in the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from sitesim.report import delivery_choice, delivery_order, delivery_watch, delivery_words
from sitesim.report.laid_out import laid_out, listed, plain_row, plain_table
from sitesim.report.words import Style, item_label, mean

if TYPE_CHECKING:
    from rich.console import Group, RenderableType

_CHEAPEST = 8

Summary = Mapping[str, Any]


def delivery_report(summary: Summary) -> Group:
    """Lay a plan of deliveries out for a terminal of 100 columns."""
    from rich.text import Text

    style = Style.of(summary)
    return laid_out([Text(delivery_choice.answer(summary), style="bold")], _parts(style, summary))


def _parts(style: Style, summary: Summary) -> Iterator[RenderableType]:
    if summary["day"] is not None:
        yield listed("The order, to be read out", delivery_order.order_lines(style, summary))
        yield listed("What to watch", delivery_watch.watch_lines(style, summary))
        yield delivery_watch.weather_line(style, summary)
    else:
        yield _supplies(style, summary)
    if summary["turning"] is not None:
        yield _changes(style, summary)
    yield _ways(style, summary)
    for line in (delivery_choice.edges(summary), _impossible(summary)):
        if line:
            yield line
    if summary["day"] is None and delivery_choice.overhead(style, summary):
        yield delivery_choice.overhead(style, summary)
    yield delivery_words.DAY_CAUTION


def side_by_side(style: Style, summary: Summary) -> tuple[list[str], list[list[str]]]:
    """Give heads and rows that set the best ready-mix beside the scenario's own and mixing on site."""
    best, own, against = delivery_words.best_of(summary), delivery_words.own_of(summary), summary["against"]
    columns = [(f"ready-mix, {delivery_words.way(style, best, summary)}", best)]
    if own is not None and not own["is_best"]:
        columns.append((f"as the scenario orders: {delivery_words.way(style, own, summary)}", own))
    if against is not None:
        columns.append(
            (f"mixed on site, batches of {style.in_volume_unit(against['batch']):.2f} {style.volume_unit}", against)
        )
    rows = [
        [f"cost per {style.volume_unit} in place", *(delivery_words.cost(style, one["cost"]) for _, one in columns)]
    ]
    items = list(dict.fromkeys(item for _, one in columns for item in one["items"]))
    rows += [
        [f"   {item_label(item)}", *(_item(style, one["items"].get(item)) for _, one in columns)] for item in items
    ]
    rows += [
        [label, *(_figure(style, name, one["means"][name]) for _, one in columns)]
        for name, label in delivery_words.FIGURES.items()
    ]
    return ["", *(head for head, _ in columns)], rows


def _item(style: Style, value: float | None) -> str:
    return "–" if value is None else delivery_words.amount(style, value)


def _figure(style: Style, name: str, value: Mapping[str, float | None]) -> str:
    return style.mean_volume(value) if name.endswith("_m3") else mean(value)


def _supplies(style: Style, summary: Summary) -> RenderableType:

    heads, rows = side_by_side(style, summary)
    table = plain_table("Side by side  (mean of the runs)", *heads, numbers=range(1, len(heads)), whole=False)
    for row in rows:
        plain_row(table, *row)
    return table


def _changes(style: Style, summary: Summary) -> RenderableType:

    table = plain_table(
        "What would change the answer?", "", "Now", "They change places at", "", numbers=(1,), whole=False
    )
    for row in delivery_choice.change_rows(style, summary):
        plain_row(table, *row)
    return table


def _ways(style: Style, summary: Summary) -> RenderableType:

    ways = sorted(summary["ways"], key=lambda one: one["cost"]["value"])
    shown = ways[:_CHEAPEST]
    own = delivery_words.own_of(summary)
    if own is not None and own not in shown:
        shown.append(own)
    heads = ["", f"cost per {style.volume_unit}", "rejected", "waiting, h", "joints", "standby, h", ""]
    table = plain_table(
        f"The cheapest of {len(ways)} ways  (all of them on the page)", *heads, numbers=range(1, 6), whole=False
    )
    table.columns[0].no_wrap = True
    for one in shown:
        means = one["means"]
        cells = [
            delivery_words.way_among(style, one, summary),
            delivery_words.cost(style, one["cost"]),
            style.volume(means["rejected_m3"]["value"]),
            *(f"{means[name]['value']:.1f}" for name in ("waiting_hours", "unplanned_joints", "standby_hours")),
            mark(summary, one),
        ]
        plain_row(table, *cells)
    return table


def mark(summary: Summary, one: Summary) -> str:
    """Say what stands out about a way."""
    marks = []
    if one["is_best"]:
        marks.append("best")
    elif one["is_tied"]:
        marks.append("cannot be told from it")
    elif one["is_flat"]:
        marks.append("within 2 %")
    if one["unfinished"]["value"] and summary["day"] is None:
        marks.append("does not come to an end in all runs")
    if one is delivery_words.own_of(summary):
        marks.append("the scenario's")
    return ", ".join(marks)


def _impossible(summary: Summary) -> str:
    if not summary["impossible"]:
        return ""
    first = summary["impossible"][0]
    more = f" (and {len(summary['impossible']) - 1} more, on the page)" if len(summary["impossible"]) > 1 else ""
    return f"Not played: {delivery_words.impossible(first)}{more}"
