"""Ratios of two means, and the price at which a linear difference is nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitesim.answers.ratios import crossing, linear_form, ratio_interval
from sitesim.answers.statistics import mean_interval


def test_with_the_same_volume_in_all_runs_the_form_is_each_runs_own_ratio() -> None:
    assert linear_form([10.0, 30.0], [4.0, 4.0]).tolist() == [2.5, 7.5]


def test_the_mean_of_the_form_is_the_ratio_of_the_means_and_its_spread_by_hand() -> None:
    # Amounts 10, 20, 36 over volumes 4, 6, 12: R = 66/22 = 3; residuals −2, 2, 0 over the mean volume 22/3.
    form = linear_form([10.0, 20.0, 36.0], [4.0, 6.0, 12.0])
    assert form.mean() == pytest.approx(3.0)
    assert (form - 3.0).tolist() == pytest.approx([-2.0 * 3 / 22, 2.0 * 3 / 22, 0.0])
    assert ratio_interval([10.0, 20.0, 36.0], [4.0, 6.0, 12.0]).value == pytest.approx(3.0)


def test_nothing_to_divide_by_is_refused() -> None:
    with pytest.raises(ValueError, match="something to be divided by"):
        linear_form([1.0], [0.0])


def test_with_a_sure_slope_the_interval_is_the_t_interval_of_the_constant() -> None:
    constant = np.array([-9.0, -12.0, -15.0, -12.0])
    found = crossing(constant, np.full(4, 2.0))
    told = mean_interval(-constant / 2.0)
    assert found.value == pytest.approx(6.0)
    assert (found.low, found.high) == pytest.approx((told.low, told.high))


def test_at_the_ends_of_the_interval_the_difference_is_just_told_from_nothing() -> None:
    generator = np.random.default_rng(7)
    constant, slope = generator.normal(-100.0, 20.0, 60), generator.normal(1.0, 0.2, 60)
    found = crossing(constant, slope)
    for end in (found.low, found.high):
        told = mean_interval(constant + end * slope)
        assert min(abs(told.low), abs(told.high)) < 1e-9
    assert found.low < -float(constant.mean() / slope.mean()) < found.high


def test_without_a_slope_there_is_no_such_price_and_with_a_doubtful_one_no_bound() -> None:
    assert crossing([1.0, 2.0], [0.0, 0.0]).value is None
    doubtful = crossing([-1.0, -1.1, -0.9], [1.0, -1.0, 0.3])
    assert doubtful.value is not None
    assert math.isinf(doubtful.high)
