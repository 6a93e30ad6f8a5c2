"""One page for a plan of deliveries: which supply, in what loads, and what would change the answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sitesim.report import delivery_choice, delivery_order, delivery_watch, delivery_words
from sitesim.report.charts import plain_layout, titled
from sitesim.report.colours import BLUE, INK, VERMILION
from sitesim.report.delivery_report import mark, side_by_side
from sitesim.report.document import Section, document
from sitesim.report.figures import chart
from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph, table
from sitesim.report.words import Style, mean

if TYPE_CHECKING:
    import plotly.graph_objects as go

Summary = Mapping[str, Any]

_DARKEST = (0x6F, 0xB3, 0xE0)
"""The colour of a map's highest value, on which dark figures can still be read."""


def delivery_page(summary: Summary) -> str:
    """Build the page of a plan of deliveries from its summary."""
    style = Style.of(summary)
    title = f"{summary['scenario']}: deliveries"
    head = [
        element("h1", title),
        paragraph(delivery_choice.answer(summary), class_="answer"),
        paragraph(_facts(summary), class_="facts"),
    ]
    return document(title, head, _sections(style, summary))


def _facts(summary: Summary) -> str:
    ways, runs = len(summary["ways"]), summary["runs"]
    where = "one print day" if summary["day"] is not None else f"print days of {', '.join(summary['buildings'])}"
    return f"{where} · {ways} ways of delivery · {runs:,} runs of each under the same luck · seed {summary['seed']}"


def _sections(style: Style, summary: Summary) -> Iterator[Section]:
    day = summary["day"]
    if day is not None:
        yield "order", "What to order?", _the_order(style, summary)
        yield "watch", "What to watch?", bullets(delivery_watch.watch_lines(style, summary))
        yield "weather", "Which weather?", paragraph(delivery_watch.weather_line(style, summary))
    else:
        yield "supply", "Which supply?", _supplies(style, summary)
    if summary["turning"] is not None:
        yield "changes", "What would change the answer?", _changes(style, summary)
    yield "maps", "In what loads, how far apart?", _maps(style, summary)
    yield "ways", "All ways that were played", _all_ways(style, summary)
    yield "impossible", "What was not played, and why", _impossible(summary)
    yield "assumed", "What is assumed?", bullets(summary["assumptions"]) if summary["assumptions"] else Html("")
    yield "sure", "How sure are these figures?", bullets(delivery_choice.how_sure(summary))
    yield "cautions", "Cautions", bullets([delivery_words.DAY_CAUTION, *summary["cautions"]])


def _the_order(style: Style, summary: Summary) -> Html:
    loads = summary["day"]["loads"]
    called, held = bool(summary["day"]["calls"]), summary["day"]["holding"] is not None
    rows = [
        [
            str(one["number"]),
            *([_ordered_when(one)] if called else []),
            delivery_words.load(style, one["volume_m3"]),
            delivery_words.clock(one["batched"]),
            delivery_words.clock(one["due"]),
            delivery_words.earlier_clock(one["use_by"]),
            delivery_words.clock(one["begun"]),
            _late(one, "empty"),
            *([_late(one, "lasts")] if held else []),
        ]
        for one in loads
    ]
    heads = [
        "Load",
        *(["Ordered"] if called else []),
        "Volume",
        "Batched",
        "At the gate",
        "Use by",
        "Discharge begins, about",
        "Truck empty, about",
        *(["Gone from the hopper, about"] if held else []),
    ]
    first = 2 if called else 1
    return joined(
        [
            element("div", bullets(delivery_order.order_lines(style, summary)), class_="order"),
            table("The loads", heads, rows, numbers=range(first, first + 5), class_="folds"),
            paragraph(delivery_words.DAY_CAUTION, class_="notice"),
        ]
    )


def _ordered_when(one: Summary) -> str:
    return "now" if one["call_at"] is None else f"likely call at {delivery_words.clock(one['call_at'])}"


def _late(one: Summary, instant: str) -> str:
    return f"{delivery_words.clock(one[instant])} (9 in 10 by {delivery_words.clock(one[f'{instant}_late'])})"


def _supplies(style: Style, summary: Summary) -> Html:
    heads, rows = side_by_side(style, summary)
    return joined(
        [
            table("Mean of the runs, with half the 95 % interval", heads, rows, range(1, len(heads)), class_="folds"),
            paragraph(delivery_choice.overhead(style, summary)),
        ]
    )


def _maps(style: Style, summary: Summary) -> Html:
    best = delivery_words.best_of(summary)
    flat = f"within {100 * summary['flat_share']:.0f} %"
    maps = []
    for trucks in sorted({one["trucks"] for one in summary["ways"]}):
        of_trucks = "" if len({one["trucks"] for one in summary["ways"]}) == 1 else f", {trucks} trucks"
        maps.append(_map(style, summary, trucks, f"Cost per {style.volume_unit} in place{of_trucks}", _cost))
    maps += [
        _map(style, summary, best["trucks"], "Printer waiting for concrete, hours", _mean("waiting_hours")),
        _map(style, summary, best["trucks"], f"Concrete rejected, {style.volume_unit}", _volume("rejected_m3")),
        _map(style, summary, best["trucks"], "Unplanned joints", _mean("unplanned_joints")),
    ]
    if summary["day"] is not None:
        layer = summary["day"]["to_layer"]
        maps.append(_map(style, summary, best["trucks"], f"Days in 100 that reach layer {layer}", _reached))
    edge = delivery_choice.edges(summary)
    return joined(
        [
            paragraph(
                f"Across, minutes between two arrivals; down, the load. Darker is more. Framed: the cheapest; dashed: "
                f"{flat} of it; underlined: what the scenario orders; hatched: cannot be done."
            ),
            element("div", *maps, class_="maps"),
            paragraph(edge, class_="notice") if edge else Html(""),
        ]
    )


def _cost(style: Style, one: Summary) -> tuple[float, str]:
    value = delivery_words.per_volume(style, one["cost"]["value"])
    return value, f"{value:,.0f}"


def _mean(name: str) -> Any:
    def of(style: Style, one: Summary) -> tuple[float, str]:
        value = one["means"][name]["value"]
        return value, f"{value:.1f}"

    return of


def _volume(name: str) -> Any:
    def of(style: Style, one: Summary) -> tuple[float, str]:
        value = style.in_volume_unit(one["means"][name]["value"])
        return value, f"{value:.1f}"

    return of


def _reached(style: Style, one: Summary) -> tuple[float, str]:
    return delivery_words.reached(one), f"{delivery_words.reached(one):.0f}"


def _map(style: Style, summary: Summary, trucks: int, caption: str, of: Any) -> Html:
    """Draw one quantity over load and spacing, its values written in the cells."""
    ways = {(one["load"], one["spacing"]): one for one in summary["ways"] if one["trucks"] == trucks}
    loads = sorted({load for load, _ in ways})
    spacings = sorted({spacing for _, spacing in ways})
    values = [of(style, one)[0] for one in ways.values()]
    least, most = min(values), max(values)
    own = delivery_words.own_of(summary)
    heads = (f"{round(60 * hours)}" if hours else delivery_words.timed(summary) for hours in spacings)
    head = element("tr", element("th", "", scope="col"), *(element("th", name, scope="col") for name in heads))
    rows = [
        element(
            "tr",
            element("th", delivery_words.load(style, load), scope="row"),
            *(_cell(style, ways.get((load, spacing)), own, of, least, most) for spacing in spacings),
        )
        for load in loads
    ]
    inside = element("table", element("caption", caption), element("thead", head), element("tbody", *rows))
    return element("div", inside, class_="wide map", tabindex="0", role="region", aria_label=caption)


def _cell(style: Style, one: Summary | None, own: Summary | None, of: Any, least: float, most: float) -> Html:
    if one is None:
        return element("td", "–", class_="cannot")
    value, written = of(style, one)
    share = (value - least) / (most - least) if most > least else 0.0
    colour = "#" + "".join(f"{round(255 + share * (end - 255)):02x}" for end in _DARKEST)
    marks = ["best"] if one["is_best"] else ["flat"] if one["is_flat"] else []
    marks += ["own"] if one is own else []
    return element("td", written, class_=" ".join(marks) or False, style=f"background: {colour}")


def _changes(style: Style, summary: Summary) -> Html:
    turning = summary["turning"]
    heads = ["", "Now", "They change places at", ""]
    figures = [
        (_price_lines(style, summary, "standby"), "Cost by the rate of truck standby"),
        (_price_lines(style, summary, "blend"), "Cost by the price of dry blend"),
        (_factor_lines(style, turning["travel"], "haul, one way, minutes", 60.0), "Cost by the haul"),
        (
            _factor_lines(
                style,
                turning["print_rate"],
                f"rate of the nozzle, {style.volume_unit} per hour",
                style.in_volume_unit(1.0),
            ),
            "Cost by the rate at which the nozzle lays",
        ),
    ]
    return joined(
        [
            table(
                "Ready-mix against mixing on site; in brackets what the runs leave open",
                heads,
                list(delivery_choice.change_rows(style, summary)),
                numbers=(1,),
                class_="words",
            ),
            element(
                "div",
                *(
                    chart(figure, label, f"{label}. Solid: ready-mix; dashed: mixed on site.")
                    for figure, label in figures
                ),
                class_="maps",
            ),
        ]
    )


def _price_lines(style: Style, summary: Summary, name: str) -> go.Figure:
    """Draw the cost of both supplies over a price: straight lines, ready-mix the least of all ways at each rate."""
    found = summary["turning"][name]
    most = 2.0 * max(found["now"], found["at"] or 0.0) or 1.0
    places = [most * step / 40.0 for step in range(41)]
    ways = [one for one in summary["ways"] if not one["unfinished"]["value"]] or summary["ways"]
    against = summary["against"]
    if name == "standby":
        ready = [min(_at_standby(one, price) for one in ways) for price in places]
        mixed = [against["cost"]["value"]] * len(places)
    else:
        ready = [min(one["cost"]["value"] for one in ways)] * len(places)
        volume = against["means"]["batched_m3"]["value"] / against["means"]["in_place_m3"]["value"]
        mixed = [against["cost"]["value"] + (price - found["now"]) * volume for price in places]
    title = f"{summary['currency']} an hour" if name == "standby" else f"{summary['currency']} per m³"
    return _two_lines(style, places, ready, mixed, title, found["now"], found["at"])


def _at_standby(one: Summary, price: float) -> float:
    hours = one["means"]["standby_hours"]["value"] / one["means"]["in_place_m3"]["value"]
    return float(one["cost"]["value"] - one["items"].get("truck standby", 0.0) + price * hours)


def _factor_lines(style: Style, found: Summary, title: str, unit: float) -> go.Figure:
    """Draw the cost of both supplies over what was tried, joined by straight lines."""
    now = unit * found["now"]
    places = [now * one["factor"] for one in found["tried"]]
    ready = [one["ready_mix"]["value"] for one in found["tried"]]
    mixed = [one["site_mix"]["value"] for one in found["tried"]]
    at = now * found["turning"][0]["factor"] if found["turning"] else None
    return _two_lines(style, places, ready, mixed, title, now, at, "lines+markers")


def _two_lines(
    style: Style,
    places: Sequence[float],
    ready: Sequence[float],
    mixed: Sequence[float],
    title: str,
    now: float,
    at: float | None,
    mode: str = "lines",
) -> go.Figure:
    import plotly.graph_objects as go

    figure = go.Figure(layout=plain_layout(300, margin={"l": 10, "r": 14, "t": 30, "b": 50}))
    for name, values, colour, dash in (
        ("ready-mix", ready, BLUE, "solid"),
        ("mixed on site", mixed, VERMILION, "dash"),
    ):
        figure.add_scatter(
            x=places,
            y=[delivery_words.per_volume(style, value) for value in values],
            name=name,
            mode=mode,
            line={"color": colour, "dash": dash, "width": 2.5},
            marker={"color": colour},
            hovertemplate=f"{name}: %{{y:,.0f}}<extra></extra>",
        )
    _mark(figure, now, "now", "dot", at is not None and at < now)
    if at is not None:
        _mark(figure, at, "the same", "solid", at >= now)
    figure.update_xaxes(title=titled(title), range=[min(places), max(places)])
    figure.update_yaxes(title=titled(f"cost per {style.volume_unit}"), tickformat=",.0f")
    return figure


def _mark(figure: go.Figure, x: float, label: str, dash: str, label_on_the_right: bool) -> None:
    """Draw an upright line with its label above, to one side of it."""
    figure.add_vline(x=x, line={"color": INK, "width": 1.5, "dash": dash})
    side = "left" if label_on_the_right else "right"
    figure.add_annotation(x=x, y=1, yref="paper", text=label, showarrow=False, yanchor="bottom", xanchor=side)


def _all_ways(style: Style, summary: Summary) -> Html:
    heads = ["", f"Cost per {style.volume_unit}", *delivery_words.FIGURES.values(), ""]
    rows = [
        [
            delivery_words.way_among(style, one, summary),
            delivery_words.cost(style, one["cost"]),
            *(
                style.mean_volume(one["means"][name]) if name.endswith("_m3") else mean(one["means"][name])
                for name in delivery_words.FIGURES
            ),
            mark(summary, one),
        ]
        for one in sorted(summary["ways"], key=lambda one: one["cost"]["value"])
    ]
    return in_full(
        f"{len(rows)} ways, the cheapest first",
        table("Mean of the runs, with half the 95 % interval", heads, rows, numbers=range(1, len(heads) - 1)),
    )


def _impossible(summary: Summary) -> Html:
    if not summary["impossible"]:
        return Html("")
    return bullets(delivery_words.impossible(one) for one in summary["impossible"])
