"""Can gangs come and go as they are told to?"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import ceil

from sitesim.scenario.checks.case import Case
from sitesim.scenario.sections.crews import Gang


def check_kept_running(case: Case) -> None:
    """A gang that is kept running does not print, and its dates leave room for its start delay."""
    printer = case.model.printer
    prints = set() if printer is None else {printer.crew, printer.second_crew}
    for name, gang in case.model.crews.items():
        if gang.kept_running is None:
            if "start_delay" in gang.model_fields_set:
                case.say(
                    ("crews", name, "start_delay"),
                    "is that of a gang kept running; write flow: kept-running besides, or leave it out",
                )
            continue
        if prints.intersection(gang.skills or (name,)):
            case.say(
                ("crews", name, "flow"),
                "prints, and goes from slab to slab with the gantry: beginning later would keep it waiting as long; "
                "leave it called, or let others print",
            )
        _check_room(case, name, gang)


def _check_room(case: Case, name: str, gang: Gang) -> None:
    """Hold a start delay that is given against the hours in which the gang can be had."""
    week = case.model.calendars.get(gang.calendar)
    if gang.start_delay is None or week is None or not case.untouched(("crews", name), ("calendar",), ("site",)):
        return
    first, days = case.model.site.start, ceil(case.model.site.horizon)
    last = first + timedelta(days=days)
    pattern = week.pattern(first, last)
    hours = replace(pattern, closed=pattern.closed | gang.closed_dates(first, last)).over(first, days).total
    if gang.start_delay >= hours:
        case.say(
            ("crews", name, "start_delay"),
            f"{case.text(('crews', name, 'start_delay'))} leaves it no hour of work: it can be had for {hours:g} h, "
            f"{hours / case.model.day_hours:g} wd, from {first} to {last}",
        )
