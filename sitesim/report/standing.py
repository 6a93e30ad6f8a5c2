"""The runs that stand for the confidences, shown one at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from sitesim.report.figures import choice
from sitesim.report.markup import Html
from sitesim.report.words import CONFIDENCES

Summary = Mapping[str, Any]


def standing_runs(summary: Summary, show: Callable[[int], Html | None]) -> Html:
    """Show something of each run that stands for a confidence, the one of P80 at first.

    Parameters: ``show``, made of the run's number; a run of which it shows nothing is left out.
    """
    confidences: dict[int, list[str]] = {}
    for confidence, run in summary["standing_for"].items():
        confidences.setdefault(run, []).append(confidence)
    parts = {_called(of_run, run): shown for run, of_run in confidences.items() if (shown := show(run)) is not None}
    if not parts:
        return Html("")
    at_p80 = summary["standing_for"]["P80"]
    first = _called(confidences[at_p80], at_p80)
    return choice("Which run", parts, first if first in parts else next(iter(parts)))


def _called(confidences: list[str], run: int) -> str:
    told = " and ".join(f"{name}, {CONFIDENCES[name]}" for name in confidences)
    return f"{told} (run {run})"
