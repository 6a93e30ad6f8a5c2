"""Weather: records by day or hour, the hours made of days, drawing from a record, and limits into open hours."""

from __future__ import annotations

from sitesim.plan.climate import Evaporation, Frost, HourlyRecord, Limits, Shelter, SoakedGround
from sitesim.weather.daily_file import read_daily
from sitesim.weather.epw_file import read_epw
from sitesim.weather.hourly import DEFAULT_HOURLY, HourlyAssumptions, hourly_record, keep_hourly, make_hourly
from sitesim.weather.hourly_file import read_hourly
from sitesim.weather.limits import BINDING_NAMES, Sky, first_binding, open_hours, temperature_at_work
from sitesim.weather.reading import RecordForm, read_record
from sitesim.weather.record import DailyRecord, HourlyObservations, WeatherRecord, WeatherRecordError
from sitesim.weather.resampling import (
    MANY_YEARS,
    BlockCalendar,
    Uniforms,
    WeatherDays,
    YearCalendar,
    day_indices,
    days_of_weather,
)
from sitesim.weather.text_table import Column

__all__ = [
    "BINDING_NAMES",
    "DEFAULT_HOURLY",
    "MANY_YEARS",
    "BlockCalendar",
    "Column",
    "DailyRecord",
    "Evaporation",
    "Frost",
    "HourlyAssumptions",
    "HourlyObservations",
    "HourlyRecord",
    "Limits",
    "RecordForm",
    "Shelter",
    "Sky",
    "SoakedGround",
    "Uniforms",
    "WeatherDays",
    "WeatherRecord",
    "WeatherRecordError",
    "YearCalendar",
    "day_indices",
    "days_of_weather",
    "first_binding",
    "hourly_record",
    "keep_hourly",
    "make_hourly",
    "open_hours",
    "read_daily",
    "read_epw",
    "read_hourly",
    "read_record",
    "temperature_at_work",
]
