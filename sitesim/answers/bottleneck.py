"""Where the bottleneck of a site is: what sets the pace of the hand-overs, and by what evidence."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np

from sitesim.answers.flow import flow
from sitesim.answers.stages import Stage
from sitesim.ledger import HANDED_OVER
from sitesim.plan import (
    Cause,
    Holders,
    Kind,
    Node,
    Plan,
    State,
    UnitKind,
    WaitedFor,
    gang_of_unit,
    gangs_needed,
    work_of,
)

if TYPE_CHECKING:
    import pandas as pd

PRINTING_IN_TURN = "printing in turn"
"""What sets the pace where the steps around the printer, one building after the other, hold most of the date."""

OTHERS = "others"
"""What holds a date where none of the site's gangs or machines works."""

_HOURS_A_DAY = 24.0
_AT_WORK = frozenset({State.WORKING.value, State.MOVING.value, State.OVERTIME.value})
_ABSENT = frozenset({State.OFF_SHIFT.value})
_WHILE_PRINTING = frozenset({Cause.CONCRETE, Cause.SETTING, Cause.BREAKDOWN, Cause.PRINTER})
_OF_A_KIND = {Kind.GANTRY: WaitedFor(Cause.PRINTER.value), Kind.TENT: WaitedFor(Cause.TENT.value)}
_OUTSIDE_THE_SITE = frozenset({Cause.MATERIAL.value, Cause.CURE.value, OTHERS})
"""What takes its time whoever is on site; no stage that buildings queue for."""


def bottleneck(plan: Plan, tables: dict[str, pd.DataFrame], activities: pd.DataFrame) -> dict[str, Any] | None:
    """Find what sets the pace of a site; None if no run comes to an end, or nothing holds the date.

    Every day of the chain behind the finish is charged to the gang or machine whose work, or whose being busy, it was,
    or to the inspector, delivery or cure that was waited for. Where printed buildings take turns, what lies in the
    steps of their shells, from setting up to taking down, is also added up: a turn holds the date through many hands.

    Parameters: ``tables`` of the study by name: runs, milestones, time, held; ``activities`` of the runs that stand for
    the confidences. Returns what goes into the summary: ``by``, with ``cause`` and ``of`` what holds the date, most
    first, its days and its share; ``pace``, what sets it, with the days it holds; ``turn``, how the printers take
    turns; ``gangs``, how busy each is between its first work and its last; ``interval``, the days between hand-overs.
    """
    runs = tables["runs"]
    finished = runs.loc[runs["finished"], "run"]
    held = tables["held"]
    if held.empty or finished.empty:
        return None
    rows = _Attribution(plan)
    days = (held.groupby(["cause", "activity"], sort=True)["days"].sum() / len(finished)).items()
    by: dict[WaitedFor, float] = {}
    in_turn: dict[WaitedFor, float] = {}
    for key, amount in days:
        cause, activity = key if isinstance(key, tuple) else (str(key), "")
        holder = rows.holder(cause, activity)
        by[holder] = by.get(holder, 0.0) + float(amount)
        if rows.is_in_turn(activity):
            in_turn[holder] = in_turn.get(holder, 0.0) + float(amount)
    total = sum(by.values())
    turn = _turn(plan, activities, in_turn, total)
    return {
        "days": total,
        "pace": _pace(by, in_turn, turn is not None),
        "by": _ranked(by, total),
        "turn": turn,
        "gangs": list(_gangs(plan, tables["time"])),
        "interval": _interval(tables["milestones"], set(finished)),
    }


def _pace(by: dict[WaitedFor, float], in_turn: dict[WaitedFor, float], takes_turns: bool) -> dict[str, Any] | None:
    """Name what sets the pace, with the days [d] that it holds; None where nothing does that buildings queue for.

    It is the printers' turns where these hold more days than anything does outside them, unless one thing holds more
    than half of the turns' days: then it is that, as anywhere else it is what holds most.
    """
    queued_for = {holder: days for holder, days in by.items() if holder.cause not in _OUTSIDE_THE_SITE}
    turns = sum(in_turn.values())
    if takes_turns and turns > max((days - in_turn.get(one, 0.0) for one, days in queued_for.items()), default=0.0):
        most = max(in_turn, key=lambda one: (in_turn[one], one))
        if most.cause == Cause.PRINTER or most not in queued_for or in_turn[most] <= turns / 2:
            return {"what": PRINTING_IN_TURN, "cause": "", "of": "", "days": turns}
        return {"what": most.cause, **most._asdict(), "days": by[most]}
    if not queued_for:
        return None
    first = max(queued_for, key=lambda one: (queued_for[one], one))
    return {"what": first.cause, **first._asdict(), "days": queued_for[first]}


def _ranked(by: dict[WaitedFor, float], total: float) -> list[dict[str, Any]]:
    ranked = sorted(by.items(), key=lambda item: (-item[1], item[0]))
    return [{"cause": one.cause, "of": one.of, "days": days, "share": days / total} for one, days in ranked if days > 0]


class _Attribution:
    """Charges days of the chain to whoever or whatever had it in hand."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._holders = Holders(plan)
        self._nodes = {node.key: node for node in plan.nodes}
        self._shells = {building.name for building in plan.buildings if building.shell is not None}

    def is_in_turn(self, activity: str) -> bool:
        """Tell whether an activity is a step of a printed building's shell, and so of the printer's turn there."""
        node = self._nodes.get(work_of(activity))
        return activity.split("/", 1)[0] in self._shells if node is None else node.told

    def holder(self, cause: str, activity: str) -> WaitedFor:
        """Tell what had a day of the chain in hand, by its cause and activity."""
        node = self._nodes.get(work_of(activity))
        if node is None and activity.split("/", 1)[0] in self._shells and cause in _WHILE_PRINTING | {Cause.WEATHER}:
            return WaitedFor(Cause.PRINTER.value)
        if cause in (Cause.PREDECESSOR, Cause.WEATHER, Cause.NO_WORK, Cause.CONCRETE, Cause.BREAKDOWN):
            return self._working(node, activity)
        return self._holders.of(cause, activity)

    def _working(self, node: Node | None, activity: str) -> WaitedFor:
        """Tell who works in an activity: its gangs, else its machine, else others."""
        gangs = gangs_needed(node.task.needs, self._plan.units) if node is not None else ""
        if node is not None and node.task.kind in _OF_A_KIND:
            return _OF_A_KIND[node.task.kind]
        if gangs:
            return WaitedFor(Cause.CREW.value, gangs)
        return WaitedFor(OTHERS, activity.split("/", 1)[-1] if node is None else node.task.name)


def _turn(plan: Plan, activities: pd.DataFrame, in_turn: dict[WaitedFor, float], total: float) -> dict[str, Any] | None:
    """Tell how the printers take turns at the buildings; None where fewer than two buildings are printed.

    ``at_a_building`` [d], how long a printer is at one; ``busy``, the share of the time between its first set-up and
    its last taking-down in which it is at some building: means over the printers and the runs of ``activities``.
    """
    printers = [Stage(unit.name) for unit in plan.units if unit.kind is UnitKind.PRINTER]
    if sum(building.shell is not None for building in plan.buildings) < 2 or not printers:
        return None
    stays, busy = [], []
    for _, of_run in activities.groupby("run", sort=True):
        for visits in flow(printers, of_run):
            if visits:
                spans = [visit.end - visit.start for visit in visits]
                stays += spans
                busy.append(sum(spans) / (max(visit.end for visit in visits) - visits[0].start))
    days = sum(in_turn.values())
    return {
        "days": days,
        "share": days / total,
        "by": _ranked(in_turn, days) if days else [],
        "printers": len(printers),
        "at_a_building": _mean(stays) / _HOURS_A_DAY if stays else None,
        "busy": min(1.0, _mean(busy)) if busy else None,
    }


def _mean(values: Iterable[float]) -> float:
    return float(np.mean(list(values)))


def _gangs(plan: Plan, time: pd.DataFrame) -> Iterable[dict[str, Any]]:
    """Give for each gang, all of its kind together, the share of its hours on shift in which it works, most first."""
    hours = time[~time["state"].isin(_ABSENT)].groupby(["resource", "state"])["hours"].sum()
    found: dict[str, tuple[float, float, int]] = {}
    for unit in plan.units:
        if unit.kind is not UnitKind.GANG or unit.name not in hours.index.get_level_values(0):
            continue
        of_unit = hours.loc[unit.name]
        at_work, on_shift = float(of_unit[of_unit.index.isin(_AT_WORK)].sum()), float(of_unit.sum())
        gang = gang_of_unit(unit, plan.units)
        worked, shift, number = found.get(gang, (0.0, 0.0, 0))
        found[gang] = worked + at_work, shift + on_shift, number + 1
    rows = [
        {"gang": gang, "number": number, "busy": worked / shift}
        for gang, (worked, shift, number) in found.items()
        if shift
    ]
    return sorted(rows, key=lambda row: (-row["busy"], row["gang"]))


def _interval(milestones: pd.DataFrame, finished: set[int]) -> dict[str, Any] | None:
    """Give the days [d] between one hand-over and the next, of buildings, or of homes where there is one building."""
    frame = milestones[(milestones["milestone"] == HANDED_OVER) & milestones["run"].isin(finished)]
    for what in ("building", "home"):
        of_these = frame[(frame["home"] != "") == (what == "home")]
        number = len(of_these.groupby(["building", "home"]))
        if number > 1:
            by_run = of_these.groupby("run")["hours"]
            between = (by_run.max() - by_run.min()) / (number - 1)
            return {"of": what, "number": number, "days": _mean(between) / _HOURS_A_DAY}
    return None
