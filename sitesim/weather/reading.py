"""Reading a weather record, whatever its form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.daily_file import read_daily
from sitesim.weather.epw_file import read_epw
from sitesim.weather.hourly_file import read_hourly
from sitesim.weather.parts import read_each
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


def read_record(files: Path | Sequence[Path], form: RecordForm) -> WeatherRecord:
    """Read a record in one file or several: EPW (by the ending), comma-separated by hour or by day (by the columns).

    Raises WeatherRecordError for a file that cannot be used or that is of another kind than the first, OSError for one
    that cannot be read.
    """
    paths = [files] if isinstance(files, Path) else list(files)
    kinds = read_each(paths, lambda path: _kind_of(path, form.columns))
    others = [
        RecordFault(1, f"is {kind}, and {paths[0].name} {kinds[0]}; the files of a record are of one kind", path)
        for path, kind in zip(paths, kinds, strict=True)
        if kind != kinds[0]
    ]
    if others:
        raise WeatherRecordError(paths[0], others)
    if kinds[0] == _EPW:
        return read_epw(paths, form.latitude, form.clock)
    if kinds[0] == _BY_HOUR:
        return read_hourly(paths, form.columns, form.latitude, form.clock, form.at_end)
    return read_daily(paths, form.columns, form.latitude)


_EPW, _BY_HOUR, _BY_DAY = "EPW", "by the hour", "by the day"


def _kind_of(path: Path, columns: Mapping[str, Column]) -> str:
    if path.suffix.lower() == ".epw":
        return _EPW
    return _BY_HOUR if _is_hourly(path, columns) else _BY_DAY


def _is_hourly(path: Path, columns: Mapping[str, Column]) -> bool:
    table = TextTable(path, columns)
    for quantity in ("time", "date"):
        if table.columns[quantity].named:
            return quantity == "time"
    if not table.has("time") and not table.has("date"):
        message = f"neither days nor hours: {table.no_column('date')} (by day) or weather.columns.time (by hour)"
        raise WeatherRecordError(path, [RecordFault(table.header_line, message)])
    return table.has("time")
