"""Are the promised dates met?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.markup import Html, joined, paragraph, small, table
from sitesim.report.words import Style, chance_of, chance_range

Summary = Mapping[str, Any]


def promised(style: Style, summary: Summary) -> Html:
    """Answer whether the promised dates are met, and what missing them costs."""
    rows = summary.get("promised", [])
    if not rows:
        return Html("")
    counted = rows[0]["days"]
    return joined(
        [
            paragraph(
                f"A date is met to the end of its day; {counted} days count. Penalties and bonuses are in the cost, "
                "and a penalty is charged to what held that hand-over."
            ),
            table(
                "Met by, with 95 % intervals; mean penalty and bonus",
                ["For", "Promised by", "Met by", "Penalty", "Bonus"],
                [
                    [
                        place_of(row),
                        style.short_date(row["by"]),
                        joined(
                            [
                                chance_of(row["met"]["value"] or 0.0, summary["runs"]),
                                small(chance_range(row["met"])),
                            ]
                        ),
                        _mean(style, row["penalty"], row["penalty_a_day"]),
                        _mean(style, row["bonus"], row["bonus_a_day"], sign=-1.0),
                    ]
                    for row in rows
                ],
                numbers=(3, 4),
                class_="dates",
            ),
        ]
    )


def place_of(row: Summary) -> str:
    """Name a promised place."""
    return "Whole site" if row["is_site"] else str(row["place"])


def _mean(style: Style, estimate: Summary, a_day: float, sign: float = 1.0) -> str:
    """Write the mean of a penalty or a bonus; a dash where none was agreed."""
    if not a_day:
        return "–"
    ends = [None if estimate[end] is None else sign * estimate[end] for end in ("value", "low", "high")]
    value, low, high = ends if sign > 0.0 else (ends[0], ends[2], ends[1])
    return style.mean_money({"value": value, "low": low, "high": high})
