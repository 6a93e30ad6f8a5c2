"""The axis of weeks that charts of one run share: a line at every Monday, dates at as many as there is room for."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from sitesim.report.words import Style

MILLISECONDS = 3_600_000.0
"""In an hour; lengths on an axis of dates are told in these."""

_WEEK = 7 * 24 * MILLISECONDS
_WEEKS_BETWEEN_LABELS = (1, 2, 4, 8, 13, 26, 52)
_MOST_LABELS = 13


def monday_of(day: date) -> date:
    """Give the Monday of the week that a date is in."""
    return day - timedelta(days=day.weekday())


def week_axis(style: Style, begin: date, end: date) -> dict[str, Any]:
    """Give the axis from one date to another, with a little room on both sides, its labels on top."""
    weeks = (end - begin).days / 7
    between = next((n for n in _WEEKS_BETWEEN_LABELS if weeks / n <= _MOST_LABELS), _WEEKS_BETWEEN_LABELS[-1])
    room = timedelta(days=max(2, round(weeks / 8)))
    monday = monday_of(begin)
    return {
        "type": "date",
        "range": [begin - room, end + room],
        "tick0": monday,
        "dtick": between * _WEEK,
        "tickformat": style.axis_day,
        "minor": {
            "tick0": monday,
            "dtick": _WEEK if between <= 8 else 4 * _WEEK,
            "showgrid": True,
            "gridcolor": "#f0f0f0",
        },
        "gridcolor": "#cfcfcf",
        "side": "top",
        "fixedrange": False,
    }
