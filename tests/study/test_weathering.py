"""What a weather record says, reckoned another way: the days one by one, or the runs themselves."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sitesim.chance import Luck
from sitesim.errors import UserError
from sitesim.hours import Calendar
from sitesim.scenario import Scenario, load
from sitesim.site import Stage
from sitesim.site.skies import RunHours
from sitesim.site.stage import weather_stream
from sitesim.study.sides_down import SIDES_DOWN
from sitesim.study.weathering import study_weather
from sitesim.weather import BlockCalendar
from sitesim.weather.working_days import WorkingDays, spells

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
RUNS, SEED = 12, 5


@pytest.fixture(scope="module")
def demo() -> Scenario:
    return load(DEMO)


@pytest.fixture(scope="module")
def told(demo: Scenario) -> dict[str, Any]:
    return study_weather(demo, RUNS, SEED)


def kind_of(told: dict[str, Any], name: str) -> dict[str, Any]:
    return next(kind for kind in told["kinds"] if kind["kind"] == name)


def test_workable_hours_are_those_of_the_runs(demo: Scenario, told: dict[str, Any]) -> None:
    # The calendar of a run, asked month by month, against the mean that the command tells.
    plan = demo.plan()
    assert plan.start == date(2027, 3, 1)
    stage = Stage(plan)
    ends = [0, 31, 61, 92, 122, 153, 184, 214, 245, 275, 306, 337, 366]  # 29 days in February 2028
    for name, hours in (("roof", ("site",)), ("printing", ("shell",)), ("lift", ("shell", "site"))):
        calendars = [RunHours(stage, Luck(SEED, run)).open(name, hours) for run in range(RUNS)]
        wanted = [
            np.mean([calendar.worked(24.0 * begin, 24.0 * end) for calendar in calendars])
            for begin, end in pairwise(ends)
        ]
        assert kind_of(told, name)["workable_hours"] == pytest.approx(wanted, abs=1e-9)
        assert kind_of(told, name)["calendars"] == list(hours)


def test_working_hours_are_those_of_the_scenario(told: dict[str, Any]) -> None:
    # Counted on a calendar: 23 working days in March 2027, 22 in April, 20 in May with Memorial Day; the shell crew has
    # half past nine hours of them.
    assert kind_of(told, "roof")["shift_hours"][:3] == [184.0, 176.0, 160.0]
    assert kind_of(told, "printing")["shift_hours"][:3] == [218.5, 209.0, 190.0]
    assert [(month["year"], month["month"]) for month in told["months"][::11]] == [(2027, 3), (2028, 2)]


def test_four_in_five_is_less_than_the_mean_of_a_month_with_weather(told: dict[str, Any]) -> None:
    roof = kind_of(told, "roof")
    assert sum(roof["workable_hours_4_in_5"]) < sum(roof["workable_hours"]) < sum(roof["shift_hours"])


def test_what_the_tents_sides_take_is_what_runs_without_them_have_more(demo: Scenario, told: dict[str, Any]) -> None:
    without = study_weather(load(DEMO, ["tent.sides=null"]), RUNS, SEED)
    printing, bare = kind_of(told, "printing"), kind_of(without, "printing")
    taken = printing["lost_hours"][SIDES_DOWN]
    assert sum(taken) > 0.0
    gained = np.array(bare["workable_hours"]) - np.array(printing["workable_hours"])
    assert gained == pytest.approx(taken, abs=1e-9)
    assert "sides down" not in bare["lost_hours"]
    lost = np.array(list(printing["lost_hours"].values())).sum(axis=0)
    assert lost + np.array(printing["workable_hours"]) == pytest.approx(printing["shift_hours"], abs=1e-9)
    drawn = printing["lost_hours_a_year"]["drawn"]["mean"]
    assert drawn == pytest.approx(lost.sum(), abs=1e-9)


def test_lost_days_are_those_that_lose_half_their_shift(demo: Scenario, told: dict[str, Any]) -> None:
    stage = Stage(demo.plan())
    shift = stage.shift(("site",))
    lost = 0
    for run in range(RUNS):
        open_hours = RunHours(stage, Luck(SEED, run)).open("roof", ("site",))
        for day in range(366):
            hours = shift.worked(24.0 * day, 24.0 * day + 24.0)
            lost += hours > 0 and open_hours.worked(24.0 * day, 24.0 * day + 24.0) <= hours / 2
    assert sum(kind_of(told, "roof")["lost_days"]) == pytest.approx(lost / RUNS)


def test_the_record_is_told_as_it_is(told: dict[str, Any]) -> None:
    record = told["record"]
    assert (record["years"], record["few"], record["step"]) == (4, True, "day")
    assert (record["first_day"], record["last_day"]) == ("2012-01-01", "2015-12-31")
    assert record["rain_mm_a_year"] == pytest.approx(1106.5, abs=0.1)
    assert told["drawn"] == {"how": "blocks", "block_days": 10, "window_days": 15}


def test_the_rain_of_the_record_is_that_of_its_months(demo: Scenario, told: dict[str, Any]) -> None:
    record = demo.plan().climate.record
    assert record is not None
    months = np.array([date.fromordinal(int(day)).month for day in record.days])
    found = told["rain"]["record"]["monthly_mm"]["mean"]
    for place, month in enumerate((3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1)):
        assert found[place] == pytest.approx(record.rain[months == month].sum() / 4, abs=0.01)
    # In February 2028 there is a 29th, for which years without one give their 1 March.
    assert found[11] == pytest.approx(record.rain[months == 2].sum() / 4, abs=12.0)


def test_whole_years_keep_what_blocks_lose(demo: Scenario) -> None:
    blocks = study_weather(demo, 200, 1)["rain"]
    years = study_weather(load(DEMO, ["weather.draw=years"]), 200, 1)["rain"]
    record = np.array(blocks["record"]["monthly_mm"]["spread"])
    assert np.array(years["drawn"]["monthly_mm"]["mean"]) == pytest.approx(
        np.array(years["record"]["monthly_mm"]["mean"]), rel=0.25
    )
    # Four years coming again and again: the standard deviation of a population of four, √(3/4) of that of a sample.
    assert np.array(years["drawn"]["monthly_mm"]["spread"]).sum() == pytest.approx(0.75**0.5 * record.sum(), rel=0.08)
    assert np.array(blocks["drawn"]["monthly_mm"]["spread"]).sum() < 0.95 * record.sum()


def test_days_that_come_again_are_counted_one_by_one(demo: Scenario, told: dict[str, Any]) -> None:
    plan = demo.plan()
    assert plan.climate.record is not None
    calendar = BlockCalendar(plan.climate.record, plan.start.toordinal(), 366, 10, 15)
    stream = np.array([weather_stream()], dtype=np.uint64)
    again = 0
    for run in range(RUNS):
        luck, seen = Luck(SEED, run), set()
        for row in calendar.draw(lambda blocks, luck=luck: luck.uniforms(stream, blocks)).tolist():
            again += row in seen
            seen.add(row)
    assert told["days_drawn_again"] == pytest.approx(again / RUNS)


def test_one_year_again_and_again_has_no_spread() -> None:
    told = study_weather(load(DEMO, ["weather.draw=2013"]), 5, 1)
    assert told["drawn"] == {"how": "years", "years": [2013]}
    assert told["rain"]["drawn"]["monthly_mm"]["spread"] == pytest.approx([0.0] * 12, abs=1e-9)
    assert kind_of(told, "roof")["workable_hours"] == kind_of(told, "roof")["workable_hours_4_in_5"]


def test_a_scenario_without_weather_says_so(tmp_path: Path) -> None:
    file = tmp_path / "dry.yaml"
    file.write_text(
        "name: Dry\nsite: {start: 2027-03-01, buildings: {all: }}\ncalendar: {site: continuous}\n"
        "finishing: {tasks: {a: {time: 3 h}}, sequences: {only: {a: []}}}\n"
    )
    with pytest.raises(UserError, match="Dry: has no section weather"):
        study_weather(load(file), 5, 1)


# The working days


def test_hours_are_counted_to_the_part_of_an_hour() -> None:
    calendar = Calendar.of([(6.5, 8.25), (24.0 + 7.0, 24.0 + 9.0), (48.0, 72.0)])
    working = WorkingDays(calendar, 4)
    assert working.of_day.tolist() == [1.75, 2.0, 24.0, 0.0]
    marked = np.zeros((3, 24), dtype=bool)
    marked[1, [6, 8]] = True
    marked[2, 7:20] = True
    rows = np.array([[0, 1, 2, 1], [1, 2, 1, 2]])
    assert working.within(marked, rows).tolist() == [[0.0, 1.0, 13.0, 0.0], [0.75, 2.0, 2.0, 0.0]]


def test_spells_of_a_row() -> None:
    # Two spells of 2 and 1 days, then one of 3 that the row's end cuts.
    wet = np.array([True, True, False, True, False, False, True, True, True])
    assert spells(wet) == (2.0, pytest.approx(3 / 5), 3)
    assert spells(np.zeros((2, 5), dtype=bool)) == (0.0, 0.0, 0)
    assert spells(np.array([[True, False], [True, True]])) == (1.5, 0.5, 2)
