"""Terms that tests of the weather against sources share."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

MILE_AN_HOUR = 0.44704  # m/s, exact by definition
WET_DAY = 0.25  # mm: a hundredth of an inch, the usual threshold of US records


def chances(wet: NDArray[np.bool_], where: NDArray[np.bool_]) -> tuple[float, float]:
    """Give P(wet | wet before) and P(wet | dry before) for the steps that end where it says."""
    before, after = wet[:-1][where[1:]], wet[1:][where[1:]]
    return float(after[before].mean()), float(after[~before].mean())
