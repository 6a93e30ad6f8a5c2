"""What a weather record says: workable hours by month and kind of work, what shuts it, and what drawing keeps."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sitesim.chance import Luck
from sitesim.errors import UserError
from sitesim.hours import Calendar
from sitesim.plan import Climate, HourlyRecord, Plan
from sitesim.site.stage import weather_stream
from sitesim.study.sides_down import SIDES_DOWN, hours_with_sides_down
from sitesim.weather.limits import BINDING_NAMES, first_binding, outside_gust
from sitesim.weather.record import HourlyObservations
from sitesim.weather.resampling import MANY_YEARS, YearCalendar, days_of_weather
from sitesim.weather.working_days import WorkingDays, spells

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

WET_DAY = 0.25
"""Rain [mm] from which a day is called wet: a hundredth of an inch, the usual threshold of US records."""

LOST_DAY = 0.5
"""Share of its working hours from which on a day counts as lost (AACE Recommended Practice 84R-13)."""

_DAYS_AFTER = 7
"""Days beyond the twelve months that are drawn as well, for the storms that sides are let down before."""

SURE = 0.2
"""The quantile of workable hours that four years in five reach."""

Rows = NDArray[np.int64]
Values = NDArray[np.float64]


@dataclass(frozen=True)
class _Span:
    """Twelve civil months: their first day, the number of days, and the day on which each month begins."""

    first: date
    days: int
    begins: NDArray[np.int64]
    names: list[dict[str, int]]

    @classmethod
    def of(cls, start: date) -> _Span:
        first = start.replace(day=1)
        end = first.replace(year=first.year + 1)
        dates = [first + timedelta(days=day) for day in range((end - first).days)]
        begins = [place for place, day in enumerate(dates) if day.day == 1]
        names = [{"year": dates[place].year, "month": dates[place].month} for place in begins]
        return cls(first, len(dates), np.array(begins), names)

    def by_month(self, by_day: Values) -> Values:
        """Sum over the days of each month; the last axis is that of the days."""
        return np.asarray(np.add.reduceat(by_day, self.begins, axis=-1))


def study_weather(scenario: Scenario, runs: int, seed: int) -> dict[str, Any]:
    """Tell what the weather of a scenario does to its work, as plain data in SI units and hours.

    Parameters: ``runs``, how many years are drawn: each is the weather that the run of that number meets under
    ``seed``, over the twelve months from the start of the site.

    Raises UserError if the scenario has no weather.
    """
    plan = scenario.plan()
    record = plan.climate.record
    if record is None or scenario.record is None or not plan.weather_holds:
        missing = "no section weather" if record is None else "no weather that is played (trouble.weather.none)"
        raise UserError(f"{scenario.name}: has {missing}, so nothing waits for it")
    span = _Span.of(plan.start)
    # A storm of the week after the last month may have the sides of a tent let down within it.
    own_and_after = _own_years(record, span, _DAYS_AFTER)
    drawn_and_after = _draw(plan.climate, record, span, _DAYS_AFTER, runs, seed)
    own, drawn = own_and_after[:, : span.days], drawn_and_after[:, : span.days]
    kinds = [_kind(scenario, plan, record, span, own_and_after, drawn_and_after, kind) for kind in plan.kinds_of_work]
    limits = scenario.limits_in_words()
    return {
        "scenario": scenario.name,
        "units": scenario.units,
        "currency": scenario.currency,
        "start": plan.start.isoformat(),
        "runs": runs,
        "seed": seed,
        "record": _record(scenario, record),
        "drawn": _drawn(plan.climate, record),
        "months": span.names,
        "kinds": kinds,
        "limits": {kind["kind"]: limits[kind["kind"]] for kind in kinds},
        "unused": [kind for kind in limits if kind not in plan.kinds_of_work],
        "rain": _rain(record, span, own, drawn),
        "days_drawn_again": _days_drawn_again(drawn),
        "assumptions": scenario.weather_assumptions(),
        "cautions": scenario.weather_cautions(),
    }


def _own_years(record: HourlyRecord, span: _Span, after: int) -> Rows:
    """Give the rows of the same twelve months in each year of the record, and some days after, as they came."""
    calendar = YearCalendar(record, span.first.toordinal(), span.days + after, range(record.years))

    def from_year(year: int) -> Rows:
        return calendar.draw(lambda numbers: np.full(len(numbers), (year + 0.5) / record.years))

    return np.array([from_year(year) for year in range(record.years)])


def _draw(climate: Climate, record: HourlyRecord, span: _Span, after: int, runs: int, seed: int) -> Rows:
    """Draw the rows of the record that each run meets, and some days after, shape (runs, days)."""
    days = days_of_weather(climate, record, span.first.toordinal(), span.days + after)

    def of_run(run: int) -> Rows:
        luck, stream = Luck(seed, run), weather_stream()
        return days.draw(lambda blocks: luck.uniforms(np.full(len(blocks), stream, dtype=np.uint64), blocks))

    return np.array([of_run(run) for run in range(runs)])


def _record(scenario: Scenario, record: HourlyRecord) -> dict[str, Any]:
    read = scenario.record
    assert read is not None  # asked by the caller
    gust = outside_gust(record, scenario.plan().climate.gust_factor)
    assert record.humidity is not None  # a record that was read always has one
    return {
        "name": record.name,
        "origin": record.origin,
        "step": "hour" if isinstance(read, HourlyObservations) else "day",
        "first_day": date.fromordinal(int(record.days[0])).isoformat(),
        "last_day": date.fromordinal(int(record.days[-1])).isoformat(),
        "years": record.years,
        "few": record.years < MANY_YEARS,
        "rain_mm_a_year": float(record.rain.sum()) / record.years,
        "wet_days_a_year": float((record.rain.sum(axis=1) >= WET_DAY).sum()) / record.years,
        "temperature_c": {
            "mean": float(record.temperature.mean()),
            "lowest": float(record.temperature.min()),
            "highest": float(record.temperature.max()),
        },
        "wind_m_s": {"mean": float(record.wind.mean()), "highest_hour": float(record.wind.max())},
        "gust_m_s": {"highest": float(gust.max()), "recorded": record.gust is not None},
        "humidity": {"mean": float(record.humidity.mean()), "recorded": read.humidity is not None},
        "remarks": list(read.remarks),
        "doubts": list(read.doubts),
    }


def _drawn(climate: Climate, record: HourlyRecord) -> dict[str, Any]:
    first_year = date.fromordinal(int(record.days[0])).year
    if not climate.replayed:
        return {"how": "blocks", "block_days": climate.block, "window_days": climate.window}
    return {"how": "years", "years": [first_year + year for year in climate.replayed]}


def _kind(
    scenario: Scenario, plan: Plan, record: HourlyRecord, span: _Span, own: Rows, drawn: Rows, kind: str
) -> dict[str, Any]:
    names, limits = _hours_of(plan, kind), plan.climate.limits[kind]
    working = WorkingDays(_calendar(scenario, names, span.first, span.days), span.days)
    codes = first_binding(limits, record, plan.climate.gust_factor)
    sides = limits.shelter.sides if limits.shelter is not None else None

    def workable(rows: Rows) -> tuple[Values, Values]:
        """Give the workable hours of each day, and those that the tent's sides take."""
        let_by_limits = working.within(codes == 0, rows[:, : span.days])
        if sides is None:
            return let_by_limits, np.zeros(let_by_limits.shape)
        under_them, riggers = (_calendar(scenario, each, span.first, rows.shape[1]) for each in (names, (sides.hours,)))
        taken = hours_with_sides_down(limits, plan.climate, record, under_them, riggers, rows)[:, : span.days]
        return let_by_limits - taken, taken

    by_day, with_sides_down = workable(drawn)
    by_month = span.by_month(by_day)
    lost_days = (by_day <= (1.0 - LOST_DAY) * working.of_day) & (working.of_day > 0.0)
    shift = float(working.of_day.sum())
    lost = {
        BINDING_NAMES[code]: span.by_month(working.within(codes == code, drawn[:, : span.days])).mean(axis=0).tolist()
        for code in sorted(set(np.unique(codes).tolist()) - {0})
    }
    if sides is not None:
        lost[SIDES_DOWN] = span.by_month(with_sides_down).mean(axis=0).tolist()
    return {
        "kind": kind,
        "calendars": list(names),
        "shift_hours": span.by_month(working.of_day).tolist(),
        "workable_hours": by_month.mean(axis=0).tolist(),
        "workable_hours_4_in_5": np.quantile(by_month, SURE, axis=0, method="inverted_cdf").tolist(),
        "lost_days": span.by_month(lost_days.astype(np.float64)).mean(axis=0).tolist(),
        "lost_hours": lost,
        "lost_hours_a_year": {
            "record": _mean_and_spread(shift - workable(own)[0].sum(axis=1)),
            "drawn": _mean_and_spread(shift - by_day.sum(axis=1)),
        },
    }


def _hours_of(plan: Plan, kind: str) -> tuple[str, ...]:
    """Name the calendars under which most steps of a kind of work are done; of printing those of the print days."""
    day = plan.print_day
    if day is not None and day.limits == kind:
        return (day.hours or plan.units[day.crew[0]].hours,)
    counts: Counter[tuple[str, ...]] = Counter()
    for node in plan.nodes:
        if node.task.limits == kind:
            gangs = {plan.units[options[0]].hours for options in node.task.needs}
            counts[tuple(sorted(gangs)) or (node.task.hours,)] += 1
    return counts.most_common(1)[0][0]


def _calendar(scenario: Scenario, names: tuple[str, ...], first: date, days: int) -> Calendar:
    last = first + timedelta(days=days)
    found = Calendar([0.0], [24.0 * days])
    for name in names:
        if name:
            week = scenario.model.calendars.get(name)
            # A calendar that only the plan has, of a relief or a gang that is away, knows holidays from the start on.
            pattern = scenario.plan().calendars[name] if week is None else week.pattern(first, last)
            found = found.intersect(pattern.over(first, days))
    return found


def _rain(record: HourlyRecord, span: _Span, own: Rows, drawn: Rows) -> dict[str, Any]:
    by_day = np.round(record.rain.sum(axis=1), 2)
    wet = by_day >= WET_DAY
    return {
        "record": _rain_of_years(span, by_day[own], spells(wet)),
        "drawn": _rain_of_years(span, by_day[drawn], spells(wet[drawn])),
    }


def _rain_of_years(span: _Span, by_day: Values, wet_spells: tuple[float, float, int]) -> dict[str, Any]:
    """Give the rain [mm] of months and years, shape (years, days), with their wet spells as `spells` gives them."""
    mean, goes_on, longest = wet_spells
    return {
        "monthly_mm": _means_and_spreads(span.by_month(by_day)),
        "year_mm": _mean_and_spread(by_day.sum(axis=1)),
        "wet_spell_days": mean,
        "wet_after_wet": goes_on,
        "longest_wet_spell_days": longest,
    }


def _days_drawn_again(drawn: Rows) -> float:
    """Give the days of twelve months, on the mean, that are days of the record which the same months had before."""
    in_order = np.sort(drawn, axis=1)
    return float(np.count_nonzero(in_order[:, 1:] == in_order[:, :-1]) / len(drawn))


def _mean_and_spread(values: Values) -> dict[str, float | None]:
    """Give mean and standard deviation; no spread of a single value."""
    return {"mean": float(values.mean()), "spread": float(values.std(ddof=1)) if len(values) > 1 else None}


def _means_and_spreads(values: Values) -> dict[str, list[float] | None]:
    spread = values.std(axis=0, ddof=1).tolist() if len(values) > 1 else None
    return {"mean": values.mean(axis=0).tolist(), "spread": spread}
