"""Dates that have been promised, and what it costs to miss them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import inf


@dataclass(frozen=True, slots=True)
class Promise:
    """A date promised for the hand-over of a place.

    Parameters: ``name``, as the scenario calls it; ``building`` and ``home``, empty for the whole site and for a whole
    building; ``by``, the date, met to the end of it; ``penalty`` and ``bonus`` [currency] for each day late or early,
    and ``most_penalty`` and ``most_bonus`` [currency] that they come to; ``working``, whether
    working days of the site count, not calendar days.
    """

    name: str
    building: str
    home: str
    by: date
    penalty: float = 0.0
    bonus: float = 0.0
    most_penalty: float = inf
    most_bonus: float = inf
    working: bool = False

    def owed(self, days_late: int) -> float:
        """Give the penalty [currency] for so many days late."""
        return min(self.most_penalty, self.penalty * max(0, days_late))

    def earned(self, days_early: int) -> float:
        """Give the bonus [currency] for so many days early."""
        return min(self.most_bonus, self.bonus * max(0, days_early))
