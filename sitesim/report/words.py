"""The words and number formats of page and terminal: plain trade English, dates and money as people write them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sitesim.plan import Cause, Kind, Plan, State
from sitesim.study.basis import Basis

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_YARD = 0.9144

CONFIDENCES = {"P10": "1 in 10", "P50": "1 in 2", "P80": "4 in 5", "P90": "9 in 10"}
"""What stands beside each reported confidence."""

WAITED_FOR: Mapping[str, str] = {
    Cause.CONCRETE: "concrete",
    Cause.SETTING: "the layer below",
    Cause.WEATHER: "weather",
    Cause.CREW: "a crew busy elsewhere or away",
    Cause.CRANE: "the crane",
    Cause.TELEHANDLER: "the telehandler",
    Cause.PRINTER: "printing and moving the printer",
    Cause.TENT: "the tent",
    Cause.INSPECTION: "inspection",
    Cause.CURE: "curing and drying",
    Cause.PREDECESSOR: "the work before it",
    Cause.BREAKDOWN: "stops and repairs",
    Cause.MATERIAL: "ordered material",
    Cause.NO_WORK: "no work left",
}
"""What somebody waited for, by cause."""

STATES: Mapping[str, str] = {
    State.WORKING: "working",
    State.MOVING: "setting up, moving",
    State.WAITING: "waiting",
    State.DOWN: "stopped, in repair",
    State.OVERTIME: "overtime",
    State.OFF_SHIFT: "off shift",
}
"""What a gang or a machine is doing, by state."""

HELD_BY: Mapping[str, str] = {
    **WAITED_FOR,
    Cause.PREDECESSOR: "the work itself",
    Cause.TENT: "raising and striking the tent",
    Cause.SETTING: "waiting for the layer below",
}
"""What held the date, by cause."""

_TASKS = {
    "ballast": "setting ballast and columns",
    "gantry_up": "setting up the printer",
    "gantry_on": "moving the printer onto the slab",
    "gantry_travel": "carrying the printer over",
    "gantry_off": "moving the printer off the slab",
    "gantry_down": "taking the printer down",
    "ballast_off": "lifting the ballast away",
    "align": "aligning the printer",
    "calibrate": "calibrating the printer",
    "test_bead": "printing a test bead",
    "tent_travel": "carrying the tent over",
    "tent_up": "raising the tent",
    "tent_down": "striking the tent",
    "walls": "walls at height",
    "released": "printer and tent gone",
}
_LAG = re.compile(r"^(?P<task>.+) \+ (?P<number>[\d.]+) ?(?P<unit>wd|d|h)$")
_LAG_UNITS = {"wd": "working day", "d": "day", "h": "hour"}
_PRINT_DAY = re.compile(r"^print day \d+$")

CONCRETE = {
    "in_place_m3": "in the walls, waste at the nozzle included",
    "priming_m3": "priming the pump, specimens",
    "washed_out_m3": "washed out",
    "rejected_m3": "rejected, too old or failed the test",
    "returned_m3": "returned at the end of the day",
    "lost_to_blockages_m3": "lost to blockages",
    "joint_preparation_m3": "joint preparation",
}
"""Where batched concrete went, by column of the runs."""

OUTSIDE_THE_CREWS = {
    Kind.INSPECTION: "waiting for the inspector",
    Kind.CURE: "curing, drying",
    Kind.DELIVERY: "ordered, on its way",
    Kind.WORK: "by others, or a fixed wait",
}
"""What goes on at a place while no gang is there, by kind."""


@dataclass(frozen=True, slots=True)
class Style:
    """How dates, money and volumes are written.

    Parameters: ``us``, US customary units and dates, else metric ones; ``currency``, its code.
    """

    us: bool
    currency: str

    @classmethod
    def of(cls, summary: Mapping[str, Any]) -> Style:
        """Take the style that a summary asks for."""
        return cls(summary["units"] == "us", summary["currency"])

    @classmethod
    def of_plan(cls, plan: Plan) -> Style:
        """Take the style that goes with a plan."""
        return cls(plan.units_of_measure == "us", plan.costs.currency)

    @classmethod
    def of_basis(cls, basis: Basis) -> Style:
        """Take the style that goes with a study of variants."""
        return cls(basis.units == "us", basis.currency)

    def long_date(self, day: date | str | None) -> str:
        """Write a date in full, given as such or as ISO text; ``no date`` where it never came."""
        if day is None:
            return "no date"
        found = date.fromisoformat(day) if isinstance(day, str) else day
        month = _MONTHS[found.month - 1]
        return f"{month[:3]} {found.day}, {found.year}" if self.us else f"{found.day} {month} {found.year}"

    def short_date(self, day: date | str | None) -> str:
        """Write a date with a short month, for tables."""
        if self.us or day is None:
            return self.long_date(day)
        found = date.fromisoformat(day) if isinstance(day, str) else day
        return f"{found.day} {_MONTHS[found.month - 1][:3]} {found.year}"

    def day_and_month(self, day: date | str) -> str:
        """Write a date without its year."""
        found = date.fromisoformat(day) if isinstance(day, str) else day
        month = _MONTHS[found.month - 1][:3]
        return f"{month} {found.day}" if self.us else f"{found.day} {month}"

    def moment(self, instant: datetime) -> str:
        """Write a day and its time to the minute."""
        return f"{self.day_and_month(instant.date())}, {instant:%H:%M}"

    @property
    def axis_date(self) -> str:
        """The format of a full date that a chart takes."""
        return "%b %-d, %Y" if self.us else "%-d %b %Y"

    @property
    def axis_day(self) -> str:
        """The format of a day and month that a chart takes."""
        return "%b %-d" if self.us else "%-d %b"

    def money(self, amount: float | None) -> str:
        """Write an amount to four significant digits."""
        if amount is None:
            return "–"
        written = f"{significant(amount, 4):z,.0f}"
        return f"${written}".replace("$-", "-$") if self.currency == "USD" else f"{written} {self.currency}"

    @property
    def volume_unit(self) -> str:
        """The unit of volumes."""
        return "yd³" if self.us else "m³"

    def in_volume_unit(self, cubic_metres: float) -> float:
        """Convert a volume [m³] to the unit of volumes."""
        return cubic_metres / _YARD**3 if self.us else cubic_metres

    def volume(self, cubic_metres: float) -> str:
        """Write a volume [m³]."""
        return f"{self.in_volume_unit(cubic_metres):,.1f} {self.volume_unit}"

    def fine_volume(self, cubic_metres: float) -> str:
        """Write a volume [m³] of a load or a day to the hundredth, and say of less that it is less."""
        own = self.in_volume_unit(cubic_metres)
        return f"{own:,.2f} {self.volume_unit}" if own == 0.0 or own >= 0.005 else f"under 0.01 {self.volume_unit}"

    def mean_volume(self, estimate: Mapping[str, float | None]) -> str:
        """Write a mean volume [m³] with its sampling error."""
        converted = {end: None if value is None else self.in_volume_unit(value) for end, value in estimate.items()}
        return f"{mean(converted)} {self.volume_unit}"

    def mean_money(self, estimate: Mapping[str, float | None]) -> str:
        """Write a mean amount with its sampling error."""
        half = half_width(estimate)
        written = self.money(estimate["value"])
        return written if not half else f"{written} ± {self.money(significant(half, 2))}"


def significant(value: float, digits: int) -> float:
    """Round to a number of significant digits, and never finer than whole numbers."""
    if not value or not math.isfinite(value):
        return value
    return round(value, min(0, digits - 1 - math.floor(math.log10(abs(value)))))


def half_width(estimate: Mapping[str, float | None]) -> float | None:
    """Give half the length of an interval; None where an end is open or no interval was reckoned."""
    low, high = estimate.get("low"), estimate.get("high")
    if low is None or high is None or math.isinf(low) or math.isinf(high):
        return None
    return (high - low) / 2.0


def mean(estimate: Mapping[str, float | None], digits: int = 1) -> str:
    """Write a mean with its sampling error; without it where none could be reckoned."""
    value, half = estimate["value"], half_width(estimate)
    if value is None:
        return "–"
    written = f"{value:z,.{digits}f}"
    if half is None or half < 0.5 * 10.0 ** -(digits + 1):
        return written
    finer = max(digits, min(3, -math.floor(math.log10(half))))
    return f"{value:z,.{finer}f} ± {half:,.{finer}f}"


def hours(value: float) -> str:
    """Write a length of time [h]."""
    return f"{value:,.0f} h" if value >= 10.0 else f"{value:.1f} h"


def hours_and_minutes(value: float) -> str:
    """Write a length of time [h] as hours and minutes, such as 4:32."""
    minutes = round(value * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def days(value: float) -> str:
    """Write a length of time [days of 24 hours]."""
    return f"{value:.1f} days"


def percent(share: float) -> str:
    """Write a share; below one per cent, but not nothing, as ``under 1 %``."""
    return "under 1 %" if 0.0 < share < 0.005 else f"{100.0 * share:.0f} %"


def several(count: float, thing: str, things: str = "") -> str:
    """Write a whole number with its noun, whose plural is named where it takes more than an s."""
    return f"{count:,.0f} {thing}" if count == 1 else f"{count:,.0f} {things or f'{thing}s'}"


def together(names: Iterable[str]) -> str:
    """Write names one after the other, with an ``and`` before the last."""
    listed = list(names)
    return ", ".join(listed) if len(listed) < 2 else f"{', '.join(listed[:-1])} and {listed[-1]}"


def chance_of(share: float, runs: int) -> str:
    """Write how many of the runs do something: of a hundred, or counted where a hundred would hide them."""
    count, of_hundred = round(share * runs), round(100.0 * share)
    if count == 0:
        return f"none of {several(runs, 'run')}"
    if count == runs:
        return f"all {runs:,} runs" if runs > 1 else "the only run"
    if runs < 100 or of_hundred in (0, 100):
        return f"{count:,} of {several(runs, 'run')}"
    return f"{of_hundred} in 100 runs"


def is_singular(share: float, runs: int) -> bool:
    """Tell whether the runs that `chance_of` names take a verb in the singular: none of them, or one."""
    return round(share * runs) in (0, 1)


def chance_range(chance: Mapping[str, float | None]) -> str:
    """Write the interval of a share in hundredths, outward rounded."""
    low, high = chance.get("low"), chance.get("high")
    if low is None or high is None:
        return ""
    return f"{math.floor(100 * low + 1e-9)} to {math.ceil(100 * high - 1e-9)} in 100"


def interval(style: Style, quantile: Mapping[str, Any]) -> str:
    """Write the interval of a date: both ends, or what is known of them."""
    low, high = quantile["low"], quantile["high"]
    if quantile["date"] is None or (low is None and high is None):
        return ""
    if low is None:
        return f"until {style.day_and_month(high)}"
    if high is None:
        return f"from {style.day_and_month(low)}"
    return f"{style.day_and_month(low)} – {style.day_and_month(high)}"


def month_label(month: int) -> str:
    """Name a month, 1 to 12, shortly."""
    return _MONTHS[month - 1][:3]


def month_name(month: int) -> str:
    """Name a month, 1 to 12."""
    return _MONTHS[month - 1]


def task_label(task: str) -> str:
    """Name a task as people say it: ``tent_up inspection`` is the inspection after raising the tent."""
    if lag := _LAG.match(task):
        number = float(lag["number"])
        return f"{several(number, _LAG_UNITS[lag['unit']])} after {task_label(lag['task'])}"
    for ending in (" inspection", " rework"):
        if task.endswith(ending):
            return f"{ending.strip()} after {task_label(task.removesuffix(ending))}"
    return _TASKS.get(task, task.replace("_", " "))


def activity_label(activity: str) -> str:
    """Name an activity with its place, as ``B: raising the tent``."""
    place, slash, task = activity.partition("/")
    return f"{place}: {task_label(task)}" if slash else task_label(activity)


def name_label(name: str) -> str:
    """Name a gang, a machine or a cost as the scenario does, in words."""
    return name.replace("_", " ")


def item_label(item: str) -> str:
    """Name an item of cost."""
    kind, _, name = item.partition(" ")
    if kind == "gang":
        return f"{name_label(name)} gang"
    if kind == "task":
        return f"{task_label(name)}, lump sum"
    if kind in ("penalty", "bonus"):
        return f"{kind}, {'whole site' if name == 'site' else name}"
    return name_label(item)


def print_days_as_one(tasks: Sequence[Mapping[str, Any]]) -> list[tuple[str, float]]:
    """Give tasks with their days, most first, all print days together and each named in words."""
    found: dict[str, float] = {}
    for row in tasks:
        label = "print days" if _PRINT_DAY.match(row["task"]) else task_label(row["task"])
        found[label] = found.get(label, 0.0) + row["days"]
    return sorted(found.items(), key=lambda item: -item[1])
