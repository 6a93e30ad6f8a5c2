"""Answers laid out for a terminal of 100 columns: part after part, tables and lists that fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Group, RenderableType
    from rich.table import Table

_WIDTH = 98


def laid_out(answer: Iterable[RenderableType], parts: Iterable[RenderableType]) -> Group:
    """Put the answer first and a blank line before each of the parts behind it."""
    return in_width([*answer, *(one for part in parts for one in ("", part))])


def in_width(parts: Iterable[RenderableType]) -> Group:
    """Put parts one below the other, as wide as can be read; one that says its own width keeps it."""
    from rich.console import Group
    from rich.constrain import Constrain
    from rich.text import Text

    def fitted(part: RenderableType) -> Constrain:
        if isinstance(part, Constrain):
            return part
        return Constrain(Text(part) if isinstance(part, str) else part, _WIDTH)

    return Group(*(fitted(part) for part in parts))


def plain_table(title: str, *columns: str, numbers: Sequence[int] = (), whole: bool = True) -> Table:
    """Begin a table as wide as it may be.

    Parameters: ``numbers``, the places of columns that are set flush right; ``whole``, whether these are never broken.
    """
    from rich import box
    from rich.table import Table

    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        expand=True,
    )
    for place, column in enumerate(columns):
        number = place in numbers
        table.add_column(column, justify="right" if number else "left", no_wrap=number and whole, overflow="fold")
    return table


def plain_row(table: Table, *cells: str) -> None:
    """Add a row of cells that are taken as they stand, without reading marks in them."""
    from rich.text import Text

    table.add_row(*(Text(cell) for cell in cells))


def listed(title: str, lines: Sequence[str], at_most: int | None = None) -> Table:
    """List lines under a title; of more than ``at_most`` the rest is on the page."""
    table = titled_grid(title, 1)
    table.add_column(width=1)
    table.add_column()
    for line in lines[:at_most]:
        plain_row(table, "·", line)
    if at_most is not None and at_most < len(lines):
        plain_row(table, "", f"and {len(lines) - at_most} more, on the page.")
    return table


def titled_grid(title: str, between: int) -> Table:
    """Begin a table of two columns without lines, so many blanks ``between`` them."""
    from rich.table import Table

    table = Table.grid(padding=(0, between, 0, 0))
    table.title, table.title_justify, table.title_style = title, "left", "bold"
    return table
