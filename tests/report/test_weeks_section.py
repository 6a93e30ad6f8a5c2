"""The weeks of gangs and machines, chart and table, against a made-up run of three weeks."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest
from page_parts import figures_of, rows_of, section_of
from small_study import GANG, small_study

from sitesim.report.gang_weeks import absence, weeks_of
from sitesim.report.weeks_chart import TOLD


def test_weeks_are_read_by_gang_and_add_up() -> None:
    study = small_study()
    assert study.weeks is not None
    found = weeks_of(study.weeks, study.summary["standing_for"]["P80"], ("printer", "shell", GANG))
    assert list(found) == ["shell", GANG]  # the printer was never there
    first, second, third = found["shell"]
    assert (first.on_shift, first.waiting) == (40.0, {"predecessor": 3.0, "weather": 2.0})
    assert (first.has_no_shift, second.has_no_shift, third.has_no_shift) == (False, True, False)
    assert [week.monday(date(2027, 3, 3)) for week in found["shell"]] == [
        date(2027, 3, 1),
        date(2027, 3, 8),
        date(2027, 3, 15),
    ]
    assert weeks_of(study.weeks, -1, ("shell",)) == {}


def test_between_two_stays_a_gang_is_away() -> None:
    """Of the second of five weeks three days, the third and fourth altogether; nobody is away before the first."""
    told = [(0, "working", 8.0), (1, "working", 96.0), (4, "working", 40.0), (4, "off shift", 20.0)]
    rows = [
        {"run": 7, "resource": "roof", "week": week, "state": state, "cause": "", "hours": hours}
        for week, state, hours in told
    ]
    weeks = weeks_of(pd.DataFrame(rows), 7, ("roof",))["roof"]
    assert [(week.number, week.away) for week in weeks] == [(0, 0.0), (1, 72.0), (2, 168.0), (3, 168.0), (4, 0.0)]
    assert [absence(week) for week in weeks] == ["", "away 3.0 days", "away", "away", ""]


def test_a_column_stands_on_what_is_beneath_it_and_none_leaves_its_row() -> None:
    figure = figures_of(small_study())["weeks"][0]
    bars = {trace["name"]: trace for trace in figure["data"]}
    away = "away, or without a shift"
    assert list(bars) == ["working", "setting up, moving", "overtime", "waiting", away, TOLD]
    # the fullest week has 40 hours and takes 0.82 of a row; shell is in the first row, the other gang in the second
    hours = 0.82 / 40
    assert bars["working"]["y"] == pytest.approx([25 * hours, 20 * hours], abs=1e-3)
    assert bars["working"]["base"] == [0.0, -1.0]
    assert bars["setting up, moving"]["base"] == pytest.approx([25 * hours], abs=1e-3)
    assert bars["overtime"]["base"] == pytest.approx([20 * hours - 1], abs=1e-3)
    assert bars["waiting"]["base"] == pytest.approx([35 * hours, 0.0], abs=1e-3)
    assert bars["waiting"]["x"] == ["2027-03-01", "2027-03-15"]
    assert bars[away]["x"] == ["2027-03-08"]
    for trace in figure["data"]:
        for base, height in zip(trace["base"], trace["y"], strict=True):
            assert math.floor(base + height) == math.floor(base)  # ends within its own row
    assert figure["layout"]["yaxis"]["ticktext"][0] == "shell"


def test_pointing_at_a_column_tells_what_was_waited_for() -> None:
    bars = {trace["name"]: trace for trace in figures_of(small_study())["weeks"][0]["data"]}
    told = bars[TOLD]
    assert told["hovertext"][0] == (
        "<b>shell</b>, week from Mar 1<br>working: 25 h<br>setting up, moving: 10 h<br>waiting: 5.0 h<br>"
        "– for the work before it: 3.0 h<br>– for weather: 2.0 h"
    )
    assert told["hovertext"][1] == "<b>shell</b>, week from Mar 8<br>no shift in this week"
    # the columns that are pointed at are as high as what is drawn in them
    assert told["y"] == pytest.approx([0.82, 0.1, 0.82, 24 * 0.82 / 40], abs=1e-3)
    assert {trace["hoverinfo"] for name, trace in bars.items() if name != TOLD} == {"skip"}
    assert TOLD not in section_of(small_study(), "weeks")  # no word of the legend


def test_the_table_says_the_same() -> None:
    rows = rows_of(section_of(small_study(), "weeks"))
    assert rows[0] == ["Who", "Week from", "working", "setting up, moving", "overtime", "waiting", "Waiting for"]
    assert rows[1] == ["shell", "Mar 1", "25.0", "10.0", "–", "5.0", "the work before it 3.0, weather 2.0"]
    assert rows[2] == ["shell", "Mar 8", "–", "–", "–", "–", "no shift in this week"]
    assert rows[4][1:] == ["Mar 15", "20.0", "–", "4.0", "–", "–"]


def test_a_folder_without_weeks_says_so() -> None:
    text = section_of(replace(small_study(), weeks=None), "weeks")
    assert "written by an older version" in text
    assert "<figure" not in text


def test_a_run_without_weeks_has_no_section() -> None:
    study = small_study()
    assert study.weeks is not None
    assert section_of(replace(study, weeks=study.weeks.iloc[:0]), "weeks") == ""
