"""A comma-separated weather file: its origin, its columns, and its cells line by line."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from types import MappingProxyType

from sitesim.weather.record import RecordFault, WeatherRecordError

MISSING = frozenset({"", "na", "n/a", "nan", "null", "none", "m", "missing", "-", "--"})
"""What may stand, in small letters, for a missing value."""

_NINES = ("999", "999.0", "999.9", "9999", "9999.0", "9999.9", "99999")
CODES = frozenset((*_NINES, *(f"-{code}" for code in _NINES)))
"""Numbers that stand for a missing value."""

TRACE = frozenset({"t", "trace"})
"""Rain too little to be measured, taken as none."""


@dataclass(frozen=True)
class Column:
    """Where a quantity stands in a file, and how it becomes the unit of the plan.

    name: that of the column. factor, offset: unit of the plan = factor × written + offset. named: whether the user has
    asked for it, so that it must be there.
    """

    name: str
    factor: float = 1.0
    offset: float = 0.0
    named: bool = False


COLUMNS: Mapping[str, Column] = MappingProxyType(
    {
        "date": Column("date"),
        "time": Column("time"),
        "precipitation": Column("precipitation_mm"),
        "high": Column("temperature_max_c"),
        "low": Column("temperature_min_c"),
        "temperature": Column("temperature_c"),
        "wind": Column("wind_mean_m_s"),
        "gust": Column("gust_m_s"),
        "humidity": Column("humidity_percent", factor=0.01),
    }
)
"""The column that holds each quantity, unless the reader is told otherwise; in °C, m/s, mm and per cent."""


class TextTable:
    """A comma-separated file: lines that start with ``#`` first, then a line of names, then the rows.

    path: the file. columns: those that differ from `COLUMNS`.

    Raises WeatherRecordError when the file has no line of names, or one that cannot be read; ValueError for a quantity
    that is not one.
    """

    def __init__(self, path: Path, columns: Mapping[str, Column] | None = None) -> None:
        unknown = sorted(set(columns or ()) - set(COLUMNS))
        if unknown:
            raise ValueError(f"unknown quantities {', '.join(unknown)}: a record has {', '.join(COLUMNS)}")
        self.path = path
        self.columns = {**COLUMNS, **(columns or {})}
        text = path.read_text(encoding="utf-8-sig", errors="replace")
        self.origin = " ".join(line.lstrip("# ").rstrip() for line in text.splitlines() if line.startswith("#"))
        self._lines = [
            (line, content)
            for line, content in enumerate(text.splitlines(), start=1)
            if content.strip() and not content.startswith("#")
        ]
        if not self._lines:
            raise WeatherRecordError(path, [RecordFault(1, "the file has no line of column names")])
        self.header_line = self._lines[0][0]
        self.header = self._cells(*self._lines[0])

    def has(self, quantity: str) -> bool:
        """Tell whether the column of a quantity is there."""
        return self.columns[quantity].name in self.header

    def places(self, needed: Sequence[str], welcome: Sequence[str]) -> dict[str, int]:
        """Find the columns of quantities.

        needed: those that must be there. welcome: those that may be missing unless the user named them.

        Raises WeatherRecordError with every column that is missing and the nearest that is there.
        """
        wanted = [*needed, *(quantity for quantity in welcome if self.columns[quantity].named)]
        missing = [quantity for quantity in wanted if not self.has(quantity)]
        if missing:
            raise WeatherRecordError(
                self.path, [RecordFault(self.header_line, self.no_column(quantity)) for quantity in missing]
            )
        found = [quantity for quantity in (*needed, *welcome) if self.has(quantity)]
        return {quantity: self.header.index(self.columns[quantity].name) for quantity in found}

    def no_column(self, quantity: str) -> str:
        """Say that the column of a quantity is not there, and which comes nearest."""
        name = self.columns[quantity].name
        by_small_letters = {head.lower(): head for head in self.header}
        close = get_close_matches(name.lower(), list(by_small_letters), n=1, cutoff=0.5)
        near = f"is it {by_small_letters[close[0]]}? " if close else ""
        there = ", ".join(self.header)
        return f"no column {name} for {quantity}; {near}the file has {there}; name it in weather.columns.{quantity}"

    def rows(self) -> Iterator[tuple[int, list[str]]]:
        """Give the rows with the numbers of their lines; raises WeatherRecordError for one that cannot be read."""
        for line, content in self._lines[1:]:
            yield line, self._cells(line, content)

    def _cells(self, line: int, content: str) -> list[str]:
        try:
            return cells_of(content)
        except csv.Error as error:
            message = f"the line cannot be read ({error}); it should be values with commas between them"
            raise WeatherRecordError(self.path, [RecordFault(line, message)]) from None

    @property
    def last_line(self) -> int:
        """The number of the last line with content."""
        return self._lines[-1][0]


def read_number(quantity: str, column: Column, cell: str) -> float:
    """Read a cell as a number in the unit of the plan; nan where a value is missing.

    Raises ValueError for what is neither a number nor a known mark of a missing one.
    """
    written = cell.lower()
    if written in MISSING or written in CODES:
        return math.nan
    if quantity == "precipitation" and written in TRACE:
        return 0.0
    try:
        value = float(written)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(f"{column.name}: {cell!r} is not a number")
    return column.factor * value + column.offset


def cells_of(content: str) -> list[str]:
    """Take a line apart at its commas; raises csv.Error for one that cannot be."""
    return [cell.strip() for cell in next(csv.reader([content]))]
