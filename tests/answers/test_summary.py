"""The summary of a study against figures reckoned by hand from ten made-up runs.

The runs finish at 15:00 on the 1st, 2nd, 3rd, 4th, 5th, 9th, 10th, 11th, 12th and 15th of March 2027, though not in
this order; the 1st is a Monday, and the 8th a holiday.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from rigs import WEEKDAYS, bare_plan, printing_plan
from scipy.stats import binomtest, t

from sitesim.answers.summary import summarise
from sitesim.chance import Pert
from sitesim.hours import NEVER, WeekPattern
from sitesim.ledger import COLUMNS, HANDED_OVER
from sitesim.plan import Building, Kind, Node, Plan, Task, Unit, UnitKind
from sitesim.study import StudySettings, run_study

HOLIDAY = frozenset({date(2027, 3, 8).toordinal()})
DAYS = (10, 1, 12, 3, 15, 2, 5, 11, 4, 9)
FIGURES = [column for column in COLUMNS["runs"] if column not in ("run", "finished", "unfinished_reason")]


def at_three(day: float) -> float:
    """Give 15:00 of a day of March as hours from the start."""
    return 24.0 * day - 9.0


def plan_of() -> Plan:
    units = [
        Unit("roof", UnitKind.GANG, "site"),
        Unit("printer 1", UnitKind.PRINTER, "site"),
        Unit("crane", UnitKind.CRANE, "site", on_call=True),
    ]
    return bare_plan((), units, [Building("A", 0, (), None)], calendar=WeekPattern(WEEKDAYS.spans, HOLIDAY))


def with_milestones(plan: Plan, milestones: dict[str, str]) -> Plan:
    """Give the plan with a task for each name, twice, and the milestone that its end is."""
    tasks = [Task(name, Kind.WORK, 0, (), Pert(1, 2, 3), "site") for name in (*milestones, *milestones)]
    nodes = [
        Node(i, f"A/{task.name} {i}", task, 0, "", (), milestone=milestones[task.name]) for i, task in enumerate(tasks)
    ]
    return replace(plan, nodes=tuple(nodes))


def runs_of(days: Sequence[float], **columns: Sequence[float]) -> pd.DataFrame:
    frame = pd.DataFrame({"run": range(len(days))})
    for column in FIGURES:
        frame[column] = 0.0
    frame["finish_hours"] = [at_three(day) for day in days]
    frame["finished"] = frame["finish_hours"] < math.inf
    frame["unfinished_reason"] = ["" if done else "roof: no dry hours" for done in frame["finished"]]
    return frame.assign(**columns)  # type: ignore[arg-type]  # columns of numbers


def table(name: str, *rows: tuple[object, ...]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(COLUMNS[name]))


def summary_of(
    runs: pd.DataFrame | None = None, plain_finish: float = at_three(4), **tables: pd.DataFrame
) -> dict[str, Any]:
    runs = runs_of(DAYS) if runs is None else runs
    others = {name: table(name) for name in ("milestones", "time", "calls", "held", "costs")}
    return summarise(plan_of(), {"runs": runs, **others, **tables}, plain_finish)


def test_a_milestone_is_named_with_the_tasks_whose_end_it_is() -> None:
    plan = with_milestones(plan_of(), {"deck": "dry-in", "felt": "dry-in", "paint": ""})
    runs = {"runs": runs_of(DAYS), **{name: table(name) for name in ("milestones", "time", "held", "costs")}}
    assert summarise(plan, runs, at_three(4))["milestone_ends"] == {"dry-in": ["deck", "felt"]}


def test_what_it_is_of() -> None:
    summary = summary_of()
    assert (summary["scenario"], summary["start"], summary["runs"]) == ("rig", "2027-03-01", 10)
    assert (summary["units"], summary["currency"], summary["weather"]) == ("metric", "USD", None)


@pytest.mark.parametrize(("name", "day"), [("P10", 1), ("P50", 5), ("P80", 11), ("P90", 12)])
def test_a_quantile_is_the_finish_of_a_run(name: str, day: int) -> None:
    quantile = summary_of()["finish"][name]
    assert quantile["hours"] == at_three(day)
    assert quantile["date"] == f"2027-03-{day:02d}"


def test_the_p50_lies_between_the_second_and_the_ninth_of_ten() -> None:
    """Order statistics of ten values: 2nd and 9th with a coverage of 0.9785 (tables of the sign test, recomputed)."""
    quantile = summary_of()["finish"]["P50"]
    assert (quantile["low"], quantile["high"]) == ("2027-03-02", "2027-03-12")
    assert quantile["coverage"] == pytest.approx(0.978516, abs=1e-6)


def test_either_side_is_the_longer_arm_in_working_days() -> None:
    """Back from the 5th: 3rd, 4th, 5th, so three. On to the 12th: 9th to 12th, so four, the 8th being a holiday."""
    assert summary_of()["finish"]["P50"]["working_days_either_side"] == 4


def test_ten_runs_do_not_bound_the_p80_from_above() -> None:
    quantile = summary_of()["finish"]["P80"]
    assert quantile["low"] == "2027-03-05"
    assert quantile["high"] is None
    assert quantile["working_days_either_side"] is None


def test_the_chance_of_the_plain_plan_counts_the_runs_that_meet_it() -> None:
    plain = summary_of()["plain_plan"]
    exact = binomtest(4, 10).proportion_ci()
    assert (plain["date"], plain["hours"]) == ("2027-03-04", at_three(4))
    assert plain["chance"] == pytest.approx({"value": 0.4, "low": exact.low, "high": exact.high})


def test_the_plain_plan_is_met_to_the_end_of_its_day() -> None:
    # by hand: it ends at 9 o'clock on the 2nd; of three runs one ends at 15:00 of it, one at its midnight, one later
    midnight, later = (48 + 9) / 24, (48.25 + 9) / 24
    plain = summary_of(runs_of((2, midnight, later)), plain_finish=33.0)["plain_plan"]
    assert plain["date"] == "2027-03-02"
    assert plain["chance"]["value"] == pytest.approx(2 / 3)


def test_a_plain_plan_that_never_ends_is_met_by_no_run() -> None:
    plain = summary_of(runs_of((1, 2, math.inf)), plain_finish=NEVER)["plain_plan"]
    assert (plain["date"], plain["hours"], plain["chance"]["value"]) == (None, None, 0.0)


def test_the_runs_that_stand_for_the_quantiles_are_named() -> None:
    assert summary_of()["standing_for"] == {"P10": 1, "P50": 6, "P80": 7, "P90": 2}


def test_of_several_with_that_finish_the_first_stands_for_it() -> None:
    assert summary_of(runs_of((9, 5, 5, 5, 1)))["standing_for"]["P50"] == 1


def test_runs_that_never_end_rank_last_and_are_told_with_their_reasons() -> None:
    summary = summary_of(runs_of((1, 2, math.inf, 3, 4, 5, 9, 10, math.inf, 11)))
    assert summary["unfinished"] == {"runs": 2, "reasons": [{"reason": "roof: no dry hours", "runs": 2}]}
    assert summary["finish"]["P80"]["date"] == "2027-03-11"
    assert summary["finish"]["P90"] | {"coverage": 0} == {
        "hours": None,
        "date": None,
        "low": "2027-03-10",
        "high": None,
        "coverage": 0,
        "working_days_either_side": None,
    }


def test_no_run_that_ends_still_gives_a_summary() -> None:
    summary = summary_of(runs_of((math.inf, math.inf)), plain_finish=NEVER)
    assert summary["finish"]["P10"]["date"] is None
    assert summary["held"] == []
    assert summary["criticality"] == []


def test_idle_time_by_resource_and_cause() -> None:
    """Two of ten runs have hours: 100 of work, 40 waiting for weather, 10 for a crew, 100 off shift, 5 of overtime."""
    time = table(
        "time",
        (0, "roof", "working", "", 60.0),
        (0, "roof", "waiting", "weather", 20.0),
        (0, "roof", "waiting", "crew", 10.0),
        (0, "roof", "off shift", "", 100.0),
        (0, "roof", "overtime", "", 5.0),
        (1, "roof", "working", "", 40.0),
        (1, "roof", "waiting", "weather", 20.0),
        (1, "printer 1", "down", "breakdown", 30.0),
        (1, "printer 1", "moving", "", 10.0),
    )
    roof, printer = summary_of(time=time)["time"]
    assert (roof["resource"], roof["kind"], roof["is_gang"]) == ("roof", "gang", True)
    assert roof["on_shift_hours"] == pytest.approx(15.0), "overtime lies outside the shift"
    assert roof["idle_hours"] == pytest.approx(5.0)
    assert roof["idle_share"] == pytest.approx(1 / 3)
    assert list(roof["waiting"].items()) == [("weather", pytest.approx(4.0)), ("crew", pytest.approx(1.0))]
    assert roof["states"]["off shift"] == pytest.approx(10.0)
    assert (printer["kind"], printer["is_gang"]) == ("printer", False)
    assert printer["idle_share"] == pytest.approx(0.75), "a machine that is down is idle"


def test_a_resource_that_is_always_off_shift_is_not_idle() -> None:
    (roof,) = summary_of(time=table("time", (0, "roof", "off shift", "", 10.0)))["time"]
    assert roof["idle_share"] == 0.0


def test_what_held_the_date_is_a_mean_of_the_runs_that_end() -> None:
    """Ten runs, of which two do not end: 3 days for crews in the eight others, 2.4 in painting and 0.6 in framing."""
    runs = runs_of((*DAYS[:8], math.inf, math.inf))
    held = table(
        "held",
        (0, "crew", "A1/paint", 1.6, 0.4),
        (0, "crew", "A2/paint", 0.8, 0.4),
        (1, "crew", "A1/frame", 0.6, 0.0),
        (1, "predecessor", "A1/paint", 0.2, 0.0),
    )
    crew, other = summary_of(runs, held=held)["held"]
    assert (crew["cause"], other["cause"]) == ("crew", "predecessor")
    assert crew["days"]["value"] == pytest.approx(3.0 / 8)
    assert crew["off_shift_days"] == pytest.approx(0.1)
    assert crew["tasks"] == [
        {"task": "paint", "days": pytest.approx(0.3)},
        {"task": "frame", "days": pytest.approx(0.075)},
    ]
    assert other["tasks"] == [], "less than a twentieth of a day is not told"


def test_runs_without_a_cause_count_as_none_of_it() -> None:
    """Values 4, 0, 0, 0: mean 1, standard deviation 2, so ± 3.182 with three degrees of freedom."""
    held = table("held", (0, "weather", "A/roof", 4.0, 0.0), (1, "crew", "A/roof", 1.0, 0.0))
    weather = next(row for row in summary_of(runs_of((1, 2, 3, 4)), held=held)["held"] if row["cause"] == "weather")
    assert weather["days"]["value"] == 1.0
    assert weather["days"]["high"] - 1.0 == pytest.approx(3.1824, abs=1e-4)


def test_criticality_is_the_share_of_runs_with_time_on_the_chain() -> None:
    held = table(
        "held",
        (0, "crew", "A1/paint", 1.0, 0.0),
        (0, "weather", "A1/paint", 2.0, 0.0),
        (1, "crew", "A1/paint", 1.0, 0.0),
        (1, "crew", "A1/frame", 0.0, 0.0),
        (2, "crew", "A1/frame", 3.0, 0.0),
    )
    assert summary_of(runs_of((1, 2, 3, 4)), held=held)["criticality"] == [
        {"activity": "A1/paint", "share": 0.5, "days": 1.0},
        {"activity": "A1/frame", "share": 0.25, "days": 0.75},
    ]


def test_hand_over_dates_by_building_and_by_home() -> None:
    rows = [
        (run, building, home, HANDED_OVER, at_three(day + later))
        for building, home, later in (("A", "", 1), ("A", "A2", 1), ("A", "A1", 0))
        for run, day in enumerate(DAYS)
    ]
    summary = summary_of(milestones=table("milestones", *rows, (0, "A", "A1", "dry-in", 1.0)))
    assert [(row["building"], row["home"], row["P80"]["date"]) for row in summary["homes"]] == [
        ("A", "A1", "2027-03-11"),
        ("A", "A2", "2027-03-12"),
    ]
    assert [(row["building"], row["P80"]["date"]) for row in summary["buildings"]] == [("A", "2027-03-12")]


def test_other_milestones_have_their_p50_and_p80() -> None:
    rows = [(run, "A", "", "dry-in", at_three(day)) for run, day in enumerate(DAYS)]
    rows += [(run, "A", "", HANDED_OVER, at_three(30)) for run in range(10)]
    assert summary_of(milestones=table("milestones", *rows))["milestones"] == [
        {"building": "A", "home": "", "milestone": "dry-in", "P50": "2027-03-05", "P80": "2027-03-11"}
    ]


def test_concrete_and_quality_are_means_with_students_interval() -> None:
    """Values 1 to 10: mean 5.5, standard deviation √(55/6)."""
    summary = summary_of(runs_of(DAYS, rejected_m3=range(1, 11), unplanned_joints=range(1, 11)))
    half = float(t.ppf(0.975, 9)) * math.sqrt(55 / 6 / 10)
    for estimate in (summary["concrete"]["rejected_m3"], summary["quality"]["unplanned_joints"]):
        assert estimate == pytest.approx({"value": 5.5, "low": 5.5 - half, "high": 5.5 + half})
    assert summary["concrete"]["batched_m3"]["value"] == 0.0


def test_the_nozzle_share_is_of_all_print_day_hours() -> None:
    summary = summary_of(runs_of((1, 2), nozzle_hours=[10.0, 2.0], print_day_hours=[20.0, 4.0], print_days=[3, 1]))
    assert summary["printing"]["nozzle_share"] == pytest.approx(0.5)
    assert summary["printing"]["print_days"]["value"] == 2.0


def test_without_print_days_there_is_no_nozzle_share() -> None:
    assert summary_of()["printing"]["nozzle_share"] is None


def test_costs_by_item_most_first_and_their_quantiles() -> None:
    runs = runs_of(DAYS, cost=[100.0 * n for n in range(1, 11)])
    costs = table("costs", (0, "crane calls", 50.0), (1, "crane calls", 150.0), (0, "site overhead", 900.0))
    cost = summary_of(runs, costs=costs)["cost"]
    assert cost["mean"]["value"] == 550.0
    assert (cost["P50"]["value"], cost["P80"]["value"]) == (500.0, 800.0)
    assert [(row["item"], row["mean"]) for row in cost["items"]] == [("site overhead", 90.0), ("crane calls", 20.0)]
    half = float(t.ppf(0.975, 9)) * 90.0  # one value of 900 among ten has a standard error of 90
    assert cost["items"][0]["high"] == pytest.approx(90.0 + half)


def test_held_days_add_up_to_the_mean_finish_of_a_real_study(tmp_path: Path) -> None:
    """And the states of a gang to its time on site: nothing is lost between the runs and their summary."""
    plan = printing_plan()
    nodes = tuple(
        replace(node, task=replace(node.task, duration=Pert(20.0, 40.0, 90.0))) if node.task.name == "roof" else node
        for node in plan.nodes
    )
    plan = replace(plan, nodes=nodes)
    folder = run_study(plan, "sum", StudySettings(runs=20, workers=1, engine="here"), tmp_path / "study").folder
    tables = {name: folder.table(name) for name in ("runs", "milestones", "time", "calls", "held", "costs")}
    summary = summarise(plan, tables, 0.0)
    finish = tables["runs"]["finish_hours"]
    assert finish.nunique() > 10
    held = sum(row["days"]["value"] for row in summary["held"])
    assert held == pytest.approx(finish.mean() / 24.0, rel=1e-9)
    off_shift = sum(row["off_shift_days"] for row in summary["held"])
    assert 0.0 < off_shift < held
    activities = {row["activity"]: row["share"] for row in summary["criticality"]}
    assert activities["B/roof"] == 1.0, "the last roof ends the site, so it is always on the chain"
    items = sum(row["mean"] for row in summary["cost"]["items"])
    assert items == pytest.approx(summary["cost"]["mean"]["value"], rel=1e-9)
