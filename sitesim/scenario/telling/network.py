"""What of a finishing network does not hang together, said in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitesim.scenario.loose_ends import LooseEnds, loose_ends
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.telling.measures import together


def tell_loose_ends(model: ScenarioModel) -> Iterator[str]:
    """Say of the sequences in play what begins without waiting, and what nothing waits for."""
    if model.finishing is None:
        return
    for sequence in dict.fromkeys(model.sequence_of(building) for building in model.building_order):
        for line in _of_sequence(loose_ends(model, sequence)):
            yield f"Sequence {sequence}: {line}"
    played = {name for waits in model.finishing.sequences.values() for name in waits}
    spare = [name for name in model.finishing.tasks if name not in played]
    if spare:
        yield f"No sequence has {_named(spare)}: nobody does {'it' if len(spare) == 1 else 'them'}."


def _of_sequence(found: LooseEnds) -> Iterator[str]:
    for island in found.islands:
        does = "is an island" if len(island) == 1 else "are an island"
        yield f"{_named(island)} {does}: nothing before or behind ties it to the rest, so it begins on the first day."
    if found.at_once:
        yield f"nothing is before {_named(found.at_once)}, not even the slab: this begins on the first day."
    if found.on_delivery:
        wait = "waits" if len(found.on_delivery) == 1 else "wait"
        yield (
            f"{_named(found.on_delivery)} {wait} for deliveries alone, and for no task: work begins as soon as they "
            "are there, whatever stands by then."
        )
    if found.without_homes:
        yield (
            f"no task of a home waits for {_named(found.without_homes)}, so a home counts as handed over without; its "
            "building and the site do not."
        )
    if len(found.ends) > 1:
        yield f"nothing waits for {_named(found.ends)}; a home counts as handed over when the last of them is done."


def _named(tasks: Iterable[str]) -> str:
    return together(task.replace("_", " ") for task in tasks)
