"""The open Seattle record, by day and by hour."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitesim.plan.climate import HourlyRecord
from sitesim.weather import DailyRecord, make_hourly, read_daily

SEATTLE = Path(__file__).parents[2] / "scenarios" / "weather" / "seattle-daily-2012-2015.csv"


@pytest.fixture(scope="session")
def record() -> DailyRecord:
    return read_daily(SEATTLE)


@pytest.fixture(scope="session")
def hourly(record: DailyRecord) -> HourlyRecord:
    return make_hourly(record, latitude=47.45)
