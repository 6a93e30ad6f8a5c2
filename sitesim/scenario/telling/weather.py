"""The weather and its limits: what is played, and what is assumed of them."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.climate import replayed_years
from sitesim.scenario.sections.weather import Weather, WorkLimits
from sitesim.scenario.telling.measures import Measures, day, minutes, several, share
from sitesim.weather.record import DailyRecord, HourlyObservations, WeatherRecord
from sitesim.weather.resampling import MANY_YEARS


def tell_weather(model: ScenarioModel, record: WeatherRecord | None, measures: Measures) -> Iterator[str]:
    """Say which weather is played, and the limits of each kind of work."""
    weather = model.weather
    if weather is None or record is None:
        yield "Weather: none; nothing waits for it."
        return
    years = record.whole_years
    few = "; that is few, and what those years did not hold is not played" if years < MANY_YEARS else ""
    step = " by the hour" if isinstance(record, HourlyObservations) else ""
    yield f"Weather: {record.name}, {several(years, 'year')}{step} from {day(record.first_day)}{few}."
    yield from _draw(weather, record)
    for name, limits in weather.limits.items():
        yield f"Limits of {name}: {tell_limits(limits, measures)}."


def _draw(weather: Weather, record: WeatherRecord) -> Iterator[str]:
    if isinstance(weather.draw, int):
        yield f"Weather is that of {weather.draw}, again and again."
    elif replayed_years(weather, record):
        yield "Weather is drawn as whole years, one after the other as in the record."


def tell_limits(limits: WorkLimits, measures: Measures) -> str:
    """Say in one line in which weather a kind of work may go on, and where it is done."""
    said = []
    low, high = limits.temperature.low, limits.temperature.high
    if low > -inf and high < inf:
        said.append(f"{measures.temperature(low)} to {measures.temperature(high)}")
    elif low > -inf:
        said.append(f"{measures.temperature(low)} or more")
    elif high < inf:
        said.append(f"{measures.temperature(high)} or less")
    if limits.gust < inf:
        said.append(f"gusts up to {measures.wind(limits.gust)}")
    if limits.wind < inf:
        said.append(f"mean wind up to {measures.wind(limits.wind)}")
    if limits.rain < inf:
        said.append(measures.rain(limits.rain))
    if limits.height is not None and min(limits.gust, limits.wind) < inf:
        said.append(f"at {measures.length(limits.height)} above ground")
    if limits.after_rain:
        said.append(f"not within {limits.after_rain:g} h after rain")
    if limits.before_rain:
        said.append(f"not within {limits.before_rain:g} h before rain")
    if limits.ground is not None:
        said.append(f"at most {measures.rainfall(limits.ground.rain)} of rain in {limits.ground.within:g} h before")
    if limits.frost is not None:
        mean = f"a mean below {measures.temperature(limits.frost.below)} over {limits.frost.over / 24:g} days"
        said.append(f"no frost in the ground ({mean})")
    if limits.humidity is not None:
        said.append(f"humidity up to {share(limits.humidity)}")
    if limits.evaporation is not None:
        kept = limits.evaporation.measures
        wet = f", above it {minutes(kept)} a layer to keep it wet" if kept else ""
        said.append(f"evaporation up to {measures.evaporation(limits.evaporation.most)}{wet}")
    place = {"tent": "in the tent", "indoors": "indoors", "none": "in the open"}[limits.shelter]
    return f"{', '.join(said) or 'none'}, {place}"


def assume_weather(model: ScenarioModel, record: WeatherRecord | None) -> Iterator[str]:
    """Say what is assumed of the weather alone."""
    weather, measures = model.weather, Measures(model.units == "us")
    if weather is None or record is None:
        yield "No weather is played: nothing waits for rain, wind or cold."
        return
    years = record.whole_years
    few = ", which are few" if years < MANY_YEARS else ""
    yield _how_drawn(weather, model.trouble.weather.year, record, f"{several(years, 'year')} of one record{few}")
    if isinstance(record, DailyRecord):
        yield "The record has days only: hours within a day are made up, keeping its extremes, rain and mean wind."
    yield from record.remarks
    yield _gusts(weather, record)
    yield from _held_limits(weather, record, measures)
    yield f"The morning's forecast is taken to be right {share(weather.forecast_skill)} of the time."
    if any(limits.shelter == "indoors" for limits in weather.limits.values()):
        given = "" if "indoors" in weather.model_fields_set else ", assumed since the scenario says nothing of it"
        yield (
            f"Indoors, temporary heat warms by at most {measures.warming(weather.indoors.rise)} and never above "
            f"{measures.temperature(weather.indoors.set_point)}{given}."
        )


def _how_drawn(weather: Weather, alone: int | None, record: WeatherRecord, years: str) -> str:
    """Say how runs draw from the record; ``alone``, the one year of it that trouble leaves, if it does."""
    given = "how sure a date is said to be holds for that record alone"
    year = weather.draw if alone is None else alone
    if isinstance(year, int):
        return (
            f"Every year of a run has the weather of {year}; how sure a date is said to be holds for that year alone."
        )
    if replayed_years(weather, record):
        return (
            f"Weather is drawn from {years}: whole years in the order of the record, the first by chance and after the "
            f"last the first again; {given}."
        )
    return (
        f"Weather is drawn from {years}, in blocks of {weather.block:g} days from "
        f"up to {weather.window:g} days on either side of the date, which may come again in the same run; {given}."
    )


def _gusts(weather: Weather, record: WeatherRecord) -> str:
    """Say where gusts come from, and at which height."""
    recorded = isinstance(record, HourlyObservations) and record.gust is not None
    unless = " where it recorded none" if recorded else ""
    has_heights = any(entry.height is not None for entry in weather.limits.values())
    height = "at its height unless a limit names its own" if has_heights else "at its height and not at the hook"
    return (
        f"Gusts are taken as {weather.gust_factor:g} times the hourly mean wind of the station{unless}, {height}; "
        "limits on gusts are held against that."
    )


def _held_limits(weather: Weather, record: WeatherRecord, measures: Measures) -> Iterator[str]:
    """Say what is assumed of limits that are more than a look at the hour's own weather."""
    entries = weather.limits.values()
    if any(entry.height is not None for entry in entries):
        yield (
            f"Wind at a limit's height follows a power law from the {measures.length(weather.station_height)} of the "
            f"station (exponents of ASCE 7 for {weather.terrain} terrain), as if both stood in the same terrain."
        )
    looks_back = any(entry.after_rain or entry.before_rain or entry.ground or entry.frost for entry in entries)
    if looks_back:
        yield (
            "What depends on the hours before or after (rain, wet or frozen ground) is reckoned on the record's own "
            "sequence of hours, and goes with a day to wherever it is drawn."
        )
    if any(entry.before_rain for entry in entries):
        yield "Rain to come is known as long ahead as a limit asks: a forecast that is always right."
    if any(entry.frost for entry in entries):
        yield (
            "The ground counts as frozen by a mean of the air temperature alone: no snow, no soil, no sun; a rule of "
            "thumb, to be replaced by a look at the ground."
        )
    asks_humidity = any(entry.humidity is not None or entry.evaporation is not None for entry in entries)
    if asks_humidity and record.humidity is None:
        yield (
            "The record has no humidity: the air is taken to hold as much vapour all day as saturates it at the day's "
            "lowest temperature (FAO-56), which is too moist in dry places."
        )
    if asks_humidity and any(entry.shelter != "none" for entry in entries):
        yield "Warmed air keeps its vapour and grows drier; the moisture that the work gives off is left out."
    if any(entry.evaporation is not None for entry in entries):
        yield "Evaporation from fresh concrete is by the formula of ACI 305R, which scatters by 40 % either way."
    if any(entry.evaporation is not None and entry.evaporation.measures for entry in entries):
        yield (
            "Above that limit fresh layers are kept wet, in the time that the scenario gives for each, and printing "
            "goes on; other work under these limits goes on too, and takes no longer."
        )
