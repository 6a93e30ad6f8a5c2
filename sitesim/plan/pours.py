"""A pour of ordinary concrete, such as the bond beam's: an order of its own beside the printed concrete."""

from __future__ import annotations

from dataclasses import dataclass

from sitesim.chance import Distribution
from sitesim.policies import LoadSizes


@dataclass(frozen=True, slots=True)
class Pour:
    """What a task pours in one go.

    Parameters: ``volume`` [m³]; ``rate`` [m³/h] at which it can be placed; ``sizes`` of the loads, the first of which
    is due ``prepare`` [h] after the work begins and the others a ``spacing`` [h] apart; ``finish`` [h] from the last
    concrete to the end of the work; ``working_life`` [h] from first water; ``longest_break`` [h], past which a wait for
    the next load counts as a break in the pour; ``cut_off`` [h after midnight] for tomorrow's order; ``loading``,
    ``haul``, ``gate`` [h] and ``refused`` as for a plant. Prices in the scenario's currency: ``price`` [/m³],
    ``short_load`` [/m³ under ``short_under`` m³], ``standby`` [/h] beyond ``standby_free`` [h/m³], ``disposal`` [/m³].
    """

    volume: float
    rate: float
    sizes: LoadSizes
    prepare: float
    spacing: float
    finish: float
    working_life: float
    longest_break: float
    cut_off: float
    loading: Distribution
    haul: Distribution
    gate: float
    refused: float
    price: float
    short_load: float
    short_under: float
    standby: float
    standby_free: float
    disposal: float

    @property
    def expected_hours(self) -> float:
        """The time [h] from the beginning of the work to its end where every load is on time."""
        loads = self.sizes.cut(self.volume)
        placed = 0.0
        for number, load in enumerate(loads):
            placed = max(placed, number * self.spacing + self.gate) + min(load, self.volume) / self.rate
        return self.prepare + placed + self.finish
