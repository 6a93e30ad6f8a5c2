"""What has to be played to be known of a site as planned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from sitesim.errors import UserError
from sitesim.hours import NEVER
from sitesim.ledger.rows import Entry
from sitesim.plan import Kind, Plan, UnitKind, plain
from sitesim.plan.harsher import in_one_year, years_of
from sitesim.site import Stage, play

_HOURS_A_DAY = 24.0
_MOST_RUNS_A_YEAR, _RUNS_OF_ALL = 10, 90


@dataclass(frozen=True)
class _PlainPlan:
    """The plain plan as played: its work by units, start and end [h], its print days and its end [h]."""

    stage: Stage
    work: tuple[tuple[tuple[int, ...], float, float], ...]
    print_days: tuple[int, ...]
    ended: float


@dataclass(frozen=True)
class PlayedFacts:
    """Facts of a site, found by playing its plan when they are first asked for."""

    plan: Plan

    @cached_property
    def _plain(self) -> _PlainPlan:
        stage = Stage(plain(self.plan))
        played = play(stage, 0, 0)
        if not played.finished:
            raise UserError(f"{self.plan.name}: not even the plain plan comes to an end: {played.unfinished}")
        return _PlainPlan(
            stage,
            work=tuple((entry.units, entry.start, entry.end) for entry in played.ledger.entries),
            print_days=_print_days(played.ledger.entries),
            ended=max(played.ledger.ended.values(), default=0.0),
        )

    @property
    def plain_days(self) -> float:
        """The duration [d] of the plain plan; raises UserError if it does not end."""
        return self._plain.ended / _HOURS_A_DAY

    @property
    def busiest_gang(self) -> str:
        """The gang with most hours of work in the plain plan, of several the first of the file."""
        stage, work = self._plain.stage, self._plain.work
        hours = {i: 0.0 for i, unit in enumerate(self.plan.units) if unit.kind is UnitKind.GANG}
        for units, start, end in work:
            for unit in units:
                if unit in hours:
                    hours[unit] += stage.unit_shifts[unit].worked(start, end)
        return self.plan.units[max(hours, key=lambda unit: hours[unit])].name

    @property
    def print_days(self) -> tuple[int, ...]:
        """For each print day of the plain plan, how many days after the start it is, in order."""
        return self._plain.print_days

    @property
    def worst_year(self) -> int:
        """The year of the weather record in which the site finishes last on the mean of a few runs.

        Each year is played as it was, day after day; of several as late the first is taken.
        """
        return max(self.years, key=lambda year: self.years[year])

    @cached_property
    def years(self) -> dict[int, float]:
        """The mean finish [h] of `runs_a_year` runs in the weather of each year; `NEVER` if one of them has none."""
        record = self.plan.climate.record
        assert record is not None, "without a record there is no worst year"
        return {year: self._finish_in(year) for year in years_of(record)}

    @property
    def runs_a_year(self) -> int:
        """How often each year of the record is played: ten times where they are few."""
        record = self.plan.climate.record
        return _MOST_RUNS_A_YEAR if record is None else min(_MOST_RUNS_A_YEAR, max(1, _RUNS_OF_ALL // record.years))

    def _finish_in(self, year: int) -> float:
        """Give the mean finish [h] in the weather of one year, again and again."""
        stage = Stage(replace(self.plan, climate=in_one_year(self.plan.climate, year)))
        return sum(_finish(stage, run) for run in range(self.runs_a_year)) / self.runs_a_year


def _print_days(entries: Iterable[Entry]) -> tuple[int, ...]:
    return tuple(sorted(int(entry.start // _HOURS_A_DAY) for entry in entries if entry.kind is Kind.PRINTING))


def _finish(stage: Stage, run: int) -> float:
    played = play(stage, 0, run)
    return max(played.ledger.ended.values(), default=0.0) if played.finished else NEVER
