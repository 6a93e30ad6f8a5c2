"""The two ways in which concrete reaches the pump, as numbers."""

from __future__ import annotations

from dataclasses import dataclass

from sitesim.chance import Distribution
from sitesim.policies import OrderingPolicy


@dataclass(frozen=True, slots=True)
class ReadyMix:
    """A plant with trucks.

    Parameters: ``cut_off`` [h after midnight] for tomorrow's order; ``loading`` [h] at the bay, first water at its
    start; ``haul`` and ``back`` [h]; ``gate`` [h] for tests at the gate; ``refused``, chance that a load fails them;
    ``wash`` [h] of the truck on site after discharge. Prices in the scenario's currency: ``price`` [/m³],
    ``short_load`` [/m³ under ``short_under`` m³], ``standby`` [/h] beyond ``standby_free`` [h/m³], ``disposal`` [/m³]
    of concrete returned or rejected, ``cancellation`` [/load called off after the cut-off].
    """

    ordering: OrderingPolicy
    trucks: int
    bays: int
    cut_off: float
    loading: Distribution
    haul: Distribution
    back: Distribution
    gate: float
    refused: float
    wash: float
    price: float
    short_load: float
    short_under: float
    standby: float
    standby_free: float
    disposal: float
    cancellation: float


@dataclass(frozen=True, slots=True)
class SiteMix:
    """A mixer on site with its own hands.

    Parameters: ``batch`` [m³]; ``cycle`` [h] a batch, first water at its start; ``ready`` [h] from the start of the
    day to the first batch; ``fails``, chance that a batch is thrown away; ``blend`` [currency/m³] of dry material;
    ``hands`` [currency/h] while the day lasts; ``mixer`` [currency/working day on site]; ``disposal`` [currency/m³].
    """

    batch: float
    cycle: Distribution
    ready: float
    fails: float
    blend: float
    hands: float
    mixer: float
    disposal: float


Supply = ReadyMix | SiteMix
