"""Orders worked out by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rigs import unforeseen

from sitesim.policies import Delivery, FixedSpacing, LoadSizes, TomorrowView

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
