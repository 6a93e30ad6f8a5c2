"""A start in another month: on which day it is, and what moves with it."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from cases import DEMO
from stressed import Facts, changed_by

from sitesim.scenario import Scenario, load
from sitesim.scenario.sections.calendar import WorkingWeek
from sitesim.scenario.stresses import restarted
from sitesim.scenario.stresses.restarting import moved_start, working_day_near


def test_a_later_start_moves_the_slabs_with_it(demo: Scenario, tmp_path: Path) -> None:
    found = changed_by(demo, tmp_path, "start_later: 3")
    # 1 March 2027 and 1 June: Monday and Tuesday; the Monday nearest to 1 June within June is the 7th
    assert found["site.start"] == "2027-06-07"
    assert found["site.buildings.B.slab"] == "2027-06-28"  # 22 March and 98 days
    assert len(found) == 6


@pytest.mark.parametrize(
    ("start", "months", "moved"),
    [
        (date(2027, 3, 1), 0, date(2027, 3, 1)),
        (date(2027, 3, 1), 1, date(2027, 4, 5)),  # Monday; 1 April is a Thursday
        (date(2027, 1, 31), 1, date(2027, 2, 28)),  # Sunday; the 28th is one too
        (date(2027, 3, 15), 12, date(2028, 3, 13)),  # Monday; 15 March 2028 is a Wednesday
        (date(2027, 3, 1), -3, date(2026, 12, 7)),
    ],
)
def test_a_start_keeps_its_day_of_the_week_and_comes_into_the_month(start: date, months: int, moved: date) -> None:
    assert moved_start(start, months) == moved
    assert moved.weekday() == start.weekday()


def test_a_restarted_scenario_says_when(demo: Scenario) -> None:
    assert restarted(demo, (), 2, Facts()).scenario.name == "Tern Quay: started 2027-05-03"


@pytest.mark.parametrize(
    ("months", "wanted", "begins"),
    [
        (4, date(2027, 7, 5), date(2027, 7, 6)),  # 4 July is a Sunday, kept on the Monday
        (6, date(2027, 9, 6), date(2027, 9, 7)),  # Labor Day
        (7, date(2027, 10, 4), date(2027, 10, 4)),
    ],
)
def test_a_month_that_would_begin_on_a_holiday_begins_on_the_first_working_day(
    demo: Scenario, months: int, wanted: date, begins: date
) -> None:
    """Public holidays of Washington State in 2027, from its calendar."""
    found = restarted(demo, (), months, Facts())
    assert (found.wanted, found.scenario.model.site.start) == (wanted, begins)
    slab = found.scenario.model.site.buildings["B"].slab
    assert slab is not None
    assert slab - begins == timedelta(days=21)  # 1 to 22 March as planned


def test_a_start_in_another_month_takes_slabs_and_promises_with_it() -> None:
    path = DEMO.with_name("tern-quay-penalties.yaml")
    begun = restarted(load(path), (), 2, Facts()).scenario
    moved = begun.model.site.start - load(path).model.site.start
    assert moved == timedelta(days=63)
    assert begun.plan().promises[-1].by == date(2027, 11, 15) + moved


@pytest.mark.parametrize(
    ("wanted", "begins"),
    [
        (date(2027, 3, 6), date(2027, 3, 8)),  # a Saturday
        (date(2027, 2, 28), date(2027, 2, 26)),  # a Sunday, the last of its month: the Friday before
        (date(2027, 5, 31), date(2027, 5, 28)),  # Memorial Day, likewise
    ],
)
def test_a_start_stays_within_its_month(wanted: date, begins: date) -> None:
    assert working_day_near(WorkingWeek(holidays="US-WA"), wanted) == begins
