"""Do the weather record and what a scenario says of it fit together?"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date

import numpy as np

from sitesim.plan import Plan
from sitesim.scenario.document import Document, Trail
from sitesim.scenario.faults import Fault
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.weather import Weather
from sitesim.scenario.telling.measures import Measures, share
from sitesim.weather.limits import Held, held_limits
from sitesim.weather.record import DailyRecord, WeatherRecord

_FAR = 3.0
"""Degrees of latitude between site and station at which one of the two will be wrong."""

_SEASONS = 5.0
"""Difference between January and July [°C] from which on the hemisphere can be told (assumed)."""


def record_faults(model: ScenarioModel, weather: Weather, record: WeatherRecord, document: Document) -> Iterator[Fault]:
    """Give what a scenario says that its weather record does not bear out."""
    latitude = model.site.latitude
    if latitude is None and isinstance(record, DailyRecord):
        message = "is missing; a daily weather record needs it, like 47.4, for sunrise"
        yield document.fault(("site", "latitude"), message)
    if latitude is not None and record.latitude is not None and abs(latitude - record.latitude) > _FAR:
        message = f"{latitude:g}° is far from that of the weather record, {record.latitude:g}°; which one is wrong?"
        yield document.fault(("site", "latitude"), message)
    if latitude is not None and (warmer := _warmer_in_july(record)) * latitude < 0.0 and abs(warmer) > _SEASONS:
        warm, cold = ("July", "January") if warmer > 0.0 else ("January", "July")
        message = (
            f"{latitude:g}° is {'south' if latitude < 0.0 else 'north'} of the equator, but in the weather record "
            f"{warm} is warmer than {cold}; is the sign right?"
        )
        yield document.fault(("site", "latitude"), message)
    if isinstance(weather.draw, int) and weather.draw not in record.years:
        years = ", ".join(str(year) for year in record.years)
        yield document.fault(("weather", "draw"), f"the record has no whole year {weather.draw}; it has {years}")


def _warmer_in_july(record: WeatherRecord) -> float:
    """Give how much warmer July is than January [°C]."""
    warmth = (record.high + record.low) / 2.0 if isinstance(record, DailyRecord) else record.temperature.mean(axis=1)
    month = np.array([date.fromordinal(int(day)).month for day in record.days])
    return float(warmth[month == 7].mean() - warmth[month == 1].mean())


def unmet_limits(model: ScenarioModel, plan: Plan, document: Document) -> list[Fault]:
    """Name the limits that no hour of the record meets, with the nearest value that one would."""
    climate = plan.climate
    if climate.record is None or not plan.weather_holds:
        return []
    measures = Measures(model.units == "us")
    faults = []
    for kind in plan.kinds_of_work:
        held = held_limits(climate.limits[kind], climate.record, climate.gust_factor)
        faults += [document.fault(_trail(document, kind, name), told) for name, told in _unmet(held, measures)]
    return faults


def _trail(document: Document, kind: str, name: str) -> Trail:
    """Give the trail of what sets a limit, so that its fault names the file and line of that."""
    if name == "rated gust":
        return ("tent", "rated_gust")
    key, inner = _KEYS[name]
    trail: Trail = ("weather", "limits", kind, key)
    return (*trail, inner) if inner and isinstance(document.get(trail), dict) else trail


_KEYS: Mapping[str, tuple[str, str]] = {
    "gust": ("gust", ""),
    "wind": ("wind", ""),
    "rain": ("rain", ""),
    "after rain": ("after_rain", ""),
    "before rain": ("before_rain", ""),
    "soaked ground": ("ground", "rain"),
    "temperature low": ("temperature", "low"),
    "temperature high": ("temperature", "high"),
    "frost": ("frost", "below"),
    "humidity": ("humidity", ""),
    "evaporation": ("evaporation", "most"),
}
"""The key of a limit, and the key within it where it is a mapping, by the names of `sitesim.weather.BINDING_NAMES`."""


def _unmet(held: Mapping[str, Held], measures: Measures) -> Iterator[tuple[str, str]]:
    passed = {name: of_one.passed() for name, of_one in held.items()}
    alone = [name for name, shut in passed.items() if shut.all()]
    for name in alone:
        written = _WRITTEN[name]
        nearest = written(held[name].nearest(), measures)
        yield name, f"no hour of the record is within {written(held[name].limit, measures)}; the nearest has {nearest}"
    if alone or not passed or not np.logical_or.reduce(list(passed.values())).all():
        return
    without = {
        name: int(np.count_nonzero(~np.logical_or.reduce([shut for other, shut in passed.items() if other != name])))
        for name in passed
    }
    name = max(without, key=lambda each: without[each])
    yield (
        name,
        f"each limit is met in some hours, but no hour of the record meets all of them; without "
        f"{_WRITTEN[name](held[name].limit, measures)}, {without[name]:,} would",
    )


_WRITTEN: Mapping[str, Callable[[float, Measures], str]] = {
    "rated gust": lambda value, measures: f"the tent's gust of {measures.wind(value, 1)}",
    "gust": lambda value, measures: f"a gust of {measures.wind(value, 1)}",
    "wind": lambda value, measures: f"a mean wind of {measures.wind(value, 1)}",
    "rain": lambda value, measures: measures.rain(value),
    "after rain": lambda value, measures: f"{value - 1:g} h after rain",
    "before rain": lambda value, measures: f"{value - 1:g} h before rain",
    "soaked ground": lambda value, measures: f"{measures.rainfall(value)} of rain in the ground",
    "temperature low": lambda value, measures: f"{measures.temperature(value, 1)} or more",
    "temperature high": lambda value, measures: f"{measures.temperature(value, 1)} or less",
    "frost": lambda value, measures: f"a mean of {measures.temperature(value, 1)} before",
    "humidity": lambda value, measures: f"a humidity of {share(value)}",
    "evaporation": lambda value, measures: f"an evaporation of {measures.evaporation(value)}",
}
