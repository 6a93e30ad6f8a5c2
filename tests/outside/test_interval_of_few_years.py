"""What the interval of a date covers: the luck of the runs given the record, and not the record itself."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from numpy.typing import NDArray
from weather_terms import WET_DAY

from sitesim.answers.statistics import quantile_estimate
from sitesim.plan.climate import HourlyRecord
from sitesim.weather import BlockCalendar, DailyRecord, make_hourly

# Coverage of the interval of the P80 date.

RUNS_OF_A_STUDY, STUDIES = 60, 120


def dry_days(rain: NDArray[np.float64], days: int) -> NDArray[np.int64]:
    """Tell after how many days so many dry ones have passed, run by run; rows are runs, columns days."""
    return np.argmax(np.cumsum(rain < WET_DAY, axis=1) >= days, axis=1)


def finishes(record: HourlyRecord, runs: int, seed: int) -> NDArray[np.int64]:
    """Play work of 40 dry days begun in November under weather drawn of a record."""
    rng = np.random.default_rng(seed)
    calendar = BlockCalendar(record, date(2027, 11, 1).toordinal(), 250, 10, 15)
    rain = record.rain.sum(axis=1)
    drawn = np.array([calendar.draw(lambda blocks: rng.uniform(size=len(blocks))) for _ in range(runs)])
    return dry_days(rain[drawn], 40)


def covered(record: HourlyRecord, truth: float, first_seed: int, studies: int) -> int:
    """Count the studies whose interval of the P80 date, at 95 %, holds the true one."""
    count = 0
    for study in range(studies):
        found = quantile_estimate(finishes(record, RUNS_OF_A_STUDY, first_seed + study).astype(float), 0.8)
        count += found.low <= truth <= found.high
    return count


def p80(values: NDArray[np.int64]) -> float:
    """Give the ⌈0.8 n⌉-th smallest value."""
    return float(np.sort(values)[int(np.ceil(0.8 * len(values))) - 1])


def test_the_interval_of_p80_covers_the_luck_of_the_runs_given_the_record(hourly: HourlyRecord) -> None:
    # At least 95 of 100 by the binomial formula; three standard errors of 120 studies are 6 in 100.
    truth = p80(finishes(hourly, 4000, 1))
    assert covered(hourly, truth, 100, STUDIES) / STUDIES > 0.95 - 3 * (0.95 * 0.05 / STUDIES) ** 0.5


def test_and_not_that_the_record_could_have_been_of_other_years(
    record: DailyRecord, capsys: pytest.CaptureFixture[str]
) -> None:
    # Records of four years, drawn with replacement from the four that there are, as if these were the climate: their
    # P80 dates lie farther apart than the runs alone say, which is why few years are a warning.
    whole = make_hourly(record, latitude=47.45)
    truth = p80(finishes(whole, 4000, 1))
    rng = np.random.default_rng(5)
    years = [
        np.flatnonzero([date.fromordinal(int(day)).year == year for day in whole.days]) for year in range(2012, 2016)
    ]
    count, records = 0, 60
    for number in range(records):
        rows = np.concatenate([years[int(year)][:365] for year in rng.integers(0, 4, 4)])
        days = np.arange(len(rows), dtype=np.int64) + date(2013, 1, 1).toordinal()
        other = HourlyRecord("other years", "", days, 4, whole.temperature[rows], whole.wind[rows], whole.rain[rows])
        count += covered(other, truth, 1000 * (number + 1), 1)
    with capsys.disabled():
        print(
            f"\n  an interval of 95 % given the record covers P80 in {100 * count / records:.0f} % of resampled records"
        )
    assert 0.2 < count / records < 0.9
