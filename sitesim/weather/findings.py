"""What is found wrong while a weather file is read, gathered until the whole file has been looked at."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from math import isnan, nan
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sitesim.weather import believing, filling
from sitesim.weather.record import RecordFault, WeatherRecordError
from sitesim.weather.text_table import Column, read_number

When = TypeVar("When", bound=date)

_WHOLE = 1e-9
_ENOUGH_LINES = 300
"""Fewer lines say nothing about a unit."""


class Findings:
    """The faults of one file.

    path: the file. columns: by quantity, to name those that are suspected. header_line: where these are named.
    lines_a_year: how many lines a whole year has.
    """

    def __init__(self, path: Path, columns: Mapping[str, Column], header_line: int, lines_a_year: float) -> None:
        self._path = path
        self._columns = columns
        self._header_line = header_line
        self._lines_a_year = lines_a_year
        self._faults: list[RecordFault] = []
        self._disbelieved: dict[str, list[RecordFault]] = defaultdict(list)
        self._lines = 0
        self._values: dict[str, list[float]] = defaultdict(list)
        self._doubts: list[str] = []

    def when(
        self,
        line: int,
        cells: list[str],
        places: Mapping[str, int],
        column: str,
        read: Callable[[str], When],
        form: str,
    ) -> When | None:
        """Read the date or time of a line; what is wrong with it, or with the line, is noted and gives None.

        column: the quantity that it stands in. read: makes it of its text, raising ValueError. form: what it should be.
        """
        needed = max(places.values()) + 1
        if len(cells) < needed:
            self.say(line, f"only {len(cells)} values, {needed} are needed")
            return None
        written = cells[places[column]]
        try:
            when = read(written)
        except ValueError:
            self.say(line, f"{written!r} is not a {form}")
            return None
        if doubt := believing.out_of_time(when.year):
            self.say(line, f"{written!r}: {doubt}")
            return None
        return when

    def say(self, line: int, message: str) -> None:
        """Note a fault."""
        self._faults.append(RecordFault(line, message))

    def disbelieve(self, quantity: str, line: int, message: str) -> None:
        """Note that a value of a quantity is not believed."""
        self._disbelieved[quantity].append(RecordFault(line, message))

    def refuse(self) -> None:
        """Raise WeatherRecordError with everything that was found in the lines, if anything was.

        Where so many values of a quantity are not believed that the unit will be wrong, that is said in their place; of
        fewer, with the unit if it looks wrong as well.
        """
        suspected = [each for each in self._suspicions() if each.cannot_be or each.quantity in self._disbelieved]
        for suspicion in suspected:
            self.say(self._header_line, self._told(suspicion))
        for quantity, faults in self._disbelieved.items():
            if not believing.too_many(len(faults), self._lines):
                self._faults += faults
            elif quantity not in [suspicion.quantity for suspicion in suspected]:
                self.say(
                    self._header_line,
                    f"{self._columns[quantity].name}: {len(faults):,} of {self._lines:,} values are not believed, such "
                    f"as on line {faults[0].line}: {faults[0].message.split(';')[0]}. Is it in another unit? Name it "
                    f"in weather.columns.{quantity}.unit",
                )
        self._raise_faults()

    def doubt(self, message: str) -> None:
        """Note what looks wrong and is let be."""
        self._doubts.append(f"{self._path.name}: {message}")

    def doubts(self) -> tuple[str, ...]:
        """Give in words, with the name of the file, what looks wrong about units or times and is let be."""
        of_units = (f"{self._path.name}: {self._told(suspicion)}." for suspicion in self._suspicions())
        return (*of_units, *self._doubts)

    def means(self) -> dict[str, float]:
        """Give the mean wind [m/s] and the mean temperature [°C] of a file long enough to say something."""
        if self._lines < _ENOUGH_LINES:
            return {}
        found = {"wind": self._mean("wind"), "temperature": self._mean("temperature", "high", "low")}
        return {quantity: mean for quantity, mean in found.items() if not isnan(mean)}

    def _mean(self, *quantities: str) -> float:
        values = [value for quantity in quantities for value in self._values[quantity]]
        return sum(values) / len(values) if values else nan

    def _hottest(self) -> float:
        """Give the mean of the warmest twelfth of all temperatures [°C], a month's worth."""
        values = sorted(value for name in ("temperature", "high", "low") for value in self._values[name])
        warmest = values[len(values) - len(values) // 12 :]
        return sum(warmest) / len(warmest) if warmest else nan

    def _suspicions(self) -> list[believing.Suspicion]:
        if self._lines < _ENOUGH_LINES:
            return []
        by_day = "temperature" not in self._columns or not self._values["temperature"]
        humidity, rain, winds = (self._values[name] for name in ("humidity", "precipitation", "wind"))
        found = believing.suspected_units(
            believing.Gist(
                self._mean("temperature", "high", "low"),
                self._hottest(),
                self._mean("wind"),
                self._lines_a_year * self._mean("precipitation"),
                self._lines_a_year * sum(value > 0.0 for value in rain) / len(rain) if rain else nan,
                max(humidity) if humidity else None,
                self._lines_a_year,
                sum(0.0 < value < believing.FAINT for value in winds) / len(winds) if winds else 1.0,
                winds.count(0.0) / len(winds) if winds else 0.0,
                all(abs(value - round(value)) < _WHOLE for value in winds),
            )
        )
        return [
            suspicion._replace(quantity="high") if by_day and suspicion.quantity == "temperature" else suspicion
            for suspicion in found
        ]

    def _told(self, suspicion: believing.Suspicion) -> str:
        column = self._columns[suspicion.quantity].name
        return f"{column}: {suspicion.message}. Check weather.columns.{suspicion.quantity}.unit"

    def _raise_faults(self) -> None:
        if self._faults:
            raise WeatherRecordError(self._path, sorted(set(self._faults)))

    def refuse_unless(self, right: bool, line: int, message: str) -> None:
        """Raise WeatherRecordError with one fault unless something is right."""
        if not right:
            raise WeatherRecordError(self._path, [RecordFault(line, message)])

    def read(
        self,
        line: int,
        written: Mapping[str, str],
        believed: Mapping[str, believing.Believed],
        number: Callable[[str, Column, str], float] = read_number,
    ) -> dict[str, float]:
        """Read the cells of a line by quantity, nan where a value is missing; what is wrong with them joins the faults.

        believed: bounds of each quantity. number: reads the cell of a quantity in its column.
        """
        self._lines += 1
        values: dict[str, float] = {}
        for quantity, cell in written.items():
            column = self._columns[quantity]
            try:
                value = number(quantity, column, cell)
            except ValueError as error:
                self.say(line, str(error))
                value = nan
            values[quantity] = min(value, 1.0) if quantity == "humidity" else value
            if isnan(value):
                continue
            self._values[quantity].append(value)
            doubt = believing.disbelief(believed[quantity], f"{column.name} {cell}", value)
            if doubt is not None:
                self.disbelieve(quantity, line, doubt)
        return values

    def refuse_at_header(self, message: str) -> None:
        """Raise WeatherRecordError with one fault of the whole file."""
        self.refuse_unless(False, self._header_line, message)

    def refuse_gaps(self, first: date, quantities: Mapping[str, NDArray[np.float64]], line: int) -> None:
        """Raise WeatherRecordError if a quantity has more gaps than may be filled."""
        for message in filling.refusals(first, quantities):
            self.say(line, message)
        self._raise_faults()


def hole_in(found: Sequence[date]) -> tuple[str, date, date] | None:
    """Tell of sorted dates so far apart that more than the limit is missing, before room is made for them.

    Returns what to say, and the days at the ends of the widest gap; None where enough are there.
    """
    span = (found[-1] - found[0]).days + 1
    if len(set(found)) >= (1.0 - filling.MOST_MISSING) * span:
        return None
    widest = max(range(len(found) - 1), key=lambda place: found[place + 1] - found[place])
    before, after = found[widest], found[widest + 1]
    message = (
        f"{span - len(set(found)):,} of {span:,} days are missing, most of them between {before} and {after}; more "
        f"than {100 * filling.MOST_MISSING:.0f} % is refused"
    )
    return message, before, after
