"""What the record's storms would do to the tent."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sitesim.plan import Plan
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.telling.measures import Measures, several, share
from sitesim.weather.limits import outside_gust

_ACTED_ON = 0.8
"""Share of the rated gust at which a tent's wind plan acts besides stopping work; common practice, no source."""


def caution_about_storms(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    """Say how often gusts of the record pass what the tent is rated for, and that nobody acts before they do."""
    tent, record = model.tent, plan.climate.record
    if tent is None or record is None or not model.walls:
        return
    gusts, measures = outside_gust(record, plan.climate.gust_factor), Measures(model.units == "us")
    rated = measures.wind(tent.rated_gust)
    if tent.sides is None and bool(np.any(gusts > _ACTED_ON * tent.rated_gust)):
        hours = several(int(np.sum(gusts > _ACTED_ON * tent.rated_gust)), "hour")
        yield (
            f"Nobody lets the tent's sides down before a storm: in {hours} of the record gusts pass "
            f"{share(_ACTED_ON)} of the {rated} that it is rated for, at which wind plans usually act. Say with "
            "tent.sides what it takes."
        )
    passed = gusts > tent.rated_gust
    if bool(np.any(passed)):
        hours, days = several(int(np.sum(passed)), "hour"), several(int(np.sum(np.any(passed, axis=1))), "day")
        yield (
            f"In {hours} on {days} of the record's {several(record.years, 'year')} gusts pass the {rated} that the "
            f"tent is rated for, up to {measures.wind(float(gusts.max()))}: before such a storm it has to be struck, "
            "or its fabric taken off, as its maker says. That is not played."
        )
