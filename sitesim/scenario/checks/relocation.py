"""Can gantry and tent come, move and leave as the scenario says, and does what lifts them lift as much?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from sitesim.plan import UnitKind
from sitesim.policies import SETTLING, GantryMoves, OrderBy, Relocation, SetUpOrder, TakeDown
from sitesim.scenario.checks.case import Case, items
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.planning.units import lifting_machines_of
from sitesim.scenario.sections.relocation import RelocationEntry, TravelWork

_TRAIL: Trail = ("relocation",)


def check_lifting(case: Case) -> None:
    """No crane lifts under a raised tent."""
    entry = case.model.relocation
    if entry is None or not case.model.walls:
        return
    if entry.order is SetUpOrder.TENT_FIRST:
        _check_set_up_in_tent(case, entry)
    _check_settling(case, entry)
    _check_lifting_out(case, entry, entry.policy)


def _check_set_up_in_tent(case: Case, entry: RelocationEntry) -> None:
    if entry.gantry_lift == "crane":
        message = "a crane cannot lift the gantry under the raised tent; tent-first goes with telehandler"
        case.say((*_TRAIL, "gantry_lift"), message, (*_TRAIL, "order"))
    if entry.gantry_moves is GantryMoves.CRANE:
        message = "a crane cannot set the gantry down in one piece under the raised tent; tent-first goes with rails"
        case.say((*_TRAIL, "gantry_moves"), message, (*_TRAIL, "order"))
    for step in ("ballast", "gantry_up", "gantry_on"):
        work = getattr(entry.tasks, step)
        if work is not None and work.crane:
            message = "a crane cannot lift under the raised tent; tent-first goes with crane: false"
            case.say((*_TRAIL, "tasks", step, "crane"), message, (*_TRAIL, "order"))


def _check_settling(case: Case, entry: RelocationEntry) -> None:
    """What makes the gantry ready is done under the tent, whichever of the two came first."""
    for step in SETTLING:
        work = getattr(entry.tasks, step)
        if work is not None and work.crane:
            message = "a crane cannot lift under the raised tent, which stands by then; write crane: false"
            case.say((*_TRAIL, "tasks", step, "crane"), message)


def _check_lifting_out(case: Case, entry: RelocationEntry, relocation: Relocation) -> None:
    """What leaves under a tent that may still stand is not lifted by crane; on rails it is rolled out first."""
    if not relocation.tent_stands_over_gantry:
        return
    rails = entry.gantry_moves is GantryMoves.RAILS
    steps = ("gantry_off",) if rails else relocation.may_go("printer")
    lifted = [step for step in steps if (work := getattr(entry.tasks, step)) is not None and work.crane]
    gantry_first = entry.order is SetUpOrder.GANTRY_FIRST
    if not lifted and not (gantry_first and not rails and entry.gantry_lift == "crane"):
        return
    case.say(
        (*_TRAIL, "gantry_leaves") if gantry_first else (*_TRAIL, "tasks", lifted[0]),
        f"the gantry leaves after {entry.gantry_leaves} and the tent after {entry.tent_leaves}: a crane cannot "
        "lift it out under the raised tent",
        *((*_TRAIL, key) for key in ("tent_leaves", "order", "gantry_moves", "gantry_lift")),
    )


def check_leaving(case: Case) -> None:
    """What leaves after the beam has a beam to wait for, after a strength one that is given; a gantry does not stay."""
    entry = case.model.relocation
    if entry is None:
        return
    if entry.gantry_leaves is TakeDown.ROOF:
        message = "roof is for the tent; the gantry leaves after walls, beam, cure or strength"
        case.say((*_TRAIL, "gantry_leaves"), message)
    for key in ("gantry_leaves", "tent_leaves"):
        leaves = getattr(entry, key)
        if leaves is TakeDown.STRENGTH and entry.strength is None:
            message = (
                "strength is not given; write relocation.strength, like {reached: 1400 delta_degC*h, datum: 0 degC}"
            )
            case.say((*_TRAIL, key), message, (*_TRAIL, "strength"))
        if leaves is not TakeDown.BEAM:
            continue
        for trail, wall, _ in case.walls():
            if not wall.finish:
                case.say((*_TRAIL, key), "beam is never done: no task stands in wall.finish", (*trail, "finish"))


def check_moves(case: Case) -> None:
    """A gantry that moves in one piece has the tasks for it."""
    entry = case.model.relocation
    if entry is None or entry.gantry_moves is GantryMoves.TAKEN_DOWN or not case.model.walls:
        return
    for step, what in (("gantry_off", "off its slab"), ("gantry_on", "onto the next")):
        if getattr(entry.tasks, step) is None:
            message = f"is missing; with gantry_moves: {entry.gantry_moves} it takes the gantry {what}"
            case.say((*_TRAIL, "tasks", step), message)


def check_travel(case: Case) -> None:
    """Travel has one pace, and knows where every printed building lies."""
    for step, work in case.model.moving_tasks.items():
        if not isinstance(work, TravelWork):
            continue
        trail: Trail = (*_TRAIL, "tasks", step)
        if (work.per_100_m is None) == (work.speed is None):
            again = "not both" if work.speed is not None else "one of them is missing"
            message = f"takes its way by per_100_m, like 20 min, or by speed, like 2 km/h; {again}"
            case.say(trail, message, (*trail, "per_100_m"), (*trail, "speed"))
        silent = [name for name in case.model.walls if case.model.site.buildings[name].at is None]
        if silent:
            case.say(
                trail,
                f"needs to know where every printed building lies: at, like at: [0 m, 24 m]; nothing is said "
                f"of {items(silent)}",
                ("site", "buildings"),
            )


def check_masses(case: Case) -> None:
    """What a task lifts, its machine can lift at its working radius."""
    machines = {UnitKind.CRANE: case.model.crane, UnitKind.TELEHANDLER: case.model.telehandler}
    for trail, _, work in case.works():
        at = (*trail, "lifts")
        mass = work.lifts
        if mass is None:
            continue
        kinds = lifting_machines_of(work)
        if not kinds:
            case.say(at, "nothing lifts it; write crane: true or telehandler: true")
            continue
        charted = {kind: lifts for kind in kinds if (lifts := machines[kind].lifts) is not None}
        for kind in kinds:
            if kind not in charted:
                message = f"how much the {kind} lifts is not given; write {kind}.lifts at its working radius, like 3 t"
                case.say(at, message, (kind.value, "lifts"))
        if len(charted) == len(kinds) and mass > max(charted.values()):
            strongest = max(charted, key=lambda kind: charted[kind])
            case.say(
                at,
                f"{case.text(at)} is more than the {strongest} lifts at its working radius ({charted[strongest]:g} "
                "kg): a larger machine, or lighter pieces",
                (strongest.value, "lifts"),
            )


def check_fronts(case: Case) -> None:
    """Fronts have every printed building once, in their own order, and machines of their own."""
    site = case.model.site
    for at, counted in _machines(case):
        if isinstance(counted, dict):
            _check_counts(case, at, counted)
    if not site.fronts:
        return
    trail: Trail = ("site", "fronts")
    if site.order or site.order_by is not OrderBy.LISTED:
        key = "order" if site.order else "order_by"
        case.say(("site", key), "the fronts have the order of their lists; keep one of the two", trail)
    buildings = list(site.buildings)
    for front, names in site.fronts.items():
        for name in dict.fromkeys(names):
            if name not in buildings:
                case.say(
                    (*trail, front), f"{name} is not a building: {nearest(name, buildings)}", ("site", "buildings")
                )
    counts = Counter(name for names in site.fronts.values() for name in names)
    repeated = [name for name, count in counts.items() if count > 1]
    if repeated:
        case.say(trail, f"holds {items(repeated)} more than once; a building is of one front")
    missing = [name for name in case.model.walls if name not in counts]
    if missing:
        case.say(trail, f"lacks {items(missing)}; every printed building is of one front")


def _machines(case: Case) -> Iterator[tuple[Trail, int | dict[str, int]]]:
    for section in ("printer", "tent"):
        entry = getattr(case.model, section)
        if entry is not None:
            yield (section, "count"), entry.count


def _check_counts(case: Case, trail: Trail, counted: dict[str, int]) -> None:
    fronts = case.model.site.fronts
    if not fronts:
        case.say(trail, "there are no site.fronts; write one number", ("site", "fronts"))
        return
    for front in counted:
        if front not in fronts:
            case.say((*trail, front), f"{front} is not a front: {nearest(front, fronts)}", ("site", "fronts"))
    missing = [front for front in fronts if front not in counted]
    if missing:
        case.say(trail, f"lacks {items(missing)}; every front has its own", ("site", "fronts"))
