"""Weather: daily records, the hours made of them, drawing from few years, and limits into open hours."""

from __future__ import annotations

from sitesim.plan.climate import HourlyRecord, Limits, Shelter
from sitesim.weather.hourly import DEFAULT_HOURLY, HourlyAssumptions, make_hourly
from sitesim.weather.limits import BINDING_NAMES, Sky, first_binding, open_hours, temperature_at_work
from sitesim.weather.record import COLUMNS, DailyRecord, WeatherRecordError, read_daily
from sitesim.weather.resampling import BlockCalendar, Uniforms, day_indices

__all__ = [
    "BINDING_NAMES",
    "COLUMNS",
    "DEFAULT_HOURLY",
    "BlockCalendar",
    "DailyRecord",
    "HourlyAssumptions",
    "HourlyRecord",
    "Limits",
    "Shelter",
    "Sky",
    "Uniforms",
    "WeatherRecordError",
    "day_indices",
    "first_binding",
    "make_hourly",
    "open_hours",
    "read_daily",
    "temperature_at_work",
]
