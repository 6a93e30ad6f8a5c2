"""Gangs that were called at notice, in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.words import mean, name_label


def called_gangs(summary: Mapping[str, Any]) -> str:
    """Say how often each gang came that had to be called, and for how long it was away; empty without any."""
    told = [
        f"{name_label(row['resource'])} {mean(row['calls'])} times, {mean(row['away_days'], 0)} days away in between"
        for row in summary.get("calls", ())
    ]
    return f"Called at notice, in a run: {'; '.join(told)}. That time is not waiting." if told else ""
