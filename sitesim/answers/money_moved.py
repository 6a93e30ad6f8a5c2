"""Where the money goes: how far two scenarios differ in each item of cost, and in what is charged to each cause."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sitesim.answers.differences import PairedDifference, paired_difference

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class MoneyMoved:
    """What one item or cause costs more than in the reference, pair by pair: ``difference`` [currency]."""

    name: str
    difference: PairedDifference


def money_moved(
    costs: pd.DataFrame, reference: pd.DataFrame, by: str, finished: NDArray[np.bool_], confidence: float
) -> tuple[MoneyMoved, ...]:
    """Compare two studies item by item or cause by cause; largest difference first, what never differs left out.

    Parameters: ``costs`` and ``reference``, their tables ``cost_causes``; ``by``, its column ``item`` or ``cause``;
    ``finished``, for each run whether it comes to an end in both, for only those are compared.
    """
    here, there = (_by_run(frame, by, finished) for frame in (costs, reference))
    found = []
    for name in sorted({*here, *there}):
        nothing = np.zeros(int(finished.sum()))
        now, before = here.get(name, nothing), there.get(name, nothing)
        if np.any(now != before):
            found.append(MoneyMoved(name, paired_difference(now, before, confidence)))
    return tuple(sorted(found, key=lambda one: -abs(one.difference.mean)))


def _by_run(frame: pd.DataFrame, by: str, finished: NDArray[np.bool_]) -> dict[str, NDArray[np.float64]]:
    """Give for each item or cause its amount in each run that counts, to the cent."""
    wide = frame.pivot_table(index="run", columns=by, values="amount", aggfunc="sum", fill_value=0.0)
    wide = wide.reindex(np.flatnonzero(finished), fill_value=0.0).round(2)
    return {str(name): wide[name].to_numpy(dtype=float) for name in wide.columns}
