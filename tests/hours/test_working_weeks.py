"""Working weeks laid over dates, and what the weather leaves of them."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.hours import Calendar, Shifts, WeekPattern

MONDAY = date(2027, 3, 1)
FIVE_DAYS = dict.fromkeys(range(5), ((7.0, 15.0),))

edges = st.lists(st.tuples(st.integers(0, 190), st.integers(1, 30)), max_size=10)


def test_monday_is_a_working_day_and_saturday_is_not() -> None:
    week = WeekPattern(FIVE_DAYS).over(MONDAY, 7)
    assert week.intervals() == [(24.0 * day + 7.0, 24.0 * day + 15.0) for day in range(5)]


@pytest.mark.parametrize(("first", "opening"), [(date(2027, 3, 6), 55.0), (date(2027, 3, 7), 31.0), (MONDAY, 7.0)])
def test_the_week_goes_by_the_date(first: date, opening: float) -> None:
    assert WeekPattern(FIVE_DAYS).over(first, 7).starts[0] == opening


def test_nobody_works_on_a_holiday() -> None:
    closed = frozenset({date(2027, 3, 2).toordinal(), date(2027, 3, 6).toordinal()})
    week = WeekPattern(FIVE_DAYS, closed).over(MONDAY, 7)
    assert week.starts == [7.0, 55.0, 79.0, 103.0]


def test_a_day_may_have_a_pause_and_its_length_leaves_it_out() -> None:
    pattern = WeekPattern({0: ((7.0, 12.0), (13.0, 16.0)), 4: ((7.0, 12.0),)})
    assert pattern.over(MONDAY, 7).intervals() == [(7.0, 12.0), (13.0, 16.0), (103.0, 108.0)]
    assert pattern.day_length == 8.0


def test_a_night_shift_runs_through_midnight() -> None:
    pattern = WeekPattern({0: ((22.0, 24.0),), 1: ((0.0, 6.0),)})
    assert pattern.over(MONDAY, 7).intervals() == [(22.0, 30.0)]


def test_a_pattern_without_days_has_no_hours() -> None:
    assert WeekPattern({}).over(MONDAY, 30).intervals() == []
    assert WeekPattern({}).day_length == 0.0


def test_edges_of_the_day_lie_on_the_clocks_ticks() -> None:
    week = WeekPattern({0: ((7.1, 15.3),)}).over(MONDAY, 1)
    assert [edge * 4096 % 1 for edge in (week.starts[0], week.ends[0])] == [0.0, 0.0]
    assert week.starts[0] == pytest.approx(7.1, abs=1 / 8192)


@given(edges, st.lists(st.booleans(), min_size=60, max_size=60))
def test_weather_leaves_what_both_calendars_share(spans: list[tuple[int, int]], weather: list[bool]) -> None:
    # Oracle: the intersection with the open hours written as a calendar of their own; edges on quarter hours.
    calendar = Calendar.of((start / 4, (start + length) / 4) for start, length in spans)
    open_hours = Calendar.of((float(hour), hour + 1.0) for hour, is_open in enumerate(weather) if is_open)
    assert Shifts(calendar).opened(np.array(weather)) == calendar.intersect(open_hours)


def test_an_hour_of_rain_cuts_a_shift_in_two() -> None:
    hours = np.ones(24, dtype=bool)
    hours[10] = False
    shift = WeekPattern(FIVE_DAYS).over(MONDAY, 1)
    assert Shifts(shift).opened(hours).intervals() == [(7.0, 10.0), (11.0, 15.0)]


def test_good_weather_leaves_everything_and_bad_weather_nothing() -> None:
    week = WeekPattern(FIVE_DAYS).over(MONDAY, 7)
    assert Shifts(week).opened(np.ones(168, dtype=bool)) == week
    assert Shifts(week).opened(np.zeros(168, dtype=bool)).intervals() == []


def test_hours_counted_in_weather_are_those_of_an_hour_by_hour_count() -> None:
    weather = np.random.default_rng(3).random(24 * 60) < 0.6
    opened = Shifts(WeekPattern(FIVE_DAYS).over(MONDAY, 60)).opened(weather)
    by_hand = sum(bool(weather[24 * day + hour]) for day in range(60) if day % 7 < 5 for hour in range(7, 15))
    assert opened.total == by_hand
