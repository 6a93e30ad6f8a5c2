"""The way of buildings through the stages in one run: when each trade was at each building."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sitesim.answers.stages import Stage, task_of
from sitesim.plan import Kind

if TYPE_CHECKING:
    import pandas as pd

_COLUMNS = ("resource", "activity", "kind", "building", "home", "start", "end")


@dataclass(slots=True)
class Visit:
    """A trade at a building: from the ``start`` [h] of its first work there to the ``end`` [h] of its last.

    Parameters: ``homes`` that it worked in, none where the work is the building's.
    """

    building: str
    start: float
    end: float
    homes: frozenset[str]


def flow(stages: Sequence[Stage], activities: pd.DataFrame) -> list[list[Visit]]:
    """Give the visits of each stage in the order in which they began; work for the whole site is left out.

    Parameters: ``activities`` of one run.
    """
    of_task = {task: place for place, stage in enumerate(stages) for task in stage.tasks}
    of_machine = {stage.of: place for place, stage in enumerate(stages) if stage.is_machine}
    found: list[dict[str, Visit]] = [{} for _ in stages]
    for resource, activity, kind, building, home, start, end in zip(
        *(activities[column].tolist() for column in _COLUMNS), strict=True
    ):
        places = {of_machine.get(resource)}
        if kind == Kind.WORK:
            places.add(of_task.get(task_of(activity)))
        for place in places - {None}:
            if building and end > start and place is not None:
                _widen(found[place], building, home, start, end)
    return [sorted(of_stage.values(), key=lambda visit: (visit.start, visit.end)) for of_stage in found]


def _widen(visits: dict[str, Visit], building: str, home: str, start: float, end: float) -> None:
    visit = visits.setdefault(building, Visit(building, start, end, frozenset()))
    visit.start, visit.end = min(visit.start, start), max(visit.end, end)
    if home:
        visit.homes |= {home}
