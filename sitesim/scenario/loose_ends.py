"""Where a finishing sequence does not hang together: islands, early beginnings, and ends that nothing waits for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.finishing import After

Waits = Mapping[str, tuple[After, ...]]


@dataclass(frozen=True)
class LooseEnds:
    """What of one sequence does not hang together.

    Parameters: ``islands``, groups of tasks that wait for nothing outside the group and that nothing outside waits for,
    where the rest hangs together; ``on_slab``, whether that rest begins with the slab or the shell; ``at_once``, tasks
    that wait for nothing though others wait for the slab; ``on_delivery``, tasks of a building or home that wait for
    their own delivery alone; ``without_homes``, tasks of building or site that no task of
    a home waits for; ``ends``, the tasks of homes that nothing waits for.
    """

    islands: tuple[tuple[str, ...], ...]
    on_slab: bool
    at_once: tuple[str, ...]
    on_delivery: tuple[str, ...]
    without_homes: tuple[str, ...]
    ends: tuple[str, ...]


def loose_ends(model: ScenarioModel, sequence: str) -> LooseEnds:
    """Find what of a sequence does not hang together."""
    assert model.finishing is not None
    waits = model.finishing.sequences[sequence]
    before = _before(model, waits)
    outside = {name for names in before.values() for name in names} - set(waits)
    groups = list(_groups(before))
    main = max(groups, key=lambda group: (bool(outside & group), len(group)), default=frozenset())
    islands = tuple(tuple(name for name in waits if name in group) for group in groups if group != main)
    alone = {name for island in islands for name in island}
    followed = {name for names in before.values() for name in names}
    of_homes = [name for name in waits if _per(model, name) == "home"]
    reached = _reached(before, of_homes)
    return LooseEnds(
        islands=islands,
        on_slab=bool(outside),
        at_once=tuple(name for name in waits if outside and not before[name] and name not in alone),
        on_delivery=tuple(
            name for name in waits if outside and not waits[name] and before[name] and _per(model, name) != "site"
        ),
        without_homes=tuple(
            name for name in waits if of_homes and name not in reached and name not in of_homes and name not in alone
        ),
        ends=tuple(name for name in of_homes if name not in followed),
    )


def _per(model: ScenarioModel, name: str) -> str:
    task = model.finishing_tasks.get(name)
    return "home" if task is None else task.per


def _before(model: ScenarioModel, waits: Waits) -> dict[str, set[str]]:
    """Give for each task what it waits for, what its delivery waits for included."""
    before: dict[str, set[str]] = {}
    for name, afters in waits.items():
        task = model.finishing_tasks.get(name)
        ordered = task.delivery.ordered_after if task is not None and task.delivery is not None else ()
        others = {after.task for after in ordered if after.task in waits or after.task not in model.finishing_tasks}
        before[name] = {after.task for after in afters} | others
    return before


def _groups(before: Mapping[str, set[str]]) -> Iterator[frozenset[str]]:
    """Give what hangs together, in the order of the tasks; what comes before the sequence is one thing."""
    beside: dict[str, set[str]] = {name: set() for name in before}
    outside: set[str] = set()
    for name, others in before.items():
        for other in others:
            outside |= {other} - set(before)
            beside.setdefault(other, set()).add(name)
            beside[name].add(other)
    for name in outside:
        beside[name] |= outside
    seen: set[str] = set()
    for name in before:
        if name not in seen:
            group = _reached(beside, [name])
            seen |= group
            yield frozenset(group)


def _reached(beside: Mapping[str, set[str]], names: list[str]) -> set[str]:
    """Give names and all that can be reached from them."""
    found, waiting = set(names), list(names)
    while waiting:
        for other in beside.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
