"""Reading a weather record, whatever its form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.daily_file import read_daily
from sitesim.weather.epw_file import read_epw
from sitesim.weather.hourly_file import read_hourly
from sitesim.weather.record import RecordFault, WeatherRecord, WeatherRecordError
from sitesim.weather.text_table import Column, TextTable


@dataclass(frozen=True)
class RecordForm:
    """What a scenario says of a record's file.

    columns: those of a comma-separated file that are not the usual ones. latitude: of the place [degrees]. clock: what
    the file's times are. at_end: whether an hour's line has the time of its end.
    """

    columns: Mapping[str, Column] = field(default_factory=dict)
    latitude: float | None = None
    clock: CivilClock = field(default_factory=CivilClock)
    at_end: bool = False


def read_record(path: Path, form: RecordForm) -> WeatherRecord:
    """Read an EPW file (by its ending), or a comma-separated one by the hour or by the day (by its columns).

    Raises WeatherRecordError for a file that cannot be used, OSError for one that cannot be read.
    """
    if path.suffix.lower() == ".epw":
        return read_epw(path, form.latitude, form.clock)
    if _is_hourly(path, form.columns):
        return read_hourly(path, form.columns, form.latitude, form.clock, form.at_end)
    return read_daily(path, form.columns, form.latitude)


def _is_hourly(path: Path, columns: Mapping[str, Column]) -> bool:
    table = TextTable(path, columns)
    for quantity in ("time", "date"):
        if table.columns[quantity].named:
            return quantity == "time"
    if not table.has("time") and not table.has("date"):
        message = f"neither days nor hours: {table.no_column('date')} (by day) or weather.columns.time (by hour)"
        raise WeatherRecordError(path, [RecordFault(table.header_line, message)])
    return table.has("time")
