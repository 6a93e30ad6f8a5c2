"""Can the concrete reach the printer in time, and in trucks that are there?"""

from __future__ import annotations

from math import ceil

from sitesim.plan import Wall
from sitesim.scenario.checks.case import Case, minutes
from sitesim.scenario.planning.printing import make_wall
from sitesim.scenario.sections.printing import Pump
from sitesim.scenario.sections.supply import ReadyMixSupply

_WHOLE = 1e-6


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


def check_working_life(case: Case) -> None:
    """Concrete that has come the whole way can still be used."""
    supply, concrete = case.model.supply, case.model.concrete
    if not isinstance(supply, ReadyMixSupply) or concrete is None:
        return
    way = supply.loading.mean + supply.haul.mean + supply.gate
    if concrete.working_life <= way:
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
