"""Quantiles, intervals and comparisons held against reference libraries and textbook figures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from sitesim.answers.differences import bonferroni, chance_less, paired_difference, quantile_shift, unpaired_difference
from sitesim.answers.statistics import (
    harrell_davis,
    mean_interval,
    proportion_interval,
    quantile,
    quantile_estimate,
    quantile_interval,
    runs_needed,
    se_of_normal_quantile,
)

# Finishes of two variants played with the same luck; the intervals below were recomputed from the t formulas.
SLOWER = [101.2, 98.4, 110.3, 95.0, 104.8, 99.1, 107.7, 102.5, 96.6, 105.9]
FASTER = [97.9, 96.0, 105.1, 93.2, 101.0, 96.8, 103.5, 98.3, 94.1, 102.2]


def binomial_below(k: int, n: int, p: float) -> float:
    return sum(math.comb(n, j) * p**j * (1 - p) ** (n - j) for j in range(k))


class TestIntervalOfAQuantile:
    # scipy.stats.quantile_test gives the same ranks; the coverage is recomputed from the binomial formula.
    def test_hundred_runs(self):
        lower, upper, coverage = quantile_interval(100, 0.8)
        assert (lower, upper) == (72, 89)
        assert coverage == pytest.approx(0.9674, abs=5e-5)

    def test_thousand_runs(self):
        assert quantile_interval(1000, 0.8)[:2] == (775, 825)

    @pytest.mark.parametrize("p", [0.1, 0.5, 0.8, 0.9])
    @pytest.mark.parametrize("n", [5, 10, 16, 17, 37, 100, 246, 2000])
    def test_ranks_are_those_of_scipy(self, n, p):
        # In 1…n a value is its own rank; scipy answers NaN where the sample is too small.
        expected = stats.quantile_test(np.arange(1.0, n + 1), p=p).confidence_interval(0.95)
        lower, upper, _ = quantile_interval(n, p)
        assert lower == (0 if np.isnan(expected.low) else expected.low)
        assert upper == (n + 1 if np.isnan(expected.high) else expected.high)

    @pytest.mark.parametrize(("n", "p"), [(16, 0.8), (17, 0.8), (100, 0.8), (60, 0.1)])
    def test_coverage_is_the_binomial_sum(self, n, p):
        lower, upper, coverage = quantile_interval(n, p)
        assert coverage == pytest.approx(binomial_below(upper, n, p) - binomial_below(lower, n, p), abs=1e-12)

    def test_ends_are_the_order_statistics(self):
        estimate = quantile_estimate(np.arange(100.0, 0.0, -1.0), 0.8)
        assert (estimate.low, estimate.value, estimate.high) == (72.0, 80.0, 89.0)

    @pytest.mark.parametrize("p", [0.1, 0.5, 0.8, 0.9, 0.95, 1.0])
    @pytest.mark.parametrize("n", [1, 9, 10, 57])
    def test_quantile_is_numpys_inverted_distribution(self, n, p):
        values = np.random.default_rng(3).gamma(4.0, 10.0, n)
        assert quantile(values, p) == np.quantile(values, p, method="inverted_cdf")


class TestRunsNeeded:
    # Recomputed from z² p (1 − p) / h².
    @pytest.mark.parametrize(("half_width", "runs"), [(0.01, 6147), (0.02, 1537), (0.05, 246)])
    def test_p80_within_percentage_points(self, half_width, runs):
        assert runs_needed(0.8, half_width) == runs

    def test_standard_error_of_a_normal_p80(self):
        # Recomputed from √(p (1 − p)) over the normal density.
        assert se_of_normal_quantile(0.8, 1.0, 1) == pytest.approx(1.42877, abs=5e-6)
        assert se_of_normal_quantile(0.8, 12.0, 400) == pytest.approx(1.42877 * 12 / 20, abs=1e-5)


class TestHarrellDavis:
    def test_one_to_ten(self):
        # scipy.stats.mstats.hdquantiles of 1…10.
        values = np.arange(1.0, 11.0)
        assert harrell_davis(values, 0.8) == pytest.approx(8.500357, abs=5e-7)
        assert harrell_davis(values, 0.9) == pytest.approx(9.435115, abs=5e-7)

    @pytest.mark.parametrize("p", [0.1, 0.5, 0.8, 0.95])
    def test_unsorted_sample_as_in_scipy(self, p):
        values = np.random.default_rng(11).lognormal(3.0, 0.4, 43)
        assert harrell_davis(values, p) == pytest.approx(float(stats.mstats.hdquantiles(values, [p])[0]))


def test_t_interval_of_ten_waits():
    # Law, Simulation Modeling and Analysis, the ten-replication t interval: figures from memory, the
    # interval recomputed from the formula.
    estimate = mean_interval([1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09], confidence=0.90)
    assert estimate.value == pytest.approx(1.343, abs=5e-4)
    assert (estimate.high - estimate.low) / 2 == pytest.approx(0.237, abs=1e-3)


class TestClopperPearson:
    @pytest.mark.parametrize(("count", "n"), [(0, 20), (1, 20), (7, 20), (20, 20), (163, 1000)])
    @pytest.mark.parametrize("confidence", [0.9, 0.95])
    def test_is_scipys_exact_interval(self, count, n, confidence):
        expected = stats.binomtest(count, n).proportion_ci(confidence, method="exact")
        share = proportion_interval(count, n, confidence)
        assert (share.low, share.high) == pytest.approx((expected.low, expected.high), abs=1e-9)

    def test_none_of_a_thousand(self):
        # Closed form for 0 of n: 1 − (α/2)^(1/n).
        assert proportion_interval(0, 1000).high == pytest.approx(1 - 0.025 ** (1 / 1000), rel=1e-9)


class TestSameLuck:
    def test_paired_difference(self):
        result = paired_difference(SLOWER, FASTER)
        assert result.mean == pytest.approx(3.34, abs=1e-9)
        assert (result.low, result.high) == pytest.approx((2.5738, 4.1062), abs=5e-5)
        assert result.distinguishable

    def test_without_pairing_the_same_runs_say_nothing(self):
        result = unpaired_difference(SLOWER, FASTER)
        assert (result.low, result.high) == pytest.approx((-0.929, 7.609), abs=5e-4)
        assert not result.distinguishable

    def test_scipy_agrees_with_both(self):
        paired = paired_difference(SLOWER, FASTER, 0.9)
        expected_paired = stats.ttest_rel(SLOWER, FASTER).confidence_interval(0.9)
        assert (paired.low, paired.high) == pytest.approx((expected_paired.low, expected_paired.high))
        unpaired = unpaired_difference(SLOWER, FASTER[:6], 0.9)
        expected_unpaired = stats.ttest_ind(SLOWER, FASTER[:6], equal_var=False).confidence_interval(0.9)
        assert (unpaired.low, unpaired.high) == pytest.approx((expected_unpaired.low, expected_unpaired.high))

    def test_faster_is_earlier_in_every_pair(self):
        order = chance_less(FASTER, SLOWER)
        assert order.earlier.value == 1.0
        # Closed form for n of n: (α/2)^(1/n).
        assert order.earlier.low == pytest.approx(0.025 ** (1 / 10))


class TestSeveralComparisons:
    # Bonferroni's inequality: the errors of the parts add up to at most the error of the whole.
    @pytest.mark.parametrize(
        ("confidence", "comparisons", "each"), [(0.95, 1, 0.95), (0.95, 5, 0.99), (0.90, 4, 0.975)]
    )
    def test_confidence_of_each(self, confidence, comparisons, each):
        assert bonferroni(confidence, comparisons) == pytest.approx(each)


class TestCoverage:
    """Back-tests: how often the intervals hold the truth of a known distribution."""

    def test_quantile_interval_holds_the_true_p80_as_often_as_it_says(self):
        # Exact coverage .9674; 2000 samples have a standard error of .0040, four of which are allowed.
        luck = np.random.default_rng(20)
        truth = stats.norm.ppf(0.8)
        samples = np.sort(luck.normal(size=(2000, 100)), axis=1)
        lower, upper, coverage = quantile_interval(100, 0.8)
        held = np.mean((samples[:, lower - 1] <= truth) & (truth <= samples[:, upper - 1]))
        assert held == pytest.approx(coverage, abs=0.016)

    def test_bootstrap_of_pairs_holds_the_true_shift(self):
        # 200 samples: the standard error at .95 is .0154, three of which are allowed. The bootstrap of a
        # single order statistic errs on the wide side with shared luck: only too little coverage is a fault.
        held = [low <= 4.0 <= high for low, high in shift_intervals(same_luck=True)]
        assert np.mean(held) >= 0.95 - 3 * 0.0154

    def test_bootstrap_without_shared_luck_is_as_wide_as_normal_theory(self):
        # 2 × 1.96 × √2 × 1.42877 s / √n for two independent P80s, to 15 % for n = 120 and a wide bootstrap.
        theory = 2 * 1.959964 * math.sqrt(2) * 1.42877 * math.hypot(10, 3) / math.sqrt(120)
        apart = np.mean([high - low for low, high in shift_intervals(same_luck=False)])
        together = np.mean([high - low for low, high in shift_intervals(same_luck=True)])
        assert apart == pytest.approx(theory, rel=0.15)
        assert together < 0.75 * apart


def shift_intervals(*, same_luck: bool) -> list[tuple[float, float]]:
    """Intervals of the shift of a P80 by 4, from 200 samples of 120 pairs of normal finishes."""
    luck = np.random.default_rng(21)
    intervals = []
    for sample in range(200):
        of_a = luck.normal(100, 10, 120)
        of_b = of_a if same_luck else luck.normal(100, 10, 120)
        a, b = of_a + luck.normal(0, 3, 120), of_b + luck.normal(-4, 3, 120)
        interval = quantile_shift(a, b, 0.8, resamples=399, seed=sample)
        intervals.append((interval.low, interval.high))
    return intervals
