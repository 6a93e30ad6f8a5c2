"""The weather record and the limits of work in the numbers of the plan."""

from __future__ import annotations

from math import inf

from sitesim.plan import Climate, Limits, Shelter
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.weather import Weather, WorkLimits
from sitesim.weather.hourly import make_hourly
from sitesim.weather.record import DailyRecord


def make_climate(model: ScenarioModel, record: DailyRecord | None) -> Climate:
    """Give the hourly record and the limits; without a weather section nothing waits for the weather."""
    weather = model.weather
    if weather is None or record is None or model.site.latitude is None:
        return Climate(record=None, limits={}, gust_factor=1.0, block=1, window=0, forecast_skill=1.0)
    return Climate(
        record=make_hourly(record, model.site.latitude),
        limits={kind: _limits(model, weather, kind, entry) for kind, entry in weather.limits.items()},
        gust_factor=weather.gust_factor,
        block=round(weather.block),
        window=round(weather.window),
        forecast_skill=weather.forecast_skill,
    )


def _limits(model: ScenarioModel, weather: Weather, kind: str, entry: WorkLimits) -> Limits:
    return Limits(
        kind=kind,
        temperature_low=entry.temperature.low,
        temperature_high=entry.temperature.high,
        gust=entry.gust,
        wind=entry.wind,
        rain=entry.rain,
        shelter=_shelter(model, weather, entry.shelter),
    )


def _shelter(model: ScenarioModel, weather: Weather, shelter: str) -> Shelter | None:
    if shelter == "indoors":
        return Shelter(
            keeps_rain_off=True,
            wind_share=0.0,
            rated_gust=inf,
            rise=weather.indoors.rise,
            set_point=weather.indoors.set_point,
        )
    if shelter == "tent" and model.tent is not None:
        tent = model.tent
        return Shelter(
            keeps_rain_off=True,
            wind_share=tent.wind_share,
            rated_gust=tent.rated_gust * tent.stops_at,
            rise=tent.heater.rise if tent.heater else 0.0,
            set_point=tent.heater.set_point if tent.heater else inf,
        )
    return None
