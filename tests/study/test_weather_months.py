"""What the weather costs in each month: by hand, and adding up to what the tables of the same runs say.

Kind of the tests: deterministic, recomputed by hand from the stated rates; and conservation.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from rigs import MONDAY, NO_COSTS, WEEKDAYS, network_plan
from small_sites import low_walls_file

from sitesim.answers.weather_cost import MonthOfWeather, WeatherCost, cost_of_tables, dearest, total_of
from sitesim.chance import Fixed
from sitesim.plan import Climate, HourlyRecord, Limits, Plan, Promise
from sitesim.scenario import load
from sitesim.study.answering import answer
from sitesim.study.folder import StudyFolder
from sitesim.study.runner import StudySettings
from sitesim.study.weather_months import weather_by_month


def over_easter(windy_days: tuple[date, ...]) -> Plan:
    """Make 25 working days of one gang from Monday 1 March on, with a wind on some days in which nobody works."""
    wind = np.full((365, 24), 2.0)
    for day in windy_days:
        wind[(day.replace(year=2026) - date(2026, 1, 1)).days] = 20.0
    days = np.arange(365) + date(2026, 1, 1).toordinal()
    record = HourlyRecord("by hand", "for a test", days, 1, np.full((365, 24), 15.0), wind, np.zeros((365, 24)))
    plan = network_plan({"deck": ((), Fixed(25 * 8.0))}, {"roofers": ["deck"]}, 120, WEEKDAYS)
    deck = replace(plan.nodes[0], task=replace(plan.nodes[0].task, limits="wind"))
    return replace(
        plan,
        nodes=(deck,),
        units=(replace(plan.units[0], rate=150.0, waiting_rate=100.0),),
        climate=Climate(record, {"wind": Limits("wind", gust=15.0)}, 1.5, 10, 0, 1.0),
        costs=replace(NO_COSTS, overhead=500.0),
    )


def test_days_and_money_lie_in_the_month_in_which_they_are_lost() -> None:
    # Windy on Tuesday and Wednesday, 30 and 31 March, and on Thursday 1 April: eight hours of waiting at 100 each.
    plan = over_easter((date(2027, 3, 30), date(2027, 3, 31), date(2027, 4, 1)))
    assert plan.start == MONDAY
    assert weather_by_month(plan, 1, [0, 1]) == (
        MonthOfWeather(date(2027, 3, 1), WeatherCost(days=2.0, waiting=1600.0, overhead=1000.0)),
        MonthOfWeather(date(2027, 4, 1), WeatherCost(days=1.0, waiting=800.0, overhead=500.0)),
    )


def test_penalties_that_weather_brings_about_are_told_as_such() -> None:
    # 25 days of work and 3 of wind end on Wednesday 7 April: five days late at 560, and 3 in 28 of that is the wind's.
    plan = over_easter((date(2027, 3, 30), date(2027, 3, 31), date(2027, 4, 1)))
    promised = replace(plan, promises=(Promise("site", "", "", date(2027, 4, 2), penalty=560.0),))
    march, april = (month.cost for month in weather_by_month(promised, 1, [0]))
    assert [march.penalties, april.penalties] == pytest.approx([200.0, 100.0])
    assert (march.other, april.other) == (0.0, 0.0)
    assert total_of(weather_by_month(promised, 1, [0])).money == pytest.approx(3 * 800.0 + 3 * 500.0 + 300.0)


def test_a_site_that_loses_nothing_has_no_months() -> None:
    assert weather_by_month(over_easter(()), 1, [0]) == ()
    assert dearest(()) is None


def test_months_before_and_after_those_that_cost_are_left_out_and_those_between_are_not() -> None:
    months = weather_by_month(over_easter((date(2027, 4, 1),)), 1, [0])
    assert [month.first for month in months] == [date(2027, 4, 1)]
    plan = over_easter((date(2027, 3, 2), date(2027, 5, 4)))
    long = replace(plan.nodes[0], task=replace(plan.nodes[0].task, duration=Fixed(60 * 8.0)))
    found = weather_by_month(replace(plan, nodes=(long,)), 1, [0])
    assert [(month.first.month, month.cost.days) for month in found] == [(3, 1.0), (4, 0.0), (5, 1.0)]


def test_the_dearest_month_is_that_of_most_money() -> None:
    months = [MonthOfWeather(date(2027, month, 1), WeatherCost(5.0 - month, 100.0 * month)) for month in (1, 2, 3)]
    assert dearest(months) == months[2]
    assert total_of(months) == WeatherCost(9.0, 600.0)
    assert total_of(months).money == 600.0


def test_the_months_add_up_to_the_tables_of_the_same_runs(tmp_path: Path) -> None:
    scenario = load(low_walls_file(tmp_path))
    answer(scenario, StudySettings(runs=6, seed=5, workers=1), tmp_path / "out")
    folder, plan = StudyFolder(tmp_path / "out"), scenario.plan()
    tables = {name: folder.table(name, 6) for name in ("runs", "held", "cost_causes")}
    of_tables = cost_of_tables(tables, plan.calendars["site"].day_length)
    months = weather_by_month(plan, 5, range(6))
    assert of_tables is not None
    assert len(months) > 2
    total = total_of(months)
    for part in ("days", "waiting", "hire", "overhead", "heating", "other", "money"):
        assert getattr(total, part) == pytest.approx(getattr(of_tables, part), rel=1e-12), part
    assert min(of_tables.days, of_tables.waiting, of_tables.hire, of_tables.overhead, of_tables.heating) > 0.0
    # All that the bills charge to the weather is in it, to the cent.
    charged = folder.table("cost_days", 6)
    assert 6 * of_tables.money == pytest.approx(charged.loc[charged["cause"] == "weather", "amount"].sum(), abs=1e-6)
