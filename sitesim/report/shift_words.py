"""Shifts of dates and means of pairs, with their intervals, as they are written."""

from __future__ import annotations

import math

from sitesim.answers.differences import PairedDifference, QuantileShift


def shift_with_interval(shift: QuantileShift) -> str:
    """Write the shift of a date with its interval."""
    if math.isnan(shift.shift):
        return "no date"
    if math.isinf(shift.shift):
        return "no date then" if shift.shift > 0 else "a date now"
    return f"{signed(shift.shift)} ({end_of_interval(shift.low)} to {end_of_interval(shift.high)})"


def interval_of(shift: QuantileShift) -> str:
    """Write the interval of a shift alone; nothing where it has none."""
    if not math.isfinite(shift.shift):
        return ""
    return f"{end_of_interval(shift.low)} to {end_of_interval(shift.high)}"


def shift_alone(shift: QuantileShift) -> str:
    """Write the shift of a date without its interval."""
    return signed(shift.shift) if math.isfinite(shift.shift) else shift_with_interval(shift)


def mean_with_interval(difference: PairedDifference) -> str:
    """Write the mean shift with its interval."""
    if math.isnan(difference.mean):
        return "–"
    if math.isinf(difference.low) or math.isinf(difference.high):
        return signed(difference.mean, 1)
    return f"{signed(difference.mean, 1)} ± {(difference.high - difference.low) / 2:.1f}"


def mean_alone(difference: PairedDifference) -> str:
    """Write the mean shift without its interval."""
    return "–" if math.isnan(difference.mean) else signed(difference.mean, 1)


def signed(value: float, digits: int = 0) -> str:
    """Write a number with its sign; what rounds to nothing has none."""
    written = f"{value:+.{digits}f}"
    return f"{0.0:.{digits}f}" if float(written) == 0 else written.replace("-", "−")


def end_of_interval(value: float) -> str:
    """Write an end of an interval, which may be open."""
    return "open" if math.isinf(value) else signed(value)
