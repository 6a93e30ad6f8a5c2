"""When each building and home reaches each of its milestones."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sitesim.ledger import HANDED_OVER
from sitesim.report.markup import Html, bullets, in_full, joined, paragraph, small, table
from sitesim.report.words import Style, name_label, several, task_label, together

_MOST_ROWS = 12
"""More rows than these are folded away."""

_NEVER = "9999"
"""Stands behind every date, for what never came."""

_LABELS = {
    "slab": "slab ready",
    "walls": "walls at height",
    "strength": "strength reached",
    "beam": "bond beam",
    "cure": "cured",
    "released": "printer and tent gone",
}
"""Names of the milestones of the printing itself, as people say them."""

_MEANS = {
    "slab": "the slab is there and may be built on",
    "walls": "the last layer is printed",
    "strength": "the walls have the strength that is asked for before the printer leaves",
    "beam": "the bond beam is poured and passed",
    "cure": "the beam has cured; the engineer's release decides",
    "released": "printer and tent are out of the way of the roof",
    HANDED_OVER: "everything in it is done and passed",
}
"""What a milestone of the printing itself means; those of the scenario are the ends of its tasks."""

Summary = Mapping[str, Any]
Dates = dict[str, dict[str, Summary]]
"""The dates P50 and P80 by building or home, and by milestone."""


def milestones(style: Style, summary: Summary) -> Html:
    """Answer when which milestone is reached: a table of buildings, one of homes, and what the milestones mean."""
    buildings, homes = _dates_of(summary, "buildings"), _dates_of(summary, "homes")
    if not buildings and not homes:
        return Html("")
    named = list(dict.fromkeys(milestone for of in (*buildings.values(), *homes.values()) for milestone in of))
    return joined(
        [
            paragraph(
                "In every cell the date by which the milestone is as likely reached as not (P50), and beneath it the "
                "one by which 4 in 5 runs have reached it (P80). Each is a date of its own: that all of them are met "
                "together is less likely."
            ),
            _table(style, "Milestones of each building, P50 and P80", buildings),
            _table(style, "Milestones of each home, P50 and P80", homes),
            in_full("What each milestone means", bullets(_meanings(summary, _in_turn([buildings, homes], named)))),
        ]
    )


def _dates_of(summary: Summary, places: str) -> Dates:
    """Gather the dates of buildings or of homes, the hand-over with them."""
    found: Dates = {}
    whole = places == "buildings"
    for row in summary["milestones"]:
        if whole == (not row["home"]):
            found.setdefault(_place(row), {})[row["milestone"]] = {"P50": row["P50"], "P80": row["P80"]}
    for row in summary[places]:
        found.setdefault(_place(row), {})[HANDED_OVER] = {name: row[name]["date"] for name in ("P50", "P80")}
    return found


def _place(row: Summary) -> str:
    return str(row["home"] or row["building"] or "site")


def _in_turn(tables: Iterable[Dates], named: Sequence[str]) -> list[str]:
    """Put milestones into the order in which they are first reached, the hand-over last."""
    first: dict[str, str] = {}
    for dates in tables:
        for of_place in dates.values():
            for milestone, found in of_place.items():
                first[milestone] = min(first.get(milestone, _NEVER), found["P50"] or _NEVER)
    return sorted(named, key=lambda name: (name == HANDED_OVER, first.get(name, _NEVER)))


def _table(style: Style, caption: str, dates: Dates) -> Html:
    if not dates:
        return Html("")
    named = _in_turn([dates], list(dict.fromkeys(name for of_place in dates.values() for name in of_place)))
    rows = [[place, *(_cell(style, of_place.get(name)) for name in named)] for place, of_place in dates.items()]
    whole = table(caption, ["", *map(_label, named)], rows, class_="dates folds" if len(named) > 3 else "dates")
    return whole if len(rows) <= _MOST_ROWS else in_full(f"{caption}: {several(len(rows), 'row')}", whole)


def _cell(style: Style, found: Summary | None) -> Html:
    if found is None:
        return Html("")
    return joined([style.short_date(found["P50"]), small(style.short_date(found["P80"]))])


def _label(milestone: str) -> str:
    return _LABELS.get(milestone, name_label(milestone))


def _meanings(summary: Summary, named: Sequence[str]) -> Iterable[Html]:
    ends: Mapping[str, Sequence[str]] = summary.get("milestone_ends", {})
    for name in named:
        meant = _MEANS.get(name)
        tasks = [task_label(task) for task in ends.get(name, ()) if task != name]
        if meant is None or (tasks and name != HANDED_OVER):
            end = f"the end of {together(tasks)}" if tasks else "as the scenario names it"
            meant = end if meant is None else f"{meant}: {end}"
        yield joined([f"{_label(name)}: {meant}"])
