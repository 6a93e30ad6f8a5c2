"""The clock: hours from midnight of the start date in naive civil time, 24 a day, exact in binary.

Every duration and every edge of a calendar is a whole number of ticks of 1/4096 h (0.88 s). Sums and
differences of such numbers carry no rounding error in double precision, so ties and shift ends can be
compared with ``==``.
"""

from __future__ import annotations

import math
from datetime import date, datetime, timedelta
from math import floor

TICKS_AN_HOUR = 4096
NEVER = math.inf


def on_clock(hours: float) -> float:
    """Round a duration or an instant to the clock's ticks.

    Parameters: ``hours`` [h], may be infinite.
    """
    return floor(hours * TICKS_AN_HOUR + 0.5) / TICKS_AN_HOUR if hours < NEVER else hours


def civil_time(start: date, hours: float) -> datetime:
    """Give the civil date and time of an instant, to the second.

    Parameters: ``start``, the date whose midnight is hour 0; ``hours`` [h], finite.
    """
    return datetime(start.year, start.month, start.day) + timedelta(seconds=round(hours * 3600))


def civil_date(start: date, hours: float) -> date:
    """Give the date on which something ended: midnight belongs to the day that it closes.

    Parameters: ``start``, the date whose midnight is hour 0; ``hours`` [h], finite.
    """
    return start + timedelta(days=max(0, math.ceil(hours / 24) - 1))
