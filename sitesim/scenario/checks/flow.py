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
        if gang.flow != "kept-running":
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
        if gang.start_delay is not None:
            _check_room(case, name, gang, "start_delay", gang.start_delay)


def check_called(case: Case) -> None:
    """A gang that comes at notice is called, and its dates leave room for the notice."""
    for name, gang in case.model.crews.items():
        if gang.notice is None:
            for key in ("stays", "call_ahead"):
                if getattr(gang, key) is not None:
                    case.say(
                        ("crews", name, key),
                        "is that of a gang called at notice; write notice besides, or leave it out",
                    )
        elif gang.flow == "kept-running":
            case.say(
                ("crews", name, "notice"),
                "is that of a gang that leaves and is called back, but one kept running stays; leave one of them out",
            )
        else:
            _check_room(case, name, gang, "notice", gang.notice.mean)


def _check_room(case: Case, name: str, gang: Gang, key: str, needed: float) -> None:
    """Hold hours [h] that pass before a gang comes against those in which it can be had."""
    week = case.model.calendars.get(gang.calendar)
    if week is None or not case.untouched(("crews", name), ("calendar",), ("site",)):
        return
    first, days = case.model.site.start, ceil(case.model.site.horizon)
    last = first + timedelta(days=days)
    pattern = week.pattern(first, last)
    hours = replace(pattern, closed=pattern.closed | gang.closed_dates(first, last)).over(first, days).total
    if needed >= hours:
        case.say(
            ("crews", name, key),
            f"{case.text(('crews', name, key))} leaves it no hour of work: it can be had for {hours:g} h, "
            f"{hours / case.model.day_hours:g} wd, from {first} to {last}",
        )
