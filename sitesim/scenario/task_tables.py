"""Task tables in comma-separated files beside a scenario, read as if their rows stood where the file is named."""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ruamel.yaml.error import YAMLError

from sitesim.scenario.document import Document, Place, Trail, dotted, plain_copy
from sitesim.scenario.faults import Fault, closest, nearest
from sitesim.scenario.keys import field_at, known_keys
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.reading import plain, read_yaml

TASK = "task"
"""The column that names the task of each row."""
AFTER = "after"
"""The column of a sequence that says what a task waits for."""
BETWEEN = ";"
"""What stands between several values in one cell."""
COMMENT = "#"
"""What a row or the name of a column begins with that is not for the scenario."""

ANY = "*"
_SEQUENCE: Trail = ("finishing", "sequences", ANY)
_TASKS: Trail = ("finishing", "tasks")
_TABLES: tuple[Trail, ...] = (
    _TASKS,
    _SEQUENCE,
    ("inspections", "points"),
    ("wall", "tasks"),
    ("site", "buildings", ANY, "wall", "tasks"),
)
"""Where the name of a file may stand in place of tasks."""
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
_LIST = re.compile(r"(?:(?<=like )|(?<=values, ))\[([^\[\]]*)\]")
"""A list in a message, as an example or as what is asked for."""
_TRUTHS = {"true": True, "false": False}


def take_in_tables(document: Document) -> list[Fault]:
    """Put the rows of every table that a document names in place of its name; give what is wrong with the tables.

    Where a table, or a part of it, cannot be read, what hangs on it is counted among the ``unread``.
    """
    faults: list[Fault] = []
    of_tasks: set[Path] = set()
    for pattern in _TABLES:
        for trail, name in list(_named(document.data, pattern, ())):
            place, folder = document.place(trail), document.folder(trail)
            path = Path(os.path.normpath(folder / name))
            table = _Table(path, trail, pattern == _SEQUENCE, is_of_tasks=pattern == _SEQUENCE and path in of_tasks)
            table.read(document.fault)
            if pattern == _TASKS:
                of_tasks.add(path)
            document.tables.add(str(path))
            document.put(trail, table.rows, place)
            document.places.update(table.places)
            document.folders[str(table.path)] = table.path.parent
            told = {(fault.file, fault.line, fault.message) for fault in faults}
            faults += [fault for fault in table.faults if (fault.file, fault.line, fault.message) not in told]
            if table.incomplete:
                document.unread.add(trail[:1])
    return faults


def _named(value: Any, pattern: Trail, trail: Trail) -> Iterator[tuple[Trail, str]]:
    """Find the names of files where a pattern lets tables stand."""
    if not pattern:
        if isinstance(value, str) and value.strip():
            yield trail, value.strip()
        return
    if isinstance(value, dict):
        for key in list(value) if pattern[0] == ANY else [pattern[0]]:
            if key in value:
                yield from _named(value[key], pattern[1:], (*trail, key))


@dataclass
class _Table:
    """One file and what is found in it.

    Parameters: ``trail`` at which its rows belong; ``is_sequence``, whether a row is what a task waits for;
    ``is_of_tasks``, whether the same file has been read for the tasks, and what is wrong with its columns been told.
    """

    path: Path
    trail: Trail
    is_sequence: bool
    is_of_tasks: bool = False
    rows: dict[str, Any] = field(default_factory=dict)
    places: dict[Trail, Place] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    incomplete: bool = False
    """Whether something was left out, so that what hangs on it cannot be judged."""
    _header_line: int = 0
    _lines: dict[str, int] = field(default_factory=dict)

    def read(self, fault_of_the_name: Any) -> None:
        """Read the file; what is wrong with its name is told where it is named."""
        try:
            text = self.path.read_text(encoding="utf-8-sig")
        except UnicodeDecodeError:
            self._say(0, "is not text in UTF-8; a spreadsheet saves it as CSV UTF-8", incomplete=True)
            return
        except ValueError:
            self.faults.append(fault_of_the_name(self.trail, f"{self.path.name!r} is not the name of a file"))
            self.incomplete = True
            return
        except OSError as error:
            reason = f"there is no file {self.path}" if not self.path.exists() else f"{self.path}: {error.strerror}"
            self.faults.append(fault_of_the_name(self.trail, reason))
            self.incomplete = True
            return
        lines = self._cells_by_line(text)
        header = next(lines, None)
        if header is None:
            self._say(1, f"has no line of column names, such as {TASK},{AFTER}", incomplete=True)
            return
        self._header_line, names = header
        columns = self._columns(names)
        if TASK in columns:
            for line, cells in lines:
                self._row(line, cells, columns)

    def _say(self, line: int, message: str, trail: Trail | None = None, incomplete: bool = False) -> None:
        self.faults.append(Fault(str(self.path), line, dotted(self.trail if trail is None else trail), message))
        self.incomplete |= incomplete

    def _cells_by_line(self, text: str) -> Iterator[tuple[int, list[str]]]:
        """Give the cells of each line that has any and is no comment."""
        for line, content in enumerate(text.splitlines(), start=1):
            if content.lstrip().startswith(COMMENT):
                continue
            try:
                cells = [cell.strip() for cell in next(csv.reader([content], strict=True), [])]
            except csv.Error:
                message = "has a quotation mark that is not closed; a cell stands in one line, between two of them"
                self._say(line, message, incomplete=True)
                continue
            if any(cells):
                yield line, cells

    def _columns(self, names: list[str]) -> list[str]:
        """Give what each column means, nothing for one that is left aside."""
        at, columns = self._header_line, []
        for name in names:
            if name and not name.startswith(COMMENT) and name in columns:
                self._say(at, f"the column {name} stands here twice")
                name = ""
            columns.append("" if name.startswith(COMMENT) or self._belongs_elsewhere(name) else name)
        needed = {TASK: "names the task of each row"} | (
            {AFTER: "says what each task waits for"} if self.is_sequence else {}
        )
        for name, what in needed.items():
            if name not in columns:
                self._say(at, _missing(name, what, names), incomplete=True)
                return []
        known = self._known()
        for position, name in enumerate(columns):
            if name and name != TASK and not self._is_known(name):
                if not self.is_of_tasks:
                    message = f"there is no column {name}: {nearest(name, known)}"
                    self._say(at, message, (*self.trail, name), incomplete=True)
                columns[position] = ""
        return columns

    def _belongs_elsewhere(self, name: str) -> bool:
        """Tell whether a column is for the other of tasks and sequence, which may share a file."""
        if self.is_sequence:
            return name not in (TASK, AFTER) and _is_key((*_TASKS, ANY), name)
        return name == AFTER and self.trail == _TASKS

    def _known(self) -> list[str]:
        if self.is_sequence:
            return [TASK, AFTER]
        keys = known_keys(ScenarioModel, (*self.trail, ANY))
        return [TASK, *(dotted for key in keys for dotted in _with_inner((*self.trail, ANY), key))]

    def _is_known(self, name: str) -> bool:
        return name == AFTER if self.is_sequence else _is_key((*self.trail, ANY), name)

    def _row(self, line: int, cells: list[str], columns: list[str]) -> None:
        if any(cells[len(columns) :]):
            message = (
                f"has {len(cells)} cells, the table has {len(columns)} columns; several values of a cell stand with "
                f"{BETWEEN} between them, and a cell with a comma in quotation marks"
            )
            self._say(line, message, incomplete=True)
            return
        by_column = {name: cell for name, cell in zip(columns, cells, strict=False) if name and cell}
        task = by_column.pop(TASK, "")
        if not task:
            self._say(line, f"names no task in the column {TASK}", incomplete=True)
            return
        if task in self.rows:
            self._say(line, f"{task} stands in line {self._lines[task]} already", (*self.trail, task))
            return
        self._lines[task] = line
        self.places[(*self.trail, task)] = Place(str(self.path), line)
        if self.is_sequence:
            self.rows[task] = [part for part in map(str.strip, by_column.get(AFTER, "").split(BETWEEN)) if part]
            return
        values: dict[str, Any] = {}
        self.rows[task] = values
        for name, cell in by_column.items():
            self._put(values, task, name, cell, line)
        self._point_at_missing_columns(task, columns)

    def _put(self, values: dict[str, Any], task: str, name: str, cell: str, line: int) -> None:
        """Put a cell where its column says: ``delivery.lead`` is the lead of the delivery."""
        *around, last = name.split(".")
        holder = values
        for depth, part in enumerate(around, start=1):
            inner = holder.setdefault(part, {})
            if not isinstance(inner, dict):
                outer = ".".join(around[:depth])
                self._say(line, f"has both {outer} and {name}; one of them is enough", (*self.trail, task, *around))
                return
            holder = inner
        if last in holder:
            self._say(line, f"has both {name} and a part of it; one of them is enough", (*self.trail, task, name))
            return
        try:
            holder[last] = _value(cell)
        except (YAMLError, ValueError):
            self._say(line, f"{cell!r} is not a value that can be read", (*self.trail, task, *around, last))

    def _point_at_missing_columns(self, task: str, columns: list[str]) -> None:
        """Let what no row has be missing from the line of column names."""
        heads = {name.split(".")[0] for name in columns}
        for key in known_keys(ScenarioModel, (*self.trail, task)):
            required = field_at(ScenarioModel, (*self.trail, task, key))
            if key not in heads and required is not None and required.is_required():
                self.places[(*self.trail, task, key)] = Place(str(self.path), self._header_line)


def as_in_a_cell(message: str) -> str:
    """Give a message in which lists are written as in a cell of a table: ``1.5; 2; 3.5``."""
    return _LIST.sub(lambda found: found[1].replace(", ", f"{BETWEEN} "), message)


def _missing(name: str, what: str, names: list[str]) -> str:
    """Say that a column is not there, and which may be meant."""
    apart = next((mark for mark in (BETWEEN, "\t") if len(names) == 1 and mark in names[0]), None)
    if apart is not None:
        return (
            f"its columns are set apart by {'tabs' if apart != BETWEEN else apart}, they should be set apart by commas"
        )
    meant = closest(name, names)
    return f"there is no column {name}, which {what}" + (f"; is it {meant}?" if meant else "")


def _is_key(trail: Trail, name: str) -> bool:
    """Tell whether a dotted name is known in the mapping at a trail, as far as the models name keys."""
    for part in name.split("."):
        known = known_keys(ScenarioModel, trail)
        if known and part not in known:
            return False
        trail = (*trail, part)
    return True


def _with_inner(trail: Trail, key: str) -> list[str]:
    """Name a key or, of a section, its own keys behind dots."""
    inner = known_keys(ScenarioModel, (*trail, key))
    return [f"{key}.{name}" for name in inner] or [key]


def _value(cell: str) -> Any:
    """Read a cell: a number, true or false, text, or several of them; a list or mapping may be written as in YAML."""
    if cell[0] in "[{":
        return plain_copy(plain(read_yaml(cell)))
    if BETWEEN in cell:
        return [_value(part) for part in map(str.strip, cell.split(BETWEEN)) if part]
    if cell.lower() in _TRUTHS:
        return _TRUTHS[cell.lower()]
    if _NUMBER.fullmatch(cell):
        return float(cell) if any(mark in cell for mark in ".eE") else int(cell)
    return cell
