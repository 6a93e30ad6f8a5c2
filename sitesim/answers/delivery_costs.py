"""What the print days cost, item by item, from their hours and volumes and the prices of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitesim.plan import Plan, ReadyMix, SiteMix, UnitKind

Figures = Mapping[str, NDArray[np.float64]]
"""Columns of `sitesim.ledger.print_days.PrintDays`, a value for each run."""


@dataclass(frozen=True, slots=True)
class Prices:
    """The prices of a supply and of a print day, in the scenario's currency.

    Parameters: ``mix`` [/m³] of ready-mix; ``short_load`` [/m³] on loads below the limit; ``standby`` [/h];
    ``disposal`` [/m³] of concrete returned or rejected; ``cancellation`` [/load]; ``blend`` [/m³]; ``hands`` [/h] and
    ``mixer`` [/working day] where it is mixed on site; ``holding`` [/working day] of a holding hopper; ``hire``
    [/print day] of printer and tent.
    """

    mix: float = 0.0
    short_load: float = 0.0
    standby: float = 0.0
    disposal: float = 0.0
    cancellation: float = 0.0
    blend: float = 0.0
    hands: float = 0.0
    mixer: float = 0.0
    holding: float = 0.0
    hire: float = 0.0

    @classmethod
    def of(cls, plan: Plan) -> Prices:
        """Take the prices of a plan; those of the other way of supply are nothing."""
        supply = plan.supply
        hire = sum(_day_of_one(plan, kind) for kind in (UnitKind.PRINTER, UnitKind.TENT))
        if isinstance(supply, ReadyMix):
            return cls(
                mix=supply.price,
                short_load=supply.short_load,
                standby=supply.standby,
                disposal=supply.disposal,
                cancellation=supply.cancellation,
                holding=supply.holding.day if supply.holding else 0.0,
                hire=hire,
            )
        if isinstance(supply, SiteMix):
            return cls(disposal=supply.disposal, blend=supply.blend, hands=supply.hands, mixer=supply.mixer, hire=hire)
        return cls(hire=hire)


def _day_of_one(plan: Plan, kind: UnitKind) -> float:
    """Give the hire [currency/day] of one machine of a kind; all of a kind cost the same."""
    return next((unit.hire.day for unit in plan.units if unit.kind is kind), 0.0)


def items_of_cost(figures: Figures, prices: Prices) -> dict[str, NDArray[np.float64]]:
    """Give each item of the cost [currency] of each run; what costs nothing in any run is left out.

    What the plant is told to take back because it failed its test is the producer's own, and neither paid nor disposed
    of. Concrete for joints, priming and specimens is in what was bought. The crew is paid for every hour of a print
    day, waiting and overtime included, and printer and tent are hired for each print day, so that one more day costs
    its start-up and wash-out.
    """
    own_rejected = figures["rejected_m3"] - figures["refused_m3"]
    items = {
        "ready-mix": prices.mix * (figures["batched_m3"] - figures["refused_m3"]),
        "short loads": prices.short_load * figures["short_m3"],
        "truck standby": prices.standby * figures["standby_hours"],
        "loads called off": prices.cancellation * figures["loads_called_off"],
        "dry blend": prices.blend * figures["batched_m3"],
        "mixing hands": prices.hands * figures["day_hours"],
        "mixer": prices.mixer * figures["campaign_days"],
        "holding hopper": prices.holding * figures["campaign_days"],
        "disposal": prices.disposal * (own_rejected + figures["returned_m3"]),
        "crew on print days": figures["crew_cost"],
        "printer and tent on print days": prices.hire * figures["print_days"],
    }
    return {item: np.asarray(amounts, dtype=float) for item, amounts in items.items() if np.any(amounts)}


def cost_of(figures: Figures, prices: Prices) -> NDArray[np.float64]:
    """Give the cost [currency] of each run."""
    return np.asarray(sum(items_of_cost(figures, prices).values(), np.zeros(len(figures["in_place_m3"]))))
