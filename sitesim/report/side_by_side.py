"""Scenarios side by side in the terminal: the answer in a sentence or two, then the figures."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from sitesim.answers.comparison import Against, Compared
from sitesim.answers.differences import PairedDifference, PairOrder
from sitesim.answers.statistics import Estimate
from sitesim.report.days_moved import days_table, signed_days
from sitesim.report.money_moved import money_table, scenarios_table, signed
from sitesim.report.plain_data import plain_mapping
from sitesim.report.words import WAITED_FOR, Style, percent, several
from sitesim.report.words import days as in_days
from sitesim.report.words import hours as in_hours

if TYPE_CHECKING:
    from rich.console import Group, RenderableType
    from rich.table import Table

_MAIN_CAUSES = 4
_MAIN_GANGS = 6
_WORTH_A_LINE = 8.0
"""The hours by which a gang's waiting has to differ between scenarios to be shown."""
_OF_ONE_PAIR = "(of one pair)"
"""Stands where an interval would, which takes two pairs."""
_ABREAST = 2
"""How many scenarios fit beside the reference on a line of 100 columns."""


def comparison_report(compared: Sequence[Compared]) -> Group:
    """Lay a comparison out for a terminal of 100 columns."""
    from rich.console import Group
    from rich.text import Text

    style = Style.of(compared[0].summary)
    parts: list[RenderableType] = [Text(sentence(style, compared[0], other), style="bold") for other in compared[1:]]
    for others in _abreast(compared[1:]):
        together = (compared[0], *others)
        parts += ["", _figures(style, together), "", _differences(style, together)]
        for table in (days_table(together), money_table(style, together)):
            parts += [] if table is None else ["", table]
    parts += [
        "",
        f"{several(compared[0].summary['runs'], 'run')} of each, under the same weather and breakdowns, compared pair "
        "by pair. For each question the intervals of all scenarios hold together at 95 %; a chance counts pairs.",
    ]
    return Group(*parts)


def _abreast(others: Sequence[Compared]) -> list[Sequence[Compared]]:
    """Cut a long comparison into tables that can be read."""
    return [others[i : i + _ABREAST] for i in range(0, len(others), _ABREAST)]


def as_data(compared: Sequence[Compared]) -> list[dict[str, Any]]:
    """Give a comparison as plain data for programs; what is not finite becomes None."""
    return [
        {
            "scenario": one.name,
            "finish": one.summary["finish"],
            "cost": one.summary["cost"],
            "figures": {name: plain_mapping(asdict(figure)) for name, figure in one.figures.items()},
            "printer_waiting_hours": one.printer_waiting,
            "gangs_waiting_hours": one.gangs_waiting,
            "against_the_first": None if one.against is None else plain_mapping(asdict(one.against)),
            "held_days": {
                moved.cause: {"reference": moved.planned, "here": moved.now} | plain_mapping(asdict(moved.moved))
                for moved in one.held
            },
            "money": {
                "items": {moved.name: plain_mapping(asdict(moved.difference)) for moved in one.items},
                "causes": {moved.name: plain_mapping(asdict(moved.difference)) for moved in one.causes},
            },
        }
        for one in compared
    ]


def sentence(style: Style, reference: Compared, other: Compared) -> str:
    """Say which is earlier and which is cheaper, or that it cannot be told."""
    assert other.against is not None
    parts = [_which_is_earlier(reference, other, other.against), _which_is_cheaper(style, reference, other)]
    turning = turning_rate(reference, other)
    if turning is not None:
        above = "above" if turning > _standby_rate(reference, other) else "below"
        parts.append(f"the cheaper of the two changes {above} {style.money(turning)} an hour of truck standby")
    return f"{other.name}: {'; '.join(parts)}."


def turning_rate(reference: Compared, other: Compared) -> float | None:
    """Find the standby rate [currency/h] at which both would cost the same; None if there is none within five times.

    Costs are linear in the rate, since what the site does is not changed by it.
    """
    assert other.against is not None
    difference = other.against.cost.mean
    standby = _standby_hours(other) - _standby_hours(reference)
    rate = _standby_rate(reference, other)
    if not rate or abs(standby) < 1.0 or not math.isfinite(difference) or not other.against.cost.distinguishable:
        return None
    turning = rate - difference / standby
    return turning if 0.0 < turning <= 5.0 * rate else None


def _standby_hours(one: Compared) -> float:
    return float(one.summary["trucks"]["standby_hours"]["value"] or 0.0)


def _standby_rate(reference: Compared, other: Compared) -> float:
    """Give the standby rate that the costs were reckoned with."""
    for one in (reference, other):
        paid = sum(row["mean"] for row in one.summary["cost"]["items"] if row["item"] == "truck standby")
        if paid and _standby_hours(one):
            return float(paid) / _standby_hours(one)
    return 0.0


def _which_is_earlier(reference: Compared, other: Compared, against: Against) -> str:
    finish = against.finish_days
    if not math.isfinite(finish.mean):
        return "finish dates cannot be compared, since runs do not come to an end"
    if not finish.distinguishable:
        return f"finish dates cannot be told apart from those of {reference.name}"
    direction = "earlier" if finish.mean < 0 else "later"
    return (
        f"{abs(finish.mean):.1f} calendar days {direction} on average ({_range(finish.low, finish.high)}), "
        f"earlier in {percent(against.earlier.earlier.value)} of pairs of runs{_ties(against.earlier)}"
    )


def _ties(order: PairOrder) -> str:
    """Tell how often both are the same, where that is worth a word."""
    return f" and the same in {percent(order.same.value)}" if order.same.value >= 0.095 else ""


def _which_is_cheaper(style: Style, reference: Compared, other: Compared) -> str:
    assert other.against is not None
    cost = other.against.cost
    if not cost.distinguishable:
        between = (
            f" (difference {style.money(cost.low)} to {style.money(cost.high)})" if math.isfinite(cost.low) else ""
        )
        return f"costs cannot be told apart{between}"
    direction = "cheaper" if cost.mean < 0 else "dearer"
    return (
        f"about {style.money(abs(cost.mean))} {direction}, "
        f"cheaper in {percent(other.against.cheaper.earlier.value)} of pairs{_ties(other.against.cheaper)}"
    )


def _range(low: float, high: float) -> str:
    least, most = sorted((abs(low), abs(high)))
    return f"{least:.1f} to {most:.1f}"


def _figures(style: Style, compared: Sequence[Compared]) -> Table:
    table = scenarios_table("Side by side", [one.name for one in compared])
    rows: list[tuple[str, list[str]]] = [
        (f"finish, {label}", [style.short_date(one.summary["finish"][name]["date"]) for one in compared])
        for name, label in (("P50", "1 in 2"), ("P80", "4 in 5"))
    ]
    rows.append(("cost, mean", [style.mean_money(one.summary["cost"]["mean"]) for one in compared]))
    for name in compared[0].figures:
        rows.append((name, [_figure(style, name, one.figures[name]) for one in compared]))
    waiting = [one.printer_waiting for one in compared]
    rows.append(("printer waiting or down", _totals(waiting)))
    for cause in _differing_most(waiting)[:_MAIN_CAUSES]:
        rows.append((f"  for {WAITED_FOR[cause]}", _hours_of(cause, waiting)))
    waiting = [one.gangs_waiting for one in compared]
    if any(waiting):
        rows.append(("gangs waiting, together", _totals(waiting)))
    for gang in _differing_most(waiting, _WORTH_A_LINE)[:_MAIN_GANGS]:
        rows.append((f"  {gang}", _hours_of(gang, waiting)))
    away = [sum(row["away_days"]["value"] for row in one.summary.get("calls", ())) for one in compared]
    if any(away):
        rows.append(("gangs away, together", [in_days(days) for days in away]))
    rows.append(("runs that do not end", [str(one.summary["unfinished"]["runs"]) for one in compared]))
    for name, cells in rows:
        table.add_row(name, *cells)
    return table


def _totals(waiting: Sequence[Mapping[str, float]]) -> list[str]:
    return [in_hours(sum(of_one.values())) for of_one in waiting]


def _hours_of(name: str, waiting: Sequence[Mapping[str, float]]) -> list[str]:
    return [in_hours(of_one.get(name, 0.0)) for of_one in waiting]


def _differing_most(waiting: Sequence[Mapping[str, float]], least: float = 0.0) -> list[str]:
    """Name what differs between the scenarios by at least so much [h], most first."""
    names = {name for of_one in waiting for name in of_one}
    spread = {name: _spread([of_one.get(name, 0.0) for of_one in waiting]) for name in names}
    return sorted((name for name in names if spread[name] >= least), key=lambda name: (-spread[name], name))


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values)


def _figure(style: Style, name: str, figure: Estimate) -> str:
    estimate = {"value": figure.value, "low": figure.low, "high": figure.high}
    if "concrete" in name:
        return style.mean_volume(estimate)
    half = (figure.high - figure.low) / 2
    unit = " h" if "standby" in name else ""
    return f"{figure.value:,.1f} ± {half:,.1f}{unit}" if math.isfinite(half) else f"{figure.value:,.1f}{unit}"


def _differences(style: Style, compared: Sequence[Compared]) -> Table:
    table = scenarios_table(f"Against {compared[0].name}", [one.name for one in compared[1:]])
    against = [one.against for one in compared[1:] if one.against is not None]
    rows = [
        ("finish, days (- earlier)", [_days(one.finish_days.mean, one.finish_days) for one in against]),
        ("finish at 4 in 5, days", [_days(one.shift_p80_days.shift, one.shift_p80_days) for one in against]),
        ("earlier / same / later", [_order(one.earlier) for one in against]),
        (
            "cost (- cheaper)",
            [_money(style, one.cost) for one in against],
        ),
        ("cheaper / same / dearer", [_order(one.cheaper) for one in against]),
    ]
    for name, cells in rows:
        table.add_row(name, *cells)
    return table


def _days(value: float, interval: Any) -> str:
    if not math.isfinite(value):
        return "cannot be said"
    if not math.isfinite(interval.low):
        return f"{signed_days(value)} {_OF_ONE_PAIR}"
    return f"{signed_days(value)} ({signed_days(interval.low)} to {signed_days(interval.high)})"


def _money(style: Style, cost: PairedDifference) -> str:
    if not math.isfinite(cost.low):
        return f"{signed(style, cost.mean)} {_OF_ONE_PAIR}"
    return f"{signed(style, cost.mean)} ({signed(style, cost.low)} to {signed(style, cost.high)})"


def _order(order: PairOrder) -> str:
    return " / ".join(percent(share.value) for share in (order.earlier, order.same, order.later))
