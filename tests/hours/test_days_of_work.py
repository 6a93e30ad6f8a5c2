"""Breaks and nights: which gaps in a calendar end a day of work."""

from __future__ import annotations

from sitesim.hours import Calendar, everlasting


def test_a_break_is_bridged_and_a_night_is_not() -> None:
    calendar = Calendar([7.0, 12.5, 31.0, 36.5], [12.0, 15.0, 36.0, 39.0])
    assert calendar.without_breaks().intervals() == [(7.0, 15.0), (31.0, 39.0)]
    assert calendar.days_of_work() == calendar.without_breaks()


def test_two_hours_are_the_longest_break() -> None:
    assert Calendar([7.0, 14.0], [12.0, 17.0]).without_breaks().intervals() == [(7.0, 17.0)]
    apart = Calendar([7.0, 14.25], [12.0, 17.0])
    assert apart.without_breaks() is apart


def test_day_and_night_is_cut_at_midnight() -> None:
    assert everlasting(60.0).days_of_work().intervals() == [(0.0, 24.0), (24.0, 48.0), (48.0, 60.0)]
    assert everlasting(60.0).without_breaks().intervals() == [(0.0, 60.0)]
    # A working week day and night, from Monday at six to Friday at two.
    week = Calendar([6.0], [110.0])
    assert week.days_of_work().intervals() == [
        (6.0, 24.0),
        (24.0, 48.0),
        (48.0, 72.0),
        (72.0, 96.0),
        (96.0, 110.0),
    ]


def test_a_night_shift_stays_whole() -> None:
    nights = Calendar([22.0, 46.0], [30.0, 54.0])
    assert nights.days_of_work() == nights


def test_an_empty_calendar_has_no_days() -> None:
    assert Calendar([], []).days_of_work().intervals() == []
