"""Where the money goes, scenario against scenario, in the terminal."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from sitesim.answers.comparison import Compared
from sitesim.answers.money_moved import MoneyMoved
from sitesim.report.words import HELD_BY, Style, half_width, item_label, significant

if TYPE_CHECKING:
    from rich.table import Table

_ITEMS = 7
_CAUSES = 5


def money_table(style: Style, compared: Sequence[Compared]) -> Table | None:
    """Lay out where the money of some scenarios goes against the first; None where none of it moves.

    Items and causes are two ways to cut the same difference; the ones that differ most are shown.
    """
    others = compared[1:]
    if not any(one.items for one in others):
        return None
    table = scenarios_table(
        f"Where the money goes, against {compared[0].name}  (+ dearer; mean of the pairs)", [one.name for one in others]
    )
    _add_rows(table, style, [one.items for one in others], _ITEMS, item_label)
    table.add_section()
    _add_rows(table, style, [one.causes for one in others], _CAUSES, cause_label)
    return table


def scenarios_table(title: str, names: Sequence[str]) -> Table:
    """Begin a table with a column for each scenario, flush right, behind one for what is told of them."""
    from rich import box
    from rich.table import Table

    table = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column("")
    for name in names:
        table.add_column(name, justify="right")
    return table


def cause_label(cause: str) -> str:
    """Name a cause to which money is charged; none is what the work itself takes."""
    return f"charged to {HELD_BY[cause]}" if cause else "charged to no cause"


def _add_rows(
    table: Table,
    style: Style,
    moved: Sequence[Sequence[MoneyMoved]],
    most: int,
    label: Callable[[str], str],
) -> None:
    found = [{one.name: one for one in of_scenario} for of_scenario in moved]
    largest = {name: max(abs(of[name].difference.mean) for of in found if name in of) for of in found for name in of}
    shown = sorted(largest, key=lambda name: (-largest[name], name))[:most]
    for name in shown:
        table.add_row(label(name), *(_cell(style, of.get(name)) for of in found))
    if len(shown) < len(largest):
        rest = [sum(one.difference.mean for name, one in of.items() if name not in shown) for of in found]
        table.add_row(f"{len(largest) - len(shown)} others together", *(signed(style, amount) for amount in rest))


def _cell(style: Style, one: MoneyMoved | None) -> str:
    if one is None:
        return "–"
    half = half_width({"low": one.difference.low, "high": one.difference.high})
    written = signed(style, one.difference.mean)
    return written if not half or not math.isfinite(half) else f"{written} ± {style.money(significant(half, 2))}"


def signed(style: Style, amount: float) -> str:
    """Write an amount with its sign; what rounds to nothing has none."""
    written = style.money(amount)
    return f"+{written}" if amount > 0.0 and written != style.money(0.0) else written
