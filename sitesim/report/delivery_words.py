"""The words and formats of a plan of deliveries: loads, ways of supply, costs per volume, times of day."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.words import Style, significant

_YARD = 0.9144

Summary = Mapping[str, Any]


FIGURES: Mapping[str, str] = {
    "rejected_m3": "concrete rejected",
    "returned_m3": "concrete returned",
    "waiting_hours": "printer waiting for concrete, hours",
    "unplanned_joints": "unplanned joints",
    "standby_hours": "truck standby, hours",
    "print_days": "print days",
    "days_short_of_concrete": "days that end short of concrete",
    "loads_called_off": "loads called off",
    "overtime_hours": "crew overtime, hours",
}
"""The figures of a way of supply, by column."""


def load(style: Style, volume: float) -> str:
    """Write the size of a load [m³]."""
    return f"{round(style.in_volume_unit(volume), 2):g} {style.volume_unit}"


def spacing(hours: float) -> str:
    """Write a spacing [h]."""
    return f"{round(60.0 * hours)} min"


_WITHOUT_SPACING: Mapping[str, str] = {"will-call": "as called for", "days-need": "by the day's need"}
"""How loads come that have no spacing, by the mode in which they are ordered."""


def timed(summary: Summary) -> str:
    """Say how loads come that have no spacing."""
    return _WITHOUT_SPACING.get(summary["ordering"], "as ordered")


def way(style: Style, one: Summary, summary: Summary) -> str:
    """Write a way of ready-mix."""
    trucks = "truck" if one["trucks"] == 1 else "trucks"
    return f"{_load_and_spacing(style, one, summary)} from {one['trucks']} {trucks}"


def _load_and_spacing(style: Style, one: Summary, summary: Summary) -> str:
    apart = f"every {spacing(one['spacing'])}" if one["spacing"] else timed(summary)
    return f"{load(style, one['load'])} {apart}"


def way_among(style: Style, one: Summary, summary: Summary) -> str:
    """Write a way of ready-mix among others; trucks are named where they differ."""
    if len({other["trucks"] for other in summary["ways"]}) > 1:
        return way(style, one, summary)
    return _load_and_spacing(style, one, summary)


def per_volume(style: Style, cubic_metre: float) -> float:
    """Give an amount per m³ in the unit of volumes."""
    return cubic_metre * _YARD**3 if style.us else cubic_metre


def cost(style: Style, estimate: Mapping[str, float | None], digits: int = 4) -> str:
    """Write a cost per volume [currency/m³] with its error, in the unit of volumes."""
    converted = {end: None if value is None else per_volume(style, value) for end, value in estimate.items()}
    return style.mean_money(converted)


def amount(style: Style, cubic_metre: float) -> str:
    """Write a cost per volume [currency/m³] without its error."""
    return style.money(per_volume(style, cubic_metre))


def best_of(summary: Summary) -> Summary:
    """Give the best of the ways."""
    found: Summary = next(one for one in summary["ways"] if one["is_best"])
    return found


def own_of(summary: Summary) -> Summary | None:
    """Give the way that the scenario names, if it was played."""
    own = summary["own"]
    names = ("load", "spacing", "trucks")
    return next((one for one in summary["ways"] if all(abs(one[name] - own[name]) < 1e-6 for name in names)), None)


def rounded(style: Style, value: float) -> str:
    """Write an amount to three significant digits."""
    return style.money(significant(value, 3))


def minutes(hours: float) -> str:
    """Write a length of time [h] in minutes."""
    return f"{round(60 * hours)} min"


def size(style: Style, volume: float) -> str:
    """Write the number of a load's size [m³] without its unit."""
    return f"{round(style.in_volume_unit(volume), 2):g}"


def clock(hours: float | None) -> str:
    """Write an instant [h after midnight] as a time of day, to the minute."""
    if hours is None:
        return "–"
    minutes = round(60.0 * hours)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}" + (" next day" if minutes >= 24 * 60 else "")


def earlier_clock(hours: float) -> str:
    """Write an instant [h after midnight] rounded down to five minutes, for a limit."""
    return clock(int(12.0 * hours + 1e-9) / 12.0)


def reached(one: Summary) -> float:
    """Give on how many days in 100 a way reaches the day's last layer."""
    return 100.0 * (1.0 - float(one["unfinished"]["value"]))


def impossible(one: Summary) -> str:
    """Say why a way was not played."""
    written = (f"{one['load']} every {one['spacing']}" if one["spacing"] else one["load"]).replace("^3", "³")
    return f"{written} from {one['trucks']} trucks: {one['reason']}"


DAY_CAUTION = (
    "A plan, not a guarantee: the engineer of record and the producer decide what may be used and until when, by the "
    "delivery record and the test at the gate. Never add water."
)


def chance(found: Mapping[str, float | None] | None) -> str:
    """Write on how many days of a hundred something happens, with its interval."""
    if found is None or found["value"] is None:
        return "an unknown number of"
    low, high = found["low"], found["high"]
    within = "" if low is None or high is None else f" ({100 * low:.0f} to {100 * high:.0f})"
    count = "under 1" if 0.0 < found["value"] < 0.0095 else f"{100 * found['value']:.0f}"
    return f"{count} in 100{within}"
