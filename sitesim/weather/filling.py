"""Gaps of a record: counted, filled by a stated rule, or refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

MOST_MISSING = 0.10
"""The largest share of a quantity that may be missing (assumed)."""

SHORT_GAP = 3
"""Gaps of so many hours at most are filled in line between their neighbours (assumed)."""

RULE_OF_DAYS = "with the values of the nearest day that has them, the earlier of two"
RULE_OF_HOURS = (
    f"up to {SHORT_GAP} hours in line between their neighbours (not rain), longer gaps and rain with the same hour of "
    "the nearest day that has it, the earlier of two"
)

_LEAST_OF_A_MONTH = 0.5
_CALLED = {
    "precipitation": "rain",
    "high": "the highest temperature",
    "low": "the lowest temperature",
    "temperature": "temperature",
    "wind": "wind",
    "humidity": "humidity",
}
_MONTHS = range(1, 13)


def refusals(first_day: date, quantities: Mapping[str, Values]) -> Iterator[str]:
    """Say why gaps are too many to be filled: more than `MOST_MISSING` in all, or more than half of a season's month.

    first_day: civil date of the first row. quantities: by name, rows are days, nan where a value is missing.
    """
    for name, values in quantities.items():
        missing = np.isnan(values).reshape(len(values), -1)
        share = float(missing.mean())
        if share > MOST_MISSING:
            most = f"more than {100 * MOST_MISSING:.0f} % is refused"
            yield f"{_CALLED[name]} is missing in {100 * share:.0f} % of the record; {most}"
            continue
        months = _months(first_day, len(values))
        for month in _MONTHS:
            of_month = missing[months == month]
            if of_month.size and float(of_month.mean()) > _LEAST_OF_A_MONTH:
                every = f"most of every {date(2000, month, 1):%B}"
                yield f"{_CALLED[name]} is missing in {every}; that season cannot be played"


def told(quantities: Mapping[str, Values]) -> tuple[str, ...]:
    """Say in a sentence how many values of each quantity are missing and how they are filled; nothing if none is."""
    counts = {name: int(np.isnan(values).sum()) for name, values in quantities.items()}
    gaps = [f"{_CALLED[name]} in {count:,}" for name, count in counts.items() if count]
    if not gaps:
        return ()
    size = max(values.size for values in quantities.values())
    is_daily = all(values.ndim == 1 for values in quantities.values())
    what, rule = ("days", RULE_OF_DAYS) if is_daily else ("hours", RULE_OF_HOURS)
    most = f"{100 * max(counts.values()) / size:.2g} % at most"
    return (f"Missing of {size:,} {what}, and filled: {', '.join(gaps)} ({most}). Gaps are filled {rule}.",)


def filled_days(values: Values) -> Values:
    """Fill days without a value from the nearest day that has one, the earlier of two; shape (days,)."""
    return np.asarray(values[_nearest(~np.isnan(values))])


def filled_hours(values: Values, in_line: bool) -> Values:
    """Fill hours without a value; shape (days, 24).

    in_line: whether gaps of up to `SHORT_GAP` hours are filled in line between their neighbours; all others are filled
    from the same hour of the nearest day that has it, the earlier of two.
    """
    hours = _filled_in_line(values) if in_line else values.copy()
    for hour in range(hours.shape[1]):
        column = hours[:, hour]
        known = ~np.isnan(column)
        if not known.any():  # an hour that no day has: from the hour before it
            hours[:, hour] = hours[:, hour - 1]
        elif not known.all():
            hours[:, hour] = column[_nearest(known)]
    return hours


def _months(first_day: date, days: int) -> NDArray[np.int64]:
    first = first_day.toordinal()
    return np.array([date.fromordinal(first + day).month for day in range(days)])


def _nearest(known: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Give for each place the nearest one that is known, the earlier of two equally near."""
    at = np.flatnonzero(known)
    place = np.arange(len(known))
    after = np.searchsorted(at, place)
    before = np.maximum(after - 1, 0)
    after = np.minimum(after, len(at) - 1)
    is_later_nearer = np.abs(at[after] - place) < np.abs(at[before] - place)
    return np.asarray(np.where(is_later_nearer, at[after], at[before]))


def _filled_in_line(values: Values) -> Values:
    flat = values.reshape(-1)
    missing = np.isnan(flat)
    if not missing.any():
        return values.copy()
    known = np.flatnonzero(~missing)
    place = np.arange(flat.size)
    after = np.searchsorted(known, place)
    inside = (after > 0) & (after < len(known))
    right = known[np.minimum(after, len(known) - 1)]
    left = known[np.maximum(after - 1, 0)]
    short = missing & inside & (right - left - 1 <= SHORT_GAP)
    line = np.interp(place, known, flat[known])
    return np.where(short, line, flat).reshape(values.shape)
