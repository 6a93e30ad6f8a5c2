"""Hours of work: calendars as lists of intervals, on a clock whose hours are exact in binary."""

from sitesim.hours.calendar import Calendar, everlasting
from sitesim.hours.clock import NEVER, TICKS_AN_HOUR, civil_date, civil_time, on_clock
from sitesim.hours.shifts import Shifts, WeekPattern

__all__ = [
    "NEVER",
    "TICKS_AN_HOUR",
    "Calendar",
    "Shifts",
    "WeekPattern",
    "civil_date",
    "civil_time",
    "everlasting",
    "on_clock",
]
