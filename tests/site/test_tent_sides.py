"""A storm passes over the tent: its sides come down before it and go up after it, in the riggers' hours.

Kind of the tests: deterministic. The rig prints on Monday 8 March (hour 168) and Tuesday; Monday to Friday, the shell
gang from six to three. Recomputed by hand from the stated rules: no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from rigs import EARLY_WEEKDAYS, MONDAY, account_of, entries_of, play_plan, printing_plan

from sitesim.chance import Luck
from sitesim.hours import Calendar
from sitesim.ledger import on_site, time_account
from sitesim.plan import (
    Cause,
    Climate,
    Doing,
    HourlyRecord,
    Law,
    Limits,
    Plan,
    Ripening,
    Shelter,
    Sides,
    State,
    UnitKind,
)
from sitesim.site import Played, Stage
from sitesim.site.skies import RunHours
from sitesim.site.tent_sides import tent_sides

GUST_FACTOR = 1.5
SIDES = Sides(down_gust=16.0, up_gust=12.0, time=1.5, hours="shell")
WEEK = EARLY_WEEKDAYS.over(MONDAY, 14)


def gusts(**storms: float) -> np.ndarray:
    """Make two weeks of calm hours with a gust in those named, like ``h176=20``."""
    values = np.full(14 * 24, 3.0)
    for hour, gust in storms.items():
        values[int(hour[1:])] = gust
    return values


def seen_to(values: np.ndarray, sides: Sides = SIDES) -> tuple[list[tuple[float, float]], ...]:
    """Give when the sides are down, and when somebody lets them down and puts them up."""
    handled = Calendar.of(
        (start, min(end, hour + 1.0))
        for start, end in WEEK.intervals()
        for hour in range(int(start), int(end))
        if values[hour] <= sides.up_gust
        for start in (max(start, float(hour)),)
    )
    found = tent_sides(sides, values, handled)
    edges = [0.0, *(edge for span in found.up.intervals() for edge in span), float(len(values))]
    down = [(begin, end) for begin, end in zip(edges[::2], edges[1::2], strict=True) if begin < end]
    return down, found.lowering.intervals(), found.raising.intervals()


def test_sides_come_down_in_the_last_hours_before_a_storm_and_go_up_in_the_first_after_it() -> None:
    # A storm on Tuesday from ten to eleven.
    down, lowering, raising = seen_to(gusts(h34=17.0))
    assert down == [(32.5, 36.5)]
    assert lowering == [(32.5, 34.0)]
    assert raising == [(35.0, 36.5)]


def test_a_storm_by_night_costs_the_end_of_one_shift_and_the_morning_of_the_next() -> None:
    # Tuesday at two in the morning: let down on Monday from half past one to three, put up from six to half past seven.
    down, lowering, raising = seen_to(gusts(h26=17.0))
    assert (down, lowering, raising) == ([(13.5, 31.5)], [(13.5, 15.0)], [(30.0, 31.5)])
    # On Saturday: from Friday to Monday.
    assert seen_to(gusts(h130=17.0))[0] == [(4 * 24 + 13.5, 7 * 24 + 7.5)]


def test_nobody_handles_them_in_too_much_wind() -> None:
    # The hour before the storm and the two after it have gusts of 13 m/s: below the storm, too much to handle.
    down, lowering, raising = seen_to(gusts(h33=13.0, h34=17.0, h35=13.0, h36=13.0))
    assert (down, lowering, raising) == ([(31.5, 38.5)], [(31.5, 33.0)], [(37.0, 38.5)])
    assert seen_to(gusts(h34=16.0)) == ([], [], [])  # a gust at the limit is none above it


def test_sides_stay_down_where_the_next_storm_leaves_no_time() -> None:
    # At ten and at noon: they would be up at half past twelve.
    down, lowering, raising = seen_to(gusts(h34=17.0, h36=17.0))
    assert (down, lowering, raising) == ([(32.5, 38.5)], [(32.5, 34.0)], [(37.0, 38.5)])
    # At ten and at three: up by half past twelve, down again from half past one.
    down, lowering, raising = seen_to(gusts(h34=17.0, h39=17.0))
    assert down == [(32.5, 36.5), (37.5, 55.5)]
    assert raising == [(35.0, 36.5), (54.0, 55.5)]


def stormy(shelter: Shelter, **storms: float) -> Plan:
    """Make the printing rig under a tent, with gusts in the hours of the run named."""
    wind = np.full((365, 24), 2.0)
    first = (date(2026, 3, 1) - date(2026, 1, 1)).days
    for hour, gust in storms.items():
        wind.reshape(-1)[24 * first + int(hour[1:])] = gust / GUST_FACTOR
    days = np.arange(365) + date(2026, 1, 1).toordinal()
    record = HourlyRecord("by hand", "for a test", days, 1, np.full((365, 24), 5.0), wind, np.zeros((365, 24)))
    climate = Climate(record, {"print": Limits("print", shelter=shelter)}, GUST_FACTOR, 10, 0, 1.0)
    plan = printing_plan(buildings=1)
    assert plan.print_day is not None
    return replace(plan, climate=climate, print_day=replace(plan.print_day, limits="print"))


TENT = Shelter(wind_share=0.1, rated_gust=12.0, rise=10.0, set_point=15.0)
WITH_SIDES = replace(TENT, sides=SIDES)


def printed_day(played: Played, number: int) -> list[tuple[float, float, Doing | Cause | None]]:
    days = played.ledger.printed or []
    return [(span.start, span.end, span.doing or span.cause) for span in days[number - 1].spans]


def told(played: Played) -> list[str]:
    """Give what the crew does to the sides on print days, one after the other."""
    spans = [span for day in played.ledger.printed or [] for span in day.spans if span.doing is Doing.TENT_SIDES]
    return [span.name for span in spans]


def test_a_storm_before_dawn_takes_the_morning_of_a_print_day() -> None:
    # Monday the 8th at three in the morning. The sides were let down on Friday; they go up from six to half past seven.
    # The crew aligns until seven and has concrete at seven and seven and a half minutes; it primes when they are up.
    played = play_plan(stormy(WITH_SIDES, h171=17.0), keep_diary=True)
    assert printed_day(played, 1)[:4] == [
        (174.0, 175.0, Doing.ALIGNING),
        (175.0, 175.125, Cause.CONCRETE),
        (175.125, 175.5, Doing.TENT_SIDES),
        (175.5, 175.75, Doing.PRIMING),
    ]
    assert told(played) == ["put up after a storm"]
    # Without sides the same storm costs nothing.
    assert printed_day(play_plan(stormy(TENT, h171=17.0), keep_diary=True), 1)[2] == (175.125, 175.375, Doing.PRIMING)


def test_a_storm_by_day_ends_printing_when_the_sides_come_down() -> None:
    # At noon: the sides come down from half past ten, with the nozzle shut, the crew washes out and lets them down.
    usual = entries_of(play_plan(stormy(WITH_SIDES)))["A/print day 1"]
    plan = stormy(WITH_SIDES, h180=17.0)
    played = play_plan(plan, keep_diary=True)
    day = entries_of(played)["A/print day 1"]
    layers = [layer.end for layer in played.ledger.layers or () if layer.end < 192.0]
    assert layers == [176.0 + 0.3125 * i for i in range(9)]  # the last one ends at half past ten
    *_, washed_out, sides = printed_day(played, 1)
    assert washed_out == (178.5, 179.75, Doing.WASHING_OUT)
    assert sides == (179.75, 180.0, Doing.TENT_SIDES)
    assert (day.end, usual.end) == (180.0, 180.0625)
    assert told(played) == ["let down before a storm"]  # they go up in the afternoon, when nobody prints
    # Without sides printing goes on until the wind itself stops it: all ten layers are in place by then.
    assert entries_of(play_plan(stormy(TENT, h180=17.0)))["A/print day 1"].end == usual.end
    account = account_of(plan, played)
    hours = time_account(account, plan.units)
    for unit, span in enumerate(on_site(account)):
        if span is not None and plan.units[unit].kind is not UnitKind.CRANE:
            assert sum(amount for (of, _, _), amount in hours.items() if of == unit) == span[1] - span[0]
    assert hours[0, State.WAITING, Cause.WEATHER] == 3.0  # the tenth layer has to wait for Tuesday


def test_a_tent_with_its_sides_down_is_not_heated() -> None:
    # 10 °C of warming by day and night but for the hours in which the sides are down, or come down or go up: they are
    # down from Friday the 5th at half past one to Monday at half past seven.
    stage = Stage(stormy(WITH_SIDES, h171=17.0))
    hours = RunHours(stage, Luck(1, 0))
    down = (7 * 24 + 8) - (4 * 24 + 13)
    assert hours.heated(WITH_SIDES, [(0.0, 336.0)]) == 336.0 - down
    assert hours.heated(TENT, [(0.0, 336.0)]) == 336.0
    # Maturity above 0 °C: 15 °C·h an hour in the warm tent, 5 while the sides are down.
    ripening = Ripening(Law.MATURITY, 15.0 * 24, 0.0, WITH_SIDES)
    assert hours.ripened(ripening, 0.0) == 24.0
    assert hours.ripened(ripening, 96.0) == pytest.approx(96.0 + 13.0 + (360.0 - 195.0) / 5.0)
