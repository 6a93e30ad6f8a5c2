"""Is there somebody for every task, and a task for everybody?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import product
from math import ceil

from sitesim.plan import UnitKind
from sitesim.scenario.checks.case import Case, items
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import closest
from sitesim.scenario.planning.units import numbered, uses
from sitesim.scenario.telling.measures import time_of_day

_MACHINES = ("crane", "printer", "tent")


def check_skills(case: Case) -> None:
    """Every skill that a task asks for is one of a gang's, and several at once are not all the same gang's."""
    gangs = _gangs_by_skill(case)
    for trail, skills in _asked_for(case):
        missing = [skill for skill in skills if skill not in gangs]
        for skill in missing:
            case.say(trail, f"no gang has the skill {skill}: {_instead(skill, case)}", ("crews",))
        if not missing and not _each_has_another(gangs, skills):
            case.say(trail, f"{items(skills)} together need more gangs than there are with these skills")


def check_gangs(case: Case) -> None:
    """Every gang is used by a task, and has a name that nobody else has."""
    asked = {skill for _, skills in _asked_for(case) for skill in skills}
    machines = (*_MACHINES, "telehandler") if uses(case.model, UnitKind.TELEHANDLER) else _MACHINES
    taken: dict[str, str] = dict.fromkeys(machines, "that of a machine")
    for name, gang in case.model.crews.items():
        skills = gang.skills or (name,)
        if not asked.intersection(skills) and case.untouched(("finishing",), ("wall",), ("relocation",)):
            case.say(("crews", name), f"no task uses this gang; it can do {items(skills)}")
        for called in numbered(name, gang.count):
            if called in taken:
                case.say(("crews", name), f"the name {called} is {taken[called]}; take another")
            taken[called] = f"that of a gang of {name}"


def check_absences(case: Case) -> None:
    """A gang is there for at least a working day, and what it is away for ends after it begins."""
    site = case.model.site
    first, last = site.start, site.start + timedelta(days=ceil(site.horizon))
    for name, gang in case.model.crews.items():
        for index, spell in enumerate(gang.away):
            if spell.last < spell.first:
                case.say(("crews", name, "away", index, "last"), f"{spell.last} is before {spell.first}")
        if gang.here_from and gang.here_until and gang.here_until < gang.here_from:
            case.say(("crews", name, "here_until"), f"{gang.here_until} is before {gang.here_from}, when it comes")
            continue
        week = case.model.calendars.get(gang.calendar)
        if week is None or not case.untouched(("crews", name), ("calendar",), ("site",)):
            continue
        pattern = week.pattern(first, last)
        closed = pattern.closed | gang.closed_dates(first, last)
        worked = (day for day in range(first.toordinal(), last.toordinal() + 1) if (day - 1) % 7 in pattern.spans)
        if all(day in closed for day in worked):
            case.say(
                ("crews", name),
                f"can never be had: away, or out of its dates, on every working day from {first} to {last}",
            )


def check_second_shift(case: Case) -> None:
    """A second print shift is there when the first one ends."""
    printer = case.model.printer
    if printer is None or printer.second_crew is None or not case.untouched(("printer",), ("crews",), ("calendar",)):
        return
    first, second = (
        case.model.calendars[case.model.calendar_of(skill)] for skill in (printer.crew, printer.second_crew)
    )
    ends, begins, until = first.hours[-1][1], second.hours[0][0], second.hours[-1][1]
    if not begins <= ends < until:
        case.say(
            ("printer", "second_crew"),
            f"{printer.second_crew} works from {time_of_day(begins)} to {time_of_day(until)}: it cannot carry on at "
            f"{time_of_day(ends)}, when {printer.crew} ends",
        )


def _gangs_by_skill(case: Case) -> dict[str, set[str]]:
    gangs: dict[str, set[str]] = {}
    for name, gang in case.model.crews.items():
        for skill in gang.skills or (name,):
            gangs.setdefault(skill, set()).update(numbered(name, gang.count))
    return gangs


def _instead(skill: str, case: Case) -> str:
    """Say which skill may be meant, or else which gangs there are and what each of them can do."""
    gangs = case.model.crews
    close = closest(skill, [known for name, gang in gangs.items() for known in gang.skills or (name,)])
    if close:
        return f"did you mean {close}?"
    if not gangs:
        return f"there are no gangs; add {skill} to crews"
    each = [f"{name} ({items(gang.skills)})" if gang.skills else name for name, gang in gangs.items()]
    return f"gangs, with their skills, are {items(each)}; take one of them or add {skill} to crews"


def _asked_for(case: Case) -> Iterator[tuple[Trail, tuple[str, ...]]]:
    printer = case.model.printer
    if printer is not None:
        yield ("printer", "crew"), (printer.crew,)
        if printer.second_crew is not None:
            yield ("printer", "second_crew"), (printer.second_crew,)
    for trail, _, work in case.works():
        yield (*trail, "crew"), work.crew
    for trail, wall, _ in case.walls():
        for index, point in enumerate(wall.points):
            yield (*trail, "points", index, "crew"), point.crew


def _each_has_another(gangs: dict[str, set[str]], skills: tuple[str, ...]) -> bool:
    """Tell whether each of the skills can be given a gang of its own."""
    if len(skills) < 2:
        return True
    return any(len(set(chosen)) == len(skills) for chosen in product(*(gangs[skill] for skill in skills)))
