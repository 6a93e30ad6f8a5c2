"""A scenario under examination."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sitesim.scenario.document import Document, Trail
from sitesim.scenario.faults import Fault
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.finishing import FinishingTask
from sitesim.scenario.sections.wall import Wall
from sitesim.scenario.sections.work import Work


@dataclass
class Case:
    """A scenario under examination, and the faults found.

    Parameters: ``model``, in which wrong values have been mended so that the rest can be looked at; ``document``, as
    written; ``mended``, the trails of those values.
    """

    model: ScenarioModel
    document: Document
    mended: set[Trail]
    faults: list[Fault] = field(default_factory=list)
    _found_at: list[Trail] = field(default_factory=list)

    def say(self, trail: Trail, message: str, *also: Trail) -> None:
        """Note a fault, unless its trail or one of ``also`` is, or lies in, something mended."""
        if any(self._is_mended(at) for at in (trail, *also)):
            return
        self.faults.append(self.document.fault(trail, message))
        self._found_at.append(trail)

    def text(self, trail: Trail, otherwise: str = "") -> str:
        """Give a value as it is written, or ``otherwise`` where nothing is written."""
        return self.document.text(trail, otherwise)

    def names(self, trail: Trail, known: Iterable[str]) -> tuple[list[str], tuple[Trail, ...]]:
        """Give the names written in a mapping, whatever is wrong with what they name, or where none is ``known`` ones.

        With them comes what a fault of a name that is not among them hangs on: the trail, where it is no mapping.
        """
        written = self.document.get(trail)
        return (list(written), ()) if isinstance(written, dict) else (list(known), (trail,))

    def untouched(self, *trails: Trail) -> bool:
        """Tell whether nothing at or below these trails has been mended or found wrong."""
        touched = [*self.mended, *self._found_at]
        return not any(other[: len(trail)] == trail for trail in trails for other in touched)

    def _is_mended(self, trail: Trail) -> bool:
        return any(trail[: len(other)] == other for other in self.mended)

    def walls(self) -> Iterator[tuple[Trail, Wall, list[str]]]:
        """Give every wall that is written, with its trail and the buildings that have it."""
        site_wall = self.model.wall
        if site_wall is not None:
            shared = [name for name, wall in self.model.walls.items() if wall is site_wall]
            yield ("wall",), site_wall, shared
        for name, entry in self.model.site.buildings.items():
            if entry.wall is not None:
                yield ("site", "buildings", name, "wall"), entry.wall, [name]

    def works(self) -> Iterator[tuple[Trail, str, Work]]:
        """Give every task that is written, with its trail and name."""
        for name, work in self.model.moving_tasks.items():
            yield ("relocation", "tasks", name), name, work
        for trail, wall, _ in self.walls():
            for name, work in wall.tasks.items():
                yield (*trail, "tasks", name), name, work
        for name, task in self.finishing_tasks().items():
            yield ("finishing", "tasks", name), name, task

    def finishing_tasks(self) -> dict[str, FinishingTask]:
        """Give the finishing tasks by name."""
        return self.model.finishing_tasks


def minutes(hours: float) -> str:
    """Write a length of time [h] in whole minutes."""
    return f"{round(60 * hours)} min"


def items(values: Any) -> str:
    """Write names one after the other."""
    return ", ".join(str(value) for value in values)
