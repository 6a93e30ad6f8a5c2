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


def gangs_needed(needs: tuple[tuple[int, ...], ...], units: tuple[Unit, ...]) -> str:
    """Name the gangs that a task needs, each of those that will do, as one thing; empty if it needs none."""
    needed = [units[index] for each in needs for index in each]
    names = [gang_of_unit(unit, units) for unit in needed if unit.kind is UnitKind.GANG]
    return " and ".join(dict.fromkeys(names))


def work_of(activity: str) -> str:
    """Give the key of the work that an activity is, inspects or puts right."""
    for ending in _AFTER_A_TASK:
        activity = activity.removesuffix(ending)
    return activity


class Holders:
    """Tells of a plan's activities what holds a date where they do.

    Parameters: ``plan``.
    """

    def __init__(self, plan: Plan) -> None:
        self._units = plan.units
        self._inspectors = [inspector.name for inspector in plan.inspectors]
        self._nodes = {node.key: node for node in plan.nodes}
        self._printing = "" if plan.print_day is None else gangs_needed(plan.print_day.needs, plan.units)

    def of(self, cause: str, activity: str) -> WaitedFor:
        """Give what holds a date by a cause in an activity, which is named by its key in the ledger."""
        return WaitedFor(cause, self._whose(cause, self._nodes.get(work_of(activity))))

    def _whose(self, cause: str, node: Node | None) -> str:
        if cause == Cause.CREW:
            return self._printing if node is None else gangs_needed(node.task.needs, self._units)
        if node is None:
            return ""
        if cause == Cause.INSPECTION and node.task.inspection is not None:
            return self._inspectors[node.task.inspection.inspector]
        return node.task.name if cause == Cause.MATERIAL and node.task.kind is Kind.DELIVERY else ""
