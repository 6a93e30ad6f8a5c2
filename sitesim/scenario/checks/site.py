"""Do the site, its buildings, homes and dates fit together?"""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

from sitesim.policies import OrderBy
from sitesim.scenario.checks.case import Case, items
from sitesim.scenario.faults import nearest
from sitesim.scenario.sections.supply import ReadyMixSupply

RESERVED_PLACES = ("site",)


def check_order(case: Case) -> None:
    """The building order, if given, names every building once."""
    order, buildings = case.model.site.order, list(case.model.site.buildings)
    trail = ("site", "order")
    if not order:
        _check_order_by(case)
        return
    if case.model.site.order_by is not OrderBy.LISTED:
        case.say(("site", "order_by"), f"{case.model.site.order_by} has no effect, since order is given; keep one")
    for name in dict.fromkeys(order):
        if name not in buildings:
            case.say(trail, f"{name} is not a building: {nearest(name, buildings)}", ("site", "buildings"))
    repeated = [name for name, count in Counter(order).items() if count > 1]
    if repeated:
        case.say(trail, f"{items(repeated)} stands here more than once")
    missing = [name for name in buildings if name not in order]
    if missing:
        case.say(
            trail, f"{items(missing)} {'is' if len(missing) == 1 else 'are'} missing; the order lists every building"
        )


def _check_order_by(case: Case) -> None:
    """What decides the order is known of every building."""
    by, buildings = case.model.site.order_by, case.model.site.buildings
    if by is OrderBy.NEAREST:
        missing = [name for name, entry in buildings.items() if entry.at is None]
        wanted = "at, like at: [0 m, 24 m]"
    elif by is OrderBy.PROMISED:
        missing = [name for name, entry in buildings.items() if entry.promised is None]
        wanted = "promised, a date"
    else:
        return
    if missing:
        case.say(
            ("site", "order_by"), f"{by} needs to know of every building {wanted}; nothing is said of {items(missing)}"
        )


def check_names_of_places(case: Case) -> None:
    """Buildings and homes have names of their own, over the whole site."""
    taken: dict[str, str] = dict.fromkeys(RESERVED_PLACES, "the site's own")
    for building in case.model.site.buildings:
        if building in taken:
            case.say(("site", "buildings", building), f"the name {building} is {taken[building]}; take another")
        taken[building] = f"that of building {building}"
    for building, entry in case.model.site.buildings.items():
        trail = ("site", "buildings", building, "homes")
        for home in entry.homes:
            if home in taken:
                case.say(trail, f"the name {home} is {taken[home]}; every home has a name of its own")
            taken[home] = f"that of a home of building {building}"


def check_slab_dates(case: Case) -> None:
    """Every slab is ready within the horizon."""
    site = case.model.site
    last = site.start + timedelta(days=site.horizon)
    for building, entry in site.buildings.items():
        trail = ("site", "buildings", building, "slab")
        if entry.slab is None:
            continue
        if entry.slab < site.start:
            message = f"{entry.slab} is before the start of the site, {site.start}; take that day or a later one"
            case.say(trail, message, ("site", "start"))
        if entry.slab >= last:
            message = (
                f"{entry.slab} is not before the end of the horizon, {last} ({case.text(('site', 'horizon'), '900 d')})"
            )
            case.say(trail, message, ("site", "start"), ("site", "horizon"))


def check_calendars(case: Case) -> None:
    """Calendars that are named exist, and opened dates are days of the week that are worked."""
    known = list(case.model.calendars)
    named = [
        *((("crews", name, "calendar"), gang.calendar) for name, gang in case.model.crews.items()),
        *(((*trail, "calendar"), work.calendar) for trail, _, work in case.works()),
        *(
            (("inspections", "inspectors", name, "calendar"), inspector.calendar)
            for name, inspector in case.model.inspections.inspectors.items()
        ),
    ]
    if isinstance(case.model.supply, ReadyMixSupply):
        named.append((("supply", "calendar"), case.model.supply.calendar))
    for trail, calendar in named:
        if calendar is not None and calendar not in known:
            case.say(trail, f"there is no calendar {calendar}: {nearest(calendar, known)}", ("calendar",))
    for name, week in case.model.calendar.items():
        for day in week.open:
            if day.weekday() not in week.days:
                case.say(
                    ("calendar", name, "open"),
                    f"{day} is a {day:%A}, which this calendar does not work; only holidays can be opened",
                    ("calendar", name, "days"),
                )
