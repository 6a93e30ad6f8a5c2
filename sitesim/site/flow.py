"""Gangs that are kept running: how long each waits before it begins, found by playing the plain plan."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from sitesim.hours import Calendar
from sitesim.ledger.rows import Entry
from sitesim.plan import Plan
from sitesim.policies import KeptRunning, Stint
from sitesim.site.stage import Stage

_ROUNDS = 6
"""How often a delay is raised at most: what a later start does to the order of work may ask for more of it."""

PlayedWith = Callable[[Mapping[int, float]], Sequence[Entry]]
"""Plays the plain plan with start delays [h] by unit, and gives its entries."""


def start_delays(stage: Stage, plain_with: PlayedWith) -> dict[int, float]:
    """Give the start delay [h of its calendar] of each unit that is kept running; none for those that have begun.

    Gangs whose delay is not given are taken in the order in which their first work is ready, since whoever comes
    behind a gang that begins late is late as well.
    """
    plan = stage.plan
    flows = {unit: each.flow for unit, each in enumerate(plan.units) if isinstance(each.flow, KeptRunning)}
    serves = {unit: served_by(plan, unit) for unit in flows}
    waiting = [unit for unit in flows if not _has_begun(plan, serves[unit])]
    delays = {unit: flows[unit].start_delay or 0.0 for unit in waiting}
    unknown = [unit for unit in waiting if flows[unit].start_delay is None]
    if unknown:
        entries = plain_with(delays)
        firsts = {unit: _first_ready(entries, unit, serves[unit]) for unit in unknown}
        for unit in sorted(unknown, key=lambda unit: firsts[unit]):
            _raise_delay(stage, unit, flows[unit], serves[unit], delays, plain_with)
    return {unit: delay for unit, delay in delays.items() if delay > 0.0}


def served_by(plan: Plan, unit: int) -> frozenset[int]:
    """Give the nodes that a unit may do."""
    return frozenset(node.index for node in plan.nodes if any(unit in group for group in node.task.needs))


def _has_begun(plan: Plan, served: Iterable[int]) -> bool:
    begun = plan.state.done | {key for key, _ in plan.state.spent}
    return bool(begun) and any(plan.nodes[index].key in begun for index in served)


def _raise_delay(
    stage: Stage,
    unit: int,
    flow: KeptRunning,
    served: frozenset[int],
    delays: dict[int, float],
    plain_with: PlayedWith,
) -> None:
    """Raise the delay of a unit until the plain plan has it wait for no piece that a delay can bring together."""
    shift = stage.unit_shifts[unit]
    returning = _returning(stage, served)
    for _ in range(_ROUNDS):
        entries = plain_with(delays)
        first = shift.hours_before(_first_ready(entries, unit, served))
        found = flow.delay(first, _stints(entries, unit, shift, returning))
        if found <= delays[unit]:
            return
        delays[unit] = found


def _first_ready(entries: Sequence[Entry], unit: int, served: frozenset[int]) -> float:
    return min((entry.ready for entry in entries if entry.node in served or unit in entry.units), default=0.0)


def _stints(entries: Sequence[Entry], unit: int, shift: Calendar, returning: set[int]) -> list[Stint]:
    """Give the work of a unit in the order in which it was done, on its own working clock."""
    own = sorted((entry for entry in entries if unit in entry.units), key=lambda entry: entry.start)
    serials = {entry.serial for entry in own}
    return [
        Stint(
            shift.hours_before(_ready_but_for(entry, serials)),
            shift.worked(entry.start, entry.end),
            entry.node in returning,
        )
        for entry in own
    ]


def _ready_but_for(entry: Entry, own: set[int]) -> float:
    """Tell when [h] an activity could have begun, had not the gang been busy with its own other work."""
    busy = any(hold.by in own for hold in entry.holds)
    return entry.ready if busy else entry.start


def _returning(stage: Stage, served: frozenset[int]) -> set[int]:
    """Give those of the nodes that wait, however far behind, for another of them."""
    behind: set[int] = set()
    waiting = list(served)
    while waiting:
        for following in stage.successors[waiting.pop()]:
            if following not in behind:
                behind.add(following)
                waiting.append(following)
    return behind & served
