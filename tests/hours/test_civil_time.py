"""The clock, and the civil dates that it tells."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.hours import NEVER, TICKS_AN_HOUR, civil_date, civil_time, on_clock

MONDAY = date(2027, 3, 1)


@given(st.floats(0.0, 1e6))
def test_the_clock_rounds_to_the_nearest_tick(hours: float) -> None:
    rounded = on_clock(hours)
    assert (Fraction(rounded) * TICKS_AN_HOUR).denominator == 1
    assert abs(Fraction(rounded) - Fraction(hours)) <= Fraction(1, 2 * TICKS_AN_HOUR)
    assert on_clock(rounded) == rounded


@given(st.lists(st.floats(0.0, 1e5), max_size=50))
def test_sums_of_rounded_hours_are_exact_in_any_order(hours: list[float]) -> None:
    ticked = [on_clock(value) for value in hours]
    exact = sum(map(Fraction, ticked), Fraction(0))
    assert Fraction(sum(ticked)) == Fraction(sum(reversed(ticked))) == exact


def test_ten_tenths_do_not_make_one_but_ten_quarters_do() -> None:
    assert sum([on_clock(0.25)] * 10) == 2.5
    assert on_clock(0.1) == 410 / 4096


def test_what_never_comes_stays_so() -> None:
    assert on_clock(NEVER) == NEVER


@pytest.mark.parametrize(
    ("hours", "day"),
    [
        (0.0, date(2027, 3, 1)),
        (15.0, date(2027, 3, 1)),
        (24.0, date(2027, 3, 1)),  # midnight belongs to the day that it closes
        (24.0 + 1 / 4096, date(2027, 3, 2)),
        (48.0, date(2027, 3, 2)),
        (24.0 * 31, date(2027, 3, 31)),
        (24.0 * 31 + 8, date(2027, 4, 1)),
    ],
)
def test_the_date_on_which_something_ended(hours: float, day: date) -> None:
    assert civil_date(MONDAY, hours) == day


def test_the_time_of_day_is_told_to_the_second() -> None:
    assert civil_time(MONDAY, 31.5) == datetime(2027, 3, 2, 7, 30)
    assert civil_time(MONDAY, 1 / 4096) == datetime(2027, 3, 1, 0, 0, 1)
    assert civil_time(date(2027, 12, 31), 24.0) == datetime(2028, 1, 1)


def test_leap_day_is_a_day() -> None:
    assert civil_date(date(2028, 2, 28), 25.0) == date(2028, 2, 29)
