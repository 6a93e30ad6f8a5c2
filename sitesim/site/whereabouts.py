"""Where gantries and tents stand, and whether a building still waits for one."""

from __future__ import annotations

from collections import Counter
from math import dist

from sitesim.plan import Plan, Shell, UnitKind

Group = tuple[int, ...]
"""The units of which any one serves a building."""


class Whereabouts:
    """Knows of each gantry and tent beside which slab it stands, and for how many buildings they are still wanted.

    A unit is wanted again where more buildings wait to be served by its group than units of the group stand here free,
    or leave another slab. One that has not been here yet is taken only where more wait than stand here. So each that
    stays in one piece is sure to be taken, and none is fetched while another one is taken down.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._of_kind = {
            kind: tuple(i for i, unit in enumerate(plan.units) if unit.kind is kind)
            for kind in (UnitKind.PRINTER, UnitKind.TENT)
        }
        self._beside: dict[int, int] = {}
        shells = [building.shell for building in plan.buildings if building.shell is not None]
        self._waiting = Counter(self.serving(shell, kind) for shell in shells for kind in self._of_kind)
        self._standing = dict.fromkeys(self._waiting, 0)
        """How many of a group have left a slab, or are leaving it, for another."""

    def serving(self, shell: Shell, kind: UnitKind) -> Group:
        """Give the units of which any one serves a building."""
        return shell.served_by.get(kind, self._of_kind[kind])

    def has_been_here(self, unit: int) -> bool:
        """Tell whether a unit has stood on this site before."""
        return unit in self._beside

    def way(self, unit: int, building: int) -> float:
        """Give the way [m] of a unit from the building beside which it stands, in a straight line; 0 if not known."""
        before = self._plan.buildings[self._beside.get(unit, building)].at
        there = self._plan.buildings[building].at
        return 0.0 if before is None or there is None else dist(before, there)

    def comes(self, unit: int, building: int, group: Group) -> None:
        """Take note that a unit has been given to a building."""
        self._standing[group] -= unit in self._beside
        self._beside[unit] = building
        self._waiting[group] -= 1

    def leaves(self, group: Group) -> bool:
        """Take note that a unit leaves its building; tells whether another one waits for it.

        Enough stand here without one that nobody waits for, and it is not counted any more.
        """
        again = self.takes_more_than_stand(group)
        self._standing[group] += again
        return again

    def takes_more_than_stand(self, group: Group) -> bool:
        """Tell whether more buildings wait to be served by a group than units of it stand here free, or will soon."""
        return self._waiting[group] > self._standing[group]
