"""Instants as civil dates, and distances between dates in working days."""

from __future__ import annotations

import math
from datetime import date, timedelta

from sitesim.hours import WeekPattern, civil_date
from sitesim.hours.calendar import HOURS_A_DAY


def end_of_day(start: date, day: date) -> float:
    """Give the instant [h] at which a civil date is over: whatever ends by then, and nothing later, meets the date.

    Parameters: ``start``, the date whose midnight is hour 0.
    """
    return HOURS_A_DAY * ((day - start).days + 1)


class SiteDates:
    """Reads clock hours as dates of a site.

    Parameters: ``start``, the date whose midnight is hour 0; ``pattern``, the site's working week.
    """

    def __init__(self, start: date, pattern: WeekPattern) -> None:
        self.start = start
        self._pattern = pattern

    def date_of(self, hours: float) -> date | None:
        """Give the civil date of an instant [h]; None if it never came."""
        return None if math.isinf(hours) else civil_date(self.start, hours)

    def end_of(self, day: date) -> float:
        """Give the instant [h] at which a civil date of the site is over."""
        return end_of_day(self.start, day)

    def is_working_day(self, day: date) -> bool:
        """Tell whether the site works on a date."""
        return bool(self._pattern.spans.get(day.weekday())) and day.toordinal() not in self._pattern.closed

    def working_day_from(self, day: date) -> date:
        """Give the date itself, or the next one on which the site works."""
        for later in range(3660):
            if self.is_working_day(day + timedelta(days=later)):
                return day + timedelta(days=later)
        return day

    def working_days_between(self, earlier: date, later: date) -> int:
        """Count the working days after ``earlier`` up to ``later``; negative if they come the other way round."""
        if later < earlier:
            return -self.working_days_between(later, earlier)
        span = (later - earlier).days
        return sum(self.is_working_day(earlier + timedelta(days=i + 1)) for i in range(span))
