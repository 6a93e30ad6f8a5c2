"""Do the names of limits, inspectors and learned tasks mean something?"""

from __future__ import annotations

from collections import Counter

from sitesim.scenario.checks.case import Case
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.sections.inspections import Point


def check_limits(case: Case) -> None:
    """Limits that are named are among those of the weather, and a tent's shelter needs a tent."""
    weather = case.model.weather
    named: list[tuple[Trail, str | None]] = [((*trail, "limits"), work.limits) for trail, _, work in case.works()]
    if case.model.printer is not None:
        named.append((("printer", "limits"), case.model.printer.limits))
    known, hangs_on = case.names(("weather", "limits"), () if weather is None else weather.limits)
    for trail, name in named:
        if name is None or name in known:
            continue
        if weather is None:
            case.say(trail, f"there is no section weather with limits for {name}", ("weather",))
        else:
            message = f"there are no limits {name} in weather.limits: {nearest(name, known)}"
            case.say(trail, message, *hangs_on)
    if weather is None:
        return
    for name, entry in weather.limits.items():
        if entry.shelter == "tent" and case.model.tent is None:
            case.say(("weather", "limits", name, "shelter"), "there is no section tent", ("tent",))
    if weather.clock != "civil" and weather.time_zone is None:
        message = f"times in {weather.clock} need the site's time zone: weather.time_zone, like America/Los_Angeles"
        case.say(("weather", "clock"), message, ("weather", "time_zone"))


def check_measures(case: Case) -> None:
    """Printed layers alone are kept wet: other work has no layers that could take that time."""
    weather, printer = case.model.weather, case.model.printer
    if weather is None:
        return
    printing = None if printer is None else printer.limits
    for name, entry in weather.limits.items():
        if entry.evaporation is not None and entry.evaporation.measures and name != printing:
            trail = ("weather", "limits", name, "evaporation", "measures")
            case.say(
                trail, f"layers are kept wet in printing alone; {name} is not in printer.limits", ("printer", "limits")
            )


def check_tent(case: Case) -> None:
    """Printing stops before the sides of the tent come down, and they are put up in less wind than that."""
    tent = case.model.tent
    if tent is None or tent.sides is None:
        return
    sides, trail = tent.sides, ("tent", "sides")
    if sides.down_at < tent.stops_at:
        message = f"{sides.down_at:.0%} is below {tent.stops_at:.0%} of the rated gust, at which the work stops"
        case.say((*trail, "down_at"), f"{message}; the sides come down there or above", ("tent", "stops_at"))
    if sides.up_below is not None and sides.up_below > sides.down_at:
        message = f"{sides.up_below:.0%} is above {sides.down_at:.0%} of the rated gust, at which they come down"
        case.say((*trail, "up_below"), message, (*trail, "down_at"))


def check_inspections(case: Case) -> None:
    """Inspection points stand after tasks, and are looked at by inspectors that there are."""
    tasks = _task_names(case)
    for task, point in case.model.inspections.points.items():
        trail = ("inspections", "points", task)
        if task not in tasks:
            case.say(trail, f"there is no task {task}: {nearest(task, tasks)}", *_TASK_SECTIONS)
        check_point(case, trail, point)


def check_point(case: Case, trail: Trail, point: Point) -> None:
    """An inspector who is called is one that there is, and what is said of the call belongs to its kind."""
    inspectors, hangs_on = case.names(("inspections", "inspectors"), case.model.inspections.inspectors)
    if point.by not in inspectors:
        message = f"there is no inspector {point.by}: {nearest(point.by, inspectors)}"
        case.say((*trail, "by"), message, *hangs_on)
    written = case.document.get(trail)
    for key in ("fails", "learning", "rework", "crew") if point.kind == "witness" else ("comes",):
        if isinstance(written, dict) and key in written:
            kept = (
                "a witness stops no work and lets none be redone; a hold does"
                if point.kind == "witness"
                else ("work waits for the visit of a hold point; whether somebody comes is said of a witness")
            )
            case.say((*trail, key), f"is not for a {point.kind} point: {kept}", (*trail, "kind"))


def check_learning(case: Case) -> None:
    """Tasks that are learned are tasks that there are."""
    tasks = _task_names(case)
    for task in case.model.learning.tasks:
        if task not in tasks:
            trail = ("learning", "tasks", task)
            case.say(trail, f"there is no task {task}: {nearest(task, tasks)}", *_TASK_SECTIONS)


def check_breakdowns(case: Case) -> None:
    """Kinds of stops have names of their own."""
    counts = Counter(stop.name for stop in case.model.breakdowns)
    for index, stop in enumerate(case.model.breakdowns):
        if counts[stop.name] > 1:
            case.say(("breakdowns", index, "name"), f"{stop.name} is the name of more than one kind of stop")


_TASK_SECTIONS: tuple[Trail, ...] = (("relocation", "tasks"), ("wall", "tasks"), ("finishing", "tasks"))


def _task_names(case: Case) -> list[str]:
    return list(dict.fromkeys(name for _, name, _ in case.works()))
