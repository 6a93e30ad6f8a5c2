"""Clocks change when the law says, and work goes on over it."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitesim.hours import NEVER, Shifts, WeekPattern
from sitesim.weather.civil_clock import CivilClock

# Daylight saving: the law of the United States (15 U.S.C. 260a) and of the European Union (Directive 2000/84/EC).


@pytest.mark.parametrize(
    ("zone", "skipped", "repeated"),
    [
        # Second Sunday of March, first of November, at 2 o'clock.
        ("America/Los_Angeles", datetime(2027, 3, 14, 2), datetime(2027, 11, 7, 1)),
        # Last Sundays of March and October, at 1 o'clock UTC.
        ("Europe/London", datetime(2027, 3, 28, 1), datetime(2027, 10, 31, 1)),
        ("Europe/Berlin", datetime(2027, 3, 28, 2), datetime(2027, 10, 31, 2)),
    ],
)
def test_clocks_change_when_the_law_says(zone: str, skipped: datetime, repeated: datetime) -> None:
    clock = CivilClock(zone=ZoneInfo(zone))
    hours = [datetime(2027, 1, 1) + timedelta(hours=hour) for hour in range(365 * 24)]
    assert [hour for hour in hours if clock.skips(hour)] == [skipped]
    assert [hour for hour in hours if clock.repeats(hour)] == [repeated]


# Workable hours of days on which clocks change, inverted and counted hour by hour.


@pytest.mark.parametrize("changes", [date(2021, 3, 14), date(2021, 11, 7)])  # United States, 15 U.S.C. 260a
@given(start=st.integers(0, 4 * 120), quarters=st.integers(1, 4 * 40), seed=st.integers(0, 20))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_work_over_a_change_of_clocks_ends_where_a_loop_says(
    changes: date, start: int, quarters: int, seed: int
) -> None:
    first = changes - timedelta(days=2)
    week = WeekPattern(dict.fromkeys(range(7), ((0.0, 5.5), (7.0, 15.25))))  # by night too, over the change itself
    calendar = week.over(first, 7)
    is_open = np.random.default_rng(seed).random(7 * 24) < 0.7  # 24 hours a day, also on that day
    hours = Shifts(calendar).opened(is_open)
    left, at = quarters, start
    while left and at < 7 * 96:
        left -= bool(calendar.is_open(at / 4) and is_open[at // 4])
        at += 1
    assert hours.finish(start / 4, quarters / 4) == (at / 4 if not left else NEVER)
