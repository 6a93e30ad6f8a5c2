"""Why one scenario finishes earlier than another: what held its finish for more or fewer days, in the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from sitesim.answers.comparison import Compared
from sitesim.answers.variants import MovedCause
from sitesim.report.money_moved import scenarios_table
from sitesim.report.words import HELD_BY

if TYPE_CHECKING:
    from rich.table import Table

_CAUSES = 6
_LEAST = 0.05
"""Days that are written as none."""


def days_table(compared: Sequence[Compared]) -> Table | None:
    """Lay out by how many days more or less each cause held the finish than in the first; None where none moves.

    The rows of a scenario add up to the days by which it finishes later, over the runs that end in both.
    """
    others = compared[1:]
    found = [{one.cause: one for one in other.held if abs(one.moved.mean) >= _LEAST} for other in others]
    if not any(found):
        return None
    title = f"What held the finish, against {compared[0].name}  (calendar days, + more; mean of the pairs)"
    table = scenarios_table(title, [one.name for one in others])
    largest = {cause: max(abs(of[cause].moved.mean) for of in found if cause in of) for of in found for cause in of}
    shown = sorted(largest, key=lambda cause: (-largest[cause], cause))[:_CAUSES]
    for cause in shown:
        table.add_row(HELD_BY[cause], *(_cell(of.get(cause)) for of in found))
    rest = [sum(one.moved.mean for one in other.held if one.cause not in shown) for other in others]
    if any(abs(days) >= _LEAST for days in rest):
        table.add_row("all others together", *(signed_days(days) for days in rest))
    table.add_section()
    table.add_row("finish", *(signed_days(sum(one.moved.mean for one in other.held)) for other in others))
    return table


def signed_days(days: float) -> str:
    """Write days with their sign; what rounds to nothing has none."""
    return f"{days:z.1f}" if abs(days) < _LEAST else f"{days:+.1f}"


def _cell(one: MovedCause | None) -> str:
    if one is None:
        return "–"
    half = (one.moved.high - one.moved.low) / 2
    return f"{signed_days(one.moved.mean)} ± {half:.1f}" if math.isfinite(half) else signed_days(one.moved.mean)
