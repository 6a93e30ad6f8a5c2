"""Printed walls: what is printed and when it stops, and what is assumed of it."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.plan import Plan, PrintDay, ReadyMix, UnitKind
from sitesim.plan import Wall as PlannedWall
from sitesim.policies import TakeDown
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.printing import Concrete
from sitesim.scenario.sections.supply import ReadyMixSupply
from sitesim.scenario.sections.wall import Wall
from sitesim.scenario.telling.measures import Measures, minutes, together
from sitesim.trade.fresh import LinearGrowth, layers_to_failure, steady_rise


def tell_walls(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Say what the walls are and in which print days they rise, alike walls once."""
    alike: dict[str, list[str]] = {}
    walls: dict[str, PlannedWall] = {}
    for building in plan.buildings:
        if building.shell is not None:
            looks = repr(building.shell.wall)
            walls[looks] = building.shell.wall
            alike.setdefault(looks, []).append(building.name)
    for looks, names in alike.items():
        yield from _wall(model, plan, walls[looks], names, measures)


def _wall(model: ScenarioModel, plan: Plan, wall: PlannedWall, names: list[str], measures: Measures) -> Iterator[str]:
    entry = model.walls[names[0]]
    path = sum(entry.path_of(layer) for layer in range(1, entry.layers + 1))
    fastest, slowest = min(wall.nozzle_hours), max(wall.nozzle_hours)
    yield (
        f"Wall of {together(names)}: {wall.layers} layers of {measures.thickness(entry.layer_height)}, "
        f"{measures.height(entry.height)} high; path {measures.length(path)}, concrete "
        f"{measures.volume(sum(wall.volume))} with waste; {60 * fastest:.1f} to {60 * slowest:.1f} min a layer, "
        f"{sum(wall.nozzle_hours):.1f} h of nozzle."
    )
    rules = plan.print_day
    days, done = [], 0
    while done < wall.layers:
        target = wall.day_target(done)
        need = wall.day_need(done, target) if rules is None else rules.day_need(wall, done, 0.0, target)
        days.append(f"{done + 1}-{target} ({measures.volume(need)})")
        done = target
    yield (
        f"Print days of {together(names)} as planned, layers and concrete with priming, hose and specimens: "
        f"{', '.join(days)}."
    )


def tell_stops(model: ScenarioModel) -> Iterator[str]:
    """Say which machines stop how often."""
    if not model.walls:
        return
    stops = [f"{stop.name} every {stop.every:g} h {_measure(stop.per)}" for stop in model.breakdowns]
    yield f"Unplanned stops: {', '.join(stops)}." if stops else "Unplanned stops: none."


def _measure(per: str) -> str:
    return "of pumping" if per == "pumped" else "of nozzle"


def assume_printing(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Say what is assumed of printing and its concrete."""
    day, concrete = plan.print_day, model.concrete
    if day is None or concrete is None:
        return
    shorter = ", shorter in heat by the rate of hardening of fib Model Code 2010"
    heat = shorter if concrete.heat else ", whatever the heat"
    yield (
        f"Concrete may be used for {minutes(day.working_life)} from first water at 20 °C{heat}; this is an input, "
        "agreed with the producer."
    )
    yield from _admixtures(concrete, day)
    if concrete.layer_interval is None and concrete.build_up_at_nozzle is not None:
        yield (
            f"The shortest layer interval, {minutes(day.shortest_interval)}, follows from a build-up of "
            f"{concrete.build_up_at_nozzle:g} Pa/s (Roussel 2006); it stands for a test, not in place of one."
        )
    elif day.shortest_interval == 0.0:
        yield "No shortest layer interval is given: a layer never waits for the one below."
    yield (
        f"A joint older than {minutes(day.open_time)} from bead to bead is counted as unplanned and prepared for "
        f"{minutes(day.joint_time)}; what it means for the wall is for the engineer to say."
    )
    laid = {wall.joint_steel.beside for wall in model.walls.values() if wall.joint_steel is not None}
    if False in laid:
        yield "Joint steel is laid while the nozzle stands still, not beside it."
    if True in laid:
        yield "Joint steel is laid beside the nozzle, which does not wait for it."
    yield from _rise(model, plan, measures)
    if model.breakdowns:
        yield "How often machines stop is a starting value, nothing is published; replace it by your own log."
    else:
        yield "No unplanned stops are played."
    yield "A cure is a fixed time that runs day and night; only the engineer's release counts on site."
    yield (
        "The print crew is kept from the order to the print day, also over a day that is called off; a day's end is "
        "never put off to another layer that would not leave time for wash-out."
    )
    if isinstance(plan.supply, ReadyMix):
        yield (
            "Concrete is ordered for the next morning once the step before is done or will be done that day; a load "
            "that fails its test is replaced by the plant as soon as it can, at the plant's cost."
        )
        yield from _morning_call(model)
        late = _first_load_late(plan, day, plan.supply)
        if plan.supply.notice and late + plan.supply.notice > 0.0:
            yield (
                f"Go or no go falls {minutes(late + plan.supply.notice)} too late to call the first load off: on a day "
                "that is no go it comes for nothing, and goes back. Decide earlier (printer.go_before), or let it come "
                "later (supply.first_arrival)."
            )
        elif late > 0.0:
            yield (
                f"The first load of a day cannot be at the gate in time: go or no go falls {minutes(late)} too late. "
                "Decide earlier (printer.go_before), or let it come later (supply.first_arrival)."
            )
    else:
        yield (
            "Where concrete grows too old in the hopper while the printer stands, the mixer begins the next batch when "
            "the printer goes on."
        )
        if sum(unit.kind is UnitKind.PRINTER for unit in plan.units) > 1:
            yield "Each printer has a mixer of its own."
    for building, wall in model.walls.items():
        yield from _beyond_the_tent(model, building, wall)


def _morning_call(model: ScenarioModel) -> Iterator[str]:
    """Say what is taken for granted of the call to the plant in the morning."""
    supply = model.supply
    if not isinstance(supply, ReadyMixSupply):
        return
    if supply.morning_call == "adjust":
        given = "" if "morning_call" in supply.model_fields_set else ", assumed since the scenario says nothing of it"
        yield (
            "Where a day has fallen short, the loads ordered for the layers after it are cut in the morning to what is "
            f"left to print{given}; no more comes than was ordered."
        )
    if not supply.notice:
        given = "" if "notice" in supply.model_fields_set else ", assumed since the scenario says nothing of it"
        yield f"The plant batches nothing before the go, and a load can be called off until it is batched{given}."


def _admixtures(concrete: Concrete, day: PrintDay) -> Iterator[str]:
    """Say what retarder, accelerator and a waiver are taken to do."""
    if concrete.retarder > 1.0:
        yield (
            f"A retarder is taken to lengthen working life {concrete.retarder:g} times and to slow the build-up as "
            "many times."
        )
    if concrete.accelerator is not None:
        yield (
            f"Concrete is accelerated at the pump: it is taken to set in a hose that stands for "
            f"{minutes(day.hose_life)}, whose contents are then lost and which is cleared in {minutes(day.hose_clear)}."
        )
    if concrete.waiver is not None:
        yield (
            f"Concrete is used up to {minutes(concrete.waiver.until)} from first water, {minutes(day.waived)} past its "
            f"agreed life, by a waiver of {concrete.waiver.by}; how much that is stands with the results."
        )
    if concrete.heat:
        yield (
            "For its life concrete counts as warm as the air at first water, with the given rise, or as the air in the "
            "tent where that is warmer, all the way to the nozzle."
        )


def _rise(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Hold the pace at which walls rise against what their fresh concrete carries, alike walls together."""
    warned: dict[str, list[str]] = {}
    for building in plan.buildings:
        if building.shell is not None and model.concrete is not None and plan.print_day is not None:
            interval = max(min(building.shell.wall.nozzle_hours), plan.print_day.shortest_interval)
            entry = model.walls[building.name]
            for warning in (
                *_rises_too_fast(entry, interval, model.concrete, measures),
                *_falls(entry, building.shell.wall, interval, model.concrete),
            ):
                warned.setdefault(warning, []).append(building.name)
    for warning, names in warned.items():
        yield f"{together(names)}: {warning}"


def _rises_too_fast(entry: Wall, interval: float, concrete: Concrete, measures: Measures) -> Iterator[str]:
    build_up, rise = concrete.build_up_at_nozzle, entry.layer_height / interval
    if build_up is not None and rise > steady_rise(concrete.density, build_up):
        yield (
            f"the wall rises by up to {measures.height(rise)} an hour, more than the "
            f"{measures.height(steady_rise(concrete.density, build_up))} that a build-up of {build_up:g} Pa/s carries "
            "over the fresh height: ask the engineer, or give a longer layer interval."
        )


def _falls(entry: Wall, wall: PlannedWall, interval: float, concrete: Concrete) -> Iterator[str]:
    """Warn where a free straight bead would fall within a day's layers."""
    fresh = concrete.fresh
    if fresh is None:
        return
    layers = layers_to_failure(
        entry.layer_height,
        entry.bead_width,
        interval,
        concrete.density,
        LinearGrowth(fresh.strength, fresh.strength_growth),
        LinearGrowth(fresh.stiffness, fresh.stiffness_growth),
    )
    done = most = 0
    while done < wall.layers:
        target = wall.day_target(done)
        most, done = max(most, target - done), target
    if layers <= most:
        yield (
            f"by its fresh strength and stiffness a free straight bead, without corners or ties, would fall at layer "
            f"{layers} of a day at {minutes(interval)} a layer; a day is to print {most}. Corners and ties help, how "
            "much is for the engineer to say: fewer layers a day, slower layers, or a stiffer mix."
        )


def _first_load_late(plan: Plan, day: PrintDay, supply: ReadyMix) -> float:
    """Give the time [h] by which the first truck would have to leave before the go of the morning."""
    hours = plan.calendars[plan.units[day.crew[0]].hours]
    starts = [start for spans in hours.spans.values() for start, _ in spans[:1]]
    first = supply.ordering.first_arrival
    return max(starts) - day.go_before - (first - supply.loading.mean - supply.haul.mean)


def _beyond_the_tent(model: ScenarioModel, building: str, wall: Wall) -> Iterator[str]:
    """Say which steps count on a tent that has left by then."""
    entry, weather = model.relocation, model.weather
    if entry is None or weather is None or entry.tent_leaves not in (TakeDown.WALLS, TakeDown.STRENGTH):
        return
    has = "has" if entry.tent_leaves is TakeDown.WALLS else "may have"
    sheltered = [
        name
        for name in wall.finish
        if (limits := weather.limits.get(wall.tasks[name].limits or "")) is not None and limits.shelter == "tent"
    ]
    if sheltered:
        yield f"{building}: {together(sheltered)} is held to limits in the tent, which {has} left by then."
