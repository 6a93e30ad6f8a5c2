"""Working weeks: days, spans, holidays, and dates out of the ordinary."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from cases import lines_of, written
from pydantic import TypeAdapter

from sitesim.scenario.sections.calendar import Calendar, WorkingWeek

FIRST, LAST = date(2027, 1, 1), date(2027, 12, 31)


def week(**written_as: Any) -> WorkingWeek:
    found: WorkingWeek = TypeAdapter(Calendar).validate_python(written_as)
    return found


def test_days_are_a_range_or_a_list() -> None:
    assert week(days="mon-sat").days == (0, 1, 2, 3, 4, 5)
    assert week(days=["mon", "wed"]).days == (0, 2)
    assert week(days="sat-mon").days == (0, 5, 6)


def test_the_longest_day_adds_up_its_spans() -> None:
    assert week(hours=["06:00-10:00", "10:30-15:00"]).longest_day == 8.5


def test_continuous_is_day_and_night() -> None:
    every: WorkingWeek = TypeAdapter(Calendar).validate_python("continuous")
    pattern = every.pattern(FIRST, LAST)
    assert pattern.spans == dict.fromkeys(range(7), ((0.0, 24.0),))
    assert pattern.over(FIRST, 10).intervals() == [(0.0, 240.0)]
    assert pattern.day_length == every.longest_day == 24.0


def test_holidays_are_closed_unless_opened_and_other_dates_may_close() -> None:
    # Good Friday and Easter Monday 2027 fall on 26 and 29 March; Easter Sunday is 28 March 2027
    pattern = week(holidays="GB-ENG", closed=["2027-08-02"], open=["2027-03-29"]).pattern(FIRST, LAST)
    assert date(2027, 3, 26).toordinal() in pattern.closed
    assert date(2027, 3, 29).toordinal() not in pattern.closed
    assert date(2027, 8, 2).toordinal() in pattern.closed
    assert date(2027, 8, 3).toordinal() not in pattern.closed


def test_observed_days_are_closed_as_well() -> None:
    # 25 and 26 December 2027 are a Saturday and a Sunday: England keeps Monday 27 and Tuesday 28
    closed = week(holidays="GB-ENG").pattern(FIRST, LAST).closed
    assert {date(2027, 12, 27).toordinal(), date(2027, 12, 28).toordinal()} <= closed


def test_a_date_that_is_not_worked_anyway_cannot_be_opened(tmp_path: Any) -> None:
    path = written(
        tmp_path,
        "name: A\nsite: {start: 2027-03-01, buildings: {a: }}\ncalendar:\n  site:\n    open: 2027-03-06\n",
    )
    assert lines_of(path) == [
        "site.yaml:5  calendar.site.open: 2027-03-06 is a Saturday, which this calendar does not work; "
        "only holidays can be opened"
    ]


@pytest.mark.parametrize(
    ("hours", "message"),
    [
        ('["07:00-15:00", "14:00-16:00"]', "the hours in ['07:00-15:00', '14:00-16:00'] overlap"),
        ("[7-15]", '7-15 is not a span of hours; write it like "07:00-15:00"'),
        ("[]", 'no hours are named; write ["07:00-15:00"]'),
    ],
)
def test_hours_that_cannot_be_are_faults(tmp_path: Any, hours: str, message: str) -> None:
    path = written(
        tmp_path, f"name: A\nsite: {{start: 2027-03-01, buildings: {{a: }}}}\ncalendar:\n  site:\n    hours: {hours}\n"
    )
    assert lines_of(path) == [f"site.yaml:5  calendar.site.hours: {message}"]


def test_without_a_calendar_the_site_works_eight_hours_from_monday_to_friday(tmp_path: Any) -> None:
    from sitesim.scenario import load

    scenario = load(written(tmp_path, "name: A\nsite: {start: 2027-03-01, buildings: {a: }}\n"))
    assert scenario.day_hours == 8.0
    assert scenario.plan().calendars["site"].spans == dict.fromkeys(range(5), ((7.0, 15.0),))
