"""The stages that a building goes through: each the work of one trade from when it comes until it goes on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sitesim.plan import Kind, Node, Plan, UnitKind, gangs_needed, work_of

MACHINES = (UnitKind.PRINTER, UnitKind.TENT)
"""The machines that stand at one building at a time, so that each is a stage of its own."""


@dataclass(frozen=True, slots=True)
class Stage:
    """Work that every building, or every home of it, waits its turn for.

    Parameters: ``of``, the gang, or several together, or one printer or tent; ``tasks`` of a gang's stage, in turn,
    none where the stage is a machine's.
    """

    of: str
    tasks: tuple[str, ...] = ()

    @property
    def is_machine(self) -> bool:
        """Tell whether the stage is that of a machine, which lasts as long as the machine stands at the building."""
        return not self.tasks

    def as_data(self) -> dict[str, Any]:
        """Give the stage as it stands in the summary."""
        return {"of": self.of, "tasks": list(self.tasks)}


def stages_from(data: Iterable[Mapping[str, Any]]) -> tuple[Stage, ...]:
    """Take stages out of a summary again."""
    return tuple(Stage(str(row["of"]), tuple(row["tasks"])) for row in data)


def stages_of(plan: Plan) -> tuple[Stage, ...]:
    """Give the stages of a plan, in the order in which its network has them.

    Each printer and each tent is a stage. Tasks of the same gang that directly follow each other are one, with
    nothing in between but time that needs nobody; a gang that comes back after others have been there has another.
    What the gangs do around the printer, in the story of a building, belongs to the machine's stage.
    """
    network = _GangsNetwork(plan)
    chained: dict[str, str] = {}
    for task, before in network.before.items():
        (only, *others) = before if before else ("",)
        if not others and network.gangs.get(only) == network.gangs[task]:
            chained[task] = only
    tasks: dict[str, list[str]] = {}
    for task in network.gangs:
        first = task
        while first in chained and chained[first] in network.gangs:
            first = chained[first]
        tasks.setdefault(first, []).append(task)
    printed = any(building.shell for building in plan.buildings)
    machines = [Stage(unit.name) for unit in plan.units if printed and unit.kind in MACHINES]
    return (*machines, *(Stage(network.gangs[first], tuple(named)) for first, named in tasks.items()))


class _GangsNetwork:
    """The tasks of gangs that stand in the network, and which of them each comes directly after.

    ``gangs`` by task, in the order of the plan; ``before``, the tasks that it comes after in any building.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._passed: dict[int, frozenset[str]] = {}
        self.gangs: dict[str, str] = {}
        self.before: dict[str, set[str]] = {}
        for node in plan.nodes:
            gangs = self._gangs_at(node)
            if gangs:
                self.gangs.setdefault(node.task.name, gangs)
                self.before.setdefault(node.task.name, set()).update(self._last_of(node.after))

    def _gangs_at(self, node: Node) -> str:
        """Name the gangs of a step of the network; empty for what a building's story performs, or nobody does."""
        if node.told or node.task.kind is not Kind.WORK:
            return ""
        return gangs_needed(node.task.needs, self._plan.units)

    def _last_of(self, after: Iterable[int]) -> frozenset[str]:
        return frozenset().union(*(self._work_up_to(index) for index in after))

    def _work_up_to(self, index: int) -> frozenset[str]:
        """Give the work of gangs that ends with a node, or before it where it is no work of theirs."""
        found = self._passed.get(index)
        if found is None:
            self._passed[index] = frozenset()  # a loop is refused long before, and would end here
            node = self._plan.nodes[index]
            is_work = node.told or self._gangs_at(node)
            found = self._passed[index] = frozenset({node.task.name}) if is_work else self._last_of(node.after)
        return found


def task_of(activity: str) -> str:
    """Give the task of an activity's key, whether it is done for the first time or put right."""
    return work_of(activity).split("/", 1)[-1]
