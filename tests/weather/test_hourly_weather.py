from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from numpy.typing import NDArray

from sitesim.plan.climate import HourlyRecord
from sitesim.trade import air
from sitesim.weather import DEFAULT_HOURLY, DailyRecord, make_hourly


def in_hundredths(values: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.rint(100.0 * values).astype(np.int64)


def flat_record(first: date, days: int, high: float = 20.0, low: float = 10.0, rain: float = 0.0) -> DailyRecord:
    ones = np.ones(days)
    return DailyRecord(
        name="flat",
        origin="",
        first_day=first,
        precipitation=rain * ones,
        high=high * ones,
        low=low * ones,
        wind=4.0 * ones,
    )


def test_each_civil_day_reaches_its_low_and_its_high_exactly(
    seattle: DailyRecord, seattle_hourly: HourlyRecord
) -> None:
    assert (seattle_hourly.temperature.min(axis=1) == seattle.low).all()
    assert (seattle_hourly.temperature.max(axis=1) == seattle.high).all()


def test_each_civil_day_keeps_its_rain_exactly(seattle: DailyRecord, seattle_hourly: HourlyRecord) -> None:
    assert (in_hundredths(seattle_hourly.rain).sum(axis=1) == in_hundredths(seattle.precipitation)).all()
    assert seattle_hourly.rain.min() == 0.0


def test_each_civil_day_keeps_its_mean_wind_exactly(seattle: DailyRecord, seattle_hourly: HourlyRecord) -> None:
    assert (in_hundredths(seattle_hourly.wind).sum(axis=1) == 24 * in_hundredths(seattle.wind)).all()
    assert seattle_hourly.wind.min() >= 0.0


def test_every_hour_is_a_whole_number_of_hundredths(seattle_hourly: HourlyRecord) -> None:
    for quantity, values in seattle_hourly.quantities().items():
        as_written = 100.0 * values if quantity == "humidity" else values  # in per cent
        assert as_written == pytest.approx(in_hundredths(as_written) / 100.0, abs=1e-12)


def test_the_same_record_gives_the_same_hours(seattle: DailyRecord, seattle_hourly: HourlyRecord) -> None:
    np.random.default_rng(1).random(100)
    again = make_hourly(seattle, latitude=47.45)
    for quantity, values in again.quantities().items():
        assert (values == seattle_hourly.quantities()[quantity]).all()


def test_a_day_by_itself_follows_the_published_curve() -> None:
    # Equal days need no cutting; the curve, which ends its night above the low, is stretched to reach it.
    record = flat_record(date(2021, 1, 1), 365)
    hourly = make_hourly(record, latitude=40.0)
    midsummer = date(2021, 6, 21).toordinal() - hourly.days[0]
    sunrise, sunset = air.sunrise_and_sunset(40.0, 172)
    curve = air.hourly_temperature(np.arange(24) + 0.5, 10.0, 20.0, sunrise, sunset)
    expected = 10.0 + 10.0 * (curve - curve.min()) / (curve.max() - curve.min())
    assert curve.min() < 10.8
    assert hourly.temperature[midsummer] == pytest.approx(expected, abs=0.006)


def test_night_leads_to_the_next_day() -> None:
    record = flat_record(date(2021, 1, 1), 365)
    low = record.low.copy()
    low[200] = 14.0
    warmer = make_hourly(replace(record, low=low), latitude=40.0).temperature
    usual = make_hourly(record, latitude=40.0).temperature
    assert (warmer[199, 21:] > usual[199, 21:] + 1.0).all()
    assert warmer[199, :18] == pytest.approx(usual[199, :18], abs=0.3)


def test_a_front_that_turns_the_day_upside_down_keeps_its_extremes() -> None:
    # The next day's low may stand above this day's high, and its high below this day's low.
    record = flat_record(date(2021, 1, 1), 365)
    high, low = record.high.copy(), record.low.copy()
    high[100], low[100] = 35.0, 25.0
    high[200], low[200] = 4.0, -6.0
    hourly = make_hourly(replace(record, high=high, low=low), latitude=40.0)
    assert (hourly.temperature.min(axis=1) == low).all()
    assert (hourly.temperature.max(axis=1) == high).all()


@pytest.mark.parametrize("latitude", [-90.0, -45.0, 0.0, 66.0, 75.0, 90.0])
def test_extremes_are_kept_at_every_latitude(latitude: float) -> None:
    hourly = make_hourly(flat_record(date(2020, 1, 1), 366), latitude)
    assert (hourly.temperature.min(axis=1) == 10.0).all()
    assert (hourly.temperature.max(axis=1) == 20.0).all()


def test_a_day_of_one_temperature_stays_at_it() -> None:
    hourly = make_hourly(flat_record(date(2021, 1, 1), 365, high=7.5, low=7.5), latitude=50.0)
    assert (hourly.temperature == 7.5).all()


def test_a_dry_record_stays_dry_and_a_still_one_still() -> None:
    record = replace(flat_record(date(2021, 1, 1), 365), wind=np.zeros(365))
    hourly = make_hourly(record, latitude=50.0)
    assert not hourly.rain.any()
    assert not hourly.wind.any()


@pytest.mark.parametrize("rain", [0.01, 0.02, 0.05, 0.3, 25.0, 400.0])
def test_the_smallest_and_the_largest_rain_are_kept(rain: float) -> None:
    hourly = make_hourly(flat_record(date(2021, 1, 1), 365, rain=rain), latitude=50.0)
    assert (in_hundredths(hourly.rain).sum(axis=1) == round(100 * rain)).all()


def test_more_rain_takes_more_hours(seattle: DailyRecord, seattle_hourly: HourlyRecord) -> None:
    hours = np.count_nonzero(seattle_hourly.rain, axis=1)
    order = np.argsort(seattle.precipitation, kind="stable")
    assert (np.diff(hours[order]) >= 0).all()
    # Four times the rain, twice the hours: both counts are rounded, so up to one hour and a half apart.
    one, four = hours[seattle.precipitation == 5.1], hours[seattle.precipitation == 20.3]
    assert four[0] == pytest.approx(2 * one[0], abs=1.5)


def test_wind_has_its_peak_in_the_afternoon(seattle_hourly: HourlyRecord) -> None:
    by_hour = seattle_hourly.wind.mean(axis=0)
    assert int(by_hour.argmax()) in (14, 15)
    assert int(by_hour.argmin()) in (2, 3)
    # A cosine of 0.2: the standard error of one hour's mean over 1461 days is about 0.3 / √1461 = 0.8 %.
    assert by_hour.max() / by_hour.mean() == pytest.approx(1.2, abs=0.03)


def test_days_beyond_the_last_whole_year_are_left_out() -> None:
    hourly = make_hourly(flat_record(date(2019, 3, 1), 500), latitude=50.0)
    assert hourly.years == 1
    assert date.fromordinal(int(hourly.days[-1])) == date(2020, 2, 29)


def test_the_origin_says_that_hours_are_assumed(seattle_hourly: HourlyRecord) -> None:
    assert "NOAA" in seattle_hourly.origin
    assert seattle_hourly.origin.endswith("Hours within the day are assumed.")


def test_hours_do_not_depend_on_what_came_before_in_the_file(seattle: DailyRecord) -> None:
    # A longer record has other averages to scale rain by, but each day's noise stays; wind forgets in two
    # days.
    later = replace(
        seattle,
        first_day=date(2013, 1, 1),
        **{name: getattr(seattle, name)[366:] for name in ("precipitation", "high", "low", "wind")},
    )
    whole, part = make_hourly(seattle, 47.45), make_hourly(later, 47.45)
    assert (whole.wind[366 + 5 :] == part.wind[5:]).all()
    assert (whole.temperature[366 + 1 :] == part.temperature[1:]).all()


def test_another_curve_is_another_assumption(seattle: DailyRecord, seattle_hourly: HourlyRecord) -> None:
    other = make_hourly(seattle, 47.45, replace(DEFAULT_HOURLY, temperature_shape="parton_logan_150_cm"))
    assert (other.temperature != seattle_hourly.temperature).any()
    with pytest.raises(ValueError, match="shape 'denver' is not known"):
        make_hourly(seattle, 47.45, replace(DEFAULT_HOURLY, temperature_shape="denver"))
