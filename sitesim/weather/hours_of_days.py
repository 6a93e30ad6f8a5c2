"""Lines of an hourly file put on civil days of 24 hours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sitesim.plan.climate import HOURS_A_DAY
from sitesim.weather import filling
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.findings import Findings
from sitesim.weather.parts import (
    Part,
    doubts_of,
    end_to_end,
    name_of,
    origin_of,
    refuse_holes,
    remarks_of,
)
from sitesim.weather.record import HourlyObservations

_LEAST_OF_A_DAY = 12
_LATEST_OF_A_CHANGE = 3
_A_COURSE = 2.0
"""Least difference [°C] between the warmest and the coldest hour of a mean day from which its course is looked at."""
_EARLIEST_WARMEST, _LATEST_WARMEST = 10, 19
"""Hours at which a mean day may be warmest: two or three hours after noon, with room for summer time (assumed)."""
_AN_HOUR = timedelta(hours=1)


class HoursOfDays:
    """The hours of a file, by civil time.

    clock: what the file's times are. findings: where hours that come twice are told.
    """

    def __init__(self, clock: CivilClock, findings: Findings) -> None:
        self._clock = clock
        self._findings = findings
        self._values: dict[datetime, Mapping[str, float]] = {}
        self._lines: dict[datetime, int] = {}
        self._second_copies: set[datetime] = set()

    def __len__(self) -> int:
        return len(self._values)

    def add(self, line: int, moment: datetime, values: Mapping[str, float]) -> datetime | None:
        """Add a line of the file and give its civil hour; None for what is dropped or wrong."""
        try:
            civil = self._clock.civil(moment)
        except ValueError as error:
            self._findings.say(line, f"{moment.isoformat(' ', 'minutes')} {error}")
            return None
        hour = civil.replace(minute=0, second=0, microsecond=0, fold=0)
        if hour not in self._values:
            self._values[hour] = values
            self._lines[hour] = line
            return hour
        if hour not in self._second_copies and self._clock.repeats(hour):
            self._second_copies.add(hour)
            return None
        told = hour.isoformat(" ", "minutes")
        self._findings.say(line, f"the hour {told} is there already, on line {self._lines[hour]}; one line an hour")
        return None

    def part(
        self,
        path: Path,
        origin: str,
        last_line: int,
        quantities: Iterable[str],
        remarks: tuple[str, ...] = (),
        place: tuple[float | None, float | None] = (None, None),
    ) -> HoursPart:
        """Give what the file says as a part of a record; parameters: what it says of itself."""
        of_file: Part[datetime] = Part(
            path=path,
            findings=self._findings,
            origin=origin,
            values=self._values,
            lines=self._lines,
            quantities=tuple(quantity for quantity in quantities if quantity != "time"),
            last_line=last_line,
            remarks=remarks,
            place=place,
        )
        return HoursPart(of_file, len(self._second_copies))


class HoursPart(NamedTuple):
    """What one file of an hourly record says, and how many second copies of hours were dropped."""

    part: Part[datetime]
    second_copies: int


def gather_hours(found: Sequence[HoursPart], clock: CivilClock) -> HourlyObservations:
    """Put the hours of one file, or of several that follow one another, into a record, its gaps filled.

    Raises WeatherRecordError for files that overlap, too many gaps, a unit that cannot be, or less than one whole year.
    """
    parts = end_to_end([each.part for each in found], _AN_HOUR)
    hours = _Hours({hour: values for part in parts for hour, values in part.values.items()}, clock)
    at_end = parts[-1]
    first, last = hours.whole_days()
    refuse_holes(parts, sorted({hour.date() for hour in hours.values}))
    tables = hours.tables(first, last, list(dict.fromkeys(name for part in parts for name in part.quantities)))
    skipped = hours.repeat_before_skipped_hours(first, last, tables)
    gust = tables.pop("gust", None)
    humidity = tables.get("humidity")
    remarks = remarks_of(parts, _AN_HOUR)
    if humidity is not None and np.isnan(humidity).mean() > filling.MOST_MISSING:
        tables.pop("humidity")  # it can be reckoned from temperature instead
        remarks += ("Humidity is missing too often to be used and is reckoned from temperature.",)
    at_end.findings.refuse_gaps(first, tables, at_end.last_line)
    record_name = name_of(parts)
    temperature = filling.filled_hours(tables["temperature"], in_line=True)
    record = HourlyObservations(
        name=record_name,
        origin=origin_of(parts),
        first_day=first,
        remarks=(
            *remarks,
            *_told_daylight_saving(len(skipped), sum(each.second_copies for each in found)),
            *filling.told(tables),
            *_told_gusts(gust),
        ),
        doubts=(*doubts_of(parts), *hours.doubts(), *_doubted_course(record_name, temperature)),
        latitude=parts[0].place[0],
        gust=gust,
        precipitation=filling.filled_hours(tables["precipitation"], in_line=False),
        temperature=temperature,
        wind=filling.filled_hours(tables["wind"], in_line=True),
        humidity=filling.filled_hours(tables["humidity"], in_line=True) if "humidity" in tables else None,
    )
    at_end.findings.refuse_unless(not record.too_short(), at_end.last_line, record.too_short())
    return record


class _Hours:
    """Hours of civil time with their values."""

    def __init__(self, values: Mapping[datetime, Mapping[str, float]], clock: CivilClock) -> None:
        self.values = values
        self._clock = clock

    def whole_days(self) -> tuple[date, date]:
        """Give the first and last civil day, without one at either end that is mostly missing."""
        first, last = min(self.values).date(), max(self.values).date()
        hours = [hour.date() for hour in self.values]
        if hours.count(first) < _LEAST_OF_A_DAY and first < last:
            first += timedelta(days=1)
        if hours.count(last) < _LEAST_OF_A_DAY and first < last:
            last -= timedelta(days=1)
        return first, last

    def tables(self, first: date, last: date, quantities: list[str]) -> dict[str, NDArray[np.float64]]:
        days = (last - first).days + 1
        tables = {name: np.full((days, HOURS_A_DAY), math.nan) for name in quantities}
        for hour, values in self.values.items():
            row = (hour.date() - first).days
            if 0 <= row < days:
                for name, value in values.items():
                    tables[name][row, hour.hour] = value
        return tables

    def doubts(self) -> Iterator[str]:
        """Say where the file has hours that its clock leaves out, as standard time and UTC have them."""
        if self._clock.kind != "civil" or self._clock.zone is None:
            return
        never = [hour for hour in sorted(self.values) if hour.hour <= _LATEST_OF_A_CHANGE and self._clock.skips(hour)]
        if never:
            yield (
                f"The record has {never[0].isoformat(' ', 'minutes')}, an hour that civil time of "
                f"{self._clock.zone.key} leaves out{_and_more(len(never) - 1)}: are its times those of standard time "
                "or UTC? Say so in weather.clock."
            )

    def repeat_before_skipped_hours(
        self, first: date, last: date, tables: Mapping[str, NDArray[np.float64]]
    ) -> list[datetime]:
        """Repeat the hour before one that spring leaves out; give those hours."""
        skipped = []
        hour = datetime(first.year, first.month, first.day, 1)
        end = datetime(last.year, last.month, last.day, HOURS_A_DAY - 1)
        while hour < end:
            lone = hour not in self.values and hour - _AN_HOUR in self.values and hour + _AN_HOUR in self.values
            if lone and self._clock.skips(hour):
                skipped.append(hour)
                row = (hour.date() - first).days
                before = hour - _AN_HOUR
                for values in tables.values():
                    values[row, hour.hour] = values[(before.date() - first).days, before.hour]
            hour += _AN_HOUR
        return skipped


def _told_daylight_saving(skipped: int, second_copies: int) -> list[str]:
    if not skipped and not second_copies:
        return []
    return [
        f"Daylight saving: hours that spring leaves out and that repeat the hour before: {skipped}; second copies in "
        f"autumn that are dropped: {second_copies}."
    ]


def _and_more(count: int) -> str:
    return f", and {count} more such" if count else ""


def _doubted_course(name: str, temperature: NDArray[np.float64]) -> Iterator[str]:
    """Say when a mean day is warmest at an hour at which none is: its times are those of another clock."""
    course = temperature.mean(axis=0)
    if course.max() - course.min() < _A_COURSE:
        return
    warmest = int(course.argmax())
    if not _EARLIEST_WARMEST <= warmest <= _LATEST_WARMEST:
        yield (
            f"{name}: a mean day is warmest from {warmest:02}:00 to {(warmest + 1) % HOURS_A_DAY:02}:00, which is not "
            "believed: are its times those of another clock, such as UTC? Check weather.clock and weather.time_zone."
        )


def _told_gusts(gust: NDArray[np.float64] | None) -> list[str]:
    if gust is None:
        return []
    share = 100.0 * float(np.mean(~np.isnan(gust)))
    return [f"Gusts are recorded in {share:.0f} % of hours; in the others they are reckoned from the mean wind."]
