"""The page's sections, each the answer to a plain question; empty where there is nothing to say."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from sitesim.answers.statistics import mean_interval, proportion_interval
from sitesim.hours import civil_time
from sitesim.report.charts import finish_curve, held_bars, waiting_bars
from sitesim.report.engagements import Engagement
from sitesim.report.markup import (
    Html,
    bar,
    bullets,
    element,
    escaped,
    in_full,
    joined,
    paragraph,
    small,
    table,
)
from sitesim.report.site_chart import site_chart
from sitesim.report.words import (
    CONCRETE,
    CONFIDENCES,
    HELD_BY,
    WAITED_FOR,
    Style,
    activity_label,
    chance_of,
    chance_range,
    days,
    hours,
    interval,
    is_singular,
    item_label,
    mean,
    name_label,
    percent,
    print_days_as_one,
    several,
    together,
)
from sitesim.weather import MANY_YEARS

if TYPE_CHECKING:
    import pandas as pd
    import plotly.graph_objects as go

_TASKS_NAMED = 4
_STEPS_NAMED = 12
_LEAST_HOURS = 1.0

Summary = Mapping[str, Any]


def when(style: Style, summary: Summary, runs: pd.DataFrame) -> Html:
    """Answer when it will be finished: the curve, the dates of site, buildings and homes."""
    curve = finish_curve(style, summary, runs)
    return joined(
        [
            _unfinished(summary),
            _plain_plan(style, summary),
            Html("")
            if curve is None
            else chart(curve, "How many of the runs have finished by each date", _curve_caption(summary)),
            _dates(style, summary),
            _home_dates(style, summary),
        ]
    )


def _unfinished(summary: Summary) -> Html:
    unfinished, runs = summary["unfinished"], summary["runs"]
    if not unfinished["runs"]:
        return Html("")
    lines = [f"{row['reason']} ({several(row['runs'], 'run')})" for row in unfinished["reasons"]]
    return element(
        "div",
        paragraph(
            element("strong", f"{unfinished['runs']:,} of {several(runs, 'run')} did not come to an end."),
            " Among the dates they count as later than any; what held the date is told from the others. Why:",
        ),
        bullets(lines),
        class_="notice",
    )


def _plain_plan(style: Style, summary: Summary) -> Html:
    plain = summary["plain_plan"]
    if plain["date"] is None:
        return paragraph("The plain plan, with expected durations, no stops and no weather, does not come to an end.")
    within = chance_range(plain["chance"])
    share = plain["chance"]["value"] or 0.0
    verb = "finishes" if is_singular(share, summary["runs"]) else "finish"
    return paragraph(
        "The plain plan takes every duration at its expected value, with no stops and no weather, as a bar chart "
        f"would. It ends on {style.long_date(plain['date'])}; "
        f"{chance_of(share, summary['runs'])} {verb} by then" + (f" (95 % interval: {within})." if within else ".")
    )


def _curve_caption(summary: Summary) -> str:
    shaded = "" if _is_open(summary["finish"]["P80"]) else " Shaded: the 95 % interval of the P80 date."
    left = summary["unfinished"]["runs"]
    short = f" The curve stops short of 100 %, for {several(left, 'run')} did not come to an end." if left else ""
    return f"Read it upwards: at each date, the share of the runs that have finished.{shaded}{short}"


def _is_open(quantile: Summary) -> bool:
    return quantile["date"] is None or (quantile["low"] is None and quantile["high"] is None)


def _dates(style: Style, summary: Summary) -> Html:
    rows = [("Whole site", summary["finish"])]
    rows += [(row["building"], row) for row in summary["buildings"]]
    return _date_table(style, "Last hand-over of site and building, with 95 % intervals", rows)


def _home_dates(style: Style, summary: Summary) -> Html:
    if not summary["homes"]:
        return Html("")
    rows = [(row["home"], row) for row in summary["homes"]]
    return joined(
        [
            element("h3", "Which home is handed over when?"),
            _date_table(style, "Hand-over of each home, with 95 % intervals", rows),
            paragraph(
                "Each home meets its own date with the chance at the head of the column. That all of them do so "
                "together is less likely; the date for the whole site is that of the last.",
                class_="facts",
            ),
        ]
    )


def _date_table(style: Style, caption: str, rows: Iterable[tuple[str, Summary]]) -> Html:
    heads = ["", *(joined([name, small(told)]) for name, told in CONFIDENCES.items())]
    return table(
        caption,
        heads,
        [[name, *(_date_cell(style, found[key]) for key in CONFIDENCES)] for name, found in rows],
        class_="dates",
    )


def _date_cell(style: Style, quantile: Summary) -> Html:
    within = interval(style, quantile)
    return joined([style.short_date(quantile["date"]), small(within) if within else Html("")])


def who_was_where(style: Style, summary: Summary, entries: Sequence[Engagement], run: int) -> Html:
    """Answer who was where in one run: the site chart and, folded away, its table."""
    figure = site_chart(style, summary, entries)
    if figure is None:
        return Html("")
    end = summary["finish"]["P80"]["date"]
    told = (
        f"the run whose finish is the P80 date, {style.long_date(end)}"
        if end
        else "a run at P80; it did not come to an end"
    )
    which = f"One run of the {summary['runs']:,}:" if summary["runs"] > 1 else "The only run,"
    return joined(
        [
            paragraph(
                f"{which} number {run}, {told}. Bars cross nights and weekends; where "
                "a row is empty nobody was there. Point at a bar to see what it had to wait for; choose a word below "
                "to hide or show its bars; the buttons at the top right of the chart zoom and move."
            ),
            chart(figure, f"Who was where in run {run}", "", has_legend=True, needs_room=True),
            in_full("The same as a table", _engagement_table(style, summary, entries)),
        ]
    )


def _engagement_table(style: Style, summary: Summary, entries: Sequence[Engagement]) -> Html:
    start = date.fromisoformat(summary["start"])
    rows = [
        [
            activity_label(entry.activity),
            together(name_label(name) for name in entry.who) or "–",
            style.moment(civil_time(start, entry.start)),
            style.moment(civil_time(start, entry.end)),
            activity_label(entry.after) if entry.after else "–",
        ]
        for entry in entries
        if entry.end > entry.start
    ]
    return table("Every step of the run", ["What", "Who", "From", "To", "Had to wait for"], rows)


def who_waited(summary: Summary) -> Html:
    """Answer who waited for what: bars by cause, and the same as a table."""
    if not summary["time"]:
        return Html("")
    figure = waiting_bars(summary)
    rows = [
        [
            name_label(row["resource"]),
            hours(row["on_shift_hours"]),
            _waiting(row),
            percent(row["idle_share"]),
            _causes(row["waiting"]),
        ]
        for row in summary["time"]
    ]
    return joined(
        [
            paragraph(
                "From the first day on site to the last, in shift hours: time in which a gang or machine was there "
                "and could not work, by what its next piece of work was waiting for. Which of it is paid is said "
                "under what is assumed."
            ),
            Html("") if figure is None else chart(figure, "Hours of waiting by cause", "", has_legend=True),
            table(
                "Mean of the runs",
                ["Who", "On shift", "Waiting", "Of shift", "For what"],
                rows,
                numbers=(1, 2, 3),
                class_="words",
            ),
        ]
    )


def _waiting(row: Summary) -> str:
    """Write the mean hours of waiting, with their error where the summary gives it."""
    return f"{mean(row['idle'], 0)} h" if "idle" in row else hours(row["idle_hours"])


def _causes(waiting: Mapping[str, float]) -> str:
    told = [f"{WAITED_FOR[cause]} {value:,.0f}" for cause, value in waiting.items() if value >= _LEAST_HOURS]
    return f"{', '.join(told)} h" if told else "–"


def what_held(summary: Summary) -> Html:
    """Answer what held the date: days by cause, the tasks behind them, and the steps most often on the chain."""
    figure = held_bars(summary)
    if figure is None:
        return Html("")
    rows = [
        [
            HELD_BY[row["cause"]],
            mean(row["days"]),
            f"{row['off_shift_days']:.1f}",
            ", ".join(f"{task} {value:.1f}" for task, value in print_days_as_one(row["tasks"])[:_TASKS_NAMED]) or "–",
        ]
        for row in summary["held"]
        if (row["days"]["value"] or 0.0) >= 0.05
    ]
    return joined(
        [
            paragraph(
                "From the last hand-over back to the first day there is a chain of steps, each held by the one "
                "before it. These are its days, by what they were spent on: what would bring the date forward. "
                "Mean of the runs that finish."
            ),
            chart(figure, "Days of the finish by cause", "", has_legend=True),
            table(
                "Days by cause, and the steps with most of them",
                [
                    "Cause",
                    "Days",
                    "Of these nights and weekends",
                    "Mostly in (days)",
                ],
                rows,
                numbers=(1, 2),
                class_="words",
            ),
            _steps(summary),
        ]
    )


def _steps(summary: Summary) -> Html:
    """Name the steps with most days on the chain."""
    finished = summary["runs"] - summary["unfinished"]["runs"]
    if not finished or not summary["criticality"]:
        return Html("")
    longest = sorted(summary["criticality"], key=lambda row: -row["days"])[:_STEPS_NAMED]
    rows = [
        [activity_label(row["activity"]), days(row["days"]), _share_of_runs(row["share"], finished)] for row in longest
    ]
    return joined(
        [
            element("h3", "Which steps were in the way?"),
            table(
                "The steps with most days on that chain",
                ["Step", "Days, mean", "Runs with it on the chain"],
                rows,
                numbers=(1, 2),
            ),
        ]
    )


def _share_of_runs(share: float, runs: int) -> str:
    found = proportion_interval(round(share * runs), runs)
    return f"{percent(share)} ({100 * found.low:.0f} to {100 * found.high:.0f})"


def concrete(style: Style, summary: Summary, runs: pd.DataFrame) -> Html:
    """Answer where the concrete went, and how the printing fared."""
    batched = summary["concrete"]["batched_m3"]
    if not batched["value"]:
        return paragraph("No walls are printed in this scenario.")
    rows = []
    for column, label in CONCRETE.items():
        found = summary["concrete"][column]
        share = (found["value"] or 0.0) / batched["value"]
        rows.append([label, style.mean_volume(found), percent(share), bar(share)])
    rows.append(["batched in all", style.mean_volume(batched), "", ""])
    return joined(
        [
            table("Mean of the runs", ["Concrete", "Volume", "Share", ""], rows, numbers=(1, 2), class_="bars"),
            element("h3", "How did the printing go?"),
            table("Mean of the runs, whole site", ["", "In a run"], _printing(style, summary, runs), numbers=(1,)),
        ]
    )


def _printing(style: Style, summary: Summary, runs: pd.DataFrame) -> Iterable[Sequence[str]]:
    quality, printing, trucks = summary["quality"], summary["printing"], summary["trucks"]
    yield "print days", mean(printing["print_days"])
    yield "hours in which the nozzle lays concrete", mean(printing["nozzle_hours"])
    if printing["nozzle_share"] is not None:
        yield "share of the print days' hours", _nozzle_share(printing["nozzle_share"], runs)
    yield "unplanned joints (past open time)", mean(quality["unplanned_joints"])
    yield "stops of printer and pump", mean(quality["stops"])
    yield "print days called off", mean(quality["days_called_off"])
    if trucks["loads"]["value"]:
        yield "loads", mean(trucks["loads"])
        yield "loads called off", mean(trucks["loads_called_off"])
        yield "truck standby, hours", mean(trucks["standby_hours"])
    past, poured = summary["concrete"]["past_agreed_life_m3"], summary["concrete"]["poured_m3"]
    if past["value"]:
        yield "used past its agreed life, as the waiver allows", style.mean_volume(past)
    if poured["value"]:
        yield "poured beside printing", style.mean_volume(poured)
        yield "breaks in those pours", mean(quality["pour_breaks"])


def _nozzle_share(share: float, runs: pd.DataFrame) -> str:
    """Write the share with its error: a ratio of two means, by its linear form (Cochran, Sampling Techniques, 6.3)."""
    nozzle, printing = (
        runs["nozzle_hours"].to_numpy(dtype=float),
        runs["print_day_hours"].to_numpy(dtype=float),
    )
    found = mean_interval(share + (nozzle - share * printing) / printing.mean())
    return f"{mean({'value': 100 * share, 'low': 100 * found.low, 'high': 100 * found.high})} %"


def inspections(summary: Summary) -> Html:
    """Say how the inspections went."""
    quality = summary["quality"]
    if not quality["inspections"]["value"]:
        return Html("")
    return paragraph(
        f"Inspections: {mean(quality['inspections'])} visits in a run, of which "
        f"{mean(quality['failed_inspections'])} find something to put right; "
        f"{mean(quality['lost_visits'])} more visits are lost because the work is late."
    )


def cost(style: Style, summary: Summary) -> Html:
    """Answer what it costs: the whole with its spread, and item by item."""
    found = summary["cost"]
    whole = found["mean"]["value"]
    if not whole:
        return Html("")
    largest = max(row["mean"] for row in found["items"])
    rows = [
        [
            item_label(row["item"]),
            style.mean_money({"value": row["mean"], "low": row.get("low"), "high": row.get("high")}),
            percent(row["mean"] / whole),
            bar(row["mean"] / largest),
        ]
        for row in found["items"]
    ]
    spread = [[f"{name}, {told}", _money_quantile(style, found[name])] for name, told in CONFIDENCES.items()]
    return joined(
        [
            paragraph(f"{style.mean_money(found['mean'])} on average, at the rates of the scenario."),
            table(
                "How far it spreads, with 95 % intervals",
                ["", "Runs cost no more than"],
                spread,
                numbers=(1,),
            ),
            table(
                "Mean of the runs by item",
                ["Item", "Amount", "Share", ""],
                rows,
                numbers=(1, 2),
                class_="bars",
            ),
        ]
    )


def _money_quantile(style: Style, quantile: Summary) -> Html:
    written = style.money(quantile["value"])
    if quantile["low"] is None or quantile["high"] is None:
        return escaped(written)
    return joined([written, small(f"{style.money(quantile['low'])} to {style.money(quantile['high'])}")])


def assumed(summary: Summary) -> Html:
    """Answer what is assumed, and name the weather record."""
    lines = summary.get("assumptions", [])
    weather = summary["weather"]
    parts = [bullets(lines) if lines else Html("")]
    if summary.get("description"):
        parts.append(in_full("What was played, in words", bullets(summary["description"])))
    if weather is None:
        parts.append(paragraph("No weather record: nothing waits for rain, wind or cold."))
    else:
        parts.append(element("h3", "Which weather?"))
        parts.append(paragraph(_record(weather)))
        parts.append(paragraph(weather["origin"], class_="facts") if weather["origin"] else Html(""))
    return joined(parts)


def _record(weather: Summary) -> str:
    years = weather["years"]
    few = (
        " Few years are few: weather rarer than that is not in the record, and the intervals on this page do "
        "not cover it."
        if years < MANY_YEARS
        else ""
    )
    block = weather["block_days"]
    drawn = "as whole years" if block is None else f"in blocks of {several(block, 'day')} from the same season"
    return (
        f"Every run draws its weather from the record {weather['name']}, {several(years, 'year')} long, {drawn}.{few}"
    )


def how_sure(summary: Summary, seed: int | None) -> Html:
    """Say in plain words what the runs, P80 and the intervals mean."""
    runs = summary["runs"]
    seeded = "" if seed is None else f" The seed is {seed}: with it, everything on this page can be made again."
    standing = ", ".join(f"{run} for {name}" for name, run in summary["standing_for"].items())
    lines = [
        f"The site was played {'once' if runs == 1 else f'{runs:,} times'}, each time with other durations, weather, "
        f"travel times, breakdowns and inspections.{seeded}",
        "P80 is the date by which 4 in 5 of the runs finish; 1 in 5 finishes later. P50 is as likely missed as met. "
        "None of them is a guarantee.",
        "What stands after ± or beneath a date is a 95 % interval: of a hundred studies like this one, about 95 would "
        "enclose the true figure of this model. More runs make it narrower.",
        "The intervals cover the luck of the runs only. They do not cover durations, rates or limits that were put in "
        "wrong.",
        f"Runs that stand for the confidences: {standing}.",
    ]
    return bullets(lines)


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
