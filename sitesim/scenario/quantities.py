"""Quantities as people write them, ``40 mm`` or ``15 %``, into the numbers of the plan."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import cache, lru_cache
from math import inf, isfinite
from typing import Annotated, Any

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, PlainValidator, WithJsonSchema
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sitesim.hours import on_clock
from sitesim.trade.lifting import GUST_FACTORS, LOWEST_OF_PROFILE

_WRITTEN = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*", re.DOTALL)
_POWER = re.compile(r"(?<=[A-Za-z])([23])(?![\w.])")
_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")

USUAL_DAY_HOURS = 8.0
"""The working day [h] that is taken while the site's calendar cannot be read."""


def wrong(message: str) -> PydanticCustomError:
    """Make the error that a validator raises, its message in plain words."""
    return PydanticCustomError("scenario", "{message}", {"message": message})


def day_hours(context: Any) -> float:
    """Give the hours of a working day (``wd``) of the site's calendar from the context of a validation."""
    return float((context or {}).get("day_hours", USUAL_DAY_HOURS))


@cache
def _registry() -> Any:
    import pint  # costs a third of a second, so only when a unit is met

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True, cache_folder=":auto:")
    registry.define("sqft = foot ** 2")
    return registry


@lru_cache(maxsize=1024)
def _conversion(unit: str, target: str) -> tuple[float, float] | str:
    """Give factor and offset from one unit to another, or say why there is none."""
    registry = _registry()
    written = _POWER.sub(r"^\1", unit)
    if target == "delta_degC" and written.startswith(("deg", "°")):  # "12 degC" warmer is a difference all the same
        written = f"delta_{written.replace('°', 'deg')}"
    if written.startswith("/"):
        written = f"1{written}"
    try:
        source, wanted = registry.parse_units(written), registry.parse_units(target)
        zero = registry.Quantity(0.0, source).to(wanted).magnitude
        one = registry.Quantity(1.0, source).to(wanted).magnitude
    except Exception as error:  # pint lets errors of many kinds out of odd unit texts
        unknown = type(error).__name__ == "UndefinedUnitError"
        return f"{unit} is not a known unit" if unknown else f"{unit} is not a unit of the right kind"
    return float(one - zero), float(zero)


def number_and_unit(written: str) -> tuple[float, str] | None:
    """Split ``40 mm`` into its number and its unit; None if it does not begin with a number."""
    match = _WRITTEN.fullmatch(written)
    if match is None or not isfinite(number := float(match[1])):
        return None
    return number, match[2]


@dataclass(frozen=True, slots=True)
class Quantity:
    """Reads a number with a unit; used as metadata of an annotated float.

    Parameters: ``unit``, that of the plan's number; ``example``, how a user may write it; ``called``, what the unit
    measures; ``least`` and ``most``, bounds in that unit; ``above``, whether the least itself is too little; ``bare``,
    whether a number without a unit will do; ``metric``, an example for scenarios in metric units, if another.
    """

    unit: str
    example: str
    called: str
    least: float = -inf
    most: float = 1e9
    above: bool = False
    bare: bool = False
    metric: str = ""

    def like(self, context: Any = None) -> str:
        """Give an example in the units of the scenario, as far as the context of a validation tells them."""
        return self.metric if self.metric and (context or {}).get("metric") else self.example

    def read(self, value: Any, context: Any = None) -> float:
        """Give the number in ``unit``; raises PydanticCustomError for anything that is not such a quantity."""
        number = self._number(value, context)
        if not isfinite(number):
            raise wrong(f"{value} is not a finite number; write it like {self.like(context)}")
        if number < self.least or (self.above and number == self.least):
            bound = f"{'more than' if self.above else 'at least'} {self._bound(self.least)}"
            raise wrong(f"{value} is too little, it should be {bound}")
        if number > self.most:
            raise wrong(f"{value} is too much, it should be at most {self._bound(self.most)}")
        return number

    def _number(self, value: Any, context: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise wrong(f"{_shown(value)} is not a {self.called}; write it like {self.like(context)}")
        if not isinstance(value, str):
            if self.bare:
                return float(value)
            raise wrong(f"{value} has no unit; write it like {self.like(context)}")
        split = number_and_unit(value)
        if split is None or split[1].startswith(","):  # several values, as in a cell of a table
            raise wrong(f"{value!r} is not a {self.called}; write it like {self.like(context)}")
        number, unit = split
        if not unit:
            return self._number(number, context)
        if unit == "wd":
            if self.unit != "h":
                raise wrong(f"{value}: wd is not a unit of {self.called}; write it like {self.like(context)}")
            return number * day_hours(context)
        conversion = _conversion(unit, self.unit)
        if isinstance(conversion, str):
            raise wrong(f"{value}: {conversion}; write it like {self.like(context)}")
        factor, offset = conversion
        return number * factor + offset

    def _bound(self, bound: float) -> str:
        if self.called == "share":
            return f"{bound:g} ({100 * bound:g} %)" if bound else "0"
        unit = {"": "", "delta_degC": " °C", "degC": " °C", "m^3": " m³"}.get(
            self.unit, f" {self.unit.removeprefix('1')}"
        )
        return f"{bound:g}{unit}"

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(lambda value, info: self.read(value, info.context))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        kinds = ["string", "number"] if self.bare else ["string"]
        return {"type": kinds, "examples": [self.example]}


@dataclass(frozen=True, slots=True)
class ClockQuantity(Quantity):
    """Reads a length of time and rounds it to the clock's ticks."""

    def read(self, value: Any, context: Any = None) -> float:
        """Give the hours, rounded to the clock."""
        return on_clock(Quantity.read(self, value, context))


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


Length = Annotated[float, Quantity("m", "40 mm", "length", least=0.001, most=1e6)]
Coordinate = Annotated[float, Quantity("m", "24 m", "coordinate", least=-1e6, most=1e6)]
Speed = Annotated[float, Quantity("m/s", "150 mm/s", "speed", least=0.001, most=10.0)]
Wind = Annotated[float, Quantity("m/s", "20 mph", "wind speed", least=0.0, metric="9 m/s")]
Volume = Annotated[float, Quantity("m^3", "3 yd^3", "volume", least=0.0, metric="2 m^3")]
SomeVolume = Annotated[float, Quantity("m^3", "3 yd^3", "volume", least=0.001, metric="2 m^3")]
VolumeRate = Annotated[float, Quantity("m^3/h", "8 yd^3/h", "rate of placing", least=0.0, above=True, metric="6 m^3/h")]
Density = Annotated[float, Quantity("kg/m^3", "2100 kg/m^3", "density", least=0.0, above=True)]
BuildUp = Annotated[float, Quantity("Pa/s", "0.5 Pa/s", "rate of build-up", least=0.0, above=True)]
Temperature = Annotated[float, Quantity("degC", "5 degC", "temperature", least=-100.0, most=100.0)]
Area = Annotated[float, Quantity("m^2", "9 m^2", "area", least=0.0, above=True)]
Mass = Annotated[float, Quantity("kg", "80 kg", "mass", least=0.0, above=True)]
Power = Annotated[float, Quantity("kW", "90 kW", "power", least=0.0)]
Stress = Annotated[float, Quantity("Pa", "5 kPa", "stress", least=0.0, above=True)]
Growth = Annotated[float, Quantity("Pa/h", "10 kPa/h", "growth of a stress", least=0.0)]
TemperatureRise = Annotated[
    float, Quantity("delta_degC", "12 delta_degC", "difference of temperature", least=0.0, most=100.0)
]
Share = Annotated[float, Quantity("", "15 %", "share", least=0.0, most=1.0, bare=True)]
SomeShare = Annotated[float, Quantity("", "50 %", "share", least=0.0, most=1.0, above=True, bare=True)]
BusyShare = Annotated[float, Quantity("", "60 %", "share", least=0.0, most=0.95, bare=True)]
TrafficFactor = Annotated[float, Quantity("", "1.25", "factor", least=0.2, most=10.0, bare=True)]
Waste = Annotated[float, Quantity("", "4 %", "share", least=0.0, bare=True)]
Factor = Annotated[float, Quantity("", "1.5", "factor", least=1.0, bare=True)]
LongerLife = Annotated[float, Quantity("", "1.5", "factor", least=1.0, most=5.0, bare=True)]
Latitude = Annotated[float, Quantity("degree", "47.4", "latitude", least=-66.0, most=66.0, bare=True)]
ClockHours = Annotated[float, ClockQuantity("h", "45 min", "length of time", least=0.0)]
SomeClockHours = Annotated[float, ClockQuantity("h", "45 min", "length of time", least=0.01)]
SomeHours = Annotated[float, Quantity("h", "4 min", "length of time", least=0.001)]
Moment = Annotated[float, Quantity("h", "2 s", "length of time", least=0.0)]
"""A time so short, and taken so often, that only many of them are rounded to the clock."""
ElapsedDays = Annotated[float, Quantity("d", "10 d", "number of days", least=1.0, most=36525.0)]
StandbyFree = Annotated[float, Quantity("h/m^3", "7 min/yd^3", "time for each volume", least=0.0, metric="9 min/m^3")]
Money = Annotated[float, Quantity("", "1600", "sum of money", least=0.0, bare=True)]
MoneyPerHour = Annotated[float, Quantity("1/h", "130 /h", "price of an hour", least=0.0, bare=True)]
MoneyPerDay = Annotated[float, Quantity("1/d", "300 /d", "price of a day", least=0.0, bare=True)]
MoneyPerEnergy = Annotated[float, Quantity("1/(kW*h)", "0.11 /(kW*h)", "price of heat", least=0.0, bare=True)]
MoneyPerVolume = Annotated[float, Quantity("1/m^3", "205 /yd^3", "price of a volume", least=0.0, metric="250 /m^3")]


Rainfall = Annotated[float, Quantity("mm", "10 mm", "depth of rain", least=0.0)]
DryingTime = Annotated[float, ClockQuantity("h", "4 h", "length of time", least=0.0, most=720.0)]
LookBack = Annotated[float, Quantity("h", "48 h", "length of time", least=1.0, most=8760.0)]
WindHeight = Annotated[float, Quantity("m", "10 m", "height", least=LOWEST_OF_PROFILE, most=500.0)]
EvaporationRate = Annotated[float, Quantity("kg/m^2/h", "1 kg/m^2/h", "rate of evaporation", least=0.0)]


def _rain(value: Any) -> Any:
    return "0 mm/h" if value == "dry" else value


Rain = Annotated[float, Quantity("mm/h", "1 mm/h", "rate of rain (or the word dry)", least=0.0), BeforeValidator(_rain)]


def _gust_factor(value: Any) -> Any:
    if not isinstance(value, str) or number_and_unit(value) is not None:
        return value
    name = value.strip().replace(" ", "_")
    if name not in GUST_FACTORS:
        raise wrong(f"{value} is no gust factor; write a number like 1.5, or one of {', '.join(GUST_FACTORS)}")
    return GUST_FACTORS[name]


GustFactor = Annotated[
    float, Quantity("", "1.5", "gust factor", least=1.0, most=5.0, bare=True), BeforeValidator(_gust_factor)
]


def column_conversion(unit: str, target: str) -> tuple[float, float] | str:
    """Give factor and offset from the unit of a record's column to another unit, or say why there is none.

    Parameters: ``unit``, such as ``mph``, ``0.1 mm`` or, for humidity, ``share``; ``target``, that of the plan.
    """
    if unit == "share":
        return (1.0, 0.0) if not target else f"{unit} is not a unit of the right kind"
    split = number_and_unit(unit)
    scale, bare = split or (1.0, unit)
    conversion = _conversion(bare, target)
    if isinstance(conversion, str):
        return conversion
    factor, offset = conversion
    return scale * factor, offset


def _date(value: Any) -> date:
    try:
        day = date.fromisoformat(value)
    except (TypeError, ValueError):
        raise wrong(f"{value} is not a date; write it like 2027-03-01") from None
    if not 1900 <= day.year <= 2200:
        raise wrong(f"{value} is not a year in which this can be built")
    return day


CivilDate = Annotated[
    date, PlainValidator(_date), WithJsonSchema({"type": "string", "format": "date", "examples": ["2027-03-01"]})
]


def hour_of_day(value: Any) -> float:
    """Read a time of day such as ``07:00`` as hours after midnight [h]."""
    match = _CLOCK.fullmatch(value) if isinstance(value, str) else None
    hours = int(match[1]) + int(match[2]) / 60 if match else inf
    if hours > 24:
        raise wrong(f'{value} is not a time of day; write it like "07:00"')
    return on_clock(hours)


TimeOfDay = Annotated[float, PlainValidator(hour_of_day), WithJsonSchema({"type": "string", "examples": ["07:00"]})]


def listed(value: Any) -> Any:
    """Take one value for a list of one."""
    return value if isinstance(value, list) else [value]
