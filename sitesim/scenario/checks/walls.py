"""Do the layers, path, print days and tasks of each wall fit together?"""

from __future__ import annotations

from itertools import pairwise

from sitesim.scenario.checks.case import Case, items, minutes
from sitesim.scenario.checks.conditions import check_point
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.planning.printing import nozzle_hours, shortest_interval
from sitesim.scenario.planning.shells import shell_events
from sitesim.scenario.sections.wall import WHOLE_HEIGHT, Lintels, Wall

_SAME_LENGTH = 1e-6
_MOST_LAYERS = 2000
_PRINTED_SECTIONS = ("printer", "tent", "pump", "concrete", "supply", "crews", "relocation")


def check_walls(case: Case) -> None:
    """Each wall that is written is one that can be printed."""
    for trail, wall, _ in case.walls():
        _check_height(case, trail, wall)
        if case.untouched((*trail, "height"), (*trail, "layer_height")):
            _check_path(case, trail, wall)
            _check_day_ends(case, trail, wall)
            _check_layers(case, trail, wall)
        _check_tasks(case, trail, wall)
        _check_cure(case, trail, wall)


def check_printed_sections(case: Case) -> None:
    """A site that prints has a printer, and all that belongs to it."""
    printed = list(case.model.walls)
    if not printed:
        return
    for section in _PRINTED_SECTIONS:
        if not getattr(case.model, section):
            case.say((section,), f"is missing; it is needed to print {items(printed)} (or write wall: none)")


def check_open_time(case: Case) -> None:
    """A layer is printed, and carries the next one, before its joint counts as unplanned."""
    concrete, printer = case.model.concrete, case.model.printer
    trail: Trail = ("concrete", "open_time")
    if concrete is None or not case.model.walls:
        return
    written = case.text(trail)
    shortest = shortest_interval(case.model)
    if shortest > concrete.open_time:
        case.say(
            trail,
            f"{written} is shorter than the shortest layer interval ({minutes(shortest)}): "
            "every joint would be unplanned",
            ("concrete", "layer_interval"),
            ("concrete", "build_up"),
            ("concrete", "density"),
            ("wall", "layer_height"),
        )
    if printer is None or not case.untouched(("wall",), ("site", "buildings"), ("printer",)):
        return
    for building, wall in case.model.walls.items():
        layer = max(range(1, wall.layers + 1), key=lambda layer: nozzle_hours(wall.range_of(layer), printer))
        longest = nozzle_hours(wall.range_of(layer), printer)
        if longest > concrete.open_time:
            case.say(
                trail,
                f"{written} is shorter than layer {layer} of {building} takes ({minutes(longest)}): "
                "every joint would be unplanned",
            )
            return


def check_waiver(case: Case) -> None:
    """A waiver lengthens the agreed life."""
    concrete = case.model.concrete
    if concrete is None or concrete.waiver is None:
        return
    if concrete.waiver.until <= concrete.retarded_life:
        case.say(
            ("concrete", "waiver", "until"),
            f"{case.text(('concrete', 'waiver', 'until'))} is no longer than the agreed life "
            f"({minutes(concrete.retarded_life)}): leave the waiver out",
            ("concrete", "working_life"),
            ("concrete", "retarder"),
        )
    longest = 24.0
    if concrete.waiver.until > longest:
        case.say(
            ("concrete", "waiver", "until"),
            f"{case.text(('concrete', 'waiver', 'until'))} is not believed; no producer waives more than {longest:g} h",
        )


def check_meal(case: Case) -> None:
    """A meal comes before the day is over."""
    printer = case.model.printer
    if printer is None or printer.meal is None or not case.untouched(("crews",), ("calendar",), ("printer",)):
        return
    week = case.model.calendars[case.model.calendar_of(printer.crew)]
    if printer.meal.after >= week.longest_day:
        case.say(
            ("printer", "meal", "after"),
            f"{case.text(('printer', 'meal', 'after'))} is no sooner than the end of a day of {week.longest_day:g} h",
        )


def _check_height(case: Case, trail: Trail, wall: Wall) -> None:
    layers = wall.height / wall.layer_height
    if layers > _MOST_LAYERS:
        message = (
            f"{case.text((*trail, 'height'))} makes {layers:.0f} layers; more than {_MOST_LAYERS} are not believed"
        )
        case.say((*trail, "height"), message, (*trail, "layer_height"))
        return
    if layers >= 1.0 - _SAME_LENGTH and abs(layers - round(layers)) < _SAME_LENGTH * layers:
        return
    fewer = max(1, int(layers))
    near = [f"{count} make {count * wall.layer_height:.4g} m" for count in (fewer, fewer + 1)]
    case.say(
        (*trail, "height"),
        f"{case.text((*trail, 'height'))} is not a whole number of layers of "
        f"{case.text((*trail, 'layer_height'))}: {items(near)}",
        (*trail, "layer_height"),
    )


def _check_path(case: Case, trail: Trail, wall: Wall) -> None:
    if not case.untouched((*trail, "path")):
        return
    if wall.path and wall.path[0].layers == (1, WHOLE_HEIGHT):
        return
    covered = 0
    for index, part in enumerate(wall.path):
        at = (*trail, "path", index, "layers")
        first, last = part.layers
        if first <= covered:
            twice = _have(first, min(last, covered))
            case.say(at, f"{twice} two paths; this range should begin at layer {covered + 1}")
        elif first > covered + 1:
            case.say(at, f"{_have(covered + 1, first - 1)} no path; this range should begin at layer {covered + 1}")
        covered = max(covered, last)
    if covered != wall.layers and case.untouched((*trail, "path")):  # gaps and overlaps found above say enough
        end = f"ends at layer {covered}" if covered else "is empty"
        case.say((*trail, "path"), f"{end}, the wall has {wall.layers} layers")


def _have(first: int, last: int) -> str:
    return f"layer {first} has" if first == last else f"layers {first}-{last} have"


def _check_day_ends(case: Case, trail: Trail, wall: Wall) -> None:
    at = (*trail, "day_ends")
    for earlier, later in pairwise(wall.day_ends):
        if later <= earlier:
            case.say(at, f"{later} follows {earlier}; the layers should rise")
            return
    if wall.day_ends and wall.day_ends[-1] != wall.layers:
        case.say(at, f"the last is layer {wall.day_ends[-1]}, it should be the wall's last, {wall.layers}")


def _check_layers(case: Case, trail: Trail, wall: Wall) -> None:
    for index, stop in enumerate(wall.stops):
        if stop.layer > wall.layers:
            case.say((*trail, "stops", index, "layer"), f"there is no layer {stop.layer}, the wall has {wall.layers}")
    for index, lintels in enumerate(wall.lintels):
        _check_lintels(case, (*trail, "lintels", index), wall, lintels)
    for index, hold in enumerate(wall.holds):
        at = (*trail, "holds", index, "layer")
        if hold.layer > wall.layers:
            case.say(at, f"there is no layer {hold.layer}, the wall has {wall.layers}")
        elif hold.layer == wall.layers:
            case.say(at, f"nothing is printed after layer {hold.layer}; put its tasks into finish")
    _check_points(case, trail, wall)
    if wall.joint_steel is not None and wall.joint_steel.every >= wall.layers:
        case.say(
            (*trail, "joint_steel", "every"),
            f"{wall.joint_steel.every} layers are as many as the wall has ({wall.layers}): "
            "there would be no joint steel",
        )


def _check_points(case: Case, trail: Trail, wall: Wall) -> None:
    """Inspectors are called to layers that there are, under names of their own."""
    tasks = {name for _, name, _ in case.works()}
    for index, point in enumerate(wall.points):
        at = (*trail, "points", index)
        check_point(case, at, point)
        if point.layer > wall.layers:
            case.say((*at, "layer"), f"there is no layer {point.layer}, the wall has {wall.layers}")
        elif point.layer == wall.layers and point.kind == "hold":
            message = (
                f"nothing is printed after layer {point.layer}; write the hold for a task of finish in inspections"
            )
            case.say((*at, "layer"), message)
        if point.name in tasks or point.name in shell_events(case.model):
            message = f"{point.name} is a task; write its point in inspections.points, or take another name"
            case.say((*at, "name"), message)
        elif point.name in {other.name for other in wall.points[:index]}:
            case.say((*at, "name"), f"{point.name} is the name of another point of this wall; take another")


def _check_lintels(case: Case, trail: Trail, wall: Wall, lintels: Lintels) -> None:
    """Lintels lie on a layer that carries another, and the gantry can lift them: a crane cannot under the tent."""
    if lintels.layer >= wall.layers:
        case.say((*trail, "layer"), f"there is no layer above {lintels.layer}, the wall has {wall.layers}")
    printer = case.model.printer
    if printer is None:
        return
    if printer.rated_lift is None:
        case.say(
            (*trail, "mass"),
            "the gantry has no rated lift; write printer.rated_lift, like 150 kg, from the manufacturer",
            ("printer", "rated_lift"),
        )
    elif lintels.mass > printer.rated_lift:
        case.say(
            (*trail, "mass"),
            f"{case.text((*trail, 'mass'))} is more than the gantry's rated lift ({printer.rated_lift:g} kg), and a "
            "crane cannot lift under the raised tent: lighter lintels, in pieces, or a hold with its own task",
            ("printer", "rated_lift"),
        )


def _check_tasks(case: Case, trail: Trail, wall: Wall) -> None:
    named: list[tuple[Trail, str]] = [
        *(((*trail, "holds", index, "tasks"), name) for index, hold in enumerate(wall.holds) for name in hold.tasks),
        *(((*trail, "finish"), name) for name in wall.finish),
    ]
    for at, name in named:
        if name not in wall.tasks:
            case.say(at, f"there is no task {name} in wall.tasks: {nearest(name, wall.tasks)}", (*trail, "tasks"))
    for name in wall.tasks:
        if name in shell_events(case.model) and name != "beam":
            case.say((*trail, "tasks", name), f"{name} is a step of every printed building; take another name")


def _check_cure(case: Case, trail: Trail, wall: Wall) -> None:
    if wall.cure is None or wall.cure.after is None or not case.untouched((*trail, "finish")):
        return
    last = wall.finish[-1] if wall.finish else "walls"
    if wall.cure.after != last:
        case.say(
            (*trail, "cure", "after"),
            f"{wall.cure.after} is not the last step before the cure, which is {last}",
        )
