"""Which trades may share a home, and how much they slow each other where they do."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Crowding:
    """How gangs in one place slow each other.

    Parameters: ``above``, the number of gangs that do not; ``each``, the share by which every further one lengthens
    the work that is begun then.
    """

    above: int
    each: float

    def factor(self, gangs: int) -> float:
        """Give by what the work takes longer that is begun when ``gangs`` are there, one's own among them."""
        return 1.0 + self.each * max(0, gangs - self.above)


@dataclass(frozen=True, slots=True)
class Sharing:
    """The rules for several gangs at work in one home.

    Parameters: ``alone``, names of tasks during which nobody else works in the home; ``apart``, pairs of tasks that do
    not share one; ``outside``, tasks that are done outside the homes and occupy none; ``in_home`` and ``in_building``,
    crowding there.
    """

    alone: frozenset[str] = frozenset()
    apart: frozenset[frozenset[str]] = frozenset()
    outside: frozenset[str] = frozenset()
    in_home: Crowding | None = None
    in_building: Crowding | None = None
