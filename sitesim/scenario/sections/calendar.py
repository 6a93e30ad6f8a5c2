"""The section ``calendar``: who works on which days, in which hours, and on which days nobody does."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, PlainValidator, WithJsonSchema

from sitesim.hours import WeekPattern
from sitesim.scenario.quantities import CivilDate, hour_of_day, listed, wrong
from sitesim.scenario.sections.section import Section

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_SPAN = re.compile(r"\s*(\d{1,2}:\d\d)\s*-\s*(\d{1,2}:\d\d)\s*")

Span = tuple[float, float]


def _weekdays(value: Any) -> tuple[int, ...]:
    days: set[int] = set()
    for part in listed(value):
        first, dash, last = str(part).strip().lower().partition("-")
        ends = [end.strip() for end in ([first, last] if dash else [first, first])]
        unknown = [end for end in ends if end not in WEEKDAYS]
        if unknown:
            raise wrong(f"{unknown[0]} is not a day of the week; write mon-fri or [mon, wed]")
        begin, end = (WEEKDAYS.index(end) for end in ends)
        days.update(range(begin, end + 1) if begin <= end else [*range(begin, 7), *range(end + 1)])
    if not days:
        raise wrong("no days are named; write mon-fri or [mon, wed]")
    return tuple(sorted(days))


def _spans(value: Any) -> tuple[Span, ...]:
    spans = sorted(_span(part) for part in listed(value))
    if not spans:
        raise wrong('no hours are named; write ["07:00-15:00"]')
    for earlier, later in pairwise(spans):
        if later[0] < earlier[1]:
            raise wrong(f"the hours in {value} overlap")
    return tuple(spans)


def _span(part: Any) -> Span:
    match = _SPAN.fullmatch(part) if isinstance(part, str) else None
    if match is None:
        raise wrong(f'{part} is not a span of hours; write it like "07:00-15:00"')
    start, end = hour_of_day(match[1]), hour_of_day(match[2])
    if end <= start:
        raise wrong(f"{part} ends before it begins; a span lies within one day")
    return start, end


def _country(value: Any) -> str:
    code = "none" if value is None else str(value)
    if code != "none":
        holidays_of(code, range(2027, 2028))
    return code


def holidays_of(code: str, years: range) -> dict[date, str]:
    """Give the public holidays of a country or a part of it, on the days on which they are kept, by date.

    Parameters: ``code``, such as US-WA; ``years``. Raises PydanticCustomError for an unknown code.
    """
    import holidays  # a large package, only where a calendar asks for it

    country, _, part = code.partition("-")
    try:
        return dict(holidays.country_holidays(country, subdiv=part or None, years=years))
    except (NotImplementedError, KeyError):
        raise wrong(
            f"{code} is not a country or a part of one whose holidays are known; write US-WA, GB-ENG or none"
        ) from None


Weekdays = Annotated[
    tuple[int, ...], PlainValidator(_weekdays), WithJsonSchema({"examples": ["mon-fri", ["mon", "wed"]]})
]
Spans = Annotated[tuple[Span, ...], PlainValidator(_spans), WithJsonSchema({"examples": [["07:00-15:00"]]})]
Holidays = Annotated[str, PlainValidator(_country), WithJsonSchema({"examples": ["US-WA", "none"]})]
Dates = Annotated[tuple[CivilDate, ...], BeforeValidator(listed, json_schema_input_type=CivilDate | list[CivilDate])]


class WorkingWeek(Section):
    """A working week: its days and hours, and the dates that are out of the ordinary."""

    days: Weekdays = (0, 1, 2, 3, 4)
    """Days of the week, such as mon-fri."""
    hours: Spans = ((7.0, 15.0),)
    """Spans of work in a day."""
    holidays: Holidays = "none"
    """Whose public holidays are kept."""
    closed: Dates = ()
    """Further dates without work."""
    open: Dates = ()
    """Dates worked although they are holidays."""

    @property
    def longest_day(self) -> float:
        """The hours [h] of the longest working day."""
        return sum(end - start for start, end in self.hours)

    def pattern(self, first: date, last: date) -> WeekPattern:
        """Give the week with its holidays between two dates."""
        closed = set(self.closed)
        if self.holidays != "none":
            closed |= set(holidays_of(self.holidays, range(first.year, last.year + 1)))
        ordinals = frozenset(day.toordinal() for day in closed - set(self.open) if first <= day <= last)
        return WeekPattern(dict.fromkeys(self.days, self.hours), ordinals)


def _continuous(value: Any) -> Any:
    return {"days": "mon-sun", "hours": ["00:00-24:00"]} if value == "continuous" else value


Calendar = Annotated[
    WorkingWeek, BeforeValidator(_continuous, json_schema_input_type=WorkingWeek | Literal["continuous"])
]
"""A working week, or the word ``continuous`` for day and night."""
