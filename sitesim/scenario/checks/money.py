"""Do the rates fit together?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sitesim.scenario.checks.case import Case
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.model import WHOLE_SITE
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


def check_promises(case: Case) -> None:
    """A date is promised for a place that there is, once, and within what is played."""
    model = case.model
    site, promise = model.site, model.promise
    homes = [home for entry in site.buildings.values() for home in entry.homes]
    places = [WHOLE_SITE, *site.buildings, *homes]
    end = site.start + timedelta(days=site.horizon)
    if promise.days == "working" and not promise.dates:
        case.say(("promise", "days"), "working days are counted for promise.dates, and there are none")
    for name, entry in promise.dates.items():
        trail: Trail = ("promise", "dates", name)
        if name not in places:
            message = f"there is no building or home {name}: {nearest(name, places)}"
            case.say(trail, message, ("site", "buildings"))
            continue
        by = model.promised_date(name)
        own = site.buildings[name].promised if name in site.buildings else None
        if by is None:
            told = "a penalty" if entry.penalty else "a bonus" if entry.bonus else "a promise"
            case.say(
                trail, f"{told} without a date; add by, like by: {site.start + timedelta(days=180)}", (*trail, "by")
            )
        elif entry.by is not None and own is not None:
            message = f"{name} is promised in site.buildings.{name}.promised ({own}) as well; keep one of the two"
            case.say((*trail, "by"), message)
        elif by < site.start:
            remedy = "promise a later date, or let site.start be earlier"
            message = f"{by} is before the start of the site, {site.start}; {remedy}"
            case.say((*trail, "by"), message, ("site", "start"))
        elif by >= end:
            text = case.text(("site", "horizon"), "900 d")
            message = f"{by} is not before the end of the horizon, {end} ({text})"
            case.say((*trail, "by"), message, ("site", "start"), ("site", "horizon"))
        for key, most, a_day in (
            ("penalty", entry.most_penalty, entry.penalty),
            ("bonus", entry.most_bonus, entry.bonus),
        ):
            if most is not None and not a_day:
                case.say((*trail, f"most_{key}"), f"there is no {key} a day that could come to it")


def _hired(case: Case) -> Iterator[tuple[Trail, Gang | LiftingMachine]]:
    for name, gang in case.model.crews.items():
        yield ("crews", name), gang
    yield ("crane",), case.model.crane
    yield ("telehandler",), case.model.telehandler
