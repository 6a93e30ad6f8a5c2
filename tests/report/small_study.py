"""A made-up study, small enough to reckon by hand: run r is handed over r days after the hundredth day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd
from rigs import bare_plan

from sitesim.answers.stages import Stage
from sitesim.answers.summary import summarise
from sitesim.ledger import COLUMNS, HANDED_OVER
from sitesim.plan import Plan, Unit, UnitKind

GANG = 'roof <b>& "sons"'
SCENARIO = "Reed Bank <script>alert(1)</script> & Co"
REASON = "A1/paint: warm hours do not come within the horizon <x>"


@dataclass(frozen=True)
class SmallStudy:
    """What the page of a study is built from."""

    summary: dict[str, Any]
    runs: pd.DataFrame
    activities: pd.DataFrame
    weeks: pd.DataFrame | None
    manifest: dict[str, Any]


def small_study(
    runs: int = 40,
    unfinished: int = 0,
    units: str = "us",
    printed: bool = True,
    homes: bool = True,
    weather: bool = True,
) -> SmallStudy:
    """Make up a study of one building; the last ``unfinished`` of its ``runs`` do not come to an end."""
    plan = _plan(units, printed)
    finishes = [24.0 * (100 + run) - 7.0 if run < runs - unfinished else float("inf") for run in range(runs)]
    tables = {
        "runs": _runs(finishes, printed),
        "milestones": _milestones(finishes, ("A1", "A2") if homes else ()),
        "time": _time(runs, printed),
        "calls": _calls(runs),
        "visits": _frame("visits", ()),
        "held": _held(runs - unfinished, printed),
        "costs": _costs(runs),
        "cost_causes": _cost_causes(runs),
        "cost_days": _cost_days(runs),
    }
    summary = summarise(plan, tables, plain_finish=24.0 * 100 - 7.0)
    summary |= {"description": ["Walls of 67 layers & one gang."]}
    summary |= {"assumptions": ["Gangs share <one> fortune."], "cautions": ["Limits defer to the engineer & the code."]}
    if weather:
        summary["weather"] = {"name": "made up", "origin": "Invented for a test.", "years": 4, "block_days": 10}
    standing, half = (summary["standing_for"][name] for name in ("P80", "P50"))
    activities = _activities(standing, printed, "A1" if homes else "")
    if half != standing:
        activities = pd.concat([activities.assign(run=half), activities], ignore_index=True)
    weeks = _weeks(standing)
    trades = [Stage("printer"), Stage("tent")] if printed else []
    summary["stages"] = [stage.as_data() for stage in (*trades, Stage(GANG, ("trusses",)), Stage("shell", ("paint",)))]
    manifest = {"seed": 7, "versions": {"sitesim": "0.1.0"}, "scenario_digest": "abc", "tables_digest": "def"}
    return SmallStudy(summary, tables["runs"], activities, weeks, manifest)


def _calls(runs: int) -> pd.DataFrame:
    """Let the gang be called twice, and three times in every other run, ten days apart."""
    rows = [(run, GANG, 2 + run % 2, 240.0 * (1 + run % 2)) for run in range(runs)]
    return pd.DataFrame(rows, columns=["run", "resource", "calls", "away_hours"])


def _plan(units: str, printed: bool) -> Plan:
    gangs = [Unit("shell", UnitKind.GANG, "site"), Unit(GANG, UnitKind.GANG, "site")]
    machines = [Unit("printer", UnitKind.PRINTER, "site"), Unit("tent", UnitKind.TENT, "site")] if printed else []
    plan = bare_plan((), [*gangs, *machines], ())
    costs = replace(plan.costs, currency="USD" if units == "us" else "EUR")
    return replace(plan, name=SCENARIO, units_of_measure=units, costs=costs)


def _frame(table: str, rows: Any) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(COLUMNS[table]))


def _runs(finishes: list[float], printed: bool) -> pd.DataFrame:
    counts: Mapping[str, float] = dict.fromkeys(COLUMNS["runs"], 0.0)
    # 10 m³ batched: 8 in place and 2 washed out, so that the balance is whole
    concrete = {"batched_m3": 10.0, "in_place_m3": 8.0, "washed_out_m3": 2.0}
    printing = {"print_days": 5, "loads": 5, "unplanned_joints": 1, "nozzle_hours": 20.0, "print_day_hours": 40.0}
    rows = [
        {
            **counts,
            **({**concrete, **printing} if printed else {}),
            "run": run,
            "finish_hours": finish,
            "cost": 10000.0 + 2.0 * run,
            "inspections": 4 + run % 2,
            "finished": finish < float("inf"),
            "unfinished_reason": "" if finish < float("inf") else REASON,
        }
        for run, finish in enumerate(finishes)
    ]
    return _frame("runs", rows)


def _costs(runs: int) -> pd.DataFrame:
    items = ("gang shell", "site overhead")
    return _frame(
        "costs", ({"run": run, "item": item, "amount": 5000.0 + run} for run in range(runs) for item in items)
    )


_SPENT = {
    ("work", "", "gang shell"): 4000.0,
    ("waiting", "inspection", "gang shell"): 600.0,
    ("waiting", "predecessor", "gang shell"): 400.0,
    ("overhead", "predecessor", "site overhead"): 3000.0,
    ("overhead", "weather", "site overhead"): 2000.0,
}
"""What a run of the made-up study spends, by what it is spent on, cause and item; each run r spends r more on two."""


def _cost_causes(runs: int) -> pd.DataFrame:
    more = {("work", "", "gang shell"), ("overhead", "weather", "site overhead")}
    return _frame(
        "cost_causes",
        (
            dict(zip(COLUMNS["cost_causes"], (run, *line, amount + run * (line in more)), strict=True))
            for run in range(runs)
            for line, amount in _SPENT.items()
        ),
    )


def _cost_days(runs: int) -> pd.DataFrame:
    days = {"": 0.0, "inspection": 0.0, "predecessor": 42.0, "weather": 7.0}
    amounts = {"": 4000.0, "inspection": 600.0, "predecessor": 3400.0, "weather": 2000.0}
    return _frame(
        "cost_days",
        (
            {
                "run": run,
                "cause": cause,
                "days": days[cause],
                "amount": amounts[cause] + run * (cause in ("", "weather")),
            }
            for run in range(runs)
            for cause in days
        ),
    )


def _milestones(finishes: list[float], homes: tuple[str, ...]) -> pd.DataFrame:
    rows = []
    for run, finish in enumerate(finishes):
        for home in ("", *homes):
            rows.append({"run": run, "building": "A", "home": home, "milestone": HANDED_OVER, "hours": finish})
        rows.append({"run": run, "building": "A", "home": "", "milestone": "walls", "hours": 400.0})
    return _frame("milestones", rows)


def _time(runs: int, printed: bool) -> pd.DataFrame:
    gangs = {
        ("shell", "working", ""): 100.0,
        ("shell", "waiting", "predecessor"): 60.0,
        ("shell", "waiting", "inspection"): 40.0,
        (GANG, "working", ""): 50.0,
        (GANG, "waiting", "no work"): 50.0,
    }
    machines = {
        ("printer", "working", ""): 20.0,
        ("printer", "waiting", "concrete"): 5.0,
        ("printer", "down", "breakdown"): 3.0,
        ("tent", "waiting", "printer"): 28.0,
    }
    hours = gangs | machines if printed else gangs
    return _frame(
        "time",
        (
            {"run": run, "resource": resource, "state": state, "cause": cause, "hours": length}
            for run in range(runs)
            for (resource, state, cause), length in hours.items()
        ),
    )


def _held(finished: int, printed: bool) -> pd.DataFrame:
    causes = {("predecessor", "A1/paint"): 60.0, ("weather", "A/trusses"): 10.0}
    if printed:
        causes |= {("printer", "A/print day 1"): 12.0, ("printer", "A/print day 2"): 14.0}
    return _frame(
        "held",
        (
            {"run": run, "cause": cause, "activity": activity, "days": days + run % 2, "off_shift_days": days / 2}
            for run in range(finished)
            for (cause, activity), days in causes.items()
        ),
    )


def _activities(run: int, printed: bool, home: str) -> pd.DataFrame:
    place = home or "A"
    told = [
        (0, "", "A/slab", "", "handed in", "", 0.0, 0.0, ""),
        (5, GANG, "A/trusses", "", "work", "", 700.0, 760.0, "A/slab"),
        (6, "", "A/trusses inspection", "", "inspection", "", 760.0, 800.0, "A/trusses"),
        (7, "", f"{place}/utility meter", home, "delivery", "", 300.0, 1500.0, "A/slab"),
        (8, "shell", f"{place}/paint", home, "work", "", 1500.0, 1600.0, f"{place}/utility meter"),
        (9, "", f"{place}/paint + 2 d", home, "cure", "", 1600.0, 3137.0, f"{place}/paint"),
    ]
    if printed:
        for machine in ("shell", "printer"):
            told += [
                (1, machine, "A/gantry_up", "", "gantry", "", 7.0, 40.0, "A/slab"),
                (4, machine, "A/gantry_down", "", "gantry", "", 400.0, 420.0, "A/print day 1"),
            ]
        for machine in ("shell", "printer", "tent"):
            told += [
                (3, machine, "A/print day 1", "", "working", "", 79.0, 83.0, "A/tent_up"),
                (3, machine, "A/print day 1", "", "waiting", "concrete", 83.0, 84.5, "A/tent_up"),
                (3, machine, "A/print day 1", "", "working", "", 84.5, 88.0, "A/tent_up"),
            ]
        told += [(2, "tent", "A/tent_up", "", "tent", "", 40.0, 60.0, "A/gantry_up")]
    names = ("serial", "resource", "activity", "home", "kind", "cause", "start", "end", "held_by")
    rows = [{"run": run, "building": "A", **dict(zip(names, row, strict=True))} for row in told]
    for row in rows:
        in_pieces = row["kind"] in ("working", "waiting")
        row["state"] = row["kind"] if in_pieces else "working" if row["resource"] else ""
        row["kind"] = "printing" if in_pieces else row["kind"]
    return _frame("activities", rows)


def _weeks(run: int) -> pd.DataFrame:
    """Make up three weeks: the shell gang works, is away and waits; the other one comes in the third."""
    told = [
        ("shell", 0, "moving", "", 10.0),
        ("shell", 0, "working", "", 25.0),
        ("shell", 0, "waiting", "weather", 2.0),
        ("shell", 0, "waiting", "predecessor", 3.0),
        ("shell", 0, "off shift", "", 121.0),
        ("shell", 1, "off shift", "", 168.0),
        ("shell", 2, "waiting", "inspection", 40.0),
        ("shell", 2, "off shift", "", 128.0),
        (GANG, 2, "working", "", 20.0),
        (GANG, 2, "overtime", "", 4.0),
    ]
    return _frame("weeks", ({"run": run, **dict(zip(COLUMNS["weeks"][1:], row, strict=True))} for row in told))
