"""The working hours that the sides of a tent take besides those that limits shut: while they are not up."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sitesim.hours import Calendar, Shifts
from sitesim.plan import Climate, HourlyRecord, Limits
from sitesim.plan.climate import HOURS_A_DAY
from sitesim.site.tent_sides import tent_sides
from sitesim.weather.limits import open_hours, outside_gust

Values = NDArray[np.float64]

SIDES_DOWN = "sides down"
"""What such hours are lost to; a name beside those of `sitesim.weather.BINDING_NAMES`."""


def hours_with_sides_down(
    limits: Limits,
    climate: Climate,
    record: HourlyRecord,
    working: Calendar,
    handled_by: Calendar,
    rows: NDArray[np.int64],
) -> Values:
    """Count the working hours [h] of each day in which limits let the work go on but the sides are not up.

    limits: of work under a tent that has sides. working, handled_by: the hours of that work, and of those who handle
        the sides, over the span of the days. rows: of the record, one for each civil day, shape (spans, days).

    Returns an array of the shape of ``rows``.
    """
    sides = limits.shelter.sides if limits.shelter is not None else None
    taken = np.zeros(rows.shape)
    if sides is None:
        return taken
    may_go_on = open_hours(limits, record, climate.gust_factor)
    gusts = outside_gust(record, climate.gust_factor)
    shifts, riggers = Shifts(working), Shifts(handled_by)
    midnights = HOURS_A_DAY * np.arange(rows.shape[1] + 1, dtype=np.float64)
    for place, of_span in enumerate(rows):
        gusts_of_span = gusts[of_span].reshape(-1)
        seen_to = tent_sides(sides, gusts_of_span, riggers.opened(gusts_of_span <= sides.up_gust))
        if not seen_to.down.any():
            continue
        opened = shifts.opened(may_go_on[of_span].reshape(-1))
        under_them = opened.intersect(seen_to.up)
        taken[place] = opened.worked_in_each(midnights[:-1], midnights[1:]) - under_them.worked_in_each(
            midnights[:-1], midnights[1:]
        )
    return taken
