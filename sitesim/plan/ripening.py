"""Time that passes faster in warmth or dry air: the maturity of a pour, the drying of joint compound."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sitesim.plan.climate import Shelter


class Law(StrEnum):
    """By what an hour counts: the warmth of concrete, or how dry and warm the air is."""

    MATURITY = "maturity"
    DRYING = "drying"


@dataclass(frozen=True, slots=True)
class Ripening:
    """What has to be reached before a step is over, hour by hour from its beginning.

    Parameters: ``target``, by `Law.MATURITY` in °C·h above ``datum`` [°C], by `Law.DRYING` in hours [h] at 20 °C and
    half the vapour that air can hold; ``shelter``, what stands over it, None in the open.
    """

    law: Law
    target: float
    datum: float = 0.0
    shelter: Shelter | None = None
