"""What a scenario says of money: into the plan, said back in words, and what is wrong about it."""

from __future__ import annotations

from datetime import date
from math import inf
from pathlib import Path

import pytest
from cases import DEMO, SCENARIOS, changed, lines_of, written

from sitesim.plan import Hire, Promise, UnitKind
from sitesim.scenario import load

SHELL = "  shell: {size: 6, skills: [print, rig, pour], calendar: print, rate: 320}\n"
ROOF = "  roof: {size: 4, rate: 190}\n"
RELOCATION = "relocation:\n  order: gantry-first"


def hire_of(path: Path, *sets: str) -> dict[str, Hire]:
    return {unit.name: unit.hire for unit in load(path, sets).plan().units}


def test_what_is_hired_reaches_the_plan(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        (ROOF, "  roof: {size: 4, day: 1500, mobilisation: 300, demobilisation: 200.50, waiting: 0}\n"),
        (SHELL, SHELL.replace("rate: 320", "rate: 320, waiting: 160, weekend: 480")),
        (RELOCATION, "crane: {day: 1400 /d, mobilisation: 900}\n\n" + RELOCATION),
    )
    sets = (
        "costs.printer_day=500",
        "costs.printer_mobilisation=7000",
        "costs.printer_demobilisation=6000",
        "costs.tent_demobilisation=800",
    )
    hire = hire_of(path, *sets)
    assert hire["roof"] == Hire(day=1500.0, mobilisation=300.0, demobilisation=200.5, idle_days=False)
    assert hire["shell"] == Hire(weekend=480.0, weekend_waiting=240.0)
    assert hire["crane"] == Hire(day=1400.0, mobilisation=900.0)
    assert hire["printer"] == Hire(500.0, 7000.0, 6000.0)
    assert hire["tent"] == Hire(400.0, 1200.0, 800.0)


def test_a_week_is_seven_days_of_hire(tmp_path: Path) -> None:
    assert hire_of(changed(tmp_path, (ROOF, "  roof: {size: 4, day: 700 /week}\n")))["roof"].day == pytest.approx(100.0)


def test_a_crane_that_stays_is_not_on_call(tmp_path: Path) -> None:
    path = changed(tmp_path, (RELOCATION, "crane: {rate: 200, stays: true}\n\n" + RELOCATION))
    scenario = load(path)
    (crane,) = [unit for unit in scenario.plan().units if unit.kind is UnitKind.CRANE]
    assert not crane.on_call
    assert (crane.rate, crane.waiting_rate) == (200.0, 200.0)
    assert "A crane that stays is not called: costs.crane_call is not paid." in scenario.assumptions()


def test_lump_sums_and_fees_reach_the_plan() -> None:
    plan = load(DEMO, ("finishing.tasks.paint.price=1800.50", "costs.lost_visit=75", "costs.heater_day=80")).plan()
    assert {node.task.price for node in plan.nodes if node.task.name == "paint"} == {1800.5}
    assert {node.task.price for node in plan.nodes if node.task.name == "boards"} == {0.0}
    assert (plan.costs.lost_visit, plan.costs.heater_day) == (75.0, 80.0)


def test_money_is_said_back(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        (ROOF, "  roof: {size: 4, day: 1500, count: 2, mobilisation: 300}\n"),
        (SHELL, SHELL.replace("rate: 320", "rate: 320, weekend: 480")),
        (RELOCATION, "crane: {day: 1400}\n\n" + RELOCATION),
    )
    told = load(path, ("finishing.tasks.paint.price=1800.50",)).description()
    for line in (
        "Hired by the day: roof 1,500 for each working day on site; crane 1,400 for each day with work; tent 400 from "
        "first to last.",
        "Coming to the site and leaving it costs: roof 300 and 0; tent 1,200 and 0.",
        "An hour on a Saturday or Sunday costs: shell 480.",
        "Each time that it is done a lump sum is paid for: paint 1,800.50.",
    ):
        assert line in told


@pytest.mark.parametrize(
    ("before", "after", "fault"),
    [
        (
            ROOF,
            "  roof: {size: 4, rate: 190, day: 1500}\n",
            "crews.roof.day: hired by the day and, by rate (190), by the hour; keep one of the two",
        ),
        (
            ROOF,
            "  roof: {size: 4, day: 1500, waiting: 100}\n",
            "crews.roof.waiting: a gang paid by the day waits at no rate by the hour: 0 pays it for days with work "
            "alone, and without waiting every working day is paid from its first to its last",
        ),
        (
            ROOF,
            "  roof: {size: 4, day: 1500, weekend: 300}\n",
            "crews.roof.weekend: a weekend rate by the hour needs a usual rate by the hour, rate",
        ),
        (
            ROOF,
            "  roof: {size: 4, rate: 190, weekend: 150}\n",
            "crews.roof.weekend: 150 an hour is less than on other days, 190",
        ),
        (
            RELOCATION,
            "crane: {rate: 200, day: 1500}\n" + RELOCATION,
            "crane.day: hired by the day and, by rate (200), by the hour; keep one of the two",
        ),
        (
            ROOF,
            "  roof: {size: 4, mobilisation: -5}\n",
            "crews.roof.mobilisation: -5 is too little, it should be at least 0",
        ),
        (
            ROOF,
            "  roof: {size: 4, mobilization: 5}\n",
            "crews.roof.mobilization: is not known here: did you mean mobilisation?",
        ),
        ("  tent_day: 400\n", "  tent_day: -1\n", "costs.tent_day: -1 is too little, it should be at least 0 /d"),
        (
            "boards: {crew: finishers,",
            "boards: {crew: finishers, price: free,",
            "finishing.tasks.boards.price: 'free' is not a sum of money; write it like 1600",
        ),
    ],
)
def test_rates_that_do_not_fit_are_told(tmp_path: Path, before: str, after: str, fault: str) -> None:
    (line,) = lines_of(changed(tmp_path, (before, after)))
    assert line.split("  ", 1)[1] == fault


def test_a_heater_that_is_hired_is_there(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        ("  heater: {rise: 12 delta_degC, set_point: 15 degC}\n", ""),
        ("  tent_day: 400\n", "  tent_day: 400\n  heater_day: 60\n"),
    )
    (line,) = lines_of(path)
    assert line.split("  ", 1)[1] == "costs.heater_day: no heater is there to be hired: there is no tent.heater"


def test_faults_of_money_come_all_at_once(tmp_path: Path) -> None:
    text = f"""
extends: {DEMO}
name: Wrong money
crews:
  roof: {{day: 1500}}
  paint: {{weekend: 20}}
costs: {{lost_visit: -3}}
"""
    faults = [line.split("  ", 1)[1] for line in lines_of(written(tmp_path, text))]
    assert [fault.split(":")[0] for fault in faults] == ["crews.roof.day", "crews.paint.weekend", "costs.lost_visit"]


PROMISE = "\npromise: {confidence: 80 %}\n"


def promising(folder: Path, dates: str, more: str = "") -> Path:
    return changed(folder, (PROMISE, f"\npromise:\n  confidence: 80 %\n{more}  dates:\n    {dates}\n"))


def test_promised_dates_reach_the_plan(tmp_path: Path) -> None:
    plan = load(SCENARIOS / "tern-quay-penalties.yaml").plan()
    assert plan.promises[0] == Promise("A", "A", "", date(2027, 8, 16), 150.0)
    assert plan.promises[-1] == Promise("site", "", "", date(2027, 11, 15), 800.0, 400.0, 40000.0, 14000.0)
    path = promising(tmp_path, "N2: {by: 2027-11-01, penalty: 700 /week, most_penalty: 9000}", "  days: working\n")
    (promise,) = load(path).plan().promises
    assert promise == Promise("N2", "North", "N2", date(2027, 11, 1), pytest.approx(100.0), 0.0, 9000.0, inf, True)


def test_a_building_that_is_promised_need_not_say_its_date_twice(tmp_path: Path) -> None:
    text = f"extends: {SCENARIOS / 'tern-quay-order-by-promise.yaml'}\npromise: {{dates: {{C: {{penalty: 300}}}}}}\n"
    (promise,) = load(written(tmp_path, text)).plan().promises
    assert promise == Promise("C", "C", "", date(2027, 8, 27), 300.0)
    twice = written(tmp_path, text.replace("penalty: 300", "by: 2027-08-01"), "twice.yaml")
    (line,) = lines_of(twice)
    told = "C is promised in site.buildings.C.promised (2027-08-27) as well; keep one of the two"
    assert line.split("  ", 1)[1] == f"promise.dates.C.by: {told}"


def test_what_is_charged_by_a_rule_is_said() -> None:
    assert (
        "Charged are truck standby to the printing that trucks wait for; loads called off to the weather where the day "
        "was no go or the one before was cut short by it, else to the printing; heating to the weather; lost visits to "
        "the work that was late."
    ) in load(DEMO).assumptions()


def test_promised_dates_are_said_back(tmp_path: Path) -> None:
    scenario = load(SCENARIOS / "tern-quay-penalties.yaml")
    (told,) = [line for line in scenario.description() if line.startswith("Promised dates")]
    assert told.startswith("Promised dates, calendar days late or early: A by 16 August 2027, penalty 150 a day; B by ")
    assert told.endswith(
        "the whole site by 15 November 2027, penalty 800 a day up to 40,000, bonus 400 a day up to 14,000."
    )
    assert any(line.startswith("A promised date is met to the end of its day.") for line in scenario.assumptions())


@pytest.mark.parametrize(
    ("dates", "faults"),
    [
        (
            "N9: {by: 2027-11-01, penalty: 100}",
            ["promise.dates.N9: there is no building or home N9: known are site, North, South, N1, N2, S1, S2"],
        ),
        (
            "North: {penalty: 100}",
            ["promise.dates.North: a penalty without a date; add by, like by: 2027-10-02"],
        ),
        ("site: {bonus: 100}", ["promise.dates.site: a bonus without a date; add by, like by: 2027-10-02"]),
        ("site: {}", ["promise.dates.site: a promise without a date; add by, like by: 2027-10-02"]),
        (
            "site: {by: 2027-04-01}",
            [
                "promise.dates.site.by: 2027-04-01 is before the start of the site, 2027-04-05; promise a later date, "
                "or let site.start be earlier"
            ],
        ),
        (
            "site: {by: 2037-04-01, penalty: 1}",
            ["promise.dates.site.by: 2037-04-01 is not before the end of the horizon, 2028-08-17 (500 d)"],
        ),
        (
            "site: {by: 2027-11-01, most_penalty: 100, most_bonus: 50}",
            [
                "promise.dates.site.most_bonus: there is no bonus a day that could come to it",
                "promise.dates.site.most_penalty: there is no penalty a day that could come to it",
            ],
        ),
        ("site: {by: soon}", ["promise.dates.site.by: soon is not a date; write it like 2027-03-01"]),
        (
            "site: {by: 2027-11-01, penalty: -1}",
            ["promise.dates.site.penalty: -1 is too little, it should be at least 0 /d"],
        ),
        (
            "site: {by: 2027-11-01, penalti: 1}",
            ["promise.dates.site.penalti: is not known here: did you mean penalty?"],
        ),
    ],
)
def test_promises_that_do_not_fit_are_told(tmp_path: Path, dates: str, faults: list[str]) -> None:
    assert [line.split("  ", 1)[1] for line in lines_of(promising(tmp_path, dates))] == faults


def test_working_days_of_nothing_are_told(tmp_path: Path) -> None:
    path = changed(tmp_path, (PROMISE, "\npromise: {days: working}\n"))
    (line,) = lines_of(path)
    assert line.endswith("promise.days: working days are counted for promise.dates, and there are none")
