"""The plain content of a scenario, where each value remembers the file and line that it came from."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, NamedTuple

from sitesim.scenario.faults import Fault

Trail = tuple[str | int, ...]
"""The way to a value from the top: keys of mappings and places in lists."""


class Place(NamedTuple):
    """Where something is written: a file and a line counted from 1 (0 for a setting on the command line)."""

    file: str
    line: int


def dotted(trail: Trail) -> str:
    """Write a trail as a user writes it: ``wall.path.0.layers``."""
    return ".".join(str(part) for part in trail)


@dataclass
class Document:
    """The content of one or more YAML files laid over one another.

    Parameters: ``file``, the one that was asked for; ``data``, plain mappings, lists and scalars; ``places``, where
    each value came from, by its trail; ``folders``, by file, the folder that relative paths in it start from;
    ``tables``, the files among them that are tables; ``faults`` of these, and ``unread``, the sections that cannot be
    judged for them.
    """

    file: str
    data: dict[str, Any]
    places: dict[Trail, Place] = field(default_factory=dict)
    folders: dict[str, Path] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    unread: set[Trail] = field(default_factory=set)
    tables: set[str] = field(default_factory=set)

    def place(self, trail: Trail) -> Place:
        """Give the place of a value, or of the nearest thing around it that has one."""
        for length in range(len(trail), 0, -1):
            place = self.places.get(trail[:length])
            if place is not None:
                return place
        return Place(self.file, 1)

    def folder(self, trail: Trail) -> Path:
        """Give the folder from which a relative path in a value starts: that of the file that names it."""
        return self.folders.get(self.place(trail).file, Path())

    def fault(self, trail: Trail, message: str) -> Fault:
        """Make a fault at the place of a value."""
        place = self.place(trail)
        return Fault(place.file, place.line, dotted(trail), message)

    def get(self, trail: Trail) -> Any:
        """Give the value at a trail, or None if there is none."""
        value: Any = self.data
        for part in trail:
            if not holds(value, part):
                return None
            value = value[part]
        return value

    def text(self, trail: Trail, otherwise: str = "") -> str:
        """Give a value as the user wrote it, or ``otherwise`` where nothing is written."""
        value = self.get(trail)
        return otherwise if value is None else str(value)

    def put(self, trail: Trail, value: Any, place: Place) -> None:
        """Put a value at a trail, making the mappings on the way; the trail may not run through a scalar."""
        self.forget(trail)
        holder: Any = self.data
        for length, part in enumerate(trail[:-1], start=1):
            if isinstance(holder, dict):
                if holder.get(part) is None:
                    holder[part] = {}
                    self.places[trail[:length]] = place
                holder = holder[part]
            else:
                holder = holder[part]
        holder[trail[-1]] = value
        self.places[trail] = place

    def remove(self, trail: Trail) -> None:
        """Take a key out of its mapping."""
        holder = self.get(trail[:-1])
        if isinstance(holder, dict):
            holder.pop(trail[-1], None)
        self.forget(trail)

    def forget(self, trail: Trail) -> None:
        """Forget the places of a value and of everything in it."""
        inner = [other for other in self.places if other[: len(trail)] == trail]
        for other in inner:
            del self.places[other]

    def copied(self) -> Document:
        """Give a copy that can be changed without changing this one."""
        return replace(
            self,
            data=plain_copy(self.data),
            places=dict(self.places),
            folders=dict(self.folders),
            faults=list(self.faults),
            unread=set(self.unread),
            tables=set(self.tables),
        )


def holds(value: Any, part: str | int) -> bool:
    """Tell whether a mapping has a key, or a list a place."""
    if isinstance(value, dict):
        return part in value
    return isinstance(value, list) and isinstance(part, int) and part < len(value)


def plain_copy(value: Any) -> Any:
    """Copy plain mappings and lists to any depth."""
    if isinstance(value, dict):
        return {key: plain_copy(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain_copy(inner) for inner in value]
    return value
