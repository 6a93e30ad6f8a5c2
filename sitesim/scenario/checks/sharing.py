"""Can trades keep apart, and be alone, as they are told to?"""

from __future__ import annotations

from itertools import combinations

from sitesim.scenario.checks.case import Case, items
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.planning.sharing import tasks_called
from sitesim.scenario.sections.finishing import Finishing


def check_alone(case: Case) -> None:
    """Who is alone in a home, or outside of it, is somebody, and somewhere."""
    for name, task in case.finishing_tasks().items():
        trail: Trail = ("finishing", "tasks", name)
        for key, asked in (("alone", task.alone), ("outside", task.outside)):
            if asked and not task.crew:
                case.say((*trail, key), "nobody of the crews does this task, so it occupies no home", (*trail, "crew"))
            elif asked and task.per == "site":
                case.say((*trail, key), "is done once for the site, and occupies no home", (*trail, "per"))
        if task.alone and task.outside:
            case.say((*trail, "alone"), "is alone in a home, but done outside; leave one of them out")


def check_apart(case: Case) -> None:
    """What keeps apart are tasks or skills that there are, and no task that keeps apart from itself."""
    finishing = case.model.finishing
    if finishing is None:
        return
    skills = {skill for task in finishing.tasks.values() for skill in task.crew}
    for place, names in enumerate(finishing.apart):
        trail: Trail = ("finishing", "apart", place)
        if len(set(names)) < 2:
            case.say(trail, f"{items(names) or 'an empty list'} keeps apart from nobody; name two or more")
        for name in names:
            if name not in finishing.tasks and name not in skills:
                known = (*finishing.tasks, *sorted(skills))
                case.say(trail, f"{name} is neither a task nor a skill of one: {nearest(name, known)}")
        _check_pairs(case, finishing, trail, tuple(dict.fromkeys(names)))


def _check_pairs(case: Case, finishing: Finishing, trail: Trail, names: tuple[str, ...]) -> None:
    for first, second in combinations(names, 2):
        both = set(tasks_called(finishing, first)) & set(tasks_called(finishing, second))
        if both:
            case.say(trail, f"{first} and {second} cannot keep apart: {items(sorted(both))} is of both")
