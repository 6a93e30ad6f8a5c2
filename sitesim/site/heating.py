"""How long the tents were heated in a run."""

from __future__ import annotations

from operator import attrgetter

from sitesim.hours import NEVER
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import Entry
from sitesim.plan import Plan
from sitesim.site.world import World

_end_of = attrgetter("end")


def heated_hours(world: World) -> float:
    """Give the hours [h] at full power for which tents were heated, from when each stood until it was struck.

    Day and night, for fresh walls must not freeze: an assumption. A tent that still stands is heated to the last entry.
    """
    shelter = world.plan.printing_shelter
    return 0.0 if shelter is None else world.hours.heated(shelter, spans_of_tents(world.plan, world.ledger))


def spans_of_tents(plan: Plan, ledger: Ledger) -> list[tuple[float, float]]:
    """Give the spans [h] in which tents stood, each from when it was up until it was begun to be struck."""
    shells = [building.shell for building in plan.buildings if building.shell is not None]
    stood = [shell for shell in shells if shell.tent_up in ledger.ended]
    struck = _first_starts(ledger.entries, {shell.tent_down for shell in stood})
    last = max(map(_end_of, ledger.entries)) if len(struck) < len(stood) else NEVER
    return [(ledger.ended[shell.tent_up], struck.get(shell.tent_down, last)) for shell in stood]


def _first_starts(entries: list[Entry], nodes: set[int]) -> dict[int, float]:
    """Give the instant [h] at which the first entry of each of some nodes begins, as far as there is one."""
    return {entry.node: entry.start for entry in reversed(entries) if entry.node in nodes}
