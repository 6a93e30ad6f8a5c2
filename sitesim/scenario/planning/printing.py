"""Walls, the print day and the stops of machines in the numbers of the plan."""

from __future__ import annotations

from math import inf

from sitesim.chance import Exponential
from sitesim.hours import on_clock
from sitesim.plan import PlannedStop, PrintDay, Stop, Wall, in_drops
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.shells import setting_up
from sitesim.scenario.planning.units import BOTH_SHIFTS, Roster
from sitesim.scenario.sections.printing import Breakdown, Concrete, Printer
from sitesim.scenario.sections.wall import PathRange
from sitesim.scenario.sections.wall import Wall as WallEntry
from sitesim.trade.bead import layer_volume, nozzle_time
from sitesim.trade.fresh import shortest_layer_interval


def make_wall(wall: WallEntry, printer: Printer, concrete: Concrete, layers_a_day: int | None) -> Wall:
    """Give each layer of a wall its nozzle time and its concrete; nobody is invited to see one."""
    ranges = [wall.range_of(layer) for layer in range(1, wall.layers + 1)]
    paths = [part.path for part in ranges]
    return Wall(
        nozzle_hours=tuple(on_clock(nozzle_hours(part, printer)) for part in ranges),
        volume=tuple(
            in_drops(layer_volume(path, wall.layer_height, wall.bead_width, concrete.waste)) for path in paths
        ),
        stops=planned_stops(wall),
        day_ends=day_ends(wall),
        layers_a_day=layers_a_day or wall.layers,
    )


def nozzle_hours(part: PathRange, printer: Printer) -> float:
    """Give the time [h] in which the nozzle lays one layer of a range, with travel and turns."""
    return nozzle_time(part.path, printer.speed * part.speed, printer.travel) + part.turns * printer.turn


def planned_stops(wall: WallEntry) -> dict[int, tuple[PlannedStop, ...]]:
    """Give the stops of the nozzle by the layer after which they come; nothing is laid on the last layer."""
    stops: dict[int, list[PlannedStop]] = {}
    if wall.joint_steel is not None and wall.joint_steel.time > 0.0 and not wall.joint_steel.beside:
        for layer in range(wall.joint_steel.every, wall.layers, wall.joint_steel.every):
            stops.setdefault(layer, []).append(PlannedStop("joint steel", wall.joint_steel.time))
    for lintels in wall.lintels:
        stops.setdefault(lintels.layer, []).append(PlannedStop("lintels set and bedded", lintels.time))
    for stop in wall.stops:
        stops.setdefault(stop.layer, []).append(PlannedStop(stop.name, stop.time))
    return {layer: tuple(stops[layer]) for layer in sorted(stops)}


def day_ends(wall: WallEntry) -> tuple[int, ...]:
    """Give the layers at which a print day is to end: those named, those with a hold, and the last."""
    held = [point.layer for point in wall.points if point.kind == "hold"]
    return tuple(sorted({*wall.day_ends, *(hold.layer for hold in wall.holds), *held, wall.layers}))


def shortest_interval(model: ScenarioModel) -> float:
    """Give the shortest layer interval [h]: as given, or from the build-up of the concrete for the highest layer."""
    concrete = model.concrete
    if concrete is None or not model.walls:
        return 0.0
    if concrete.layer_interval is not None:
        return concrete.layer_interval
    if concrete.build_up_at_nozzle is None:
        return 0.0
    height = max(wall.layer_height for wall in model.walls.values())
    return on_clock(shortest_layer_interval(height, concrete.density, concrete.build_up_at_nozzle))


def make_print_day(model: ScenarioModel, roster: Roster) -> PrintDay | None:
    """Give the print day, or None where nothing is printed."""
    printer, pump, concrete = model.printer, model.pump, model.concrete
    if not model.walls or printer is None or pump is None or concrete is None:
        return None
    return PrintDay(
        crew=roster.skills[printer.crew],
        limits=printer.limits or "",
        rank=len(setting_up(model)),
        go_before=printer.go_before,
        align=printer.align,
        prime=pump.prime,
        wash_out=pump.wash_out,
        least_hours=printer.least_day,
        priming=in_drops(pump.priming),
        specimens=in_drops(concrete.specimens),
        hose=in_drops(pump.hose.contents),
        hopper=in_drops(pump.hopper),
        first_layer_share=printer.first_layer,
        shortest_interval=shortest_interval(model),
        open_time=concrete.open_time,
        working_life=concrete.retarded_life,
        life_falls_with_heat=concrete.heat,
        joint_time=concrete.joint.time,
        joint_concrete=in_drops(concrete.joint.concrete),
        stops=tuple(map(_stop, model.breakdowns)),
        slump_check=printer.slump_check,
        planned_joint_time=concrete.planned_joint.time if concrete.planned_joint else 0.0,
        planned_joint_concrete=in_drops(concrete.planned_joint.concrete) if concrete.planned_joint else 0.0,
        meal_after=printer.meal.after if printer.meal else inf,
        meal=printer.meal.time if printer.meal else 0.0,
        hose_life=concrete.accelerator.life if concrete.accelerator else inf,
        hose_clear=concrete.accelerator.clear if concrete.accelerator else 0.0,
        waived=on_clock(concrete.waived),
        warmth=concrete.warmth.rise,
        least_warmth=concrete.warmth.least,
        second_crew=roster.skills[printer.second_crew] if printer.second_crew else (),
        hours=BOTH_SHIFTS if printer.second_crew else "",
    )


def _stop(entry: Breakdown) -> Stop:
    old, pause = entry.old, entry.pause
    return Stop(
        entry.name,
        entry.per,
        Exponential(entry.every),
        entry.time,
        entry.loses_hose,
        old_after=old.after if old else inf,
        old_counts=old.counts if old else 1.0,
        pause_after=pause.after if pause else inf,
        pause_counts=pause.counts if pause else 0.0,
    )
