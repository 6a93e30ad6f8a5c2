"""Lifting, the air over a day, and learning: the relations that must hold, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from sitesim.trade import air, learning, lifting


def test_a_compact_load_is_lifted_up_to_the_cranes_own_limit() -> None:
    assert lifting.permitted_wind(9.0, 2000.0, 2.0, 1.2) == 9.0
    # Exactly at the reference face, 1.2 m²/t, nothing is lost.
    assert lifting.permitted_wind(9.0, 1000.0, 1.2, 1.0) == pytest.approx(9.0)


def test_gusts_of_a_whole_year_at_once() -> None:
    means = np.array([2.0, 5.0])
    assert lifting.gust_from_mean(means, "ten_minutes_in_land").tolist() == pytest.approx([3.32, 8.3])
    assert lifting.boom_tip_gust(means, 10.0).tolist() == pytest.approx([2.8, 7.0])


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lifting.gust_from_mean(5.0, "moon"), "'moon' is not known; known are hour_open_country"),
        (lambda: lifting.boom_tip_gust(5.0, 0.0), "height: 0.0 is not above 0"),
        (lambda: lifting.permitted_wind(9.0, 0.0, 1.0, 1.0), "mass: 0.0 is not above 0"),
        (lambda: air.hourly_temperature(1.0, 5.0, 4.0, 6.0, 18.0), "high: 4.0 °C is below low 5.0 °C"),
        (
            lambda: air.hourly_temperature(1.0, 4.0, 5.0, 6.0, 18.0, "mars"),
            "'mars' is not known; known are wann",
        ),
        (lambda: air.sunrise_and_sunset(91.0, 1), "latitude: 91.0 is not between -90 and 90"),
        (lambda: learning.unit_factor(0, 0.9), "unit: 0 is below 1"),
        (lambda: learning.unit_factor(1, 1.1), "rate: 1.1 is not above 0"),
        (lambda: learning.unit_factor(1, 0.9, 1.5), "floor: 1.5 is not between 0 and 1"),
        (lambda: learning.cumulative(-1, 0.9), "units: -1 is below 0"),
    ],
)
def test_impossible_inputs_are_refused_by_name(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()


@pytest.mark.parametrize("shape", air.DAY_SHAPES)
def test_a_day_stays_between_its_lowest_and_highest_and_nearly_meets_both(shape: str) -> None:
    hours = np.arange(0.0, 24.0, 0.1)
    day = air.hourly_temperature(hours, 4.0, 17.0, 6.5, 17.5, shape)
    assert 4.0 <= day.min() < 4.6
    assert 16.9 < day.max() <= 17.0


def test_the_highest_temperature_comes_after_noon_by_its_lag() -> None:
    hours = np.arange(0.0, 24.0, 0.01)
    day = air.hourly_temperature(hours, 4.0, 17.0, 6.0, 18.0)
    assert hours[day.argmax()] == pytest.approx(12.0 + 2.59, abs=0.011)


def test_the_curve_is_whole_at_sunset_and_over_midnight() -> None:
    for before, after in ((17.9999, 18.0), (0.0, 24.0)):
        assert air.hourly_temperature(before, 4.0, 17.0, 6.0, 18.0) == pytest.approx(
            air.hourly_temperature(after, 4.0, 17.0, 6.0, 18.0), abs=1e-3
        )


def test_hours_and_days_broadcast() -> None:
    lows, highs = np.array([[0.0], [5.0]]), np.array([[8.0], [19.0]])
    grid = air.hourly_temperature(np.arange(24.0), lows, highs, 7.0, 17.0)
    assert grid.shape == (2, 24)
    assert grid[1, 13] == pytest.approx(air.hourly_temperature(13.0, 5.0, 19.0, 7.0, 17.0))


def test_a_polar_night_stays_at_its_lowest() -> None:
    sunrise, sunset = air.sunrise_and_sunset(80.0, 355)
    assert (sunrise, sunset) == (12.0, 12.0)
    day = air.hourly_temperature(np.arange(24.0), -20.0, -10.0, sunrise, sunset)
    assert day.tolist() == [-20.0] * 24


def test_the_sun_keeps_its_symmetries() -> None:
    assert air.sunrise_and_sunset(0.0, 200) == pytest.approx((6.0, 18.0))
    assert air.sunrise_and_sunset(80.0, 172) == (0.0, 24.0)
    north, south = air.sunrise_and_sunset(50.0, 172), air.sunrise_and_sunset(-50.0, 172)
    assert north[1] - north[0] + south[1] - south[0] == pytest.approx(24.0)
    assert north[1] - north[0] > 16.0


def test_no_learning_and_no_units() -> None:
    assert learning.unit_factor(50, 1.0) == 1.0
    assert learning.unit_factor(1, 0.8) == 1.0
    assert learning.cumulative(0, 0.8) == 0.0
    # Recomputed: unfloored the third would be 0.702 and the fourth 0.64, both are held at 0.71.
    assert learning.cumulative(4, 0.8, floor=0.71) == pytest.approx(1.0 + 0.8 + 0.71 + 0.71)
