"""Orders worked out by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rigs import unforeseen

from sitesim.policies import Course, DaysNeed, Delivery, FixedSpacing, LoadSizes, TodayView, TomorrowView, WillCall

# 2.5 m³ a load, every two hours from seven, sold by half cubic metres, at least one of them.
POLICY = FixedSpacing(LoadSizes(2.5, 0.5, 1.0), 2.0, 7.0)
MIDNIGHT = 48.0


def volumes(need: float) -> list[float]:
    return [delivery.volume for delivery in POLICY.order(TomorrowView(need, MIDNIGHT, unforeseen))]


@pytest.mark.parametrize(
    ("need", "loads"),
    [
        (2.5, [2.5]),
        (2.51, [2.5, 1.0]),  # a rest of half a cubic metre is less than the plant sells
        (5.0, [2.5, 2.5]),
        (6.2, [2.5, 2.5, 1.5]),
        (7.49, [2.5, 2.5, 2.5]),
        (0.2, [1.0]),
        (0.0, [1.0]),
    ],
)
def test_loads_are_whole_steps_and_the_last_one_is_the_rest(need: float, loads: list[float]) -> None:
    assert volumes(need) == loads


def test_loads_come_at_the_spacing_from_the_first_arrival_on() -> None:
    order = POLICY.order(TomorrowView(6.2, MIDNIGHT, unforeseen))
    assert order == (Delivery(2.5, 55.0), Delivery(2.5, 57.0), Delivery(1.5, 59.0))


def test_a_need_that_is_whole_steps_but_for_rounding_buys_no_further_step() -> None:
    assert sum(volumes(0.1 + 0.2 + 2.2)) == 2.5  # 2.5000000000000004


@given(
    need=st.floats(0.0, 60.0),
    steps_a_load=st.integers(1, 20),
    step=st.sampled_from([0.25, 0.5, 1.0]),
    least=st.floats(0, 1),
)
def test_what_is_ordered_covers_the_need_with_less_than_a_step_to_spare(
    need: float, steps_a_load: int, step: float, least: float
) -> None:
    load = steps_a_load * step
    order = FixedSpacing(LoadSizes(load, step, min(least, load)), 1.0, 7.0).order(TomorrowView(need, 0.0, unforeseen))
    total = sum(delivery.volume for delivery in order)
    assert need - 1e-6 <= total < need + step + min(least, load) + 1e-6
    assert all(delivery.volume == load for delivery in order[:-1])
    assert 0.0 < order[-1].volume <= load


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_more_need_never_means_less_concrete(one: float, other: float) -> None:
    assert sum(volumes(min(one, other))) <= sum(volumes(max(one, other)))


# ------------------------------------------------------------------------------------------------ calls and needs

SIZES = LoadSizes(2.5, 0.5, 1.0)


def today(
    now: float = 9.0, need: float = 4.0, on_hand: float = 1.0, coming: float = 0.0, until: float = 14.0
) -> TodayView:
    """View a day whose printer uses two cubic metres in an hour."""
    return TodayView(now, need, on_hand, coming, 2.0, until)


def test_sizes_are_whole_steps_a_last_one_and_never_less_than_the_least() -> None:
    assert SIZES.cut(6.2) == [2.5, 2.5, 1.5]
    assert SIZES.cut(0.2) == [1.0]
    assert (SIZES.next(6.2), SIZES.next(1.4), SIZES.next(0.3)) == (2.5, 1.5, 1.0)


def test_a_fixed_order_is_never_added_to_unless_somebody_tops_it_up() -> None:
    assert not POLICY.calls
    assert POLICY.call(today()) is None


def test_a_top_up_is_called_as_soon_as_something_is_missing() -> None:
    policy = FixedSpacing(SIZES, 2.0, 7.0, top_up=1.5)
    assert policy.calls
    assert policy.order(TomorrowView(6.2, MIDNIGHT, unforeseen)) == POLICY.order(
        TomorrowView(6.2, MIDNIGHT, unforeseen)
    )
    assert policy.call(today()) == Delivery(2.5, 10.5)  # 3 m³ are missing
    assert policy.call(today(coming=2.25)) == Delivery(1.0, 10.5)
    assert policy.call(today(coming=3.0)) is None
    assert policy.call(today(until=10.5)) is None  # too late for today


def test_will_call_begins_with_one_load() -> None:
    policy = WillCall(SIZES, 7.0, 1.5)
    assert policy.calls
    assert policy.order(TomorrowView(6.2, MIDNIGHT, unforeseen)) == (Delivery(2.5, 55.0),)
    assert policy.order(TomorrowView(1.2, MIDNIGHT, unforeseen)) == (Delivery(1.5, 55.0),)


@pytest.mark.parametrize(
    ("early", "on_hand", "coming", "called"),
    [
        (0.0, 3.5, 0.0, None),  # lasts 1.75 h, the lead is 1.5
        (0.25, 3.5, 0.0, Delivery(2.5, 10.5)),  # a little earlier
        (0.0, 3.0, 0.0, Delivery(2.5, 10.5)),  # just as long as the lead: 5 m³ are missing
        (0.0, 0.5, 3.0, None),  # what is on its way counts
        (0.0, 0.0, 0.0, Delivery(2.5, 10.5)),
    ],
)
def test_will_call_calls_when_what_is_left_lasts_for_no_longer_than_the_lead(
    early: float, on_hand: float, coming: float, called: Delivery | None
) -> None:
    policy = WillCall(SIZES, 7.0, 1.5, early)
    assert policy.call(today(need=8.0, on_hand=on_hand, coming=coming)) == called


def test_will_call_calls_for_no_more_than_the_day_needs_and_not_too_late() -> None:
    policy = WillCall(SIZES, 7.0, 1.5)
    assert policy.call(today(need=2.0, on_hand=0.75)) == Delivery(1.5, 10.5)  # 1.25 are missing: three steps
    assert policy.call(today(need=1.0, on_hand=1.0)) is None
    assert policy.call(today(until=10.5)) is None
    assert policy.call(today(until=10.75)) is not None


def test_the_days_need_is_there_a_little_before_what_is_ahead_is_used_up() -> None:
    # Used from 57.0 (nine in the morning) on: 0.5 m³ before, then 2 m³ an hour, with an hour's stop at 3.5 m³.
    def course(first_load: float) -> Course:
        assert first_load == 55.0
        return Course((57.0, 58.5, 59.5, 60.5), (0.5, 3.5, 3.5, 5.5))

    policy = DaysNeed(SIZES, 7.0, 0.25)
    assert not policy.calls
    # Loads of 2.5, 2.5 and 1 m³: the first at seven; 2.5 m³ are used up at 58.0, 5.0 m³ at 60.25.
    order = policy.order(TomorrowView(5.5, MIDNIGHT, course))
    assert order == (Delivery(2.5, 55.0), Delivery(2.5, 57.75), Delivery(1.0, 60.0))
    assert policy.call(today()) is None
    # Nobody comes before the first.
    early = DaysNeed(SIZES, 7.0, 4.0).order(TomorrowView(5.5, MIDNIGHT, course))
    assert [delivery.due for delivery in early] == [55.0, 55.0, 56.25]


@given(
    need=st.floats(0.5, 60.0),
    pace=st.floats(0.1, 5.0),
    early=st.floats(0.0, 2.0),
    load=st.sampled_from([1.0, 2.5, 4.0]),
)
def test_loads_for_the_days_need_come_in_turn_and_in_time(need: float, pace: float, early: float, load: float) -> None:
    def course(first_load: float) -> Course:
        return Course((first_load, first_load + need / pace), (0.0, need))

    policy = DaysNeed(LoadSizes(load, 0.5, 0.5), 7.0, early)
    order = policy.order(TomorrowView(need, 0.0, course))
    dues = [delivery.due for delivery in order]
    assert dues == sorted(dues)
    assert dues[0] == 7.0
    ahead = 0.0
    for delivery, due in zip(order, dues[1:], strict=False):
        ahead += delivery.volume
        assert due <= 7.0 + ahead / pace + 1e-9
    assert sum(delivery.volume for delivery in order) >= need - 1e-6


def test_a_load_is_called_for_where_what_is_in_sight_does_not_make_the_next_layer() -> None:
    # 0.6 m³ last 36 min at 1 m³/h, longer than the 20 min of lead and margin, but the next layer takes 0.75 m³.
    near = WillCall(LoadSizes(2.0, 0.5, 0.5), 7.0, lead=1 / 6, early=1 / 6)
    assert near.call(TodayView(8.0, 3.0, 0.6, 0.0, 1.0, 14.0, 0.5)) is None
    assert near.call(TodayView(8.0, 3.0, 0.6, 0.0, 1.0, 14.0, 0.75)) == Delivery(2.0, 8.0 + 1 / 6)
