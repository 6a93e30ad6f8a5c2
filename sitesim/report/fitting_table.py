"""A table in the terminal with as much in it as the width allows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from sitesim.report.laid_out import plain_row, plain_table

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.table import Table

Row = TypeVar("Row")

WIDTH = 118
"""How wide it may be where there is room; it is read along its rows, not as lines of text."""

_LEAST_NAME = 24
"""Fewer characters and names take too many lines."""

_LONGEST_WORD = 40
_BETWEEN = 2
_EDGES = 2


@dataclass(frozen=True)
class Column(Generic[Row]):
    """A column: its ``head``, and what stands in the ``cell`` of a row."""

    head: str
    cell: Callable[[Row], str]

    def width(self, rows: Sequence[Row]) -> int:
        """Give the width that it needs."""
        from rich.cells import cell_len

        lines = [*self.head.splitlines(), *(self.cell(one) for one in rows)]
        return max(cell_len(line) for line in lines)


@dataclass(frozen=True)
class Choice(Generic[Row]):
    """Columns beside the name, and what is left out of them, in words."""

    columns: tuple[Column[Row], ...]
    left_out: str


class FittingTable(Generic[Row]):
    """Rows with their names: names stay whole, and the columns that matter least give way to them.

    Parameters: ``name`` of a row; ``choices``, from all that there is down to the least.
    """

    def __init__(
        self, title: str, rows: Sequence[Row], name: Callable[[Row], str], choices: Sequence[Choice[Row]]
    ) -> None:
        self._title = title
        self._rows = rows
        self._name = name
        self._choices = tuple(choices)

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[RenderableType]:
        """Give the table with the most in it that fits, and say what is left out."""
        from rich.text import Text

        fitting = (choice for choice in self._choices if self._needs(choice) <= options.max_width)
        chosen = next(fitting, self._choices[-1])
        yield self._table(chosen)
        if chosen.left_out:
            yield Text(f"Left out for want of width, and on the page: {chosen.left_out}.")

    def _needs(self, choice: Choice[Row]) -> int:
        beside = sum(_BETWEEN + column.width(self._rows) for column in choice.columns)
        return _EDGES + self._least_name() + beside

    def _least_name(self) -> int:
        """Give the width that the names need: that of their longest word, and room for more than one word."""
        from rich.cells import cell_len

        names = [self._name(one) for one in self._rows]
        words = max(cell_len(word) for name in names for word in name.split())
        return max(min(words, _LONGEST_WORD), min(_LEAST_NAME, max(map(cell_len, names))))

    def _table(self, choice: Choice[Row]) -> Table:
        heads = [column.head for column in choice.columns]
        table = plain_table(self._title, "", *heads, numbers=tuple(range(1, len(heads) + 1)))
        table.padding = (0, 1, 0, 0)
        table.columns[0].ratio = 1
        for one in self._rows:
            plain_row(table, self._name(one), *(column.cell(one) for column in choice.columns))
        return table
