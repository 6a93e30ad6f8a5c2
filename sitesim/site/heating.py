"""How long the tents were heated in a run."""

from __future__ import annotations

from sitesim.ledger.rows import Entry
from sitesim.site.world import World


def heated_hours(world: World) -> float:
    """Give the hours [h] at full power for which tents were heated, from when each stood until it was struck.

    Day and night, for fresh walls must not freeze: an assumption. A tent that still stands is heated to the last entry.
    """
    plan, ledger = world.plan, world.ledger
    shelter = plan.printing_shelter
    if shelter is None or not ledger.entries:
        return 0.0
    last = max(entry.end for entry in ledger.entries)
    struck = _first_starts(ledger.entries)
    spans = [
        (ledger.ended[building.shell.tent_up], struck.get(building.shell.tent_down, last))
        for building in plan.buildings
        if building.shell is not None and building.shell.tent_up in ledger.ended
    ]
    return world.hours.heated(shelter, spans)


def _first_starts(entries: list[Entry]) -> dict[int, float]:
    """Give the instant [h] at which each node's first entry begins."""
    starts: dict[int, float] = {}
    for entry in entries:
        if entry.node not in starts:
            starts[entry.node] = entry.start
    return starts
