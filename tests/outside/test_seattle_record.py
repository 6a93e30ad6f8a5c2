"""The open Seattle record against its published figures, and blocks drawn from it against a chain."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from numpy.typing import NDArray
from weather_terms import WET_DAY, chances

from sitesim.plan.climate import HourlyRecord
from sitesim.weather import BlockCalendar, DailyRecord


def months(record: DailyRecord) -> NDArray[np.int64]:
    return np.array([date.fromordinal(int(day)).month for day in record.days])


# The open Seattle record (NOAA daily observations, public domain), its published figures.


def test_the_record_is_four_years_without_a_gap(record: DailyRecord) -> None:
    assert (len(record), record.first_day, record.whole_years) == (1461, date(2012, 1, 1), 4)


def test_seattle_gets_1106_mm_a_year(record: DailyRecord) -> None:
    assert record.precipitation.sum() / 4 == pytest.approx(1106, abs=1)


def test_seattle_has_a_mean_wind_of_3_24_metres_a_second(record: DailyRecord) -> None:
    # The packaged file's description says km/h; the figures are metres a second.
    assert record.wind.mean() == pytest.approx(3.24, abs=0.005)


@pytest.mark.parametrize(("month", "share"), [(1, 0.53), (7, 0.09)])
def test_share_of_wet_days(record: DailyRecord, month: int, share: float) -> None:
    wet = record.precipitation >= WET_DAY
    assert wet[months(record) == month].mean() == pytest.approx(share, abs=0.005)


@pytest.mark.parametrize(("month", "after_wet", "after_dry"), [(1, 0.734, 0.322), (7, 0.167, 0.080)])
def test_chance_of_a_wet_day_after_a_wet_and_after_a_dry_one(
    record: DailyRecord, month: int, after_wet: float, after_dry: float
) -> None:
    found = chances(record.precipitation >= WET_DAY, months(record) == month)
    assert found == pytest.approx((after_wet, after_dry), abs=0.0005)


def test_december_totals_have_a_standard_deviation_of_102_mm(record: DailyRecord) -> None:
    years = np.array([date.fromordinal(int(day)).year for day in record.days])
    december = months(record) == 12
    totals = [record.precipitation[december & (years == year)].sum() for year in range(2012, 2016)]
    assert np.std(totals, ddof=1) == pytest.approx(102, abs=1)


# Two-state Markov chains: textbook identities, recomputed from the formulas.


def test_identities_of_a_two_state_chain() -> None:
    # P(W|W) 0.6, P(W|D) 0.2: wet 1/3, lag-1 0.4, mean wet spell 2.5, mean dry spell 5. Counted on a sequence
    # in which every step has exactly its expected frequency: 15 days of a ring, wet runs of 1 and 4, dry runs
    # of 5.
    ring = np.array([True] * 4 + [False] * 5 + [True] * 1 + [False] * 5)
    closed = np.concatenate([ring, ring[:1]])
    after_wet, after_dry = chances(closed, np.ones(len(closed), dtype=bool))
    assert (after_wet, after_dry) == pytest.approx((0.6, 0.2))
    assert ring.mean() == pytest.approx(after_dry / (1.0 - after_wet + after_dry)) == pytest.approx(1 / 3)
    assert np.corrcoef(closed[:-1], closed[1:])[0, 1] == pytest.approx(after_wet - after_dry) == pytest.approx(0.4)
    begins = np.count_nonzero(closed[1:] & ~closed[:-1])
    assert np.count_nonzero(ring) / begins == pytest.approx(1.0 / (1.0 - after_wet)) == pytest.approx(2.5)
    assert np.count_nonzero(~ring) / begins == pytest.approx(1.0 / after_dry) == pytest.approx(5.0)


# Season-matched blocks against a two-state chain.


def test_blocks_spread_december_rain_wider_than_a_chain(hourly: HourlyRecord) -> None:
    # The open Seattle record: a daily chain gives December totals a standard deviation of 46 mm, the four
    # Decembers have 102 mm. Four years are few, and blocks of ten days cannot keep a whole wet month: in
    # between is what can be had.
    rng = np.random.default_rng(8)
    calendar = BlockCalendar(hourly, date(2027, 12, 1).toordinal(), 31, 10, 15)
    rain = hourly.rain.sum(axis=1)
    totals = [rain[calendar.draw(lambda blocks: rng.uniform(size=len(blocks)))].sum() for _ in range(2000)]
    # Standard error of a standard deviation of 2000 runs: about 1 mm.
    assert 46 + 3 < np.std(totals, ddof=1) < 102 - 3
