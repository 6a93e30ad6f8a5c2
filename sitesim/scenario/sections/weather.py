"""The section ``weather``: a record of past years, and the limits of each kind of work."""

from __future__ import annotations

from math import inf
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator, WithJsonSchema, model_validator

from sitesim.scenario.faults import closest
from sitesim.scenario.quantities import (
    Area,
    ClockHours,
    DryingTime,
    ElapsedDays,
    EvaporationRate,
    GustFactor,
    LookBack,
    Mass,
    Quantity,
    Rain,
    Rainfall,
    Share,
    Temperature,
    TemperatureRise,
    Wind,
    WindHeight,
    column_conversion,
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


def _under(key: str, written: Any) -> BeforeValidator:
    """Let a value stand for a section in which it is the value of one key; ``written`` is what an editor takes."""
    return BeforeValidator(
        lambda value: value if isinstance(value, dict) else {key: value}, json_schema_input_type=written
    )


class GroundLimit(Section):
    """Ground that is too wet after much rain."""

    rain: Rainfall
    """Most rain within the time before."""
    within: LookBack = 48.0
    """How far back the rain is summed."""


class FrostLimit(Section):
    """Frost in the ground, by the mean air temperature of the time before."""

    over: LookBack = 168.0
    """How far back the temperature is averaged."""
    below: Temperature = 0.0
    """The mean below which the ground counts as frozen."""


class EvaporationLimit(Section):
    """Evaporation from fresh concrete, by ACI 305R."""

    most: EvaporationRate
    """The highest rate."""
    concrete: Temperature | None = None
    """Of the fresh concrete; that of the air at the work unless given."""
    measures: ClockHours = 0.0
    """What keeping each printed layer wet takes while it is higher; the work stops unless given."""


class LiftedLoad(Section):
    """A load on the hook whose face the wind takes hold of."""

    mass: Mass
    sail_area: Area
    """Its largest face."""
    drag: Annotated[float, Quantity("", "1.2", "factor", least=0.1, most=3.0, bare=True)] = 1.2
    """The coefficient of that face."""


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
    height: WindHeight | None = None
    """Above ground, for which the limits of gust and wind are meant; that of the station unless given."""
    lift: LiftedLoad | None = None
    """The load for whose face the limits of gust and wind, those of the crane's table, are lowered."""
    rain: Rain = inf
    """Most rain, or the word dry."""
    after_rain: DryingTime = 0.0
    """How long it stays shut after an hour with more rain than that (with any rain, where there is no limit)."""
    before_rain: DryingTime = 0.0
    """How long before such an hour it is shut."""
    ground: Annotated[GroundLimit, _under("rain", GroundLimit | Rainfall)] | None = None
    """Most rain that the ground takes: a depth within a time before."""
    frost: Annotated[FrostLimit, _under("over", FrostLimit | LookBack)] | None = None
    """Shut while there is frost in the ground: the time over which the air temperature is averaged."""
    humidity: Share | None = None
    """Highest relative humidity at the work."""
    evaporation: Annotated[EvaporationLimit, _under("most", EvaporationLimit | EvaporationRate)] | None = None
    """Most evaporation from fresh concrete."""
    shelter: Literal["tent", "indoors", "none"] = "none"
    """What stands over the work."""


class Indoors(Section):
    """A closed building with temporary heat: how much it warms, and up to where."""

    rise: TemperatureRise = 10.0
    set_point: Temperature = 15.0


class ColumnEntry(Section):
    """The name of a record's column, and its unit where it is not the usual one."""

    name: str
    unit: str | None = None


def _in(target: str) -> AfterValidator:
    """Ask of a column's unit that it can be converted to the plan's."""

    def checked(entry: ColumnEntry) -> ColumnEntry:
        conversion = column_conversion(entry.unit, target) if entry.unit is not None else None
        if isinstance(conversion, str):
            raise wrong(f"column {entry.name}: {conversion}; it should be one like {target or 'percent'}")
        return entry

    return AfterValidator(checked)


_SPELLED = BeforeValidator(
    lambda value: {"name": value} if isinstance(value, str) else value, json_schema_input_type=ColumnEntry | str
)
RainColumn = Annotated[ColumnEntry, _SPELLED, _in("mm")]
WarmthColumn = Annotated[ColumnEntry, _SPELLED, _in("degC")]
WindColumn = Annotated[ColumnEntry, _SPELLED, _in("m/s")]
HumidityColumn = Annotated[ColumnEntry, _SPELLED, _in("")]


class Columns(Section):
    """The columns of a record where they are not the usual ones: a name, or a name and a unit."""

    date: str | None = None
    """Of a daily record; ``date`` unless given."""
    time: str | None = None
    """Of an hourly record; ``time`` unless given."""
    precipitation: RainColumn | None = None
    """Rain of the day or hour; ``precipitation_mm`` unless given."""
    high: WarmthColumn | None = None
    """Highest air temperature of the day; ``temperature_max_c`` unless given."""
    low: WarmthColumn | None = None
    """Lowest air temperature of the day; ``temperature_min_c`` unless given."""
    temperature: WarmthColumn | None = None
    """Air temperature of the hour; ``temperature_c`` unless given."""
    wind: WindColumn | None = None
    """Mean wind of the day or hour; ``wind_mean_m_s`` unless given."""
    gust: WindColumn | None = None
    """Gust of the hour; ``gust_m_s``, if it is there, unless given."""
    humidity: HumidityColumn | None = None
    """Relative humidity, mean of the day or hour; ``humidity_percent``, if it is there, unless given."""


def _zone(value: Any) -> str:
    import zoneinfo

    name = str(value)
    try:
        zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        known = zoneinfo.available_timezones()
        if not known:
            raise wrong(f"{name}: this machine knows no time zones; install the package tzdata") from None
        close = closest(name, known)
        near = f"did you mean {close}?" if close else "write it like America/Los_Angeles"
        raise wrong(f"{name} is not a time zone; {near}") from None
    return name


ZoneName = Annotated[str, PlainValidator(_zone), WithJsonSchema({"type": "string", "examples": ["Europe/London"]})]


def _draw(value: Any) -> str | int:
    if value in ("blocks", "years"):
        return str(value)
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    raise wrong(f"{value} should be blocks, years, or a year of the record like 2013")


Draw = Annotated[
    str | int,
    PlainValidator(_draw),
    WithJsonSchema({"anyOf": [{"enum": ["blocks", "years"]}, {"type": "integer", "examples": [2013]}]}),
]


def _files(value: Any) -> Any:
    if value == []:
        raise wrong("should name a file, or several")
    return value if isinstance(value, list) else [value]


RecordFiles = Annotated[tuple[Path, ...], BeforeValidator(_files, json_schema_input_type=Path | list[Path])]


class Weather(Section):
    """A weather record, how runs draw from it, and the limits of each kind of work by its name."""

    record: RecordFiles
    """A record by day or by hour, comma-separated, or an EPW file; or several such files that follow one another, such
    as one a year, in a list or by a pattern like ``years/*.csv``. Relative to the file that names it."""
    columns: Columns = Columns()
    clock: Literal["civil", "standard", "utc"] = "civil"
    """What the times of an hourly file are: civil time, standard time all year, or UTC."""
    time_zone: ZoneName | None = None
    """Rules of the site's civil time; needed where the file's times are not civil."""
    hour_stamp: Literal["start", "end"] = "start"
    """Whether the time of an hour's line is its start or its end."""
    draw: Draw | None = None
    """``blocks`` of days from the same season, whole ``years`` in the record's order, or one year such as 2013 again
    and again; blocks below twenty record years unless given."""
    block: ElapsedDays = 10.0
    """Days drawn together."""
    window: ElapsedDays = 15.0
    """How many days from the civil date a block may come."""
    gust_factor: GustFactor = 1.5
    """Gust over hourly mean wind where the record has no gusts: a number, or the name of a published one."""
    station_height: WindHeight = 10.0
    """Height above ground at which the record's wind was measured."""
    terrain: Literal["town", "open", "water"] = "open"
    """What the wind blows over, at the station and at the site: how fast it grows with height."""
    forecast_skill: Share = 1.0
    """How often the morning's forecast is right."""
    indoors: Indoors = Indoors()
    limits: dict[Name, WorkLimits] = Field(default_factory=dict)
