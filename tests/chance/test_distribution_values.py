"""Distributions as values: bounds, order, scaling, refusal, travel."""

from __future__ import annotations

import math
import pickle
import subprocess
import sys
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitesim.chance import Distribution, Exponential, Fixed, Lognormal, Observed, Pert, Triangular

EVERY_KIND: list[Distribution] = [
    Fixed(4.0),
    Triangular(2.0, 3.0, 9.0),
    Triangular(2.0, 2.0, 9.0),
    Triangular(2.0, 9.0, 9.0),
    Pert(2.0, 3.0, 9.0),
    Pert(2.0, 2.0, 9.0),
    Pert(2.0, 9.0, 9.0),
    Lognormal.by_p10_p90(8.0, 20.0),
    Exponential(3.0),
    Observed((5.0, 1.0, 1.0, 8.0)),
]
every_kind = pytest.mark.parametrize("distribution", EVERY_KIND, ids=repr)
shares = st.floats(0.0, 1.0)
ULP = 1e-12


@every_kind
def test_a_larger_share_is_never_a_smaller_value(distribution: Distribution) -> None:
    values = [distribution.inverse(u) for u in np.linspace(0.0, 1.0, 20_011).tolist()]
    assert values == sorted(values)


@every_kind
def test_values_stay_within_the_bounds(distribution: Distribution) -> None:
    for u in (0.0, 2.0**-53, 0.3, 1.0 - 2.0**-53, 1.0):
        assert distribution.low <= distribution.inverse(u) <= distribution.high
        assert math.isfinite(distribution.inverse(u))


@pytest.mark.parametrize("distribution", [d for d in EVERY_KIND if not isinstance(d, Observed | Fixed)], ids=repr)
def test_cdf_undoes_inverse(distribution: Distribution) -> None:
    for u in np.linspace(0.001, 0.999, 333).tolist():
        assert distribution.cdf(distribution.inverse(u)) == pytest.approx(u, abs=1e-9)


@every_kind
def test_cdf_is_nought_below_and_one_above(distribution: Distribution) -> None:
    assert distribution.cdf(distribution.low - 1.0) == 0.0
    assert distribution.cdf(min(distribution.high, 1e9) + 1.0) == 1.0


@every_kind
def test_scaling_scales_every_value_and_keeps_the_kind(distribution: Distribution) -> None:
    scaled = distribution.scaled(2.5)
    assert type(scaled) is type(distribution)
    assert scaled.mean == pytest.approx(2.5 * distribution.mean)
    for u in (0.01, 0.4, 0.8, 0.99):
        assert scaled.inverse(u) == pytest.approx(2.5 * distribution.inverse(u))


@every_kind
def test_draws_average_to_the_mean(distribution: Distribution) -> None:
    # Middles of equal cells; the exponential's last cell alone leaves 0.3 of 1/20000 of its mean.
    drawn = math.fsum(distribution.inverse((i + 0.5) / 20_000) for i in range(20_000)) / 20_000
    assert drawn == pytest.approx(distribution.mean, rel=1e-4)


@every_kind
def test_a_table_read_linearly_keeps_the_mean(distribution: Distribution) -> None:
    table = distribution.table(1024)
    assert table.shape == (1025,)
    assert table.dtype == np.float64
    assert np.isfinite(table).all()
    assert (np.diff(table) >= 0.0).all()
    assert table[512] == distribution.inverse(0.5)
    # Linear reading smears each jump of observed values over one cell.
    tolerance = 2e-3 if isinstance(distribution, Observed) else 2e-4
    assert (table[1:] + table[:-1]).mean() / 2.0 == pytest.approx(distribution.mean, rel=tolerance)


def test_a_table_needs_a_cell() -> None:
    with pytest.raises(ValueError, match="n: a table needs at least one cell, got 0"):
        Fixed(1.0).table(0)


@settings(deadline=None)
@given(u=shares, first=st.floats(10.0, 30.0), second=st.floats(10.0, 30.0))
def test_raising_the_likely_value_never_shortens_a_draw(u: float, first: float, second: float) -> None:
    lower, higher = sorted((first, second))
    for kind in (Triangular, Pert):
        assert kind(10.0, higher, 30.0).inverse(u) >= kind(10.0, lower, 30.0).inverse(u) - 30.0 * ULP


@every_kind
def test_equal_by_value_hashable_and_frozen(distribution: Distribution) -> None:
    twin = pickle.loads(pickle.dumps(distribution))
    assert twin == distribution
    assert hash(twin) == hash(distribution)
    assert twin.inverse(0.37) == distribution.inverse(0.37)
    with pytest.raises(AttributeError):
        setattr(distribution, fields(distribution)[0].name, 1.0)


def test_representations_can_be_read() -> None:
    assert repr(Pert(10.0, 14.0, 30.0)) == "Pert(low=10.0, likely=14.0, high=30.0)"
    assert repr(Fixed(4)) == "Fixed(value=4.0)"
    assert repr(Observed((5.0, 1.0, 8.0))) == "Observed(3 values, 1 to 8)"


def test_a_pickled_pert_draws_and_scales_without_scipy() -> None:
    code = (
        "import pickle, sys; pert = pickle.loads(bytes.fromhex(sys.argv[1]));"
        "print(pert.scaled(2.0).inverse(0.8), pert.cdf(20.0), 'scipy' in sys.modules)"
    )
    pert = Pert(10.0, 14.0, 30.0)
    payload = pickle.dumps(pert).hex()
    answer = subprocess.run([sys.executable, "-c", code, payload], capture_output=True, text=True, check=True)
    assert answer.stdout.split() == [str(2.0 * pert.inverse(0.8)), str(pert.cdf(20.0)), "False"]


def test_lognormals_meet_what_they_were_made_from() -> None:
    by_median = Lognormal.by_p50_p90(20.0, 60.0)
    assert by_median.inverse(0.5) == pytest.approx(20.0)
    assert by_median.inverse(0.9) == pytest.approx(60.0)
    by_spread = Lognormal.by_mean_cv(1.0, 0.2)
    assert by_spread.mean == pytest.approx(1.0)
    assert math.sqrt(math.expm1(by_spread.sigma**2)) == pytest.approx(0.2)


def test_observed_ranks_are_not_fooled_by_rounding() -> None:
    assert 0.07 * 100 > 7.0
    assert Observed(tuple(float(i) for i in range(1, 101))).inverse(0.07) == 7.0


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Fixed(math.nan), "value: nan is not a finite number"),
        (lambda: Triangular(3.0, 2.0, 9.0), "Triangular: low 3.0, likely 2.0, high 9.0 do not rise"),
        (lambda: Pert(1.0, 10.0, 9.0), "Pert: low 1.0, likely 10.0, high 9.0 do not rise"),
        (lambda: Pert(4.0, 4.0, 4.0), r"both 4.0; a value without spread is Fixed\(4.0\)"),
        (lambda: Pert(1.0, 2.0, math.inf), "high: inf is not a finite number"),
        (lambda: Lognormal(0.0, 0.0), "sigma: 0.0 is not above 0"),
        (lambda: Lognormal.by_p10_p90(20.0, 8.0), "p10: 20.0 is not below p90 8.0"),
        (lambda: Lognormal.by_p50_p90(0.0, 8.0), "p50: 0.0 is not above 0"),
        (lambda: Lognormal.by_mean_cv(1.0, -0.1), "cv: -0.1 is not above 0"),
        (lambda: Exponential(-3.0), "mean_value: -3.0 is not above 0"),
        (lambda: Observed(()), "values: at least one observed value is needed"),
        (lambda: Observed((1.0, math.inf)), "values: inf is not a finite number"),
        (lambda: Pert(1.0, 2.0, 3.0).scaled(0.0), "factor: 0.0 is not above 0"),
    ],
)
def test_bad_parameters_are_refused_by_name(make, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        make()
