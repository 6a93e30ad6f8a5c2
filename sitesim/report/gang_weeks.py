"""One run's time account by weeks: what each gang and machine did in each week that it was on site."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sitesim.plan import State
from sitesim.report.week_axis import monday_of

if TYPE_CHECKING:
    import pandas as pd

OFF = State.OFF_SHIFT
"""Hours outside the shifts, in which nothing is expected of anybody."""

_HOURS_A_WEEK = 168.0
_COLUMNS = ("resource", "week", "state", "cause", "hours")


@dataclass(slots=True)
class Week:
    """A gang's or a machine's hours [h] of one week on site, those off shift as well.

    Parameters: ``number`` from 0, the week of the site's start; ``states``, hours by state; ``waiting``, those of
    waiting by cause; ``away``, hours of the week between two stays on the site.
    """

    number: int
    states: dict[str, float] = field(default_factory=dict)
    waiting: dict[str, float] = field(default_factory=dict)
    away: float = 0.0

    @property
    def has_no_shift(self) -> bool:
        """Tell whether it has no shift at all in the week: away, or the site is shut."""
        return not any(hours for state, hours in self.states.items() if state != OFF)

    @property
    def on_shift(self) -> float:
        """The hours [h] in which it works, moves, waits or is down, overtime with them."""
        return sum(hours for state, hours in self.states.items() if state != OFF)

    def monday(self, start: date) -> date:
        """Give the Monday with which the week begins."""
        return monday_of(start) + timedelta(weeks=self.number)


def weeks_of(weeks: pd.DataFrame, run: int, order: Iterable[str]) -> dict[str, list[Week]]:
    """Read the weeks of one run by gang and machine, in a given order; one that was never there is left out."""
    of_run = weeks[weeks["run"] == run]
    found: dict[str, dict[int, Week]] = {}
    for resource, number, state, cause, hours in zip(*(of_run[column].tolist() for column in _COLUMNS), strict=True):
        week = found.setdefault(resource, {}).setdefault(number, Week(number))
        week.states[state] = week.states.get(state, 0.0) + hours
        if state == State.WAITING:
            week.waiting[cause] = week.waiting.get(cause, 0.0) + hours
    return {name: _with_absences(found[name]) for name in order if name in found}


def _with_absences(weeks: dict[int, Week]) -> list[Week]:
    """Give all weeks from the first to the last; what the full ones between these lack of their hours it is away."""
    first, last = min(weeks), max(weeks)
    every = [weeks.get(number) or Week(number) for number in range(first, last + 1)]
    for week in every[1:-1]:
        week.away = _HOURS_A_WEEK - sum(week.states.values())
    return every


def absence(week: Week) -> str:
    """Say how long it is away in a week, or that it has no shift; empty where neither is so."""
    if not week.states:
        return "away"
    if week.away:
        return f"away {week.away / 24.0:.1f} days"
    return "no shift in this week" if week.has_no_shift else ""


def most_first(amounts: Mapping[str, float]) -> list[tuple[str, Any]]:
    """Put causes with their hours in order, most first."""
    return sorted(amounts.items(), key=lambda item: (-item[1], item[0]))
