"""Which trades may share a home, as the finishing says it, by the names of tasks."""

from __future__ import annotations

from itertools import combinations

from sitesim.plan import Crowding, Sharing
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.finishing import Crowd, Finishing


def make_sharing(model: ScenarioModel) -> Sharing | None:
    """Give the rules for several gangs in one home, None where there are none."""
    finishing = model.finishing
    if finishing is None:
        return None
    alone = frozenset(name for name, task in finishing.tasks.items() if task.alone)
    apart = frozenset(
        frozenset({one, other})
        for names in finishing.apart
        for first, second in combinations(names, 2)
        for one in tasks_called(finishing, first)
        for other in tasks_called(finishing, second)
        if one != other
    )
    in_home, in_building = _crowding(finishing.crowding.home), _crowding(finishing.crowding.building)
    if not alone and not apart and in_home is None and in_building is None:
        return None
    outside = frozenset(name for name, task in finishing.tasks.items() if task.outside)
    return Sharing(alone, apart, outside, in_home, in_building)


def tasks_called(finishing: Finishing, name: str) -> tuple[str, ...]:
    """Give the tasks that a name means: the task of that name, or else all that need the skill."""
    if name in finishing.tasks:
        return (name,)
    return tuple(task for task, entry in finishing.tasks.items() if name in entry.crew)


def _crowding(crowd: Crowd | None) -> Crowding | None:
    return None if crowd is None else Crowding(crowd.above, crowd.each)
