"""How long the tents were heated in a run."""

from __future__ import annotations

from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import Entry
from sitesim.plan import Plan
from sitesim.site.world import World


def heated_hours(world: World) -> float:
    """Give the hours [h] at full power for which tents were heated, from when each stood until it was struck.

    Day and night, for fresh walls must not freeze: an assumption. A tent that still stands is heated to the last entry.
    """
    shelter = world.plan.printing_shelter
    return 0.0 if shelter is None else world.hours.heated(shelter, spans_of_tents(world.plan, world.ledger))


def spans_of_tents(plan: Plan, ledger: Ledger) -> list[tuple[float, float]]:
    """Give the spans [h] in which tents stood, each from when it was up until it was begun to be struck."""
    if not ledger.entries:
        return []
    last = max(entry.end for entry in ledger.entries)
    struck = _first_starts(ledger.entries)
    return [
        (ledger.ended[building.shell.tent_up], struck.get(building.shell.tent_down, last))
        for building in plan.buildings
        if building.shell is not None and building.shell.tent_up in ledger.ended
    ]


def _first_starts(entries: list[Entry]) -> dict[int, float]:
    """Give the instant [h] at which each node's first entry begins."""
    starts: dict[int, float] = {}
    for entry in entries:
        if entry.node not in starts:
            starts[entry.node] = entry.start
    return starts
