"""Gusts, wind aloft, vapour and evaporation against standards and tables."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from weather_terms import MILE_AN_HOUR

from sitesim.plan.climate import Evaporation, HourlyRecord
from sitesim.trade.air import saturation_pressure
from sitesim.trade.lifting import gust_from_mean, wind_aloft
from sitesim.weather import Limits, open_hours

# Gusts.


def everywhere(wind: float) -> HourlyRecord:
    hours = np.full((365, 24), wind)
    days = np.arange(365, dtype=np.int64) + date(2021, 1, 1).toordinal()
    return HourlyRecord("one wind", "", days, 1, hours, hours, np.zeros((365, 24)))


def test_a_mean_of_62_5_mph_gusts_to_95_6() -> None:
    # ASCE 7 / Durst: 3 s against the hourly mean 1.52 to 1.53; 62.5 mph hourly → 95.6 mph.
    storm = everywhere(62.5 * MILE_AN_HOUR)
    assert open_hours(Limits("below", gust=95.7 * MILE_AN_HOUR), storm, 1.53).all()
    assert not open_hours(Limits("above", gust=95.5 * MILE_AN_HOUR), storm, 1.53).any()


def test_the_roofers_mean_and_gust_limits_are_one_limit() -> None:
    # UK roofing trade guidance stops at a mean of 23 mph or a gust of 35; by Durst's 1.52 these are the same
    # hour, so a program that compared the gust limit with the mean would let roofers work in half as much
    # wind again.
    mean, gust = Limits("mean", wind=23 * MILE_AN_HOUR), Limits("gust", gust=35 * MILE_AN_HOUR)
    for miles_an_hour in np.arange(10.0, 40.0, 0.5):
        wind = everywhere(miles_an_hour * MILE_AN_HOUR)
        same = open_hours(mean, wind, 1.52).all() == open_hours(gust, wind, 1.52).all()
        assert same or miles_an_hour == pytest.approx(23.0, abs=0.05)


def test_lifting_stops_above_20_mph() -> None:
    # OSHA 29 CFR 1926.1431(k): sustained or gust above 20 mph, 8.94 m/s.
    lift = Limits("lift", wind=20 * MILE_AN_HOUR, gust=20 * MILE_AN_HOUR)
    assert open_hours(lift, everywhere(8.94 / 1.5), 1.5).all()
    assert not open_hours(lift, everywhere(8.95 / 1.5), 1.5).any()


# Gusts out of means, and winds at another height.


@pytest.mark.parametrize(
    ("name", "factor"),
    [
        # ASCE 7 / Durst: 3 s against an hourly mean over open country 1.52 to 1.53.
        ("hour_open_country", 1.53),
        # WMO/TD-No. 1555 (Harper, Kepert & Ginger 2010), table 1.1, 3 s: ten minutes as quoted by forecasters ...
        ("ten_minutes_in_land", 1.66),
        ("ten_minutes_off_land", 1.52),
        ("ten_minutes_off_sea", 1.38),
        ("ten_minutes_at_sea", 1.23),
        # ... and an hour, from memory.
        ("hour_in_land", 1.75),
        ("hour_off_land", 1.60),
        ("hour_off_sea", 1.45),
        ("hour_at_sea", 1.30),
    ],
)
def test_named_gust_factors_are_the_published_ones(name: str, factor: float) -> None:
    assert gust_from_mean(10.0, name) == pytest.approx(10.0 * factor)


def test_wind_grows_with_height_as_asce_7_says() -> None:
    # ASCE 7-10, table 26.9-1, from memory: exposures B, C, D have exponents of 1/4, 1/6.5, 1/9 for the mean hourly wind
    # and 1/7, 1/9.5, 1/11.5 for the 3 s gust; at twice the height 2 to that power. Recomputed from the power law.
    wanted = {"town": (1.1892, 1.1041), "open": (1.1125, 1.0757), "water": (1.0801, 1.0621)}
    for terrain, factors in wanted.items():
        assert wind_aloft(20.0, 10.0, terrain) == pytest.approx(factors, abs=5e-5)
        assert wind_aloft(10.0, 10.0, terrain) == (1.0, 1.0)


def test_the_usual_seventh_root_is_the_gust_of_a_town() -> None:
    # The one-seventh power law of the textbooks: 10 m to 50 m, × 1.258. Recomputed.
    assert wind_aloft(50.0, 10.0, "town")[1] == pytest.approx(1.2585, abs=5e-5)


# Air and water: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998).


@pytest.mark.parametrize(
    ("temperature", "pressure"),
    # Annex 2, table 2.3, from memory, in kPa; and example 3: 24.5 °C 3.075, 15 °C 1.705.
    [(1.0, 0.657), (10.0, 1.228), (20.0, 2.338), (30.0, 4.243), (40.0, 7.376), (24.5, 3.075), (15.0, 1.705)],
)
def test_saturated_air_holds_what_the_table_says(temperature: float, pressure: float) -> None:
    assert saturation_pressure(temperature) == pytest.approx(pressure, abs=0.0011)


def test_evaporation_shuts_where_the_nomograph_is_passed() -> None:
    # ACI 305R by Uno 1998: concrete 30.56 °C, air 26.67 °C, 50 %, 19.31 km/h → 1.138 kg/m²/h.
    hours = np.ones((365, 24))
    days = np.arange(365, dtype=np.int64) + date(2021, 1, 1).toordinal()
    hot = HourlyRecord("hot", "", days, 1, 26.67 * hours, 19.31 / 3.6 * hours, 0.0 * hours, 0.5 * hours)
    assert open_hours(Limits("slab", evaporation=Evaporation(1.14, 30.56)), hot, 1.5).all()
    assert not open_hours(Limits("slab", evaporation=Evaporation(1.13, 30.56)), hot, 1.5).any()
