"""Getting what a step needs: its crew and machines all together, in open hours; and what held it until then."""

from __future__ import annotations

import simpy

from sitesim.hours import Calendar
from sitesim.ledger.chain import stopped_between
from sitesim.ledger.rows import NOBODY, as_hold
from sitesim.plan import CAUSE_OF_KIND, CAUSE_OF_UNIT, Cause, Kind, Node, UnitKind
from sitesim.site.crews import Ask, Crew, Nobody, Rank
from sitesim.site.world import Front, Process, World


def engage(world: World, node: Node, front: Front, window: float) -> Process:
    """Wait until all that a step needs is free together and its hours are open.

    Parameters: ``window`` [h] that has to fit into one interval of open hours, 0 for work that may be split.
    Returns the front with what has held it, and the crew.
    """
    task = node.task
    if not task.needs:
        front, start, crew = first_hours(world, node, front, window)
        if start > world.env.now:
            yield until(world, node.key, start, node)
        return front, crew
    hours_of = world.hours_of(node).__getitem__
    stays = world.stage.stays
    stay = None if stays is None else stays[node.index]
    ask = world.crews.ask(node.key, world.ranks[node.building], task.rank, task.needs, hours_of, window, 0.0, stay)
    yield ask
    if world.env.now > front.reached:
        front = holds_of(world, front, ask, window)
    return front, ask


def first_hours(world: World, node: Node, front: Front, window: float) -> tuple[Front, float, Crew]:
    """Find the first open hours of a step that needs nobody.

    Returns the front with what holds it until then, when [h] that is, and the crew, which is nobody.
    """
    now = world.env.now
    hours, shift = world.hours_of(node)[()]
    start = hours.next_window(now, window) if window else hours.next_open(now)
    if start > now:
        front = _shut(world, front, hours, shift, start, window)
    return front, start, Nobody(hours, shift)


def hold_machine(
    world: World, kind: UnitKind, units: tuple[int, ...], building: int, front: Front, rank: Rank
) -> Process:
    """Ask for a printer or a tent, to be held until it has left the building.

    Parameters: ``units`` of which any one serves, by their ``rank``. Returns the front with the wait for it, and the
    unit.
    """
    place = world.plan.buildings[building]
    always = world.stage.everlasting, world.stage.everlasting
    ask = world.crews.ask(f"{place.name}/{kind}", place.rank, -1, (units,), lambda _: always, rank=rank)
    yield ask
    return front.held(as_hold((world.env.now, CAUSE_OF_UNIT[kind], ask.freed_by))), ask.units[0]


def holds_of(world: World, front: Front, ask: Ask, window: float) -> Front:
    """Tell what held a step between asking and now: a unit busy elsewhere, then the hours.

    Parameters: ``window`` [h] that had to fit.
    """
    now = world.env.now
    front = held_by_unit(world, front, ask)
    if now > front.reached:
        front = _shut(world, front, ask.hours, ask.shift, now, window)
    return front


def held_by_unit(world: World, front: Front, ask: Ask) -> Front:
    """Tell how long a step waited for a unit that was busy elsewhere."""
    since = ask.free_since
    if since > front.reached:
        kind = world.plan.units[ask.last_free].kind
        front = front.held(as_hold((since, CAUSE_OF_UNIT[kind], ask.freed_by)))
    return front


def _shut(world: World, front: Front, hours: Calendar, shift: Calendar, until: float, window: float) -> Front:
    """Tell why the hours were shut since the front was reached: night and weekend, its own length, absence, weather.

    Shut hours of a night carry the cause of what went before them. So does what is left of a shift into which work does
    not fit that has to go on without a break, whatever the minute at which it was ready; only where something else had
    held it by then does it wait because of itself.
    """
    since = front.reached
    opening = shift.next_window(since, window) if window else shift.next_open(since)
    if not front.holds:
        cause = _cause_of(world, front.by)
    elif window and shift.is_open(since):
        cause = Cause.PREDECESSOR
    else:
        cause = front.holds[-1].cause
    if is_away(shift, since, until):
        weather = cause if hours is shift else Cause.WEATHER
        return held_by_absence(
            held_by_absence(front, hours, shift, min(opening, until), cause), hours, shift, until, weather
        )
    if opening >= until:
        return front.held(as_hold((until, cause, NOBODY)))
    return front.held(
        as_hold((opening, cause, NOBODY)), as_hold((until, cause if hours is shift else Cause.WEATHER, NOBODY))
    )


def is_away(shift: Calendar, since: float, until: float) -> bool:
    """Tell whether somebody who keeps a shift is away in some of its usual hours between two instants [h]."""
    usual = shift.usual
    return usual is not None and usual.worked(since, until) > shift.worked(since, until)


def held_by_absence(front: Front, hours: Calendar, shift: Calendar, until: float, cause: Cause) -> Front:
    """Hold a front up to an instant [h] by who is away, by weather in which they could not have worked either.

    Parameters: ``hours`` of the work, and ``shift`` without the weather; ``cause`` of all other hours.
    """
    if until <= front.reached:
        return front
    stretches = stopped_between(hours, shift, front.reached, until, cause)
    return front.held(*(as_hold((end, cause if why is None else why, NOBODY)) for _, end, why in stretches))


def _cause_of(world: World, serial: int) -> Cause:
    return Cause.PREDECESSOR if serial == NOBODY else CAUSE_OF_KIND[world.ledger.entries[serial].kind]


def never(world: World, key: str, reason: str) -> simpy.Event:
    """Give an event that does not come, and leave the reason for whoever asks why the run did not end."""
    world.progress.never[key] = reason
    return world.env.event()


def until(world: World, key: str, instant: float, node: Node | None = None, begun: bool = False) -> simpy.Event | float:
    """Give the hours [h] until an instant to come [h]; one beyond the horizon never does, and leaves its reason.

    Parameters: ``node`` whose hours make the wait, None for an inspector's visit; ``begun``, whether it is the end of
    what has begun.
    """
    if instant > world.horizon:
        why = "no inspector comes" if node is None else _never_done(node) if begun else _never_open(node)
        return never(world, key, f"{why} within the horizon")
    return instant - world.env.now


def _never_open(node: Node) -> str:
    if node.task.limits:
        return f"no gang is free in hours whose weather allows it (limits {node.task.limits})"
    return "no gang is free in its hours" if node.task.needs else "its hours do not come"


def _never_done(node: Node) -> str:
    if node.task.kind is Kind.DELIVERY:
        return "it is on order and does not come"
    if node.task.kind is Kind.CURE:
        return "it has begun and is not over"
    limits = f" with weather that allows it (limits {node.task.limits})" if node.task.limits else ""
    return f"it has begun, and the hours to finish it{limits} do not come"
