"""Rules that quantiles, means, shares and differences keep whatever the runs are."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.answers.differences import (
    bonferroni,
    chance_less,
    paired_difference,
    quantile_shift,
    unpaired_difference,
)
from sitesim.answers.statistics import (
    as_sample,
    harrell_davis,
    mean_interval,
    precise_enough,
    proportion_interval,
    quantile,
    quantile_estimate,
    quantile_interval,
    quantile_rank,
    runs_needed,
    runs_until_known,
    se_of_normal_quantile,
)

INF = math.inf

hours = st.floats(min_value=0, max_value=1e5)
finishes = st.one_of(hours, st.just(INF))
samples = st.lists(finishes, min_size=1, max_size=60)
pairs = st.lists(st.tuples(finishes, finishes), min_size=1, max_size=40)
percents = st.integers(min_value=1, max_value=99)


def columns(rows: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    return [row[0] for row in rows], [row[1] for row in rows]


class TestQuantile:
    @given(samples, percents)
    def test_is_one_of_the_values(self, values, percent):
        assert quantile(values, percent / 100) in values

    @given(samples, percents)
    def test_is_the_value_at_the_exact_rank(self, values, percent):
        rank = math.ceil(Fraction(percent, 100) * len(values))
        assert quantile(values, percent / 100) == sorted(values)[rank - 1]

    @given(samples, percents, percents)
    def test_rises_with_p(self, values, one, other):
        assert quantile(values, min(one, other) / 100) <= quantile(values, max(one, other) / 100)

    @given(samples, percents)
    def test_at_least_the_share_p_is_no_later(self, values, percent):
        date = quantile(values, percent / 100)
        assert 100 * sum(value <= date for value in values) >= percent * len(values)

    @given(samples, percents)
    def test_a_run_that_becomes_unfinished_never_brings_it_forward(self, values, percent):
        assert quantile([INF, *values[1:]], percent / 100) >= quantile(values, percent / 100)

    def test_unfinished_runs_rank_last(self):
        values = [INF, 3.0, 1.0, INF, 2.0]
        assert [quantile(values, p) for p in (0.2, 0.4, 0.6, 0.8, 1.0)] == [1.0, 2.0, 3.0, INF, INF]

    def test_does_not_reorder_what_it_was_given(self):
        values = np.array([3.0, 1.0, 2.0])
        quantile(values, 0.5)
        assert values.tolist() == [3.0, 1.0, 2.0]

    # 100 × 0.07 and 1000 × 0.55 lie a hair above the whole number in binary.
    @pytest.mark.parametrize(
        ("n", "p", "rank"),
        [
            (100, 0.07, 7),
            (1000, 0.55, 550),
            (10, 0.1 + 0.2, 3),
            (3, 1 / 3, 1),
            (101, 0.8, 81),
            (1, 0.01, 1),
            (7, 1, 7),
        ],
    )
    def test_rank_is_the_ceiling_of_the_decimal_product(self, n, p, rank):
        assert quantile_rank(n, p) == rank

    @pytest.mark.parametrize("p", [0, -0.1, 1.01, math.nan])
    def test_refuses_shares_outside_the_range(self, p):
        with pytest.raises(ValueError, match="0 < p <= 1"):
            quantile([1.0], p)

    def test_refuses_an_empty_sample(self):
        with pytest.raises(ValueError, match="at least one value"):
            quantile([], 0.5)

    @pytest.mark.parametrize("fault", [math.nan, -INF])
    def test_names_the_value_that_cannot_rank(self, fault):
        with pytest.raises(ValueError, match=rf"Value 1 of the sample is {fault}"):
            as_sample([1.0, fault])

    def test_refuses_a_table(self):
        with pytest.raises(ValueError, match="one dimension, not 2"):
            as_sample([[1.0, 2.0]])


class TestQuantileInterval:
    @given(st.integers(1, 400), percents, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
    def test_covers_at_least_what_it_says(self, n, percent, confidence):
        lower, upper, coverage = quantile_interval(n, percent / 100, confidence)
        assert 0 <= lower < upper <= n + 1
        assert coverage >= confidence - 1e-12

    @given(st.integers(1, 200), percents)
    def test_mirrors_when_the_order_is_reversed(self, n, percent):
        lower, upper, _ = quantile_interval(n, percent / 100)
        mirrored_lower, mirrored_upper, _ = quantile_interval(n, 1 - percent / 100)
        assert (mirrored_lower, mirrored_upper) == (n + 1 - upper, n + 1 - lower)

    @given(samples, percents)
    def test_encloses_the_estimate(self, values, percent):
        estimate = quantile_estimate(values, percent / 100)
        assert estimate.low <= estimate.value <= estimate.high
        assert estimate.value == quantile(values, percent / 100)

    def test_too_few_runs_bound_nothing_above(self):
        # 0.8^16 = 0.028 > 0.025: sixteen runs may all lie before the P80, so none of them is an upper end.
        estimate = quantile_estimate([float(value) for value in range(16)], 0.8)
        assert (estimate.bounded_below, estimate.bounded_above) == (True, False)
        assert estimate.high == INF

    def test_an_unfinished_upper_end_is_told_from_a_missing_one(self):
        estimate = quantile_estimate([*range(85), *[INF] * 15], 0.8)
        assert estimate.high == INF
        assert estimate.bounded_above

    def test_nothing_is_bounded_by_one_run(self):
        estimate = quantile_estimate([5.0], 0.8)
        assert (estimate.low, estimate.value, estimate.high) == (-INF, 5.0, INF)
        assert not estimate.bounded_below

    @pytest.mark.parametrize(("n", "p", "confidence"), [(0, 0.5, 0.9), (5, 0, 0.9), (5, 1, 0.9), (5, 0.5, 1)])
    def test_refuses_what_has_no_interval(self, n, p, confidence):
        with pytest.raises(ValueError, match=r"needed|must lie"):
            quantile_interval(n, p, confidence)


class TestStopping:
    # With 100 values the P80 is the 80th and its ends the 72nd and 89th: arms of 8 and 9 in 1…100.
    def test_the_longer_arm_decides(self):
        values = np.arange(1.0, 101.0)
        assert precise_enough(values, 0.8, 9.0)
        assert not precise_enough(values, 0.8, 8.9)

    def test_too_few_runs_are_never_enough(self):
        assert not precise_enough([5.0] * 16, 0.8, INF)
        assert precise_enough([5.0] * 17, 0.8, 0.0)

    def test_an_open_date_is_not_known(self):
        assert not precise_enough([*range(85), *[INF] * 15], 0.8, 1e9)

    def test_a_date_known_not_to_exist_needs_no_more_runs(self):
        assert precise_enough([*range(50), *[INF] * 50], 0.8, 1.0)

    @pytest.mark.parametrize("half_width", [-1.0, math.nan])
    def test_refuses_a_negative_half_width(self, half_width):
        with pytest.raises(ValueError, match="0 or more"):
            precise_enough([1.0], 0.8, half_width)

    def test_stops_at_the_first_checkpoint_that_suffices(self):
        values = np.random.default_rng(7).permutation(2000) / 20.0
        checkpoints = [100, 200, 400, 800, 1600]
        stopped = runs_until_known(values, checkpoints, 0.8, 5.0)
        assert stopped in checkpoints
        assert precise_enough(values[:stopped], 0.8, 5.0)
        assert not any(precise_enough(values[:count], 0.8, 5.0) for count in checkpoints if count < stopped)

    def test_later_runs_do_not_change_where_it_stopped(self):
        values = [*range(100), *[INF] * 900]
        assert runs_until_known(values, [100, 1000], 0.8, 9.0) == 100
        assert runs_until_known(values[:100], [100, 1000], 0.8, 9.0) == 100

    def test_none_when_the_runs_end_first(self):
        assert runs_until_known(np.arange(150.0), [100, 200], 0.8, 1.0) is None

    @pytest.mark.parametrize("checkpoints", [[0], [20, 20], [30, 20]])
    def test_refuses_checkpoints_that_do_not_rise(self, checkpoints):
        with pytest.raises(ValueError, match="rise"):
            runs_until_known(np.arange(50.0), checkpoints, 0.8, 0.0)


class TestMeansAndShares:
    @given(st.lists(hours, min_size=2, max_size=30))
    def test_mean_lies_in_the_middle_of_its_interval(self, values):
        estimate = mean_interval(values)
        assert estimate.low <= estimate.value <= estimate.high
        assert (estimate.low + estimate.high) / 2 == pytest.approx(np.mean(values), abs=1e-6)

    def test_one_value_bounds_nothing(self):
        estimate = mean_interval([4.0])
        assert (estimate.value, estimate.low, estimate.high, estimate.n) == (4.0, -INF, INF, 1)

    def test_an_unfinished_run_has_no_mean_to_bound(self):
        estimate = mean_interval([4.0, INF, 5.0])
        assert (estimate.value, estimate.low, estimate.high, estimate.n) == (INF, -INF, INF, 3)

    @given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
    def test_share_is_inside_its_interval_and_mirrors(self, counts):
        count, n = counts
        share, rest = proportion_interval(count, n), proportion_interval(n - count, n)
        assert 0 <= share.low <= share.value <= share.high <= 1
        assert (share.low, share.high) == pytest.approx((1 - rest.high, 1 - rest.low), abs=1e-9)

    @pytest.mark.parametrize(("count", "n"), [(-1, 10), (11, 10), (0, 0)])
    def test_refuses_impossible_counts(self, count, n):
        with pytest.raises(ValueError, match=r"lies between|needed"):
            proportion_interval(count, n)

    def test_harrell_davis_of_equal_values_is_that_value(self):
        assert harrell_davis([7.0] * 20, 0.8) == pytest.approx(7.0)

    def test_harrell_davis_cannot_hide_an_unfinished_run(self):
        assert harrell_davis([*range(999), INF], 0.1) == INF

    def test_planning_figures_refuse_impossible_arguments(self):
        with pytest.raises(ValueError, match="half_width_in_share"):
            runs_needed(0.8, 0.0)
        with pytest.raises(ValueError, match="0 or more"):
            se_of_normal_quantile(0.8, -1.0, 10)


class TestPairs:
    @given(pairs)
    def test_swapping_sides_swaps_the_sign(self, rows):
        a, b = columns(rows)
        forth, back = paired_difference(a, b), paired_difference(b, a)
        assert (forth.low, forth.high) == pytest.approx((-back.high, -back.low))
        assert forth.distinguishable == back.distinguishable
        assert (forth.only_a_infinite, forth.only_b_infinite) == (back.only_b_infinite, back.only_a_infinite)

    @given(pairs)
    def test_every_pair_is_used_or_counted_out(self, rows):
        result = paired_difference(*columns(rows))
        assert result.n + result.unpaired_infinite == len(rows)
        assert result.n == sum(math.isfinite(a) and math.isfinite(b) for a, b in rows)

    def test_unfinished_pairs_are_left_out_and_reported(self):
        result = paired_difference([5, INF, 7, INF, 9], [4, 3, INF, INF, 8])
        assert (result.mean, result.n, result.unpaired_infinite) == (1.0, 2, 3)
        assert (result.only_a_infinite, result.only_b_infinite) == (1, 1)

    def test_a_side_that_fails_to_finish_is_not_called_earlier(self):
        a = [10.0, 11.0, 12.0, 13.0, 14.0]
        assert paired_difference(a, [9.0, 10.1, 11.0, 12.1, 13.0]).distinguishable
        assert not paired_difference(a, [9.0, 10.1, 11.0, 12.1, INF]).distinguishable
        assert paired_difference([*a, INF], [9.0, 10.1, 11.0, 12.1, 13.0, 14.0]).distinguishable

    def test_no_finite_pair_leaves_everything_unknown(self):
        result = paired_difference([INF, 1.0], [1.0, INF])
        assert math.isnan(result.mean)
        assert (result.low, result.high, result.distinguishable) == (-INF, INF, False)

    def test_equal_pairs_are_not_distinguishable(self):
        result = paired_difference([1.0, 2.0, 3.0], [1.0, 2.0, 3.0])
        assert (result.low, result.high, result.distinguishable) == (0.0, 0.0, False)

    @pytest.mark.parametrize("compare", [paired_difference, chance_less, lambda a, b: quantile_shift(a, b, 0.8)])
    def test_refuses_samples_of_different_lengths(self, compare):
        with pytest.raises(ValueError, match="not 2 and 1"):
            compare([1.0, 2.0], [1.0])

    @given(pairs)
    def test_shares_of_the_order_add_up_to_one(self, rows):
        order = chance_less(*columns(rows))
        assert order.earlier.value + order.same.value + order.later.value == pytest.approx(1)

    def test_ties_are_a_share_of_their_own_and_two_unfinished_tie(self):
        order = chance_less([1, 2, 3, INF, INF, 4, 5, 6], [2, 2, 3, INF, 9, INF, 6, 7])
        assert (order.earlier.value, order.same.value, order.later.value) == (4 / 8, 3 / 8, 1 / 8)


class TestUnpaired:
    def test_lengths_may_differ_and_the_unfinished_are_counted(self):
        result = unpaired_difference([5.0, 7.0, INF], [1.0, 2.0, 3.0, INF, INF])
        assert (result.mean, result.n_a, result.n_b) == (4.0, 2, 3)
        assert (result.infinite_a, result.infinite_b) == (1, 2)

    def test_the_side_that_fails_more_often_is_not_called_earlier(self):
        a, b = [50.0, 51.0, 52.0, 53.0], [1.0, 2.0, 3.0, 4.0]
        assert unpaired_difference(a, b).distinguishable
        assert not unpaired_difference([*a, 54.0], [*b, INF]).distinguishable

    def test_one_value_bounds_nothing(self):
        result = unpaired_difference([5.0], [1.0, 2.0])
        assert (result.mean, result.low, result.high) == (3.5, -INF, INF)

    def test_constant_samples_differ_exactly(self):
        result = unpaired_difference([5.0, 5.0], [3.0, 3.0])
        assert (result.low, result.high) == (2.0, 2.0)


class TestQuantileShift:
    def test_same_seed_gives_the_same_interval(self):
        luck = np.random.default_rng(1)
        a = luck.normal(100, 10, 150)
        b = a - luck.normal(3, 1, 150)
        assert quantile_shift(a, b, 0.8, seed=4) == quantile_shift(a, b, 0.8, seed=4)
        other = quantile_shift(a, b, 0.8, seed=5)
        assert other.shift == quantile_shift(a, b, 0.8, seed=4).shift

    def test_a_constant_shift_is_known_exactly(self):
        b = np.arange(64.0)
        result = quantile_shift(b + 2.0, b, 0.8)
        assert (result.shift, result.low, result.high, result.distinguishable) == (2.0, 2.0, 2.0, True)

    def test_blocks_of_resamples_do_not_change_the_answer(self, monkeypatch):
        luck = np.random.default_rng(2)
        a, b = luck.normal(0, 1, 40), luck.normal(0, 1, 40)
        whole = quantile_shift(a, b, 0.8)
        monkeypatch.setattr("sitesim.answers.differences._RESAMPLED_VALUES_AT_ONCE", 40 * 7)
        assert quantile_shift(a, b, 0.8) == whole

    def test_two_dates_that_do_not_exist_have_no_shift(self):
        result = quantile_shift([1.0, INF, INF, INF], [2.0, INF, INF, INF], 0.8)
        assert math.isnan(result.shift)
        assert (result.low, result.high, result.distinguishable) == (-INF, INF, False)

    def test_a_date_lost_for_certain_is_an_infinite_shift(self):
        result = quantile_shift([INF] * 20, np.arange(20.0), 0.8)
        assert (result.shift, result.low, result.distinguishable) == (INF, INF, True)

    def test_refuses_too_few_resamples(self):
        with pytest.raises(ValueError, match="too few"):
            quantile_shift([1.0, 2.0], [1.0, 2.0], 0.5, confidence=0.999, resamples=1998)

    @pytest.mark.parametrize("confidence", [0.0, 1.0])
    def test_refuses_a_certain_interval(self, confidence):
        with pytest.raises(ValueError, match="confidence"):
            quantile_shift([1.0, 2.0], [1.0, 2.0], 0.5, confidence=confidence)


def test_bonferroni_refuses_no_comparison():
    with pytest.raises(ValueError, match="At least one comparison"):
        bonferroni(0.95, 0)
    with pytest.raises(ValueError, match="confidence"):
        bonferroni(1.0, 2)
