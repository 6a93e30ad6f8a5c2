"""What is found wrong while a weather file is read, gathered until the whole file has been looked at."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from math import isnan, nan
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sitesim.weather import believing, filling
from sitesim.weather.record import RecordFault, WeatherRecordError
from sitesim.weather.text_table import Column, read_number


class Findings:
    """The faults of one file.

    path: the file. columns: by quantity, to name those that are suspected. header_line: where these are named.
    """

    def __init__(self, path: Path, columns: Mapping[str, Column], header_line: int) -> None:
        self._path = path
        self._columns = columns
        self._header_line = header_line
        self._faults: list[RecordFault] = []
        self._disbelieved: dict[str, list[RecordFault]] = defaultdict(list)
        self._lines = 0

    def say(self, line: int, message: str) -> None:
        """Note a fault."""
        self._faults.append(RecordFault(line, message))

    def refuse(self) -> None:
        """Raise WeatherRecordError with everything that was found, if anything was.

        Where so many values of a quantity are not believed that the unit will be wrong, that is said in their place.
        """
        for quantity, faults in self._disbelieved.items():
            if believing.too_many(len(faults), self._lines):
                column = self._columns[quantity]
                self.say(
                    self._header_line,
                    f"{column.name}: {len(faults):,} of {self._lines:,} values are not believed, such as on line "
                    f"{faults[0].line}: {faults[0].message.split(';')[0]}. Is it in another unit? Name it in "
                    f"weather.columns.{quantity}.unit",
                )
            else:
                self._faults += faults
        self._disbelieved.clear()
        if self._faults:
            raise WeatherRecordError(self._path, sorted(self._faults))

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
            doubt = None
            if not isnan(value):
                doubt = believing.disbelief(believed[quantity], f"{column.name} {cell}", value)
            if doubt is not None:
                self._disbelieved[quantity].append(RecordFault(line, doubt))
            values[quantity] = min(value, 1.0) if quantity == "humidity" else value
        return values

    def refuse_holes(self, found: Sequence[date]) -> None:
        """Refuse sorted dates so far apart that more than the limit is missing, before room is made for them."""
        span = (found[-1] - found[0]).days + 1
        if len(set(found)) >= (1.0 - filling.MOST_MISSING) * span:
            return
        widest = max(range(len(found) - 1), key=lambda place: found[place + 1] - found[place])
        self.refuse_unless(
            False,
            self._header_line,
            f"{span - len(set(found)):,} of {span:,} days are missing, most of them between {found[widest]} and "
            f"{found[widest + 1]}; more than {100 * filling.MOST_MISSING:.0f} % is refused",
        )

    def refuse_gaps(self, first: date, quantities: Mapping[str, NDArray[np.float64]], line: int) -> None:
        """Raise WeatherRecordError if a quantity has more gaps than may be filled."""
        for message in filling.refusals(first, quantities):
            self.say(line, message)
        self.refuse()

    def suspect_units(
        self,
        temperature: NDArray[np.float64],
        wind: NDArray[np.float64],
        rain_a_year: float,
        humidity: NDArray[np.float64] | None,
        temperature_column: str,
    ) -> tuple[str, ...]:
        """Give the doubts about units in words; raises WeatherRecordError for a unit that cannot be.

        temperature [°C], wind [m/s], humidity as a share: the values read; rain_a_year [mm]; temperature_column: the
        quantity by whose column temperature is named.
        """
        doubts = []
        for quantity, message, cannot_be in believing.suspected_units(temperature, wind, rain_a_year, humidity):
            named = temperature_column if quantity == "temperature" else quantity
            told = f"{self._columns[named].name}: {message}. Check weather.columns.{named}.unit"
            if cannot_be:
                self.say(self._header_line, told)
            doubts.append(f"{told}.")
        self.refuse()
        return tuple(doubts)
