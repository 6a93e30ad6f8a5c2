"""A holding hopper: takes a load at once, keeps it stirred, and lets its truck go."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial

from sitesim.hours import on_clock
from sitesim.plan import HoldingHopper
from sitesim.site.pump import Lot
from sitesim.site.supply import Gate, Truckload
from sitesim.site.world import Process


@dataclass(slots=True, eq=False)
class HoldingGate(Gate):
    """The way to the pump through a holding hopper: a load empties once little enough is left that it fits.

    Parameters: as for a `Gate`, whose pump's hopper counts the holding hopper's capacity in; ``holding``, the hopper.
    """

    holding: HoldingHopper = field(kw_only=True)

    def discharge(self, load: Truckload) -> Process:
        """Wait for room, empty the truck at the hopper's rate, and stir the load in with what is left."""
        pump, holding = self.pump, self.holding
        ahead = pump.hopper - holding.capacity  # in the pump's own hopper, which is not stirred
        room = pump.below(ahead + max(0.0, min(holding.refill_at, holding.capacity - load.volume)))
        if not room.triggered:
            self.wait_as_long_as_it_lives(load, partial(pump.give_up, room))
        yield room
        if not self.may_take(load):
            return
        load.discharge_begun = self.env.now
        yield on_clock(load.volume / holding.rate)
        load.discharge_ended = self.env.now
        if not self.may_take(load):
            return
        pump.no_longer_expect(load.volume)
        load.lot = Lot(load.volume, load.batched, self._expires_here(load))
        self.all_ended_by = max(self.all_ended_by, load.lot.expires)
        if pump.present <= ahead:
            pump.add(load.lot)
        else:
            pump.stir_in(load.lot)

    def _expires_here(self, load: Truckload) -> float:
        """Give the end [h] of a load's life in the hopper, which lengthens what was agreed, not what a waiver adds."""
        agreed = load.expires - self.pump.waived - load.batched
        return load.batched + on_clock(agreed * self.holding.life_factor) + self.pump.waived
