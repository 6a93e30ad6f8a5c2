"""What is said to the plant in the morning, when it is known how far the day before came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from sitesim.policies.ordering import Delivery


class MorningView(NamedTuple):
    """What the one who calls the plant with the go of a morning knows.

    ``ordered``, the loads ordered the evening before, in the order of their arrival; ``settled``, for each whether it
    is too late to change it; ``wanted``, the loads that would be ordered for what really stands; ``soonest`` [h], when
    a load could be at the gate that is changed now.
    """

    ordered: Sequence[Delivery]
    settled: Sequence[bool]
    wanted: Sequence[Delivery]
    soonest: float


class MorningCall(Protocol):
    """Decides what becomes of an order on the morning of its day."""

    def call(self, view: MorningView) -> tuple[Delivery, ...]:
        """Give the loads that come, in the order of their arrival; the others are called off."""
        ...


@dataclass(frozen=True, slots=True)
class ConfirmTheOrder:
    """The order stands as it was placed, whatever the day before came to."""

    def call(self, view: MorningView) -> tuple[Delivery, ...]:
        """Leave everything as it was ordered."""
        return tuple(view.ordered)


@dataclass(frozen=True, slots=True)
class AdjustTheOrder:
    """Loads that the day will not need are called off or made smaller, and come when they are needed.

    No more comes than was ordered, neither in loads nor in the volume of any.
    """

    def call(self, view: MorningView) -> tuple[Delivery, ...]:
        """Bring the order, load by load, to what is wanted now, as far as it can still be changed."""
        kept = []
        for place, (ordered, is_settled) in enumerate(zip(view.ordered, view.settled, strict=True)):
            if is_settled:
                kept.append(ordered)
            elif place < len(view.wanted):
                kept.append(_changed(ordered, view.wanted[place], view.soonest))
        return tuple(kept)


def _changed(ordered: Delivery, wanted: Delivery, soonest: float) -> Delivery:
    """Give a load as it is wanted now, not larger than it was ordered, and no sooner than it can be there."""
    due = wanted.due if wanted.due >= ordered.due else max(wanted.due, min(ordered.due, soonest))
    return Delivery(min(ordered.volume, wanted.volume), due)
