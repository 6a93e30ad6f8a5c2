"""Do the rates fit together?"""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.scenario.checks.case import Case
from sitesim.scenario.document import Trail
from sitesim.scenario.sections.crews import Gang
from sitesim.scenario.sections.relocation import LiftingMachine


def check_hire(case: Case) -> None:
    """Who is paid by the day is not paid by the hour as well."""
    for trail, hired in _hired(case):
        if not hired.day:
            continue
        if hired.rate:
            message = f"hired by the day and, by rate ({case.text((*trail, 'rate'))}), by the hour; keep one of the two"
            case.say((*trail, "day"), message, (*trail, "rate"))
        if isinstance(hired, Gang) and hired.waiting:
            message = (
                "a gang paid by the day waits at no rate by the hour: 0 pays it for days with work alone, and without "
                "waiting every working day is paid from its first to its last"
            )
            case.say((*trail, "waiting"), message, (*trail, "day"))


def check_weekend_rates(case: Case) -> None:
    """A weekend rate is not below the usual one, which there is."""
    for name, gang in case.model.crews.items():
        trail: Trail = ("crews", name, "weekend")
        if gang.weekend is None:
            continue
        if not gang.rate:
            message = "a weekend rate by the hour needs a usual rate by the hour, rate"
            case.say(trail, message, ("crews", name, "rate"))
        elif gang.weekend < gang.rate:
            message = f"{gang.weekend:g} an hour is less than on other days, {gang.rate:g}"
            case.say(trail, message, ("crews", name, "rate"))


def check_heater(case: Case) -> None:
    """A heater that is hired is there."""
    model = case.model
    if model.costs.heater_day and (model.tent is None or model.tent.heater is None):
        case.say(("costs", "heater_day"), "no heater is there to be hired: there is no tent.heater", ("tent",))


def _hired(case: Case) -> Iterator[tuple[Trail, Gang | LiftingMachine]]:
    for name, gang in case.model.crews.items():
        yield ("crews", name), gang
    yield ("crane",), case.model.crane
    yield ("telehandler",), case.model.telehandler
