"""When gantry and tent come to a building and when they leave it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class SetUpOrder(StrEnum):
    """Which of the two long-held things comes first onto a slab.

    Gantry first: a crane sets it on its ballast and the tent is raised over it.
    Tent first: the gantry is assembled inside by telehandler, since no crane lifts under a raised tent.
    """

    GANTRY_FIRST = "gantry-first"
    TENT_FIRST = "tent-first"


class TakeDown(StrEnum):
    """The event after which a thing leaves the building."""

    WALLS = "walls"
    BEAM = "beam"
    CURE = "cure"


@dataclass(frozen=True, slots=True)
class Relocation:
    """The method of set-up, and the events after which gantry and tent are taken down."""

    order: SetUpOrder
    gantry_leaves: TakeDown
    tent_leaves: TakeDown

    def asked_for(self) -> tuple[str, str]:
        """Give the order in which every building of the site asks for the two; one order, so no deadlock."""
        return ("printer", "tent") if self.order is SetUpOrder.GANTRY_FIRST else ("tent", "printer")

    def leave_after(self, event: TakeDown) -> tuple[str, ...]:
        """Tell what is taken down once ``event`` has happened, in order.

        A gantry that a crane set is lifted out by crane, so the tent over it is struck first.
        """
        leaving = [
            thing for thing, when in (("printer", self.gantry_leaves), ("tent", self.tent_leaves)) if when is event
        ]
        return tuple(reversed(leaving)) if self.order is SetUpOrder.GANTRY_FIRST else tuple(leaving)
