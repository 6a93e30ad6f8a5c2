"""Can the concrete reach the printer in time, and in trucks that are there?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from math import ceil

from sitesim.plan import Wall
from sitesim.policies import TakeDown
from sitesim.scenario.checks.case import Case, minutes
from sitesim.scenario.document import Trail
from sitesim.scenario.planning.printing import make_wall
from sitesim.scenario.planning.supply import make_pour
from sitesim.scenario.sections.printing import Pump
from sitesim.scenario.sections.supply import ReadyMixSupply, SiteMixing
from sitesim.scenario.sections.wall import Wall as WallEntry
from sitesim.scenario.telling.measures import time_of_day

_WHOLE = 1e-6
_MOST_REFUSED = 0.5


def check_load(case: Case) -> None:
    """A load is one that the plant sells and a truck carries."""
    supply = case.model.supply
    if not isinstance(supply, ReadyMixSupply):
        return
    load = case.text(("supply", "load"))
    if supply.load > supply.capacity * (1.0 + _WHOLE):
        capacity = case.text(("supply", "capacity"), "10 yd^3")
        case.say(
            ("supply", "load"),
            f"{load} is more than a truck carries ({capacity})",
            ("supply", "capacity"),
        )
    steps = supply.load / supply.step
    if abs(steps - round(steps)) > _WHOLE:
        step = case.text(("supply", "step"), "0.5 yd^3")
        case.say(("supply", "load"), f"{load} is not a whole number of steps of {step}", ("supply", "step"))
    if supply.least > supply.load * (1.0 + _WHOLE):
        least = case.text(("supply", "least"), "1 yd^3")
        case.say(("supply", "least"), f"{least} is more than a load ({load})", ("supply", "load"))


def check_ordering(case: Case) -> None:
    """The way of ordering has the values that it needs."""
    supply = case.model.supply
    if not isinstance(supply, ReadyMixSupply):
        return
    if supply.ordering == "fixed" and supply.spacing is None:
        case.say(
            ("supply",),
            "has no spacing; fixed ordering needs one, like spacing: 135 min",
            ("supply", "spacing"),
            ("supply", "ordering"),
        )
    if supply.top_up and supply.ordering != "fixed":
        case.say(("supply", "top_up"), f"goes with fixed ordering, not with {supply.ordering}", ("supply", "ordering"))
    least = supply.loading.mean + supply.haul.mean + supply.gate
    if supply.ordering != "will-call" and not (supply.ordering == "fixed" and supply.top_up):
        return
    if supply.lead is None:
        what = "will-call ordering" if supply.ordering == "will-call" else "top_up"
        case.say(
            ("supply",),
            f"has no lead; {what} needs the time from a call to the gate, {ceil(60 * least)} min or more",
            ("supply", "lead"),
        )
    elif supply.lead < supply.loading.mean + supply.haul.mean:
        case.say(
            ("supply", "lead"),
            f"{case.text(('supply', 'lead'))} is shorter than the way: loading {minutes(supply.loading.mean)}, haul "
            f"{minutes(supply.haul.mean)}; {ceil(60 * least)} min with the tests at the gate would do",
            ("supply", "loading"),
            ("supply", "haul"),
        )


def check_plant(case: Case) -> None:
    """A plant's hours let the first load be on time, and what can be lost is described."""
    supply = case.model.supply
    if not isinstance(supply, ReadyMixSupply):
        return
    calendar = case.model.calendars.get(supply.calendar or "")
    if calendar is not None:
        opens, way = calendar.hours[0][0], supply.loading.mean + supply.haul.mean
        if supply.first_arrival - way < opens - _WHOLE:
            case.say(
                ("supply", "first_arrival"),
                f"{case.text(('supply', 'first_arrival'))} cannot be kept: the plant opens at {time_of_day(opens)}, "
                f"and loading and haul take {minutes(way)}; {time_of_day(opens + way)} can",
                ("supply", "calendar"),
                ("supply", "loading"),
                ("supply", "haul"),
                ("calendar",),
            )
    named = Counter(outage.name for outage in supply.outages)
    for index, outage in enumerate(supply.outages):
        trail = ("supply", "outages", index)
        if named[outage.name] > 1:
            case.say((*trail, "name"), f"{outage.name} is the name of more than one outage")
        if not case.untouched(trail):
            continue
        if outage.chance > 0.0 and outage.time is None:
            case.say(trail, f"{outage.name} has a chance but no time; write how long it lasts, like time: 2 h")
        if not outage.on and outage.chance == 0.0:
            case.say(trail, f"{outage.name} never happens; write on: with dates, or a chance with a time")


def check_notice(case: Case) -> None:
    """What is ordered by the cut-off can still be called off at least until then."""
    supply = case.model.supply
    if not isinstance(supply, ReadyMixSupply) or not supply.notice or not case.untouched(("supply", "notice")):
        return
    batched = supply.first_arrival - supply.loading.mean - supply.haul.mean
    most = 24.0 + batched - supply.cut_off
    if supply.notice > most:
        case.say(
            ("supply", "notice"),
            f"{case.text(('supply', 'notice'))} before a load is batched is before it is ordered: from the cut-off "
            f"({time_of_day(supply.cut_off)}) to the first batch ({time_of_day(batched % 24.0)}) there are "
            f"{minutes(most)}",
            ("supply", "cut_off"),
            ("supply", "first_arrival"),
        )


def check_holding_hopper(case: Case) -> None:
    """A holding hopper takes a whole load."""
    supply = case.model.supply
    if not isinstance(supply, ReadyMixSupply) or supply.holding_hopper is None:
        return
    if supply.holding_hopper.capacity < supply.load * (1.0 - _WHOLE):
        case.say(
            ("supply", "holding_hopper", "capacity"),
            f"{case.text(('supply', 'holding_hopper', 'capacity'))} is less than a load "
            f"({case.text(('supply', 'load'))}), whose truck could never go",
            ("supply", "load"),
        )
    elif supply.holding_hopper.refill_at > (supply.holding_hopper.capacity - supply.load) * (1.0 + _WHOLE):
        case.say(
            ("supply", "holding_hopper", "refill_at"),
            f"with {case.text(('supply', 'holding_hopper', 'refill_at'))} left a load "
            f"({case.text(('supply', 'load'))}) does not fit into "
            f"{case.text(('supply', 'holding_hopper', 'capacity'))}",
            ("supply", "load"),
            ("supply", "holding_hopper", "capacity"),
        )


def check_shares(case: Case) -> None:
    """No supply goes on of which most is thrown away."""
    supply = case.model.supply
    if isinstance(supply, ReadyMixSupply) and supply.refused > _MOST_REFUSED:
        case.say(
            ("supply", "refused"),
            f"{case.text(('supply', 'refused'))} of all loads are refused; more than "
            f"{100 * _MOST_REFUSED:g} % and a plant would not go on",
        )
    if isinstance(supply, SiteMixing) and supply.batch_fails > _MOST_REFUSED:
        case.say(
            ("supply", "batch_fails"),
            f"{case.text(('supply', 'batch_fails'))} of all batches are thrown away; more than "
            f"{100 * _MOST_REFUSED:g} % and nobody would go on",
        )


def check_store(case: Case) -> None:
    """A store of dry material holds a batch, and is ordered for before it is empty."""
    supply = case.model.supply
    if not isinstance(supply, SiteMixing) or supply.store is None:
        return
    trail = ("supply", "store")
    if supply.store.capacity < supply.batch:
        case.say(
            (*trail, "capacity"),
            f"{case.text((*trail, 'capacity'))} is less than a batch ({case.text(('supply', 'batch'))})",
            ("supply", "batch"),
        )
    if supply.store.reorder_at >= supply.store.capacity:
        case.say(
            (*trail, "reorder_at"),
            f"{case.text((*trail, 'reorder_at'))} is not below the capacity "
            f"({case.text((*trail, 'capacity'))}): there would be no end of ordering",
            (*trail, "capacity"),
        )


def check_working_life(case: Case) -> None:
    """Concrete that has come the whole way can still be used."""
    supply, concrete = case.model.supply, case.model.concrete
    if not isinstance(supply, ReadyMixSupply) or concrete is None:
        return
    way = supply.loading.mean + supply.haul.mean + supply.gate
    if concrete.retarded_life + concrete.waived <= way:
        case.say(
            ("concrete", "working_life"),
            f"{case.text(('concrete', 'working_life'))} is over before a load can be printed: loading "
            f"{minutes(supply.loading.mean)}, haul {minutes(supply.haul.mean)} and gate {minutes(supply.gate)} make "
            f"{minutes(way)}",
            ("supply", "loading"),
            ("supply", "haul"),
            ("supply", "gate"),
        )


def check_fleet(case: Case) -> None:
    """When a truck comes round again on the same day, it is back by the time it is due."""
    supply, pump = case.model.supply, case.model.pump
    if not isinstance(supply, ReadyMixSupply) or pump is None:
        return
    if not case.untouched(("supply",), ("pump",), ("wall",), ("printer",), ("concrete",), ("site", "buildings")):
        return
    if supply.ordering != "fixed" or supply.spacing is None or supply.holding_hopper is not None:
        return
    walls = _planned_walls(case)
    loads = max((_most_loads(case, wall, supply, pump) for wall in walls), default=0)
    if loads <= supply.trucks:
        return
    emptying = max(_emptying(wall, supply.load) for wall in walls)
    parts = {
        "loading": supply.loading.mean,
        "haul": supply.haul.mean,
        "gate": supply.gate,
        "emptying": emptying,
        "wash": supply.wash,
        "way back": supply.way_back.mean,
    }
    trip = sum(parts.values())
    if trip <= supply.trucks * supply.spacing:
        return
    told = ", ".join(f"{name} {minutes(hours)}" for name, hours in parts.items())
    case.say(
        ("supply", "spacing"),
        f"{case.text(('supply', 'spacing'))} is closer than {supply.trucks} trucks come round: a day takes up to "
        f"{loads} loads and a round trip {minutes(trip)} ({told}); {ceil(60 * trip / supply.trucks)} min or "
        f"{min(loads, ceil(trip / supply.spacing))} trucks would do",
    )


def check_pours(case: Case) -> None:
    """A pour's concrete is young enough when it comes, and what places it can be there."""
    for at, name, work in case.works():
        if work.pour is None:
            continue
        trail: Trail = (*at, "pour")
        pour = make_pour(work.pour, case.model)
        way = pour.loading.mean + pour.haul.mean + pour.gate
        if pour.working_life <= way:
            case.say(
                (*trail, "working_life"),
                f"{minutes(pour.working_life)} is over before a load can be placed: loading, haul and gate make "
                f"{minutes(way)}",
                ("supply",),
            )
        if pour.refused > _MOST_REFUSED:
            case.say((*trail, "refused"), "more than half of all loads are refused; no plant would go on like that")
        if work.pour.by == "bucket" and not work.crane:
            case.say((*trail, "by"), f"a bucket hangs from the crane; write crane: true for {name}")
        if not work.crew:
            case.say(trail, f"nobody pours: {name} has no crew")


def check_buckets(case: Case) -> None:
    """No bucket swings into a building under its raised tent."""
    entry = case.model.relocation
    if entry is None or entry.tent_leaves is TakeDown.WALLS:
        return
    for trail in _placed_by(case, "bucket", lambda wall: wall.shell_tasks):
        case.say(
            trail,
            f"a bucket cannot come in under the raised tent, which leaves after {entry.tent_leaves}; pump or printer "
            "can place it",
            ("relocation", "tent_leaves"),
        )


def check_placing_by_printer(case: Case) -> None:
    """What the printer places is placed while it still stands over the building."""
    entry = case.model.relocation
    if entry is None or entry.gantry_leaves not in (TakeDown.WALLS, TakeDown.STRENGTH):
        return
    has = "has" if entry.gantry_leaves is TakeDown.WALLS else "may have"
    for trail in _placed_by(case, "printer", lambda wall: wall.finish):
        case.say(
            trail,
            f"the printer {has} left by then, after {entry.gantry_leaves}; a pump can place it, or let the gantry "
            "leave after beam",
            ("relocation", "gantry_leaves"),
        )


def _placed_by(case: Case, placer: str, steps: Callable[[WallEntry], Iterable[str]]) -> Iterator[Trail]:
    """Give the trails at which a pour of a wall's ``steps`` says that ``placer`` places it."""
    for trail, wall, _ in case.walls():
        for name in steps(wall):
            work = wall.tasks.get(name)
            if work is not None and work.pour is not None and work.pour.by == placer:
                yield (*trail, "tasks", name, "pour", "by")


def _planned_walls(case: Case) -> list[Wall]:
    printer, concrete = case.model.printer, case.model.concrete
    if printer is None or concrete is None:
        return []
    return [
        make_wall(wall, printer, concrete, case.model.layers_a_day(building))
        for building, wall in case.model.walls.items()
    ]


def _most_loads(case: Case, wall: Wall, supply: ReadyMixSupply, pump: Pump) -> int:
    """Count the loads of the print day that takes most, as the days are planned."""
    concrete = case.model.concrete
    extra = pump.priming + pump.hose.contents + (concrete.specimens if concrete else 0.0)
    most = done = 0
    while done < wall.layers:
        target = wall.day_target(done)
        most = max(most, ceil((wall.day_need(done, target) + extra) / supply.load - _WHOLE))
        done = target
    return most


def _emptying(wall: Wall, load: float) -> float:
    """Give the time [h] in which a wall takes up a load on average, planned stops included."""
    return load * wall.day_hours(0, wall.layers) / wall.day_need(0, wall.layers)
