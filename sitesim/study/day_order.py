"""One print day: which loads to order for it, at what times, and what to watch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sitesim.answers.deliveries import as_arrays, best_of, flat_spacings, weigh
from sitesim.answers.delivery_costs import Prices
from sitesim.answers.statistics import mean_interval, proportion_interval, quantile_estimate
from sitesim.errors import UserError
from sitesim.hours import Calendar, everlasting
from sitesim.ledger.print_days import in_columns
from sitesim.plan import Link, Plan, ReadyMix, day_target, one_print_day, plain
from sitesim.policies import AdjustTheOrder, FixedSpacing, WillCall
from sitesim.site import Stage, play
from sitesim.site.weather_class import DaysNear, WeatherClass, days_near, runs_of_class
from sitesim.study.delivery_summary import finite, rows_of, summary_of, told_estimate
from sitesim.study.ordered_loads import OrderedLoad, let_in_at, ordered_loads
from sitesim.study.print_days import PlayedPrintDays, Told, play_print_days
from sitesim.study.runner import StudySettings
from sitesim.study.ways import Grid, Impossible, Ways, filled, is_ready_mix, none_can_be_played, ways_of

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

_FEW_DAYS = 5
"""Fewer days of the record than this are too few for a class of weather (assumed)."""


@dataclass(frozen=True, slots=True)
class Day:
    """The print day that is asked about: ``building``, its first layer, its date, and what the forecast says."""

    building: str
    from_layer: int
    date: date
    weather: str = ""


def plan_day(
    scenario: Scenario, sets: Sequence[str], grid: Grid, day: Day, settings: StudySettings, told: Told | None = None
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Play one print day with each way of supply, choose the cheapest, and give its order.

    Returns the summary and the rows of the table, a row for each run of each way. Raises UserError for a day that
    cannot be: no such building or layer, a day without work, weather that the record does not know.
    """
    if not is_ready_mix(scenario):
        raise UserError(f"{scenario.name}: mixes on site, so there is nothing to order")
    base = _plan_of(scenario.plan(), day)
    _check_that_it_can_be_had(scenario.plan(), day)
    stage = Stage(base)
    near, of = days_near(stage), _class_of(day)
    runs = _runs(stage, near, of, day, settings)
    ways = _ways_of_day(scenario, sets, filled(grid, scenario), day)
    played = play_print_days(ways.plans, [runs] * len(ways.plans), settings, keep_loads=True, told=told)
    columns = [in_columns(one.rows) for one in played]
    figures = [as_arrays(each) for each in columns]
    if not all(each["in_place_m3"].any() for each in figures):
        raise UserError(f"{day.date}: no concrete can be placed in any of {len(runs)} runs of such a day")
    prices = Prices.of(ways.plans[0])
    weighed = weigh(ways.ways, figures, prices, runs_must_finish=False)
    summary = summary_of(scenario, settings, ways, weighed, prices)
    best = weighed.index(best_of(weighed))
    summary |= {"runs": len(runs), "at_edge": [], "flat_spacings": list(flat_spacings(weighed))}
    loads = ordered_loads(ways.plans[best], played[best], near, of, settings.seed)
    summary["day"] = _told_day(scenario.plan(), day, ways.plans[best], played[best], near, loads, of, len(runs))
    return summary, list(rows_of(ways.ways, columns))


def _plan_of(plan: Plan, day: Day) -> Plan:
    try:
        return one_print_day(plan, day.building, day.from_layer, day.date)
    except ValueError as error:
        raise UserError(f"--building {day.building} --from-layer {day.from_layer}: {error}") from None


def _class_of(day: Day) -> WeatherClass:
    try:
        return WeatherClass.parse(day.weather) if day.weather else WeatherClass()
    except ValueError as error:
        raise UserError(f"--weather: {error}") from None


def _crew_days(plan: Plan, first: date, days: int) -> Calendar:
    """Give the days of work of those who print."""
    rules = plan.print_day
    assert rules is not None
    hours = rules.hours or plan.units[rules.crew[0]].hours
    return plan.calendars[hours].over(first, days).days_of_work()


_LOOKED_AHEAD = 60
"""Days after the one that was asked for among which the next that can be had is looked for."""


def _check_that_it_can_be_had(plan: Plan, day: Day) -> None:
    reason = _why_not(plan, day.date)
    if reason:
        days = (day.date + timedelta(days=more) for more in range(1, _LOOKED_AHEAD))
        coming = next((one for one in days if not _why_not(plan, one)), None)
        following = f"; the next is {coming}" if coming else f"; nor is any of the {_LOOKED_AHEAD} days from it on"
        raise UserError(f"--date {day.date}: {reason}{following}")


def _why_not(plan: Plan, on: date) -> str:
    """Say why no concrete can be had and printed on a date, as is known beforehand; empty if it can."""
    supply = plan.supply
    assert isinstance(supply, ReadyMix)
    if not _crew_days(plan, on, 1).starts:
        return "is not a working day of those who print"
    hours = plan.calendars[supply.hours].over(on, 1) if supply.hours else everlasting(24.0)
    if not hours.starts:
        return "is not a day on which the plant works"
    known = [one for one in supply.outages if one.link in _TO_THE_SITE and on.toordinal() in one.dates]
    lost = Calendar.of(span for one in known for span in one.hours)
    if all(lost.worked(start, end) >= end - start for start, end in hours.intervals()):
        names = " and ".join(f"{_TO_THE_SITE[one.link]} ({one.name})" for one in known)
        return f"is not a day on which concrete can be had, for want of {names}"
    return ""


_TO_THE_SITE = {Link.PLANT: "the plant", Link.ROAD: "the road"}
"""Without which no load comes, as words."""


def _runs(stage: Stage, near: DaysNear | None, of: WeatherClass, day: Day, settings: StudySettings) -> list[int]:
    """List the runs whose day has the weather of the forecast."""
    if not day.weather:
        return list(range(settings.runs))
    if near is None:
        raise UserError("--weather: the scenario has no weather record, so no class of weather can be read off it")
    held = near.count(of)
    if held < _FEW_DAYS:
        raise UserError(
            f"--weather {day.weather}: of the {len(set(near.rows))} days of the record near {day.date:%d %B} only "
            f"{held} are like that, too few to tell anything; name a wider class, such as dry"
        )
    return runs_of_class(stage, settings.seed, near, of, settings.runs)


def _ways_of_day(scenario: Scenario, sets: Sequence[str], grid: Grid, day: Day) -> Ways:
    """Make the ways for the day; what the fleet cannot do on the site's longest day it may do on this one."""
    ways = ways_of(scenario, sets, grid, needs_one=False)
    impossible: list[Impossible] = []
    found = dict(zip(ways.ways, ways.plans, strict=True))
    for one in ways.impossible:
        plenty = ways_of(scenario, sets, Grid((one.load,), (one.spacing,), (_PLENTY,)), needs_one=False)
        if plenty.plans and _loads_of(_on_the_day(scenario, plenty.plans[0], day)) <= one.trucks:
            supply = plenty.plans[0].supply
            assert isinstance(supply, ReadyMix)
            plan = replace(plenty.plans[0], supply=replace(supply, trucks=one.trucks))
            found[replace(plenty.ways[0], trucks=one.trucks)] = plan
        else:
            impossible.append(one)
    if not found:
        raise none_can_be_played(impossible)
    called = sorted(found, key=lambda way: (way.load, way.trucks, way.spacing))
    plans = tuple(_on_the_day(scenario, found[way], day) for way in called)
    return Ways(tuple(called), plans, tuple(impossible))


_PLENTY = 99


def _on_the_day(scenario: Scenario, plan: Plan, day: Day) -> Plan:
    return one_print_day(replace(scenario.plan(), supply=plan.supply), day.building, day.from_layer, day.date)


def _loads_of(plan: Plan) -> int:
    """Count the loads that are ordered for a day on which all goes as expected."""
    return play(Stage(plain(plan)), 0, 0).ledger.counts.loads


def _told_day(
    whole: Plan,
    day: Day,
    plan: Plan,
    played: PlayedPrintDays,
    near: DaysNear | None,
    loads: Sequence[OrderedLoad],
    of: WeatherClass,
    runs: int,
) -> dict[str, Any]:
    """Give the order and what to watch, as plain data; instants in hours after midnight of the day."""
    supply, rules = plan.supply, plan.print_day
    assert isinstance(supply, ReadyMix)
    assert rules is not None
    shell = next(one.shell for one in whole.buildings if one.name == day.building)
    assert shell is not None
    printed = [row for row in played.rows if row.print_days]
    reached = sum(row.finished for row in printed)
    return {
        "building": day.building,
        "called": "Row" if sum(place == day.building for place, _ in whole.homes) > 1 else "Building",
        "from_layer": day.from_layer,
        "to_layer": day_target(shell, day.from_layer - 1),
        "date": day.date.isoformat(),
        "weather": _told_weather(day, near, of),
        "loads": [_told_load(load) for load in loads],
        "calls": _told_calls(supply),
        "holding": _told_holding(supply, plan, loads),
        "top_up": isinstance(supply.ordering, FixedSpacing) and supply.ordering.calls,
        "order_by": _order_by(whole, day, supply),
        "call_off_price": supply.cancellation,
        "call_off_notice": supply.notice,
        "morning_call_adjusts": isinstance(supply.morning_call, AdjustTheOrder),
        "working_life": rules.working_life,
        "life_falls_with_heat": rules.life_falls_with_heat,
        "open_time": rules.open_time,
        "joint_time": rules.joint_time,
        "standby_free": supply.standby_free,
        "crew_begins": _crew_days(whole, day.date, 1).starts[0],
        "go_before": rules.go_before,
        "ends": {
            name: _told_quantile([row.ended for row in printed], share) for name, share in (("P50", 0.5), ("P80", 0.8))
        },
        "chances": {
            "no_go": _chance(runs - len(printed), runs),
            "reaches_target": _chance(reached, len(printed)),
            "short_of_concrete": _chance(sum(row.days_short_of_concrete > 0 for row in printed), len(printed)),
            "unplanned_joint": _chance(sum(row.unplanned_joints > 0 for row in printed), len(printed)),
            "concrete_rejected": _chance(sum(row.rejected_m3 > 0 for row in printed), len(printed)),
            "load_called_off": _chance(sum(row.loads_called_off > 0 for row in printed), len(printed)),
        },
        "means": {
            name: told_estimate(mean_interval([float(getattr(row, name)) for row in printed]))
            for name in ("standby_hours", "waiting_hours", "rejected_m3", "returned_m3", "overtime_hours")
        },
    }


def _chance(count: int, of: int) -> dict[str, float | None] | None:
    return told_estimate(proportion_interval(count, of)) if of else None


def _told_quantile(values: Sequence[float], share: float) -> dict[str, float | None]:
    found = quantile_estimate(values, share)
    return {"value": found.value, "low": finite(found.low), "high": finite(found.high)}


def _told_weather(day: Day, near: DaysNear | None, of: WeatherClass) -> dict[str, Any] | None:
    if near is None:
        return None
    return {
        "named": day.weather,
        "class": asdict(of),
        "days_in_class": near.count(of),
        "days_near": len(set(near.rows)),
        "cold_below": near.cold_below,
        "hot_above": near.hot_above,
        "windy_above": near.windy_above,
    }


def _told_load(load: OrderedLoad) -> dict[str, Any]:
    shares = {"wanted": load.wanted, "stirred": load.stirred}
    return asdict(load) | {name: None if one is None else told_estimate(one) for name, one in shares.items()}


def _told_calls(supply: ReadyMix) -> dict[str, float] | None:
    """Tell how loads are called for, where all but the first are [h]."""
    ordering = supply.ordering
    if not isinstance(ordering, WillCall):
        return None
    return {"lead": ordering.lead, "lasts": ordering.lead + ordering.early}


def _told_holding(supply: ReadyMix, plan: Plan, loads: Sequence[OrderedLoad]) -> dict[str, float] | None:
    """Tell how a holding hopper takes the largest load [h, m³], and what its age does not hang on [m³]."""
    holding, rules = supply.holding, plan.print_day
    if holding is None or not loads:
        return None
    assert rules is not None
    largest = max(load.volume_m3 for load in loads)
    return {
        "volume_m3": largest,
        "hours": largest / holding.rate,
        "let_in_at_m3": let_in_at(holding, largest),
        "not_stirred_m3": rules.hopper,
    }


def _order_by(plan: Plan, day: Day, supply: ReadyMix) -> str:
    """Give the plant's cut-off for the day, as an ISO date and time: on the working day before it."""
    back = 30
    starts = _crew_days(plan, day.date - timedelta(days=back), back).starts
    before = day.date - timedelta(days=back - int(starts[-1] // 24)) if starts else day.date - timedelta(days=1)
    minutes = round(60.0 * supply.cut_off)
    return f"{before.isoformat()}T{minutes // 60:02d}:{minutes % 60:02d}"
