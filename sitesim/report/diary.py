"""One run told as a diary, day by day, so that a foreman can follow who waited for what."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from sitesim.hours import Calendar, civil_time
from sitesim.ledger import Departure, Entry, Hold, Load, Rejection, Remark
from sitesim.plan import Cause, Kind, Plan
from sitesim.report.print_day_words import A_BATCH_THROWN_AWAY, load_name, thrown_away, what_became_of
from sitesim.report.words import WAITED_FOR, Style, activity_label
from sitesim.site import DayWeather, Played

_REMARKED, _ENDED, _BEGUN = range(3)
"""The order of lines of one instant: what happened, what came to its end, what began thereupon."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the diary.

    Parameters: ``instant`` [h]; ``building`` it belongs to, empty for none; ``text``, what happened; ``turn``, its
    order in that instant; ``printing``, whether it belongs to a print day, which can be told by itself.
    """

    instant: float
    building: str
    text: str
    turn: int = _REMARKED
    printing: bool = False


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the diary: its date, its weather if any holds, and its lines in order."""

    date: date
    weather: DayWeather | None
    lines: tuple[Line, ...]


def diary(plan: Plan, played: Played, building: str = "", day: int | None = None) -> list[Day]:
    """Tell a run that was played with its diary kept.

    Parameters: ``building``, only this one's lines; ``day``, only this day of the run, counted from 1.
    """
    teller = _Teller(plan, played)
    lines = [line for line in teller.lines() if not building or line.building in ("", building)]
    by_day: dict[int, list[Line]] = {}
    for line in sorted(lines, key=lambda line: (line.instant, line.turn)):
        by_day.setdefault(int(line.instant // 24), []).append(line)
    return [
        Day(plan.start + timedelta(days=number), played.hours.weather_of(number), tuple(of_day))
        for number, of_day in sorted(by_day.items())
        if day is None or number == day - 1
    ]


class _Teller:
    def __init__(self, plan: Plan, played: Played) -> None:
        self._plan = plan
        self._ledger = played.ledger
        self._rejected = {_load_of(one): one for one in played.ledger.rejections or ()}
        self._let_go = {_load_of(one): one.let_go for one in played.ledger.departures or ()}
        self._style = Style.of_plan(plan)
        self._shifts: dict[str, Calendar] = {}

    def lines(self) -> Iterator[Line]:
        for entry in self._ledger.entries:
            yield from self._of_entry(entry)
        for load in self._ledger.loads:
            yield from self._of_load(load)
        for rejection in self._ledger.rejections or ():
            if rejection.number is None:
                text = thrown_away(self._style, rejection, A_BATCH_THROWN_AWAY, _span)
                yield Line(rejection.instant, rejection.building, text, printing=True)
        for remark in self._ledger.diary or ():
            yield Line(remark.instant, remark.building, _in_words(remark.text), printing=self._is_printing(remark))

    def _is_printing(self, remark: Remark) -> bool:
        """Tell whether a remark was made on a print day of its building, and not about some other step of it."""
        return not _is_of_a_step(remark.text) and any(
            printed.building == remark.building and printed.start <= remark.instant <= printed.end
            for printed in self._ledger.printed or ()
        )

    def _of_entry(self, entry: Entry) -> Iterable[Line]:
        building = self._plan.buildings[entry.building].name if entry.building >= 0 else ""
        if entry.kind in (Kind.INSPECTION, Kind.MILESTONE):
            if entry.kind is Kind.MILESTONE:
                yield Line(entry.end, building, f"{activity_label(entry.key)}: reached", _ENDED)
            return
        if entry.kind in (Kind.CURE, Kind.DELIVERY, Kind.HANDED_IN):
            verb = {Kind.CURE: "over", Kind.DELIVERY: "delivered", Kind.HANDED_IN: "ready to be built on"}[entry.kind]
            since = f", begun {_when(self._plan, entry.start)}" if entry.end > entry.start else ""
            yield Line(entry.end, building, f"{activity_label(entry.key)}: {verb}{since}", _ENDED)
            return
        crew = ", ".join(self._plan.units[unit].name for unit in entry.units)
        by = f" by {crew}" if crew else ""
        name = activity_label(entry.key)
        printing = entry.kind is Kind.PRINTING
        yield Line(entry.start, building, f"{name}: begun{by}{self._waited(entry)}", _BEGUN, printing)
        yield Line(entry.end, building, f"{name}: done{self._took(entry)}{self._lost(entry)}", _ENDED, printing)

    def _waited(self, entry: Entry) -> str:
        waits = []
        since = entry.ready
        for hold in entry.holds:
            if hold.end - since >= 0.25:
                waits.append(f"{_span(hold.end - since)} {self._for_what(entry, hold, since)}")
            since = hold.end
        return f"; ready since {_when(self._plan, entry.ready)}, waited {' and '.join(waits)}" if waits else ""

    def _for_what(self, entry: Entry, hold: Hold, since: float) -> str:
        """Say what a step waited for, and where that was but the night, or the shift's end, what it is counted as."""
        cause = WAITED_FOR[hold.cause]
        if hold.by >= 0:
            return f"for {cause} ({activity_label(self._ledger.entries[hold.by].key)})"
        if entry.kind is Kind.PRINTING:
            return "until the next print day" if hold.cause == Cause.PRINTER else f"for {cause}"
        shift = self._shift_of(entry)
        if shift is None or hold.cause == Cause.WEATHER:
            return f"for {cause}"
        if not shift.worked(since, hold.end):
            return f"until the next shift (counted as {cause})"
        if hold.cause != Cause.CONCRETE and shift.is_open(since):
            counted = "" if hold.cause == Cause.PREDECESSOR else f" (counted as {cause})"
            return f"since it does not fit into what is left of the shift{counted}"
        return f"for {cause}"

    def _shift_of(self, entry: Entry) -> Calendar | None:
        """Give the hours of those who do it, that of the first gang or machine where the step goes on to its end."""
        if entry.shift is not None or not entry.units:
            return entry.shift
        name = self._plan.units[entry.units[0]].hours
        if name not in self._shifts:
            self._shifts[name] = self._plan.calendars[name].over(self._plan.start, self._plan.days)
        return self._shifts[name]

    def _took(self, entry: Entry) -> str:
        if entry.hours is None or not entry.units:
            return f" after {_span(entry.end - entry.start)}"
        return f" after {_hours_of_work(entry.hours.worked(entry.start, entry.end))} of work"

    def _lost(self, entry: Entry) -> str:
        if entry.hours is None or entry.shift is None or entry.hours is entry.shift:
            return ""
        lost = entry.shift.worked(entry.start, entry.end) - entry.hours.worked(entry.start, entry.end)
        return f", and {_span(lost)} of shift more lost to weather" if lost >= 0.25 else ""

    def _of_load(self, load: Load) -> Iterable[Line]:
        for instant, text in self._story_of(load):
            yield Line(instant, load.building, text, printing=True)

    def _story_of(self, load: Load) -> Iterable[tuple[float, str]]:
        if load.verdict == "mixed on site":
            lost = f", {self._volume(load.rejected)} of it thrown away" if load.rejected else ""
            text = f"{load.number} batches mixed, {self._volume(load.ordered)} in all{lost}"
            yield load.discharge_ended, text
            return
        name = f"{load_name(load.number)} ({self._volume(load.ordered)})"
        yield load.batched, f"{name} batched at the plant"
        late = load.arrived - load.due
        how = "on time" if abs(late) < 1 / 60 else f"{_span(abs(late))} {'late' if late > 0 else 'early'}"
        yield load.arrived, f"{name} at the gate, {how}"
        rejection = self._rejected.get(_load_of(load))
        rejected = (
            ""
            if rejection is None
            else thrown_away(
                self._style,
                rejection,
                what_became_of(name, rejection, load.ordered, math.isfinite(load.discharge_begun), load.verdict),
                _span,
            )
        )
        standby = f", {_span(load.standby)} of paid standby" if load.standby else ""
        if math.isfinite(load.discharge_begun):
            age = load.discharge_begun - load.batched
            yield load.discharge_begun, f"{name} begins to discharge at age {_span(age)}"
            if rejection:
                yield rejection.instant, rejected
            age = load.discharge_ended - load.batched
            text = f"{name} empty at age {_span(age)}{standby}"
            if load.returned:
                text = f"{name} goes back with {self._volume(load.returned)}{standby}"
            yield load.discharge_ended, text
        else:
            let_go = self._let_go.get(_load_of(load), load.arrived)
            yield let_go, f"{rejected or f'{name} sent back unused'}{standby}"

    def _volume(self, cubic_metres: float) -> str:
        return self._style.fine_volume(cubic_metres)


def _load_of(row: Load | Departure | Rejection) -> tuple[str, int, int | None]:
    return row.building, row.day, row.number


def _is_of_a_step(remark: str) -> bool:
    return "/" in remark.partition(": ")[0]


def _in_words(remark: str) -> str:
    """Put a remark about a step, which begins with its key, into words."""
    key, colon, said = remark.partition(": ")
    return f"{activity_label(key)}: {said}" if colon and _is_of_a_step(remark) else remark


def _when(plan: Plan, hours: float) -> str:
    when = civil_time(plan.start, hours)
    day = f"{when:%b} {when.day}" if plan.units_of_measure == "us" else f"{when.day} {when:%b}"
    return f"{when:%a} {day} {when:%H:%M}"


def _hours_of_work(hours: float) -> str:
    """Tell working time [h] in hours, since a day of it is not 24 of them."""
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes >= 60 else f"{minutes} min"


def _span(hours: float) -> str:
    """Tell a length [h] in the largest units that fit: 3 d 4 h, 2 h 05, 25 min."""
    minutes = round(hours * 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 24 * 60:
        return f"{minutes // 60} h {minutes % 60:02d}"
    return f"{minutes // 1440} d {minutes % 1440 // 60} h"
