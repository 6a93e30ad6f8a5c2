"""Calendars against a loop over quarter hours, and their edges by hand."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.hours import NEVER, TICKS_AN_HOUR, Calendar, everlasting

QUARTERS = 96
STEP = 0.25

spans = st.tuples(st.integers(0, QUARTERS), st.integers(0, QUARTERS)).map(lambda pair: (min(pair), max(pair)))
openings = st.lists(spans, max_size=8).map(lambda found: {slot for start, end in found for slot in range(start, end)})
instants = st.integers(0, QUARTERS + 4)


def calendar_of(slots: set[int]) -> Calendar:
    return Calendar.of((slot * STEP, (slot + 1) * STEP) for slot in slots)


def loop_finish(slots: set[int], start: int, quarters: int) -> float:
    """Work off quarter after quarter; no work at all is done at the first open one."""
    left = quarters
    for slot in range(start, QUARTERS):
        if slot in slots:
            if left == 0:
                return slot * STEP
            left -= 1
            if left == 0:
                return (slot + 1) * STEP
    return NEVER


def loop_window(slots: set[int], start: int, quarters: int) -> float:
    for slot in range(start, QUARTERS):
        if slot in slots and all(slot + ahead in slots for ahead in range(quarters)):
            return slot * STEP
    return NEVER


@given(openings)
def test_a_packed_calendar_is_the_same(slots: set[int]) -> None:
    calendar = calendar_of(slots)
    packed = Calendar.packed(np.array(calendar.starts), np.array(calendar.ends))
    assert packed == calendar
    assert (list(packed.before), packed.total) == (list(calendar.before), calendar.total)


@given(openings)
def test_intervals_are_joined_where_they_touch(slots: set[int]) -> None:
    intervals = calendar_of(slots).intervals()
    assert all(end < after for (_, end), (after, _) in itertools.pairwise(intervals))
    assert {slot for start, end in intervals for slot in range(int(start / STEP), int(end / STEP))} == slots
    assert calendar_of(slots).total == len(slots) * STEP


@given(openings, instants)
def test_open_and_next_open(slots: set[int], at: int) -> None:
    calendar = calendar_of(slots)
    assert calendar.is_open(at * STEP) == (at in slots)
    assert calendar.next_open(at * STEP) == min((slot * STEP for slot in slots if slot >= at), default=NEVER)
    ends = (min((slot + 1) * STEP, at * STEP) for slot in slots if slot <= at)
    assert calendar.last_open(at * STEP) == max(ends, default=-NEVER)


@given(openings, instants)
def test_the_close_of_what_is_open(slots: set[int], at: int) -> None:
    end = at
    while end in slots:
        end += 1
    assert calendar_of(slots).close_after(at * STEP) == end * STEP


@given(openings, instants, instants)
def test_worked_hours(slots: set[int], one: int, other: int) -> None:
    start, end = min(one, other), max(one, other)
    expected = sum(slot in slots for slot in range(start, end)) * STEP
    assert calendar_of(slots).worked(start * STEP, end * STEP) == expected


@given(openings, instants, st.integers(0, 40))
def test_the_finish_of_work(slots: set[int], start: int, quarters: int) -> None:
    assert calendar_of(slots).finish(start * STEP, quarters * STEP) == loop_finish(slots, start, quarters)


@given(openings, instants, st.integers(1, 20))
def test_the_next_window(slots: set[int], start: int, quarters: int) -> None:
    assert calendar_of(slots).next_window(start * STEP, quarters * STEP) == loop_window(slots, start, quarters)


@given(openings, instants, instants)
def test_intervals_within_a_span(slots: set[int], one: int, other: int) -> None:
    start, end = min(one, other), max(one, other)
    inside = calendar_of({slot for slot in slots if start <= slot < end})
    assert calendar_of(slots).within(start * STEP, end * STEP) == inside.intervals()


@given(openings, openings)
def test_two_calendars_together(one: set[int], other: set[int]) -> None:
    assert calendar_of(one).intersect(calendar_of(other)) == calendar_of(one & other)


@given(
    st.lists(st.integers(1, 40_000), min_size=2, max_size=20),
    st.integers(0, 90_000),
    st.integers(1, 90_000),
    st.integers(1, 90_000),
)
def test_whole_ticks_add_up_without_rounding(lengths: list[int], start: int, first: int, second: int) -> None:
    # Binary fractions: every sum below is exact, so the comparisons are ==.
    edges = [0]
    for length in lengths:
        edges.append(edges[-1] + length)
    ticks = [edge / TICKS_AN_HOUR for edge in edges]
    calendar = Calendar(ticks[0:-1:2], ticks[1::2])
    begin, one, two = start / TICKS_AN_HOUR, first / TICKS_AN_HOUR, second / TICKS_AN_HOUR
    halfway = calendar.finish(begin, one)
    end = calendar.finish(halfway, two)
    assert end == calendar.finish(begin, one + two)
    if end < NEVER:
        assert calendar.worked(begin, halfway) == one
        assert calendar.worked(begin, end) == one + two


DAYS = Calendar([7.0, 31.0], [15.0, 39.0])


@pytest.mark.parametrize(
    ("start", "hours", "end"),
    [
        (7.0, 8.0, 15.0),  # ends with the shift, not at the start of the next
        (15.0, 0.25, 31.25),  # begun at the very end of a shift, it waits for the next
        (0.0, 0.0, 7.0),
        (9.0, 0.0, 9.0),
        (15.0, 0.0, 31.0),
        (0.0, 16.0, 39.0),  # the very last hour there is
        (0.0, 16.25, NEVER),
        (39.0, 0.0, NEVER),
        (NEVER, 1.0, NEVER),
        (9.0, NEVER, NEVER),
    ],
)
def test_finishes_at_the_edges(start: float, hours: float, end: float) -> None:
    assert DAYS.finish(start, hours) == end


@pytest.mark.parametrize(
    ("instant", "length", "window"),
    [
        (0.0, 8.0, 7.0),  # exactly a shift
        (7.25, 8.0, 31.0),
        (8.0, 7.0, 8.0),
        (15.0, 1.0, 31.0),
        (0.0, 8.25, NEVER),
        (31.25, 8.0, NEVER),
        (NEVER, 1.0, NEVER),
    ],
)
def test_windows_at_the_edges(instant: float, length: float, window: float) -> None:
    assert DAYS.next_window(instant, length) == window


def test_a_shift_is_open_at_its_start_and_shut_at_its_end() -> None:
    assert DAYS.is_open(7.0)
    assert not DAYS.is_open(15.0)
    assert DAYS.close_after(15.0) == 15.0
    assert DAYS.worked(15.0, 31.0) == 0.0


def test_no_interval_lies_within_an_instant() -> None:
    assert DAYS.within(9.0, 9.0) == []
    assert DAYS.within(9.0, 32.0) == [(9.0, 15.0), (31.0, 32.0)]


def test_a_calendar_without_hours_never_opens() -> None:
    shut = Calendar([], [])
    assert shut.next_open(0.0) == shut.finish(0.0, 1.0) == shut.next_window(0.0, 1.0) == NEVER
    assert shut.worked(0.0, 100.0) == 0.0
    assert shut.intersect(DAYS) == shut
    assert Calendar.of([(5.0, 5.0), (7.0, 6.0)]) == shut


def test_around_the_clock_work_goes_straight_on() -> None:
    assert everlasting(240.0).finish(3.0, 100.0) == 103.0
    assert everlasting(240.0).finish(3.0, 237.5) == NEVER


def test_a_calendar_says_how_long_it_is() -> None:
    assert repr(DAYS) == "Calendar(2 intervals, 16.0 h)"
