"""A forecast's class of weather for one day, and the runs whose day belongs to it."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from sitesim.chance import Luck
from sitesim.site.skies import DayWeather, RunHours
from sitesim.site.stage import Stage
from sitesim.trade.working_life import working_life
from sitesim.weather.resampling import WeatherDays

WET = 1.0
"""The rain [mm] from which a day counts as wet: the usual limit of climate statistics."""

AROUND = 3.0
"""How far [°C] the low and the high of a day may lie from those of the forecast: assumed."""

WARMTH, RAIN, WIND = ("cold", "mild", "hot"), ("dry", "wet"), ("calm", "windy")
_RANGE = re.compile(
    r"(?P<low>[-+]?\d+(?:\.\d+)?)\s*(?:to|\.\.|–|-)\s*(?P<high>[-+]?\d+(?:\.\d+)?)\s*(?:deg|°)?\s*(?P<unit>[CF])"
)
_TRIES = 400


@dataclass(frozen=True, slots=True)
class WeatherClass:
    """What a forecast says of a day; what it leaves out may be anything.

    Parameters: ``temperatures``, low and high [°C]; ``warmth``, ``rain`` and ``wind``, one of `WARMTH`, `RAIN` and
    `WIND`, or empty.
    """

    temperatures: tuple[float, float] | None = None
    warmth: str = ""
    rain: str = ""
    wind: str = ""

    @classmethod
    def parse(cls, text: str) -> WeatherClass:
        """Read ``8 to 17 degC, dry``; raises ValueError with what would be right."""
        found: dict[str, str] = {}
        temperatures = None
        for part in (part.strip() for part in text.split(",")):
            kind = next((k for k, words in _WORDS.items() if part in words), "")
            match = _RANGE.fullmatch(part)
            if match is not None and temperatures is None:
                temperatures = _celsius(match["low"], match["unit"]), _celsius(match["high"], match["unit"])
            elif kind and kind not in found:
                found[kind] = part
            else:
                words = ", ".join(word for group in _WORDS.values() for word in group)
                raise ValueError(
                    f"{part!r} is not a class of weather; write a low and a high such as 8 to 17 degC, and one each "
                    f"of {words}, with commas between"
                )
        if temperatures is not None and temperatures[0] > temperatures[1]:
            raise ValueError(f"{text}: the low is above the high; write the low first, such as 8 to 17 degC")
        return cls(temperatures, **found)


_WORDS = {"warmth": WARMTH, "rain": RAIN, "wind": WIND}


@dataclass(frozen=True, slots=True)
class DaysNear:
    """The days of the record that a run may draw for the first day of a plan, each as likely as another.

    Parameters: ``rows`` of the record and their ``weather``; ``cold_below`` and ``hot_above`` [°C], the thirds of
    their middle temperature; ``windy_above`` [m/s], the upper third of their highest gusts.
    """

    rows: tuple[int, ...]
    weather: tuple[DayWeather, ...]
    cold_below: float
    hot_above: float
    windy_above: float

    def holds(self, day: DayWeather, of: WeatherClass) -> bool:
        """Tell whether a day belongs to a class."""
        middle = (day.low + day.high) / 2.0
        warmth = "cold" if middle < self.cold_below else "hot" if middle > self.hot_above else "mild"
        rain = "wet" if day.rain >= WET else "dry"
        wind = "windy" if day.gust > self.windy_above else "calm"
        if of.temperatures is not None:
            low, high = of.temperatures
            if abs(day.low - low) > AROUND or abs(day.high - high) > AROUND:
                return False
        return of.warmth in ("", warmth) and of.rain in ("", rain) and of.wind in ("", wind)

    def count(self, of: WeatherClass) -> int:
        """Count the days of the record that belong to a class."""
        return len({row for row, day in zip(self.rows, self.weather, strict=True) if self.holds(day, of)})


def days_near(stage: Stage) -> DaysNear | None:
    """Give the days of the record that the first day of a plan may be; None where no weather holds."""
    record, blocks = stage.plan.climate.record, stage.blocks
    if record is None or blocks is None:
        return None
    climate = stage.plan.climate
    choices = len(climate.replayed) or record.years * (2 * climate.window + 1)
    rows = tuple(_row_of_choice(blocks, (place + 0.5) / choices) for place in range(choices))
    weather = tuple(
        DayWeather(
            float(record.temperature[row].min()),
            float(record.temperature[row].max()),
            float(record.rain[row].sum()),
            float(record.wind[row].max() * climate.gust_factor),
        )
        for row in rows
    )
    middles = np.array([(day.low + day.high) / 2.0 for day in weather])
    cold, hot = np.quantile(middles, [1 / 3, 2 / 3])
    return DaysNear(rows, weather, float(cold), float(hot), float(np.quantile([day.gust for day in weather], 2 / 3)))


def _row_of_choice(blocks: WeatherDays, uniform: float) -> int:
    return int(blocks.draw(lambda numbers: np.full(len(numbers), uniform))[0])


def runs_of_class(stage: Stage, seed: int, near: DaysNear, of: WeatherClass, wanted: int) -> list[int]:
    """List the first runs of a seed whose first day belongs to a class; fewer where it is too rare to find them."""
    found: list[int] = []
    for run in range(_TRIES * wanted):
        day = RunHours(stage, Luck(seed, run)).weather_of(0)
        if day is not None and near.holds(day, of):
            found.append(run)
            if len(found) == wanted:
                break
    return found


def life_on_a_warm_day(stage: Stage, near: DaysNear | None, of: WeatherClass, hour: float) -> float:
    """Give the working life [h] of concrete batched at an hour on a warm day of a class: nine in ten are cooler."""
    rules, record = stage.plan.print_day, stage.plan.climate.record
    assert rules is not None
    if not rules.life_falls_with_heat or near is None or record is None:
        return rules.working_life
    found = [
        float(record.temperature[row, int(hour % 24)])
        for row, day in zip(near.rows, near.weather, strict=True)
        if near.holds(day, of)
    ]
    concrete = max(float(np.quantile(found, 0.9)) + rules.warmth, rules.least_warmth)
    return working_life(rules.working_life, concrete)


def _celsius(number: str, unit: str) -> float:
    value = float(number)
    return value if unit == "C" else (value - 32.0) / 1.8
