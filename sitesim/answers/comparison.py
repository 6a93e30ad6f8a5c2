"""Scenarios side by side under the same weather and breakdowns, each against the first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from sitesim.answers.differences import (
    PairedDifference,
    PairOrder,
    QuantileShift,
    bonferroni,
    chance_less,
    paired_difference,
    quantile_shift,
)
from sitesim.answers.money_moved import MoneyMoved, money_moved
from sitesim.answers.statistics import Estimate, mean_interval
from sitesim.answers.summary import cost_in_the_end
from sitesim.answers.variants import MovedCause, moved_days

if TYPE_CHECKING:
    import pandas as pd

HOURS_A_DAY = 24.0

FIGURES = {
    "unplanned joints": "unplanned_joints",
    "concrete rejected": "rejected_m3",
    "concrete returned": "returned_m3",
    "truck standby": "standby_hours",
    "print days": "print_days",
}
"""Columns of the runs table that are set side by side, by what they are called."""


@dataclass(frozen=True, slots=True)
class Against:
    """One scenario against the reference, run by run: reference minus scenario is never shown; these are scenario minus
    reference, in days and in currency, so that a negative number is earlier or cheaper.
    """

    finish_days: PairedDifference
    cost: PairedDifference
    shift_p80_days: QuantileShift
    earlier: PairOrder
    cheaper: PairOrder


@dataclass(frozen=True, slots=True)
class Compared:
    """One of the scenarios: its summary, means of `FIGURES`, and how it stands to the first.

    ``printer_waiting`` [h] by cause and ``gangs_waiting`` [h] by gang are means of the runs; ``items`` and ``causes``
    tell where the money goes that it costs more or less than the first, ``held`` which causes held its finish longer or
    less long.
    """

    name: str
    summary: dict[str, Any]
    figures: dict[str, Estimate]
    printer_waiting: dict[str, float]
    gangs_waiting: dict[str, float]
    against: Against | None
    items: tuple[MoneyMoved, ...] = ()
    causes: tuple[MoneyMoved, ...] = ()
    held: tuple[MovedCause, ...] = ()


def compare(
    names: Sequence[str],
    summaries: Sequence[dict[str, Any]],
    runs: Sequence[pd.DataFrame],
    costs: Sequence[pd.DataFrame] = (),
    held: Sequence[pd.DataFrame] = (),
    confidence: float = 0.95,
) -> tuple[Compared, ...]:
    """Set studies of the same seed and runs side by side; the first is the reference.

    Parameters: for each scenario its name, its summary, its ``runs`` table and, where it is asked where the money goes,
    its ``cost_causes`` table, where it is asked what held the finish, its ``held`` table. For each question the
    intervals of all scenarios hold together at ``confidence`` (Bonferroni). Raises ValueError if the studies have
    different runs.
    """
    reference = runs[0]
    if any(not frame["run"].equals(reference["run"]) for frame in runs):
        raise ValueError("the studies have different runs and cannot be compared pair by pair")
    each = bonferroni(confidence, max(1, len(runs) - 1))
    return tuple(
        Compared(
            name,
            summary,
            {label: mean_interval(frame[column].to_numpy(dtype=float)) for label, column in FIGURES.items()},
            _printer_waiting(summary),
            {row["resource"]: row["idle_hours"] for row in summary["time"] if row["is_gang"]},
            None if i == 0 else _against(frame, reference, each),
            items=_moved(costs[i], costs[0], frame, reference, "item", each) if i and costs else (),
            causes=_moved(costs[i], costs[0], frame, reference, "cause", each) if i and costs else (),
            held=tuple(moved_days((reference, held[0]), (frame, held[i]), each)) if i and held else (),
        )
        for i, (name, summary, frame) in enumerate(zip(names, summaries, runs, strict=True))
    )


def _against(frame: pd.DataFrame, reference: pd.DataFrame, confidence: float) -> Against:
    finish = frame["finish_hours"].to_numpy() / HOURS_A_DAY
    finish_of_reference = reference["finish_hours"].to_numpy() / HOURS_A_DAY
    cost, cost_of_reference = cost_in_the_end(frame), cost_in_the_end(reference)
    return Against(
        paired_difference(finish, finish_of_reference, confidence),
        paired_difference(cost, cost_of_reference, confidence),
        quantile_shift(finish, finish_of_reference, 0.8, confidence),
        chance_less(finish, finish_of_reference, confidence),
        chance_less(cost, cost_of_reference, confidence),
    )


def _moved(
    costs: pd.DataFrame,
    reference_costs: pd.DataFrame,
    frame: pd.DataFrame,
    reference: pd.DataFrame,
    by: str,
    confidence: float,
) -> tuple[MoneyMoved, ...]:
    finished = np.isfinite(frame["finish_hours"].to_numpy()) & np.isfinite(reference["finish_hours"].to_numpy())
    return money_moved(costs, reference_costs, by, finished, confidence)


def _printer_waiting(summary: dict[str, Any]) -> dict[str, float]:
    """Add up the waiting and down hours of all printers by cause."""
    waiting: dict[str, float] = {}
    for row in summary["time"]:
        if row["kind"] == "printer":
            for cause, hours in row["waiting"].items():
                waiting[cause] = waiting.get(cause, 0.0) + hours
    return waiting
