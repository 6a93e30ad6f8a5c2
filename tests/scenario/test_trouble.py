"""The section ``trouble``: what it does to the plan, how it is said, and what is wrong with it.

Kind of the tests: examples; recomputed from what is written.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from cases import DEMO, changed, faults_of

from sitesim.scenario import load


def test_nothing_goes_wrong_unless_it_is_said() -> None:
    plain, empty = load(DEMO).plan(), load(DEMO, ["trouble={}"]).plan()
    assert plain.nodes == empty.nodes
    assert plain.calendars == empty.calendars
    assert not [line for line in load(DEMO).description() if "Goes wrong" in line]


def test_a_missing_gang_has_hours_of_its_own() -> None:
    plan = load(DEMO, ["trouble.missing=[{gang: roof, first: 2027-06-07, lasts: 14 d}]"]).plan()
    (roof,) = [unit for unit in plan.units if unit.name == "roof"]
    away = set(range(date(2027, 6, 7).toordinal(), date(2027, 6, 21).toordinal()))
    assert plan.calendars[roof.hours].away == away
    assert plan.calendars[roof.hours].closed == plan.calendars["site"].closed
    assert {unit.hours for unit in plan.units if unit is not roof} == {"site", "shell"}


def test_of_several_gangs_alike_the_first_is_missing() -> None:
    sets = ["crews.paint.count=2", "trouble.missing=[{gang: paint, first: 2027-06-07, lasts: 1 d}]"]
    units = {unit.name: unit.hours for unit in load(DEMO, sets).plan().units}
    assert units["paint 1"] != units["paint 2"] == "site"


def test_the_printer_stands_after_the_layer_that_is_named() -> None:
    plan = load(DEMO, ["trouble.printer_down=[{building: C, after_layer: 41, lasts: 14 d}]"]).plan()
    shell = plan.buildings[2].shell
    assert shell is not None
    (node,) = [plan.nodes[index] for index in shell.holds[41]]
    assert (node.key, node.task.duration.mean) == ("C/printer repaired", 14 * 24.0)


def test_another_tent_is_raised_and_inspected_like_the_first() -> None:
    plan = load(DEMO, ["trouble.tent_lost=[{building: A, after_layer: 30, lasts: 21 d}]"]).plan()
    shell = plan.buildings[0].shell
    assert shell is not None
    held = [plan.nodes[index] for index in shell.holds[30]]
    assert [node.key for node in held] == [
        "A/bars",
        "A/grout_lift",
        "A/another tent comes",
        "A/tent_up again",
    ]
    assert held[3].task == plan.nodes[shell.tent_up].task
    assert held[3].task.inspection is not None


def test_harsher_weather_changes_the_record_of_the_plan() -> None:
    before = load(DEMO).plan().climate.record
    sets = ["trouble.weather={rain_lasts: 1.5, wind: 1.25, colder: 3 delta_degC, year: 2014}"]
    after = load(DEMO, sets).plan().climate.record
    assert before is not None
    assert after is not None
    assert (after.years, len(after.days)) == (1, 365)
    year = slice(366 + 365, 366 + 365 + 365)  # 2012 is a leap year
    np.testing.assert_allclose(after.temperature, before.temperature[year] - 3.0, atol=1e-9)
    np.testing.assert_allclose(after.wind, 1.25 * before.wind[year], atol=0.006)
    assert np.count_nonzero(after.rain) == pytest.approx(1.5 * np.count_nonzero(before.rain[year]), rel=0.05)


def test_no_weather_at_all_holds_nothing_up() -> None:
    assert not load(DEMO, ["trouble.weather.none=true"]).plan().weather_holds


def test_it_is_said_back() -> None:
    sets = [
        "trouble.missing=[{gang: roof, first: 2027-06-07, lasts: 14 d}]",
        "trouble.printer_down=[{building: C, after_layer: 41, lasts: 14 d}]",
        "trouble.tent_lost=[{building: C, after_layer: 41, lasts: 1 d}]",
        "trouble.weather={rain_lasts: 1.5, year: 2014}",
    ]
    scenario = load(DEMO, sets)
    assert scenario.description()[-5:] == [
        "Weather of one year of the record alone, the one that begins in 2014, again and again as it was.",
        "Every spell of rain lasts 1.5 times as long as in the record.",
        "Goes wrong: gang roof is missing for 14 days from 7 June 2027.",
        "Goes wrong: the printer is down for 14 days after layer 41 of C.",
        "Goes wrong: the tent is lost after layer 41 of C; another one comes after 1 day and is raised.",
    ]
    assert any("Nobody stands in" in line for line in scenario.assumptions())


@pytest.mark.parametrize(
    ("setting", "path", "message"),
    [
        (
            "trouble.missing=[{gang: rooof, first: 2027-06-07, lasts: 14 d}]",
            "trouble.missing.0.gang",
            "there is no gang rooof: did you mean roof?",
        ),
        (
            "trouble.printer_down=[{building: Q, after_layer: 1, lasts: 14 d}]",
            "trouble.printer_down.0.building",
            "nothing is printed in Q: known are A, B, C, D, E",
        ),
        (
            "trouble.tent_lost=[{building: A, after_layer: 68, lasts: 14 d}]",
            "trouble.tent_lost.0.after_layer",
            "A has 67 layers",
        ),
        (
            "trouble.weather.year=2016",
            "trouble.weather.year",
            "2016 is not in the record, whose whole years begin in 2012 to 2015",
        ),
        ("trouble.weather.rain_lasts=0.5", "trouble.weather.rain_lasts", "0.5 is too little, it should be at least 1"),
    ],
)
def test_what_cannot_be_is_a_fault(setting: str, path: str, message: str) -> None:
    (fault,) = faults_of(DEMO, setting)
    assert (fault.path, fault.message) == (path, message)


def test_harsher_weather_needs_a_record(tmp_path: Path) -> None:
    path = changed(tmp_path)
    text = path.read_text()
    begin, end = text.index("weather:"), text.index("wall:")
    path.write_text(text[:begin] + text[end:])
    faults = faults_of(path, "trouble.weather.wind=2")
    assert "trouble.weather: there is no section weather whose record could be changed" in [
        f"{fault.path}: {fault.message}" for fault in faults
    ]


def test_one_year_alone_is_told_in_place_of_how_weather_is_drawn() -> None:
    told = "\n".join(load(DEMO, ["trouble.weather={year: 2014}"]).assumptions())
    assert (
        "Every year of a run has the weather of 2014; how sure a date is said to be holds for that year alone." in told
    )
    assert "in blocks of" not in told
    assert "in blocks of" in "\n".join(load(DEMO).assumptions())
