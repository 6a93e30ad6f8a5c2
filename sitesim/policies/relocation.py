"""When gantry and tent come to a building and when they leave it, and by which steps they move."""

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
    """The event after which a thing leaves the building.

    ``strength`` is a maturity of the walls' concrete since the last layer: it says when to ask the engineer for
    release. ``roof`` is for a tent that stays until nothing but itself keeps the roof from going on.
    """

    WALLS = "walls"
    BEAM = "beam"
    CURE = "cure"
    STRENGTH = "strength"
    ROOF = "roof"


class GantryMoves(StrEnum):
    """How the gantry gets from one slab to the next: taken down and set up again, or in one piece."""

    TAKEN_DOWN = "taken-down"
    RAILS = "rails"
    CRANE = "crane-in-one-piece"


COMING = {"printer": ("gantry_travel", "ballast", "gantry_up", "gantry_on"), "tent": ("tent_travel", "tent_up")}
"""The steps by which each thing may come onto a slab, in order."""

SETTLING = ("align", "calibrate", "test_bead")
"""The steps before the first print day once gantry and tent stand, in order."""

GOING = {"printer": ("gantry_off", "gantry_down", "ballast_off"), "tent": ("tent_down",)}
"""The steps by which each thing may leave a slab, in order."""


@dataclass(frozen=True, slots=True)
class Relocation:
    """The method of set-up, the events after which gantry and tent leave, and how the gantry moves between slabs."""

    order: SetUpOrder
    gantry_leaves: TakeDown
    tent_leaves: TakeDown
    gantry_moves: GantryMoves = GantryMoves.TAKEN_DOWN

    @property
    def in_one_piece(self) -> bool:
        """Whether the gantry stays in one piece between slabs."""
        return self.gantry_moves is not GantryMoves.TAKEN_DOWN

    @property
    def tent_goes_first(self) -> bool:
        """Whether the tent is struck before the gantry under it can leave: a crane lifts it out, no rails lead out."""
        return self.order is SetUpOrder.GANTRY_FIRST and self.gantry_moves is not GantryMoves.RAILS

    @property
    def gantry_waits_for_tent(self) -> bool:
        """Whether the gantry, its own event past, may find the tent still standing and has to wait for it."""
        return self.tent_goes_first and (self.gantry_leaves, self.tent_leaves) == (TakeDown.CURE, TakeDown.STRENGTH)

    @property
    def tent_stands_over_gantry(self) -> bool:
        """Whether the tent may still be raised when the gantry leaves a building."""
        if self.gantry_leaves is self.tent_leaves:
            return not self.tent_goes_first
        earlier = {
            TakeDown.WALLS: (),
            TakeDown.BEAM: (TakeDown.WALLS,),
            TakeDown.STRENGTH: (TakeDown.WALLS,),
            TakeDown.CURE: (TakeDown.WALLS, TakeDown.BEAM),
            TakeDown.ROOF: (TakeDown.WALLS, TakeDown.BEAM, TakeDown.STRENGTH, TakeDown.CURE),
        }
        return self.tent_leaves not in earlier[self.gantry_leaves] and not self.gantry_waits_for_tent

    def asked_for(self) -> tuple[str, str]:
        """Give the order in which every building of the site asks for the two; one order, so no deadlock."""
        return ("printer", "tent") if self.order is SetUpOrder.GANTRY_FIRST else ("tent", "printer")

    def leave_after(self, event: TakeDown) -> tuple[str, ...]:
        """Tell what leaves once ``event`` has happened, in order.

        A gantry that a crane set is lifted out by crane, so the tent over it is struck first.
        """
        leaving = [
            thing for thing, when in (("printer", self.gantry_leaves), ("tent", self.tent_leaves)) if when is event
        ]
        return tuple(reversed(leaving)) if self.tent_goes_first else tuple(leaving)

    def coming(self, thing: str, again: bool) -> tuple[str, ...]:
        """Name the steps by which a thing comes onto a slab.

        Parameters: ``again``, whether it has stood on this site before.
        """
        left_out = {"gantry_on"} if not (again and self.in_one_piece) else {"ballast", "gantry_up"}
        if not again:
            left_out |= {"gantry_travel", "tent_travel"}
        return tuple(step for step in COMING[thing] if step not in left_out)

    def going(self, thing: str, again: bool) -> tuple[str, ...]:
        """Name the steps by which a thing leaves a slab; on rails the gantry is rolled off before it is taken down.

        Parameters: ``again``, whether another slab waits for it.
        """
        left_out = {"gantry_down", "ballast_off"} if again and self.in_one_piece else set()
        if not self.in_one_piece or (not again and self.gantry_moves is not GantryMoves.RAILS):
            left_out.add("gantry_off")
        return tuple(step for step in GOING[thing] if step not in left_out)

    def can_come_again(self, thing: str, again: bool) -> bool:
        """Tell whether a thing that has left can be given to another building; one taken down for good has gone.

        Parameters: ``again``, whether another slab waited for it when it left.
        """
        return again or not self.stays_here(thing)

    def stays_here(self, thing: str) -> bool:
        """Tell whether a thing stands on the site in one piece from its first slab until its last."""
        return thing == "printer" and self.in_one_piece

    def may_come(self, thing: str) -> tuple[str, ...]:
        """Name all steps by which a thing may come, for the first time or again, in order."""
        played = {*self.coming(thing, False), *self.coming(thing, True)}
        return tuple(step for step in COMING[thing] if step in played)

    def may_go(self, thing: str) -> tuple[str, ...]:
        """Name all steps by which a thing may leave, for another slab or for good, in order."""
        played = {*self.going(thing, False), *self.going(thing, True)}
        return tuple(step for step in GOING[thing] if step in played)
