"""Distributions against worked numbers and against scipy's own."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from sitesim.chance import Distribution, Exponential, Lognormal, Observed, Pert, Triangular

PERT = Pert(10.0, 14.0, 30.0)
BETA = stats.beta(1.8, 4.2, loc=10.0, scale=20.0)


def mean_of_draws(distribution: Distribution, cells: int) -> float:
    """Average the inverse over the middles of equal cells of u."""
    return math.fsum(distribution.inverse((i + 0.5) / cells) for i in range(cells)) / cells


def variance_of_draws(distribution: Distribution, cells: int) -> float:
    mean = mean_of_draws(distribution, cells)
    return math.fsum((distribution.inverse((i + 0.5) / cells) - mean) ** 2 for i in range(cells)) / cells


class TestBetaPert:
    @pytest.mark.parametrize(("share", "value"), [(0.10, 11.798), (0.80, 19.005), (0.90, 20.907)])
    def test_quantiles_of_10_14_30(self, share: float, value: float) -> None:
        # Recomputed from the beta distribution with shapes 1.8 and 4.2.
        assert PERT.inverse(share) == pytest.approx(value, abs=5e-4)

    def test_mean_of_10_14_30(self) -> None:
        # Recomputed: (10 + 56 + 30)/6. What is drawn must agree as well as what is stated.
        assert PERT.mean == 16.0
        assert mean_of_draws(PERT, 40_000) == pytest.approx(16.0, abs=5e-4)

    def test_variance_is_the_betas_and_not_the_rule_of_thumbs(self) -> None:
        # Recomputed: (mean - low)(high - mean)/7 = 12, where ((high - low)/6)² would be 11.11.
        assert variance_of_draws(PERT, 40_000) == pytest.approx(12.0, abs=0.01)

    def test_table_against_scipy(self) -> None:
        # Oracle: scipy.stats.beta; 0.02 % of the span between the first and the last percent.
        shares = np.linspace(0.01, 0.99, 997)
        drawn = np.array([PERT.inverse(float(share)) for share in shares])
        assert np.abs(drawn - BETA.ppf(shares)).max() < 0.0002 * 20.0

    @pytest.mark.parametrize(("likely", "a", "b"), [(10.0, 1.0, 5.0), (30.0, 5.0, 1.0), (20.0, 3.0, 3.0)])
    def test_peak_at_an_end_and_in_the_middle(self, likely: float, a: float, b: float) -> None:
        # Oracle: scipy.stats.beta.
        pert, exact = Pert(10.0, likely, 30.0), stats.beta(a, b, loc=10.0, scale=20.0)
        for share in (0.1, 0.5, 0.8, 0.9):
            assert pert.inverse(share) == pytest.approx(float(exact.ppf(share)), abs=5e-4)


class TestTriangular:
    def test_10_14_30(self) -> None:
        # Recomputed: mean 54/3, variance 18.667, 80 % at 30 - √(0.2 x 20 x 16) = 22.
        triangular = Triangular(10.0, 14.0, 30.0)
        assert triangular.mean == 18.0
        assert mean_of_draws(triangular, 20_000) == pytest.approx(18.0, abs=1e-3)
        assert variance_of_draws(triangular, 20_000) == pytest.approx(18.667, abs=5e-3)
        assert triangular.inverse(0.80) == pytest.approx(22.0)


class TestLognormal:
    def test_by_p10_8_and_p90_20(self) -> None:
        # Recomputed: median √(8 x 20), sigma ln(2.5)/(2 x 1.28155).
        lognormal = Lognormal.by_p10_p90(8.0, 20.0)
        assert lognormal.inverse(0.50) == pytest.approx(12.649, abs=5e-4)
        assert lognormal.mean == pytest.approx(13.484, abs=5e-4)
        assert lognormal.inverse(0.80) == pytest.approx(17.089, abs=5e-4)
        assert lognormal.inverse(0.10) == pytest.approx(8.0)
        assert lognormal.inverse(0.90) == pytest.approx(20.0)


# Oracle for every kind at once: the same distribution as scipy has it.
ORACLES: list[tuple[Distribution, Any]] = [
    (PERT, BETA),
    (Triangular(10.0, 14.0, 30.0), stats.triang(0.2, loc=10.0, scale=20.0)),
    (Lognormal(1.0, 0.5), stats.lognorm(0.5, scale=math.e)),
    (Exponential(3.0), stats.expon(scale=3.0)),
]


@pytest.mark.parametrize(("ours", "theirs"), ORACLES, ids=lambda value: type(value).__name__)
def test_mean_cdf_and_inverse_as_scipy_has_them(ours: Distribution, theirs: Any) -> None:
    assert ours.mean == pytest.approx(float(theirs.mean()))
    for share in np.linspace(0.02, 0.98, 49):
        value = float(theirs.ppf(share))
        assert ours.inverse(float(share)) == pytest.approx(value, rel=1e-4)
        assert ours.cdf(value) == pytest.approx(share, abs=1e-4)


def test_observed_quantiles_are_order_statistics() -> None:
    # Oracle: numpy's inverted_cdf, the ⌈n u⌉-th smallest value.
    values = (7.0, 3.0, 11.0, 5.0, 2.0)
    observed = Observed(values)
    for share in (0.05, 0.2, 0.21, 0.4, 0.5, 0.8, 0.81, 1.0):
        assert observed.inverse(share) == np.quantile(values, share, method="inverted_cdf")
