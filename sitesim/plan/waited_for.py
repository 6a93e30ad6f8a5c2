"""What holds a date, told finer than by its cause: which gang, which inspector, which delivery."""

from __future__ import annotations

from typing import NamedTuple

from sitesim.plan.site import Plan
from sitesim.plan.terms import Cause, Kind, UnitKind
from sitesim.plan.work import Node, Unit

_AFTER_A_TASK = (" inspection", " rework")


class WaitedFor(NamedTuple):
    """What holds a date: its ``cause``, and ``of``, the gang, inspector or delivery where it is one's; else empty."""

    cause: str
    of: str = ""


def gang_of_unit(unit: Unit, units: tuple[Unit, ...]) -> str:
    """Name the gang, or the machine, of which a unit is one of several: ``drywall`` for ``drywall 2``."""
    name, _, number = unit.name.rpartition(" ")
    several = number.isdecimal() and any(other.name == f"{name} 1" for other in units)
    return name if several else unit.name


class Holders:
    """Tells of a plan's activities what holds a date where they do.

    Parameters: ``plan``.
    """

    def __init__(self, plan: Plan) -> None:
        self._units = plan.units
        self._inspectors = [inspector.name for inspector in plan.inspectors]
        self._nodes = {node.key: node for node in plan.nodes}
        self._printing = self._gangs(() if plan.print_day is None else plan.print_day.needs)

    def of(self, cause: str, activity: str) -> WaitedFor:
        """Give what holds a date by a cause in an activity, which is named by its key in the ledger."""
        key = activity
        for ending in _AFTER_A_TASK:
            key = key.removesuffix(ending)
        return WaitedFor(cause, self._whose(cause, self._nodes.get(key)))

    def _whose(self, cause: str, node: Node | None) -> str:
        if cause == Cause.CREW:
            return self._printing if node is None else self._gangs(node.task.needs)
        if node is None:
            return ""
        if cause == Cause.INSPECTION and node.task.inspection is not None:
            return self._inspectors[node.task.inspection.inspector]
        return node.task.name if cause == Cause.MATERIAL and node.task.kind is Kind.DELIVERY else ""

    def _gangs(self, needs: tuple[tuple[int, ...], ...]) -> str:
        """Name the gangs of a task, each of those that will do."""
        units = [self._units[index] for each in needs for index in each]
        names = [gang_of_unit(unit, self._units) for unit in units if unit.kind is UnitKind.GANG]
        return " and ".join(dict.fromkeys(names))
