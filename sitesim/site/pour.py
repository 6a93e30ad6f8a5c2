"""A pour in one go: its loads are ordered the day before, come from a plant, and are placed one after the other.

Nothing else on the site is waited for while it lasts, so it is worked out at once when it begins, and is one event.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

from sitesim.chance import Distribution, Luck, stream
from sitesim.hours import on_clock
from sitesim.ledger.rows import NOBODY, REFUSED, Hold, PouredLoad
from sitesim.plan import Cause, Kind, Node, Pour, in_drops
from sitesim.site.supply import cut_off_before
from sitesim.site.world import Front, Process, World

_MOST_REFUSED = 20
"""No further load of a pour is refused after so many, so that every pour ends."""


def order_the_pour(world: World, node: Node, front: Front, pour: Pour) -> Process:
    """Wait for the first morning for which its concrete can be ordered; returns the front.

    Somebody who saw the step before under way, and done this day, has ordered by the cut-off of the day before.
    """
    now = world.env.now
    shift = world.stage.days(world.stage.names_of(tuple(group[0] for group in node.task.needs)))
    foreseen = _foreseen_since(world, front, now)
    for morning in (now, *shift.starts[bisect_right(shift.starts, now) :]):
        midnight = 24.0 * (morning // 24)
        cut_off = cut_off_before(shift, midnight, pour.cut_off)
        if foreseen <= (midnight if cut_off is None else cut_off):
            if morning > now:
                yield morning - now
                front = front.held(Hold(morning, Cause.CONCRETE, NOBODY))
            return front
    return front


def place_the_pour(world: World, node: Node, pour: Pour) -> float:
    """Pour from this instant on; gives the time [h] that it takes, from the preparation to the finished surface."""
    start = world.env.now
    placing = Placing(pour, node, world.luck, start)
    placing.place_all()
    world.ledger.poured += placing.loads
    world.ledger.counts.pour_breaks += placing.breaks
    if world.ledger.diary is not None:
        place = world.plan.buildings[node.building].name if node.building >= 0 else ""
        for load in placing.loads:
            world.ledger.remark(load.arrived, place, "{}: load {} at the gate, {}", node.key, load.number, load.verdict)
    return on_clock(placing.ready + pour.finish - start)


@dataclass(slots=True)
class Placing:
    """A pour under way: ``left`` to be placed [m³], ``ready`` [h] for the next load, and the loads that have come."""

    pour: Pour
    node: Node
    luck: Luck
    start: float
    left: float = field(init=False)
    ready: float = field(init=False)
    loads: list[PouredLoad] = field(default_factory=list)
    breaks: int = 0

    def __post_init__(self) -> None:
        self.left = self.pour.volume
        self.ready = self.start + self.pour.prepare

    def place_all(self) -> None:
        """Take load after load; what is refused or too old is ordered again."""
        first, spacing = self.ready, self.pour.spacing
        coming = [(volume, first + i * spacing) for i, volume in enumerate(self.pour.sizes.cut(self.left))]
        while self.left > 0.0:
            volume, due = coming.pop(0) if coming else (self.pour.sizes.next(self.left), self.ready + self._lead)
            again = self._take(in_drops(volume), due)
            if again is not None:
                coming.insert(0, (volume, again))

    @property
    def _lead(self) -> float:
        return self.pour.loading.mean + self.pour.haul.mean

    def _take(self, volume: float, due: float) -> float | None:
        """Place a load as far as it is wanted and young enough; gives when its replacement is due if it is refused."""
        pour, number = self.pour, len(self.loads) + 1
        batched = due - self._lead
        arrived = batched + self._draw(pour.loading, "loading", number) + self._draw(pour.haul, "haul", number)
        tested = arrived + pour.gate
        if number <= _MOST_REFUSED and self.luck.uniform(stream("pour refused", self.node.key), number) < pour.refused:
            self._record(number, volume, batched, arrived, tested, tested, 0.0, volume, REFUSED)
            return tested + self._lead
        begun = max(tested, self.ready)
        if self.left < pour.volume and begun - self.ready > pour.longest_break:
            self.breaks += 1
        young = max(0.0, batched + pour.working_life - begun) * pour.rate
        placed = min(volume, self.left)
        if young < placed:
            placed = min(placed, in_drops(young))
            self._record(number, volume, batched, arrived, begun, due, placed, volume - placed, "too old")
        else:
            self._record(number, volume, batched, arrived, begun, due, placed, 0.0, "placed")
        self.left -= placed
        self.ready = begun + placed / pour.rate
        return None

    def _draw(self, distribution: Distribution, quantity: str, number: int) -> float:
        return self.luck.draw(distribution, stream(f"pour {quantity}", self.node.key), number)

    def _record(
        self,
        number: int,
        volume: float,
        batched: float,
        arrived: float,
        begun: float,
        due: float,
        placed: float,
        rejected: float,
        verdict: str,
    ) -> None:
        ended = begun + placed / self.pour.rate
        stood = ended - max(arrived + self.pour.gate, due)
        standby = max(0.0, stood - self.pour.standby_free * volume)
        self.loads.append(
            PouredLoad(
                self.node.index, number, volume, batched, arrived, begun, ended, placed, rejected, standby, verdict
            )
        )


def _foreseen_since(world: World, front: Front, now: float) -> float:
    """Tell since when [h] it could be seen that the pour is next: the beginning of the work before, if of this day."""
    serial = front.by
    while serial != NOBODY and world.ledger.entries[serial].kind is Kind.INSPECTION:
        serial = world.ledger.entries[serial].ready_by
    if serial == NOBODY:
        return now
    entry = world.ledger.entries[serial]
    return entry.start if entry.end // 24 == now // 24 else min(now, entry.end)
