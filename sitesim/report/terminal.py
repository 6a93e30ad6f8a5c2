"""The result of a study in the terminal: the sentence, then a table for each question."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from sitesim.report.bottleneck_words import evidence, how_counted, rhythm, what_next
from sitesim.report.called import called_gangs
from sitesim.report.laid_out import laid_out, listed, plain_row, plain_table
from sitesim.report.sections.promised import place_of
from sitesim.report.sections.whose_days import a_day, charged_lines, told_causes
from sitesim.report.sentence import answer
from sitesim.report.two_parts import TwoParts
from sitesim.report.words import (
    CONCRETE,
    CONFIDENCES,
    HELD_BY,
    WAITED_FOR,
    Style,
    chance_of,
    chance_range,
    interval,
    item_label,
    mean,
    name_label,
    percent,
    print_days_as_one,
    several,
)

if TYPE_CHECKING:
    from rich.console import Group, RenderableType
    from rich.table import Table

_FEW_ASSUMPTIONS = 4
_FEW_ITEMS = 8

Summary = Mapping[str, Any]


def run_report(summary: Summary, scenario: str = "FILE") -> Group:
    """Lay a study's summary out for the terminal.

    Parameters: ``scenario``, as it is named in a command that asks more of it.
    """
    from rich.text import Text

    style = Style.of(summary)
    return laid_out([Text(answer(summary), style="bold")], _parts(style, summary, scenario))


def _parts(style: Style, summary: Summary, scenario: str) -> Iterator[RenderableType]:
    yield from _unfinished(summary)
    yield _dates(style, summary)
    if summary["plain_plan"]["date"] is not None:
        yield _plain_plan(style, summary)
    yield from _promised(style, summary)
    yield from _waiting(summary)
    yield from _bottleneck(summary, scenario)
    yield from _held(summary)
    yield from _concrete(style, summary)
    yield from _cost(style, summary)
    yield from _days_of_causes(style, summary)
    if summary.get("assumptions"):
        yield listed("What is assumed?", summary["assumptions"], _FEW_ASSUMPTIONS)
    if summary.get("cautions"):
        yield listed("Cautions", summary["cautions"])


def _bottleneck(summary: Summary, scenario: str) -> Iterator[RenderableType]:
    """Say what sets the pace, by what evidence, and how to ask what more of it would bring."""
    found = summary.get("bottleneck")
    if found is not None:
        lines = [rhythm(found), *evidence(found), how_counted(found), what_next(found, scenario)]
        yield listed("Where is the bottleneck?", lines)


def _unfinished(summary: Summary) -> Iterator[RenderableType]:
    unfinished = summary["unfinished"]
    if not unfinished["runs"]:
        return
    table = plain_table(
        f"{unfinished['runs']:,} of {summary['runs']:,} runs did not come to an end",
        "Why",
        "Runs",
        numbers=(1,),
    )
    for row in unfinished["reasons"]:
        plain_row(table, row["reason"], f"{row['runs']:,}")
    yield table


def _dates(style: Style, summary: Summary) -> RenderableType:
    heads = [f"{name}, {CONFIDENCES[name]}" for name in CONFIDENCES]
    table = plain_table("When will it be finished?  (date ± its 95 % interval in working days)", "", *heads)
    _date_row(style, table, "Whole site", summary["finish"])
    several_buildings = len(summary["buildings"]) > 1 or summary["homes"]
    if several_buildings:
        table.add_section()
        for row in summary["buildings"]:
            _date_row(style, table, f"Building {row['building']}", row)
    if summary["homes"]:
        table.add_section()
        for row in summary["homes"]:
            _date_row(style, table, f"Home {row['home']}", row)
    return table


def _date_row(style: Style, table: Table, name: str, quantiles: Summary) -> None:
    from rich.text import Text

    table.add_row(Text(name), *(_date_and_error(style, quantiles[confidence]) for confidence in CONFIDENCES))


def _date_and_error(style: Style, quantile: Summary) -> TwoParts:
    """Write a date with its error, or with what is known of its interval."""
    written, either_side = style.short_date(quantile["date"]), quantile["working_days_either_side"]
    if either_side is not None:
        return TwoParts(written, f"± {either_side}")
    within = interval(style, quantile)
    return TwoParts(written, f"({within})" if within else "")


def _plain_plan(style: Style, summary: Summary) -> RenderableType:
    plain = summary["plain_plan"]
    within = chance_range(plain["chance"])
    return (
        f"Plain plan (expected durations, no stops, no weather): {style.long_date(plain['date'])}, met by "
        f"{chance_of(plain['chance']['value'] or 0.0, summary['runs'])}"
        + (f" (95 % interval {within})." if within else ".")
    )


def _waiting(summary: Summary) -> Iterator[RenderableType]:
    if not summary["time"]:
        return
    table = plain_table(
        "Who waited, and for what?  (mean of the runs)",
        "Who",
        "Hours",
        "Of shift",
        "Mainly for (hours)",
        numbers=(1, 2),
    )
    for row in summary["time"]:
        causes = [
            f"{WAITED_FOR[cause]} {value:,.0f}" for cause, value in list(row["waiting"].items())[:3] if value >= 1.0
        ]
        plain_row(
            table,
            name_label(row["resource"]),
            f"{row['idle_hours']:,.0f}",
            percent(row["idle_share"]),
            ", ".join(causes) or "–",
        )
    yield table
    if told := called_gangs(summary):
        yield told


def _held(summary: Summary) -> Iterator[RenderableType]:
    if not summary["held"]:
        return
    table = plain_table(
        "What held the date?  (calendar days of the finish, mean of the runs that finish)",
        "Cause",
        "Days",
        "Of these nights\nand weekends",
        "Mostly in (days)",
        numbers=(1, 2),
    )
    for row in summary["held"]:
        if (row["days"]["value"] or 0.0) < 0.05:
            continue
        tasks = [f"{task} {value:.1f}" for task, value in print_days_as_one(row["tasks"])[:3]]
        plain_row(table, HELD_BY[row["cause"]], mean(row["days"]), f"{row['off_shift_days']:.1f}", ", ".join(tasks))
    yield table


def _concrete(style: Style, summary: Summary) -> Iterator[RenderableType]:
    batched = summary["concrete"]["batched_m3"]
    if not batched["value"]:
        return
    table = plain_table("Where did the concrete go?  (mean of the runs)", "", "Volume", "Of batched", numbers=(1, 2))
    plain_row(table, "batched", style.mean_volume(batched), "")
    for column, label in CONCRETE.items():
        found = summary["concrete"][column]
        plain_row(table, label, style.mean_volume(found), percent((found["value"] or 0.0) / batched["value"]))
    yield table
    yield " ".join([*printing_lines(summary), *beside_lines(style, summary)])


def beside_lines(style: Style, summary: Summary) -> list[str]:
    """Say what was used past its agreed life, and what was poured beside printing; nothing where there is neither."""
    concrete, lines = summary["concrete"], []
    if concrete["past_agreed_life_m3"]["value"]:
        lines.append(
            f"Used past its agreed life, as the waiver allows: {style.mean_volume(concrete['past_agreed_life_m3'])}."
        )
    if concrete["poured_m3"]["value"]:
        breaks = mean(summary["quality"]["pour_breaks"])
        lines.append(f"Poured beside printing: {style.mean_volume(concrete['poured_m3'])}, with {breaks} breaks.")
    return lines


def printing_lines(summary: Summary) -> list[str]:
    """Say in sentences how the printing went: days, nozzle, joints, stops, trucks."""
    quality, printing, trucks = summary["quality"], summary["printing"], summary["trucks"]
    share = printing["nozzle_share"]
    lines = [
        f"{mean(printing['print_days'])} print days"
        + ("." if share is None else f"; the nozzle lays concrete {percent(share)} of their time."),
        f"Unplanned joints: {mean(quality['unplanned_joints'])}.",
        f"Stops of printer and pump: {mean(quality['stops'])}.",
        f"Days called off: {mean(quality['days_called_off'])}.",
    ]
    if trucks["loads"]["value"]:
        lines.append(
            f"Loads: {mean(trucks['loads'])}, and {mean(trucks['loads_called_off'])} called off; "
            f"truck standby {mean(trucks['standby_hours'])} h."
        )
    return lines


def _cost(style: Style, summary: Summary) -> Iterator[RenderableType]:
    cost = summary["cost"]
    if not cost["mean"]["value"]:
        return
    table = plain_table("What does it cost?  (mean of the runs)", "", "Amount", "Share", numbers=(1, 2))
    plain_row(table, "all", style.mean_money(cost["mean"]), "")
    shown, rest = cost["items"][:_FEW_ITEMS], cost["items"][_FEW_ITEMS:]
    for row in shown:
        plain_row(
            table,
            item_label(row["item"]),
            style.mean_money(_item(row)),
            percent(row["mean"] / cost["mean"]["value"]) if row["mean"] >= 0.0 else "–",
        )
    if rest:
        amount = sum(row["mean"] for row in rest)
        plain_row(
            table,
            f"{several(len(rest), 'smaller item')}",
            style.money(amount),
            percent(amount / cost["mean"]["value"]),
        )
    yield table
    yield f"Four in five runs cost no more than {style.money(cost['P80']['value'])}."


def _days_of_causes(style: Style, summary: Summary) -> Iterator[RenderableType]:
    rows = told_causes(summary)
    if not rows:
        return
    table = plain_table(
        "What does a day cost, and whose day is it?  (working days of the site, mean of the runs that finish)",
        "Cause",
        "Days",
        "Overhead,\npenalties",
        "Waiting,\nidle hire",
        "Waste,\nother",
        "Together",
        "A day",
        numbers=(1, 2, 3, 4, 5, 6),
    )
    for row in rows:
        parts = [style.money(row[part]) for part in ("running", "idle", "other")]
        days = f"{row['days']['value']:.1f}" if row["days"]["value"] else "–"
        plain_row(table, HELD_BY[row["cause"]], days, *parts, style.money(row["amount"]["value"]), a_day(style, row))
    yield table
    yield " ".join(charged_lines(style, summary)[:2])


def _promised(style: Style, summary: Summary) -> Iterator[RenderableType]:
    if not summary.get("promised"):
        return
    table = plain_table("Are the promised dates met?  (mean of the runs)", "", "By", "Met by", "Penalty", "Bonus")
    for row in summary["promised"]:
        penalty, bonus = row["penalty"]["value"], row["bonus"]["value"]
        plain_row(
            table,
            place_of(row),
            style.short_date(row["by"]),
            chance_of(row["met"]["value"] or 0.0, summary["runs"]),
            style.money(penalty) if row["penalty_a_day"] else "–",
            style.money(-(bonus or 0.0)) if row["bonus_a_day"] else "–",
        )
    yield table


def _item(row: Summary) -> dict[str, float | None]:
    """Give an item's mean as an estimate, with its interval where one was reckoned."""
    return {"value": row["mean"], "low": row.get("low"), "high": row.get("high")}
