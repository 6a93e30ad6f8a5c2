"""One run's ledger read as engagements: who was at which place, from when to when, and what came before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

_COLUMNS = ("serial", "resource", "activity", "kind", "building", "home", "cause", "start", "end", "held_by")

PRINTING = "printing"
"""The kind of an engagement whose pieces are told apart: a print day."""


@dataclass(slots=True)
class Engagement:
    """One activity of a run.

    Parameters: ``who``, gangs and machines that were in it, none for an inspection or a cure; ``kind`` of activity;
    ``start`` and ``end`` [h]; ``stopped`` [h], waiting and repairs inside it by cause; ``after``, the activity that
    it had waited for, empty if none.
    """

    activity: str
    building: str
    home: str
    kind: str
    start: float
    end: float
    after: str
    who: list[str] = field(default_factory=list)
    stopped: dict[str, float] = field(default_factory=dict)


def engagements(activities: pd.DataFrame, run: int) -> list[Engagement]:
    """Read the engagements of one run, in the order in which they began."""
    of_run = activities[activities["run"] == run]
    found: dict[int, Engagement] = {}
    for serial, resource, activity, kind, building, home, cause, start, end, after in zip(
        *(of_run[column].tolist() for column in _COLUMNS), strict=True
    ):
        entry = found.setdefault(serial, Engagement(activity, building, home, kind, start, end, after))
        entry.start, entry.end = min(entry.start, start), max(entry.end, end)
        if resource and resource not in entry.who:
            entry.who.append(resource)
        if cause and resource == (entry.who[0] if entry.who else ""):
            entry.stopped[cause] = entry.stopped.get(cause, 0.0) + end - start
    return sorted(found.values(), key=lambda entry: (entry.start, entry.end))


def of_kind(who: Iterable[str], kinds: Mapping[str, str], kind: str) -> list[str]:
    """Give those of ``who`` that are of a kind: gang, crane, printer or tent."""
    return [name for name in who if kinds.get(name) == kind]


def in_rows(entries: Sequence[Engagement]) -> list[list[Engagement]]:
    """Lay engagements, sorted by start, into as few rows as keep them from covering each other."""
    rows: list[list[Engagement]] = []
    for entry in entries:
        row = next((row for row in rows if row[-1].end <= entry.start), None)
        if row is None:
            rows.append([entry])
        else:
            row.append(entry)
    return rows
