"""One step of a story: asks for crews and machines, waits for hours, is done, and leaves its entry in the ledger."""

from __future__ import annotations

from collections.abc import Callable

import simpy

from sitesim.hours import NEVER, on_clock
from sitesim.ledger.rows import Entry
from sitesim.plan import Inspection, Kind, Node, WitnessPoint
from sitesim.site.crews import Crew
from sitesim.site.engaging import engage, first_hours, until
from sitesim.site.foresight import Foresight
from sitesim.site.pour import order_the_pour, place_the_pour
from sitesim.site.world import Front, Process, World


def perform(
    world: World,
    node: Node,
    front: Front,
    with_units: tuple[int, ...] = (),
    added: float = 0.0,
    booked: float | None = None,
) -> Process:
    """Do a step: wait for what it needs, work, give back, and pass its inspection.

    Parameters: ``front``, where the story stands; ``with_units``, long-held machines that take part; ``added`` [h],
    what the way of a machine adds to the work; ``booked`` [h], the end of a visit that was booked ahead. Returns the
    front after the step. A step that the starting state calls done takes no time.
    """
    if node.key in world.plan.state.done:
        return _pass_over(world, node, front)
    task, pour = node.task, node.task.pour
    if pour is not None:
        front = yield from order_the_pour(world, node, front, pour)
    front, crew = yield from engage(world, node, front, 0.0 if task.splittable else _window(world, node, added))
    learned = world.begin_repetition(node, crew.units) * crew.slower
    inspection, start = task.inspection, world.env.now
    fails = 0.0 if inspection is None else world.chance_of_failing(node, inspection, crew.units)
    length = world.hours_of_work(node, learned) + added
    if pour is not None:
        length = max(length, place_the_pour(world, node, pour))
    if task.ripening is not None:
        length = max(length, world.hours.ripened(task.ripening, start) - start)
    visit, visits = booked, 0
    if inspection is None or inspection.witness or booked is not None:
        end = _end_of_work(node, crew, start, length)
        if world.foresight is not None:
            _foretell(world, world.foresight, node, crew, start, end, visit, learned, added)
    else:
        expected = world.expected_hours(node, learned) + added
        end, visit = _begin_work(world, node, inspection, crew, start, length, expected, 0)
        visit, visits = yield from _moved(world, node, inspection, end, visit, 0)
    if end > world.env.now:
        yield until(world, node.key, end, node, begun=True)
    front = _end_work(world, node, node.key, front, crew, with_units, start, end)
    if inspection is None:
        return front
    if inspection.witness:
        see_as_a_witness(world, node.key, node.building, inspection, start, end)
        return front
    assert visit is not None
    return (yield from _inspect(world, node, inspection, front, with_units, visit, visits, fails))


def let_pass(world: World, node: Node, front: Front, then: Callable[[Front], None]) -> None:
    """Let the time of a step pass that needs nobody, such as a lag; ``then`` is told the front after it."""
    window = 0.0 if node.task.splittable else _window(world, node)
    front, start, crew = first_hours(world, node, front, window)
    end = _end_of_work(node, crew, start, world.hours_of_work(node, world.begin_repetition(node, ())))
    if node.task.ripening is not None:
        end = max(end, world.hours.ripened(node.task.ripening, start))
    if world.foresight is not None:
        _foretell(world, world.foresight, node, crew, start, end, None, 1.0)

    def passed(_: simpy.Event) -> None:
        then(Front.after(_note(world, node, node.key, front, start, end, crew, ())))

    world.env.as_event(until(world, node.key, end, node, begun=start <= world.horizon)).callbacks.append(passed)


def _foretell(
    world: World,
    foresight: Foresight,
    node: Node,
    crew: Crew,
    start: float,
    end: float,
    visit: float | None,
    learned: float,
    added: float = 0.0,
) -> None:
    """Tell who is called at notice when a step that has begun should be done.

    A visit is booked, and how a coat dries can be seen coming (assumption); else the time is what a planner expects.
    Parameters: ``end`` [h] of the step; ``visit`` [h] booked for it; ``learned``, the factor of its crew; ``added`` [h]
    to its work.
    """
    if node.index not in foresight.behind:
        return
    if visit is not None:
        end = visit
    elif node.task.ripening is None:
        end = _end_of_work(node, crew, start, world.expected_hours(node, learned) + added)
    foresight.begun(node.index, end)


def _begin_work(
    world: World,
    node: Node,
    inspection: Inspection,
    crew: Crew,
    start: float,
    length: float,
    expected: float,
    visits: int,
) -> tuple[float, float]:
    """Begin to work for ``length`` [h], and book the inspector for the end that is ``expected`` [h].

    Parameters: ``visits``, how many the step has had. Returns the end [h] and the booked visit [h].
    """
    end = _end_of_work(node, crew, start, length)
    likely = end if expected == length else _end_of_work(node, crew, start, expected)
    return end, _book(world, node, inspection, visits, likely)


def _book(world: World, node: Node, inspection: Inspection, visits: int, expected: float) -> float:
    """Book a visit [h] for work that is ``expected`` to be ready then [h]; who is called at notice hears of it."""
    visit = world.appointments.book(node, inspection.inspector, visits, world.env.now, expected)
    if world.foresight is not None:
        world.foresight.begun(node.index, visit)
    return visit


def _moved(world: World, node: Node, inspection: Inspection, end: float, visit: float, visits: int) -> Process:
    """Move a visit that the work will not be ready for, where that is seen while it can still be moved.

    Parameters: ``end`` [h] of the work, known to whoever does it by then. Returns the visit [h] and how many were
    booked before it.
    """
    who, appointments = inspection.inspector, world.appointments
    seen_late = appointments.can_be_moved_until(who, visit)
    if visit - world.plan.inspectors[who].visit >= end or seen_late < world.env.now or visit == NEVER:
        return visit, visits
    if seen_late > world.env.now:
        yield until(world, node.key, seen_late, node, begun=True)
    appointments.call_off(who, visit)
    again = _book(world, node, inspection, visits + 1, end)
    of_theirs = world.ledger.visits[who]
    of_theirs.moved += 1
    if again < NEVER:
        of_theirs.waited_for_moved += again - end
    _remark(world, node.key, node.building, "{}: the work will be late; the booked visit is moved")
    return again, visits + 1


def see_as_a_witness(
    world: World, key: str, building: int, point: Inspection | WitnessPoint, begins: float, ends: float
) -> None:
    """Let an invited witness come, or not, to work that went on from ``begins`` to ``ends`` [h]; nothing waits."""
    came = world.appointments.witness(key, point.inspector, point.comes, begins, ends)
    name, visits = world.plan.inspectors[point.inspector].name, world.ledger.visits[point.inspector]
    if came < NEVER:
        visits.witnessed += 1
        _remark(world, key, building, "{}: the {} inspector came as a witness", name)
    else:
        visits.missed += 1
        _remark(world, key, building, "{}: the {} inspector did not come as a witness; the work went on", name)


def _end_work(
    world: World,
    node: Node,
    key: str,
    front: Front,
    crew: Crew,
    with_units: tuple[int, ...],
    start: float,
    end: float,
) -> Front:
    """Leave the entry of the work under its ``key``, and give the crew back; returns the front after it."""
    entry = _note(world, node, key, front, start, end, crew, with_units)
    units = crew.units
    if units:
        if not world.stage.cranes.isdisjoint(units):
            world.ledger.counts.crane_calls += 1
        world.crews.give_back(units, entry.serial)
    return Front.after(entry)


def _window(world: World, node: Node, added: float = 0.0) -> float:
    """Give the hours [h] that have to fit into one interval of work that may not be split."""
    return world.expected_hours(node, world.coming_factor(node)) + added


def _end_of_work(node: Node, crew: Crew, start: float, length: float) -> float:
    """Tell when ``length`` [h] of a step end; a lift or a pour goes on to its end once begun."""
    return crew.hours.finish(start, length) if node.task.splittable else start + length


def _note(
    world: World,
    node: Node,
    key: str,
    front: Front,
    start: float,
    end: float,
    crew: Crew,
    with_units: tuple[int, ...],
) -> Entry:
    """Leave the entry of a step; the hours of its crew count only where they could have split it."""
    splits = node.task.splittable and crew.hours is not world.stage.everlasting
    return world.ledger.note(
        node.index,
        key,
        node.task.kind,
        node.building,
        front,
        start,
        end,
        crew.units + with_units,
        crew.hours if splits else None,
        crew.shift if splits else None,
    )


def _pass_over(world: World, node: Node, front: Front) -> Front:
    world.begin_repetition(node, node.task.needs[0][:1] if node.task.needs else ())
    now = world.env.now
    return Front.after(world.ledger.note(node.index, node.key, Kind.MILESTONE, node.building, front, now, now))


def _inspect(
    world: World,
    node: Node,
    inspection: Inspection,
    front: Front,
    with_units: tuple[int, ...],
    visit: float,
    visits: int,
    fails: float,
) -> Process:
    """Wait for the booked visit; a visit that came too early is lost; a failed one brings rework and another.

    Parameters: ``visits``, how many were booked before; ``fails``, the chance that a visit does.
    """
    inspector = world.plan.inspectors[inspection.inspector]
    counts, theirs = world.ledger.counts, world.ledger.visits[inspection.inspector]
    attempt = 0
    while True:
        now = world.env.now
        if visit - inspector.visit < now:
            counts.lost_visits += 1
            theirs.lost += 1
            visits += 1
            visit = _book(world, node, inspection, visits, now)
            if visit < NEVER:
                theirs.waited_for_lost += visit - now
            _remark(
                world,
                node.key,
                node.building,
                "{}: the work is later than the booked visit, which is lost; the next is {:.1f} days later",
                (visit - now) / 24.0,
            )
        key = f"{node.key} inspection"
        if visit > now:
            yield until(world, key, visit)
        counts.inspections += 1
        theirs.seen += 1
        theirs.waited += visit - now
        now = world.env.now
        seen = world.ledger.note(node.index, key, Kind.INSPECTION, node.building, front, front.reached, now)
        front = Front.after(seen)
        if world.luck.uniform(node.fails_stream, attempt) >= fails:
            _remark(world, node.key, node.building, "{}: the {} inspector came, passed", inspector.name)
            return front
        _remark(
            world,
            node.key,
            node.building,
            "{}: the {} inspector came, failed it; rework and a second visit",
            inspector.name,
        )
        counts.failed_inspections += 1
        theirs.failed += 1
        front, visit, visits = yield from _rework(world, node, inspection, front, with_units, attempt, visits + 1)
        attempt += 1


def _remark(world: World, key: str, building: int, text: str, *values: object) -> None:
    """Write about a step into the diary, if one is kept; ``text`` begins with the step's key."""
    if world.ledger.diary is not None:
        place = world.plan.buildings[building].name if building >= 0 else ""
        world.ledger.remark(world.env.now, place, text, key, *values)


def _rework(
    world: World,
    node: Node,
    inspection: Inspection,
    front: Front,
    with_units: tuple[int, ...],
    attempt: int,
    visits: int,
) -> Process:
    """Mend what an inspector refused; returns the front after it, the new visit [h], and how many came before it."""
    expected = on_clock(inspection.rework.mean)
    front, crew = yield from engage(world, node, front, 0.0 if node.task.splittable else expected)
    length = on_clock(world.hours_of_rework(node, inspection.rework, attempt) * crew.slower)
    key = f"{node.key} rework"
    start = world.env.now
    end, visit = _begin_work(world, node, inspection, crew, start, length, expected, visits)
    visit, visits = yield from _moved(world, node, inspection, end, visit, visits)
    if end > world.env.now:
        yield until(world, key, end, node, begun=True)
    return _end_work(world, node, key, front, crew, with_units, start, end), visit, visits
