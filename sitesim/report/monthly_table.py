"""A table with a column for each month, in the terminal: whole, or in parts where it is narrow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.table import Table

_PARTS = (1, 2, 3, 4, 6)
_LONGEST_WORD = 40
_BETWEEN = 2
_EDGES = 2


class MonthlyTable:
    """Rows of months with a name before and a figure after them.

    title: above the table. first: head of the names. months: heads of the months, in order. last: head of what stands
    for them all.

    Neither a word of a name nor a figure is ever broken: where the width does not hold all months, their rows go on in
    a second table beneath, or in several, with the figure for all in the last.
    """

    def __init__(self, title: str, first: str, months: Sequence[str], last: str) -> None:
        self._title = title
        self._heads = (first, *months, last)
        self._rows: list[tuple[str, ...]] = []
        self._ends: set[int] = set()

    def add(self, name: str, months: Sequence[str], last: str) -> None:
        """Add a row: its name, a figure for each month, and one for all of them."""
        self._rows.append((name, *months, last))

    def end_section(self) -> None:
        """Leave a line free beneath the last row."""
        self._ends.add(len(self._rows))

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[RenderableType]:
        """Give the table in as few parts as the width allows."""
        from rich.text import Text

        # The title stands by itself: a table that is narrower than its title would break it.
        yield Text(self._title, style="bold")
        fitting = (parts for parts in _PARTS if self._fits(parts, options.max_width))
        for columns in self._columns(next(fitting, _PARTS[-1])):
            yield self._table(columns)

    def _columns(self, parts: int) -> list[range]:
        """Give the places of the figures in each part."""
        months = len(self._heads) - 2
        ends = [1 + months * part // parts for part in range(parts)]
        return [range(begin, end) for begin, end in pairwise([*ends, len(self._heads)])]

    def _fits(self, parts: int, width: int) -> bool:
        names = [self._heads[0], *(row[0] for row in self._rows)]
        name = max((len(word) for each in names for word in each.split()), default=0)
        widest = max(sum(_BETWEEN + self._width(place) for place in columns) for columns in self._columns(parts))
        return _EDGES + min(name, _LONGEST_WORD) + widest <= width

    def _width(self, place: int) -> int:
        return max(len(self._heads[place]), *(len(row[place]) for row in self._rows), 0)

    def _table(self, columns: range) -> Table:
        from rich.text import Text

        table = close_table()
        table.add_column(self._heads[0], overflow="fold")
        for place in columns:
            table.add_column(self._heads[place], justify="right", no_wrap=True)
        for count, row in enumerate(self._rows, start=1):
            table.add_row(*(Text(row[place]) for place in (0, *columns)), end_section=count in self._ends)
        return table


def close_table(title: str = "", least_width: int = 0) -> Table:
    """Begin a table whose columns stand close together, as wide as its content; ``least_width`` in characters."""
    from rich import box
    from rich.table import Table

    return Table(
        title=title or None,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
        min_width=least_width,
    )
