"""Does what goes wrong mean something in this scenario?"""

from __future__ import annotations

from sitesim.scenario.checks.case import Case
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.planning.units import numbered
from sitesim.scenario.sections.trouble import Interruption


def check_missing(case: Case) -> None:
    """Who is missing is a gang of the site, or its crane."""
    gangs = [*case.model.crews, "crane"]
    each = [called for name, gang in case.model.crews.items() for called in numbered(name, gang.count)]
    for index, entry in enumerate(case.model.trouble.missing):
        if entry.gang not in (*gangs, *each):
            message = f"there is no gang {entry.gang}: {nearest(entry.gang, gangs)}"
            case.say(("trouble", "missing", index, "gang"), message, ("crews",))


def check_interruptions(case: Case) -> None:
    """What stops printing stops it after a layer of a printed building; a lost tent needs a tent."""
    trouble = case.model.trouble
    for index, down in enumerate(trouble.printer_down):
        _check_place(case, ("trouble", "printer_down", index), down)
    for index, lost in enumerate(trouble.tent_lost):
        _check_place(case, ("trouble", "tent_lost", index), lost)


def _check_place(case: Case, trail: Trail, entry: Interruption) -> None:
    walls = case.model.walls
    if entry.building not in walls:
        message = f"nothing is printed in {entry.building}: {nearest(entry.building, walls)}"
        case.say((*trail, "building"), message, ("site",), ("wall",))
    elif entry.after_layer > walls[entry.building].layers:
        message = f"{entry.building} has {walls[entry.building].layers} layers"
        case.say((*trail, "after_layer"), message, ("wall",), ("site",))


def check_weather_of_trouble(case: Case) -> None:
    """Harsher weather needs a weather record to differ from."""
    if case.model.weather is None and "weather" in case.model.trouble.model_fields_set:
        case.say(("trouble", "weather"), "there is no section weather whose record could be changed", ("weather",))
