"""What to order from the plant for tomorrow: loads, and when each should stand at the gate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple, Protocol


class TomorrowView(NamedTuple):
    """What the one who orders knows the evening before.

    ``need``: concrete [m³] for the layers ahead, with waste, priming, hose and specimens.
    ``midnight``: the clock hour [h] at which tomorrow begins.
    """

    need: float
    midnight: float


class Delivery(NamedTuple):
    """One ordered load: its ``volume`` [m³] and the clock hour ``due`` [h] at the gate."""

    volume: float
    due: float


class OrderingPolicy(Protocol):
    """Decides the loads of one day."""

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Give the loads for tomorrow, in the order of their arrival."""
        ...


@dataclass(frozen=True, slots=True)
class FixedSpacing:
    """Loads of one size at a fixed spacing from a first arrival.

    Parameters: ``load`` [m³], the largest load; ``spacing`` [h] between arrivals; ``first_arrival``
    [h after midnight]; ``step`` [m³], the plant sells whole steps; ``least`` [m³], the smallest load it sells.
    """

    load: float
    spacing: float
    first_arrival: float
    step: float
    least: float

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Cut the need into full loads and a last one, rounded up to a whole step."""
        steps = max(1, math.ceil(view.need / self.step - 1e-9))
        steps_a_load = max(1, round(self.load / self.step))
        full, rest = divmod(steps, steps_a_load)
        volumes = [steps_a_load * self.step] * full
        if rest:
            volumes.append(max(rest * self.step, self.least))
        first = view.midnight + self.first_arrival
        return tuple(Delivery(volume, first + i * self.spacing) for i, volume in enumerate(volumes))
