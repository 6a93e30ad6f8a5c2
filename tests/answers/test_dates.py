"""Clock hours as dates, and distances in working days, counted on a paper calendar of March 2027."""

from __future__ import annotations

import math
from datetime import date

import pytest

from sitesim.answers.dates import SiteDates
from sitesim.hours import WeekPattern

MARCH_1 = date(2027, 3, 1)  # a Monday
HOLIDAYS = frozenset({date(2027, 3, 8).toordinal(), date(2027, 3, 12).toordinal()})  # a Monday and a Friday
WEEK = WeekPattern(dict.fromkeys(range(5), ((7.0, 15.0),)) | {5: ()}, HOLIDAYS)


def march(day: int) -> date:
    return date(2027, 3, day)


@pytest.fixture
def dates() -> SiteDates:
    return SiteDates(MARCH_1, WEEK)


@pytest.mark.parametrize(
    ("hours", "day"),
    [
        (0.0, 1),
        (15.0, 1),
        (24.0, 1),  # midnight belongs to the day that it closes
        (24.01, 2),
        (24 * 30 + 12.0, 31),
    ],
)
def test_hours_as_dates(dates: SiteDates, hours: float, day: int) -> None:
    assert dates.date_of(hours) == march(day)


def test_what_never_came_has_no_date(dates: SiteDates) -> None:
    assert dates.date_of(math.inf) is None


def test_a_date_is_met_until_its_midnight(dates: SiteDates) -> None:
    # by hand: March 2 is the second day, over after 48 hours; what ends at that midnight still belongs to it
    assert dates.end_of(march(2)) == 48.0
    assert dates.date_of(48.0) == march(2)
    assert dates.date_of(math.nextafter(48.0, 49.0)) == march(3)


@pytest.mark.parametrize(("day", "works"), [(1, True), (5, True), (6, False), (7, False), (8, False), (9, True)])
def test_working_days_leave_out_weekends_and_holidays(dates: SiteDates, day: int, works: bool) -> None:
    assert dates.is_working_day(march(day)) is works


@pytest.mark.parametrize(
    ("day", "following"),
    [(5, 5), (6, 9), (8, 9), (12, 15)],
    ids=["itself", "over weekend and holiday", "over a holiday", "over a long weekend"],
)
def test_the_next_working_day(dates: SiteDates, day: int, following: int) -> None:
    assert dates.working_day_from(march(day)) == march(following)


@pytest.mark.parametrize(
    ("earlier", "later", "days"),
    [
        (1, 1, 0),
        (1, 2, 1),
        (5, 9, 1),  # Friday to Tuesday, Monday a holiday
        (4, 10, 3),  # Friday 5, Tuesday 9, Wednesday 10
        (6, 7, 0),
        (5, 6, 0),
        (1, 15, 8),  # 2 3 4 5 9 10 11 15
    ],
)
def test_distances_in_working_days(dates: SiteDates, earlier: int, later: int, days: int) -> None:
    assert dates.working_days_between(march(earlier), march(later)) == days
    assert dates.working_days_between(march(later), march(earlier)) == -days


def test_a_site_that_never_works_does_not_hang() -> None:
    never = SiteDates(MARCH_1, WeekPattern({}))
    assert never.working_day_from(march(3)) == march(3)
