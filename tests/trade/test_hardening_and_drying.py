"""Maturity and evaporation: the relations that must hold, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitesim.trade import maturity
from sitesim.trade.evaporation import evaporation_rate


def test_at_twenty_degrees_age_is_age() -> None:
    # The constants of the source are rounded, which costs two parts in a thousand.
    assert maturity.equivalent_age([20.0], [100.0]) == pytest.approx(100.0, rel=2e-3)


def test_rate_is_the_same_for_a_number_and_in_an_array() -> None:
    degrees = [0.0, 12.5, 40.0]
    many = maturity.rate_of_hardening(np.array(degrees))
    assert many.tolist() == pytest.approx([maturity.rate_of_hardening(value) for value in degrees])


def test_one_duration_serves_all_intervals() -> None:
    assert maturity.equivalent_age([5.0, 25.0], 1.0) == maturity.equivalent_age([5.0, 25.0], [1.0, 1.0])


def test_nothing_hardens_below_the_datum() -> None:
    assert maturity.nurse_saul([-5.0, 10.0], [10.0, 10.0], datum=0.0) == 100.0
    assert maturity.time_to_maturity(100.0, -5.0) == math.inf


def test_strength_is_whole_at_twenty_eight_days() -> None:
    assert maturity.strength_ratio(28.0 * 24.0) == 1.0


@pytest.mark.parametrize("ratio", [0.2, 0.5, 0.9, 1.1])
def test_age_at_strength_undoes_strength_ratio(ratio: float) -> None:
    assert maturity.strength_ratio(maturity.age_at_strength(ratio, 0.38), 0.38) == pytest.approx(ratio)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: maturity.age_at_strength(1.3), "ratio: 1.3 is never reached; the curve ends below 1.284"),
        (lambda: maturity.strength_ratio(0.0), "age: 0.0 is not above 0"),
        (lambda: maturity.equivalent_age([20.0], [-1.0]), "durations: -1.0 is below 0"),
        (lambda: evaporation_rate(20.0, 20.0, 50.0, 1.0), "humidity: 50.0 is not a share from 0 to 1"),
        (lambda: evaporation_rate(20.0, 20.0, 0.5, -1.0), "wind: -1.0 m/s is below 0"),
    ],
)
def test_impossible_inputs_are_refused_by_name(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()


def test_wind_is_metres_a_second() -> None:
    # (V + 4) in km/h: from calm to 10 m/s the rate grows by (36 + 4)/4.
    calm, windy = (evaporation_rate(25.0, 20.0, 0.5, wind) for wind in (0.0, 10.0))
    assert windy / calm == pytest.approx(10.0)


def test_dew_is_not_negative_drying() -> None:
    assert evaporation_rate(5.0, 30.0, 1.0, 3.0) == 0.0
    assert evaporation_rate(-30.0, -30.0, 0.5, 3.0) == 0.0


def test_a_whole_day_at_once() -> None:
    air, humidity, wind = np.array([15.0, 30.0]), np.array([0.8, 0.3]), np.array([1.0, 6.0])
    rates = evaporation_rate(25.0, air, humidity, wind)
    singles = [evaporation_rate(25.0, *hour) for hour in zip(air, humidity, wind, strict=True)]
    assert rates.tolist() == pytest.approx(singles)
