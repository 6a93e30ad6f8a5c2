"""What a scenario says of money: into the plan, said back in words, and what is wrong about it."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, changed, lines_of, written

from sitesim.plan import Hire, UnitKind
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
