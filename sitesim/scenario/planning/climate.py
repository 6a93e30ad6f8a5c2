"""The weather record and the limits of work in the numbers of the plan."""

from __future__ import annotations

from math import ceil, inf
from zoneinfo import ZoneInfo

from sitesim.hours import on_clock
from sitesim.plan import Climate, Evaporation, Frost, Limits, Shelter, Sides, SoakedGround
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.quantities import column_conversion
from sitesim.scenario.sections.printing import Tent
from sitesim.scenario.sections.weather import ColumnEntry, Weather, WorkLimits
from sitesim.trade.lifting import permitted_wind, wind_aloft
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.hourly import hourly_record
from sitesim.weather.reading import RecordForm
from sitesim.weather.record import WeatherRecord
from sitesim.weather.resampling import MANY_YEARS
from sitesim.weather.text_table import COLUMNS, Column

_UNIT_OF = {"precipitation": "mm", "high": "degC", "low": "degC", "temperature": "degC", "wind": "m/s", "gust": "m/s"}


def make_climate(model: ScenarioModel, record: WeatherRecord | None) -> Climate:
    """Give the hourly record and the limits; without a weather section nothing waits for the weather."""
    weather = model.weather
    if weather is None or record is None:
        return Climate(record=None, limits={}, gust_factor=1.0, block=1, window=0, forecast_skill=1.0)
    return Climate(
        record=hourly_record(record, model.site.latitude, weather.gust_factor),
        limits={kind: _limits(model, weather, kind, entry) for kind, entry in weather.limits.items()},
        gust_factor=weather.gust_factor,
        block=round(weather.block),
        window=round(weather.window),
        forecast_skill=weather.forecast_skill,
        replayed=replayed_years(weather, record),
    )


def replayed_years(weather: Weather, record: WeatherRecord) -> tuple[int, ...]:
    """Give the places of the record's years that are replayed whole; none where blocks are drawn.

    Raises ValueError for a year that the record does not have.
    """
    draw = weather.draw
    if draw is None:
        draw = "years" if record.whole_years >= MANY_YEARS else "blocks"
    if draw == "blocks":
        return ()
    if draw == "years":
        return tuple(range(record.whole_years))
    return (record.years.index(int(draw)),)


def record_form(model: ScenarioModel, weather: Weather) -> RecordForm:
    """Give what the scenario says of the record's file."""
    return RecordForm(
        columns=_columns(weather),
        latitude=model.site.latitude,
        clock=CivilClock(weather.clock, ZoneInfo(weather.time_zone) if weather.time_zone else None),
        at_end=weather.hour_stamp == "end",
    )


def _columns(weather: Weather) -> dict[str, Column]:
    columns = {}
    for quantity, usual in COLUMNS.items():
        entry = getattr(weather.columns, quantity)
        if isinstance(entry, str):
            columns[quantity] = Column(entry, named=True)
        elif isinstance(entry, ColumnEntry):
            conversion = (usual.factor, usual.offset)
            if entry.unit is not None:
                found = column_conversion(entry.unit, _UNIT_OF.get(quantity, ""))
                conversion = conversion if isinstance(found, str) else found
            columns[quantity] = Column(entry.name, *conversion, named=True)
    return columns


def _limits(model: ScenarioModel, weather: Weather, kind: str, entry: WorkLimits) -> Limits:
    mean_aloft, gust_aloft = 1.0, 1.0
    if entry.height is not None:
        mean_aloft, gust_aloft = wind_aloft(entry.height, weather.station_height, weather.terrain)
    load = entry.lift
    lifted = 1.0 if load is None else round(permitted_wind(1.0, load.mass, load.sail_area, load.drag), 4)
    return Limits(
        kind=kind,
        temperature_low=entry.temperature.low,
        temperature_high=entry.temperature.high,
        gust=entry.gust * lifted,
        wind=entry.wind * lifted,
        rain=entry.rain,
        shelter=_shelter(model, entry.shelter),
        # To four decimals, so that a power of another processor's library cuts alike.
        gust_aloft=round(gust_aloft, 4),
        wind_aloft=round(mean_aloft, 4),
        after_rain=ceil(entry.after_rain),
        before_rain=ceil(entry.before_rain),
        soaked=SoakedGround(entry.ground.rain, ceil(entry.ground.within)) if entry.ground else None,
        frost=Frost(ceil(entry.frost.over), entry.frost.below) if entry.frost else None,
        humidity=inf if entry.humidity is None else entry.humidity,
        evaporation=_evaporation(entry),
    )


def _evaporation(entry: WorkLimits) -> Evaporation | None:
    limit = entry.evaporation
    return None if limit is None else Evaporation(limit.most, limit.concrete, on_clock(limit.measures))


def _shelter(model: ScenarioModel, shelter: str) -> Shelter | None:
    if shelter == "indoors":
        return indoors(model)
    return in_the_tent(model) if shelter == "tent" else None


def indoors(model: ScenarioModel) -> Shelter | None:
    """Give the shelter of a closed building with its temporary heat, or None where no weather is played."""
    weather = model.weather
    if weather is None:
        return None
    return Shelter(
        keeps_rain_off=True,
        wind_share=0.0,
        rated_gust=inf,
        rise=weather.indoors.rise,
        set_point=weather.indoors.set_point,
    )


def in_the_tent(model: ScenarioModel) -> Shelter | None:
    """Give the shelter of the tent with its heater, or None where there is none."""
    tent = model.tent
    if tent is None:
        return None
    return Shelter(
        keeps_rain_off=True,
        wind_share=tent.wind_share,
        rated_gust=tent.rated_gust * tent.stops_at,
        rise=tent.heater.rise if tent.heater else 0.0,
        set_point=tent.heater.set_point if tent.heater else inf,
        sides=_sides(model, tent),
    )


def _sides(model: ScenarioModel, tent: Tent) -> Sides | None:
    """Give the sides that come down before a storm, by the hours of those who raise the tent."""
    sides = tent.sides
    if sides is None:
        return None
    riggers = model.moving_tasks["tent_up"].crew if "tent_up" in model.moving_tasks else ()
    return Sides(
        down_gust=tent.rated_gust * sides.down_at,
        up_gust=tent.rated_gust * (tent.stops_at if sides.up_below is None else sides.up_below),
        time=on_clock(sides.time),
        hours=model.calendar_of(riggers[0]) if riggers else SITE_CALENDAR,
    )
