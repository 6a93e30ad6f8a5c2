"""The section ``weather``: a record of past years, and the limits of each kind of work."""

from __future__ import annotations

from math import inf
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from sitesim.scenario.quantities import (
    ElapsedDays,
    Factor,
    Rain,
    Share,
    Temperature,
    TemperatureRise,
    Wind,
    wrong,
)
from sitesim.scenario.sections.section import Name, Section


def _range(value: Any) -> Any:
    if not isinstance(value, list):
        return value
    if len(value) != 2:
        raise wrong(f"should be two values, [lowest, highest], and not {len(value)}")
    return {"low": value[0], "high": value[1]}


class TemperatureRange(Section):
    """The lowest and the highest air temperature [°C] at the work."""

    low: Temperature = -inf
    high: Temperature = inf

    @model_validator(mode="after")
    def _rises(self) -> TemperatureRange:
        if self.low > self.high:
            raise wrong(f"the lowest, {self.low:g} °C, is above the highest, {self.high:g} °C")
        return self


class WorkLimits(Section):
    """The weather in which one kind of work may go on."""

    temperature: Annotated[
        TemperatureRange, BeforeValidator(_range, json_schema_input_type=TemperatureRange | list[Temperature])
    ] = TemperatureRange()
    """[lowest, highest] air temperature at the work."""
    gust: Wind = inf
    """Highest gust."""
    wind: Wind = inf
    """Highest hourly mean wind."""
    rain: Rain = inf
    """Most rain, or the word dry."""
    shelter: Literal["tent", "indoors", "none"] = "none"
    """What stands over the work."""


class Indoors(Section):
    """A closed building with temporary heat: how much it warms, and up to where."""

    rise: TemperatureRise = 10.0
    set_point: Temperature = 15.0


class Columns(Section):
    """The names of a record's columns, where they are not the usual ones."""

    date: str = "date"
    precipitation: str = "precipitation_mm"
    high: str = "temperature_max_c"
    low: str = "temperature_min_c"
    wind: str = "wind_mean_m_s"


class Weather(Section):
    """A daily record, how runs draw from it, and the limits of each kind of work by its name."""

    record: Path
    """A daily record, comma-separated; relative to the file that names it."""
    columns: Columns = Columns()
    block: ElapsedDays = 10.0
    """Days drawn together."""
    window: ElapsedDays = 15.0
    """How many days from the civil date a block may come."""
    gust_factor: Factor = 1.5
    """Gust over hourly mean wind."""
    forecast_skill: Share = 1.0
    """How often the morning's forecast is right."""
    indoors: Indoors = Indoors()
    limits: dict[Name, WorkLimits] = Field(default_factory=dict)
