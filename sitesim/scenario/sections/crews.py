"""The section ``crews``."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from sitesim.chance import Fixed
from sitesim.policies import AtNotice, KeptRunning
from sitesim.scenario.quantities import CivilDate, MoneyPerHour, wrong
from sitesim.scenario.sections.money import Hired
from sitesim.scenario.sections.section import Count, Name, Names, Section
from sitesim.scenario.spreads import Spread, WorkingTime

OVERTIME = 1.5
"""Overtime rate over the usual one where none is given: common practice, no source."""


AUTO = "auto"
"""Written for a start delay that is worked out from the plain plan."""

_SPAN = Spread("20 wd", working=True)


def _span(value: Any, info: ValidationInfo) -> float:
    """Read a length of working time [h] that is decided and not left to chance."""
    found = _SPAN.read(value, info.context)
    if not isinstance(found, Fixed):
        raise wrong(f"{value} is a spread, but this is decided beforehand; write it like {_SPAN.example}")
    return found.mean


def _span_or_auto(value: Any, info: ValidationInfo) -> float | None:
    return None if value == AUTO else _span(value, info)


_AS_WRITTEN = {"type": ["string", "number"], "examples": ["20 wd"]}
WorkingSpan = Annotated[float, PlainValidator(_span), WithJsonSchema(_AS_WRITTEN)]
StartDelay = Annotated[
    float | None, PlainValidator(_span_or_auto), WithJsonSchema({**_AS_WRITTEN, "examples": ["20 wd", AUTO]})
]


class AwaySpell(Section):
    """Days on which a gang works elsewhere."""

    first: CivilDate
    last: CivilDate


class Gang(Hired):
    """A gang: people who work together."""

    size: Count = 1
    count: Count = 1
    """How many such gangs there are."""
    skills: Names = ()
    """What they can do; their own name unless given."""
    calendar: Name = "site"
    here_from: CivilDate | None = None
    """The first date on which it can be had; any unless given."""
    here_until: CivilDate | None = None
    """The last date on which it can be had."""
    away: tuple[AwaySpell, ...] = ()
    """When it works elsewhere in between."""
    flow: Literal["called", "kept-running"] = "called"
    """Called when work is ready, or begun so late that it never waits from then on."""
    start_delay: StartDelay = None
    """Of a gang kept running: between its first work being ready and its beginning, in working days; ``auto`` (the
    usual) works it out from the plain plan."""
    notice: WorkingTime | None = None
    """Of a gang that goes to another job when its work here runs out: from its being called to its coming back."""
    stays: WorkingSpan | None = None
    """For how long such a gang waits on site for work that is expected; a working day unless given."""
    call_ahead: WorkingSpan | None = None
    """How long before its work is expected it is called; once the work is ready unless given."""
    rate: MoneyPerHour = 0.0
    """For the whole gang."""
    overtime: MoneyPerHour | None = None
    weekend: MoneyPerHour | None = None
    """The rate of shift hours on Saturdays and Sundays; the usual one unless given. Waiting then costs as much more."""
    waiting: MoneyPerHour | None = None
    """The rate while on site and waiting; the usual one unless given, 0 for a gang paid by the job."""

    def closed_dates(self, first: date, last: date) -> frozenset[int]:
        """Give the ordinals of the dates from ``first`` to ``last`` on which it cannot be had."""
        here = range((self.here_from or first).toordinal(), (self.here_until or last).toordinal() + 1)
        gone = {day for spell in self.away for day in range(spell.first.toordinal(), spell.last.toordinal() + 1)}
        every = range(first.toordinal(), last.toordinal() + 1)
        return frozenset(day for day in every if day not in here or day in gone)

    def policy(self, day_hours: float) -> KeptRunning | AtNotice | None:
        """Give the policy by which it comes, None if it is simply there when its work is ready.

        Parameters: ``day_hours`` [h] of a working day.
        """
        if self.flow == "kept-running":
            return KeptRunning(self.start_delay)
        if self.notice is None:
            return None
        return AtNotice(day_hours if self.stays is None else self.stays, self.call_ahead or 0.0)

    @property
    def waiting_rate(self) -> float:
        """The rate [currency/h] while the gang is on site and waits."""
        return self.rate if self.waiting is None else self.waiting

    @property
    def weekend_waiting_rate(self) -> float:
        """The rate [currency/h] while the gang waits on a weekend: as many times the usual one as at work."""
        return self.waiting_rate * (self.weekend or 0.0) / self.rate if self.rate else 0.0

    @property
    def overtime_rate(self) -> float:
        """The rate [currency/h] of overtime."""
        return OVERTIME * self.rate if self.overtime is None else self.overtime
