"""Shifts under stress and months of start, from made-up runs that can be reckoned by hand.

Kind of the tests: deterministic, and one closed-form check of the intervals' coverage.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from rigs import MONDAY, WEEKDAYS, bare_plan

from sitesim.answers.stress import Shift, months_apart, rank, start_month
from sitesim.answers.variants import PlayedVariant, WorkingDays, as_planned
from sitesim.hours import WeekPattern
from sitesim.plan import Plan

PLAN = bare_plan((), (), (), days=400, calendar=WEEKDAYS)
FRIDAY = 4 * 24.0 + 15.0
"""The end of the first working week [h]."""


def variant(
    name: str, finishes: Sequence[float], held: dict[str, float] | None = None, plan: Plan = PLAN
) -> PlayedVariant:
    """Make runs up: their finishes [h], and days by cause that are the same in each that ends."""
    runs = pd.DataFrame(
        {
            "run": range(len(finishes)),
            "finish_hours": list(finishes),
            "finished": [not math.isinf(finish) for finish in finishes],
        }
    )
    rows = [
        {"run": run, "cause": cause, "activity": "A/x", "days": days + 0.01 * (run % 3), "off_shift_days": days / 2}
        for run, finish in enumerate(finishes)
        if not math.isinf(finish)
        for cause, days in (held or {"predecessor": 4.0}).items()
    ]
    frame = pd.DataFrame(rows, columns=["run", "cause", "activity", "days", "off_shift_days"])
    return PlayedVariant(name, plan, runs, frame)


def spread(first: float = FRIDAY, runs: int = 40) -> list[float]:
    """Finishes a working week apart."""
    return [first + 7 * 24.0 * run for run in range(runs)]


def ranked(planned: PlayedVariant, *stressed: PlayedVariant, asked: date | None = None) -> dict[str, Shift]:
    return {one.name: one for one in rank(planned, stressed, asked, {})}


def test_a_week_later_in_every_run_is_five_working_days_exactly() -> None:
    planned = variant("planned", spread())
    shift = ranked(planned, variant("late", spread(FRIDAY + 7 * 24)))["late"]
    assert (shift.mean.mean, shift.mean.low, shift.mean.high) == (5.0, 5.0, 5.0)
    assert (shift.p50.shift, shift.p80.shift) == (5.0, 5.0)
    assert (shift.p80.low, shift.p80.high) == (5.0, 5.0)
    assert shift.distinguishable


def test_the_same_again_cannot_be_told_apart() -> None:
    planned = variant("planned", spread())
    shift = ranked(planned, variant("same", spread()))["same"]
    assert not shift.distinguishable
    assert (shift.mean.mean, shift.p80.shift) == (0.0, 0.0)
    assert shift.held == ()


def test_closed_dates_are_no_working_days() -> None:
    """Of the week from the 8th on the Tuesday is closed: a finish a week later is four working days later."""
    tuesday = MONDAY + timedelta(days=8)
    pattern = WeekPattern(WEEKDAYS.spans, frozenset({tuesday.toordinal()}))
    plan = replace(PLAN, calendars={"site": pattern})
    numbers = WorkingDays([plan]).numbers(MONDAY, [FRIDAY, FRIDAY + 7 * 24, math.inf])
    assert numbers[1] - numbers[0] == 4.0
    assert math.isinf(numbers[2])


def test_finishes_of_another_start_are_compared_by_date() -> None:
    moved = replace(PLAN, start=MONDAY + timedelta(days=14))
    shift = ranked(variant("planned", spread()), variant("moved", spread(), plan=moved))["moved"]
    assert (shift.mean.mean, shift.p80.shift) == (10.0, 10.0)
    assert shift.months_moved


def test_what_shifts_the_finish_most_comes_first_and_ties_keep_their_order() -> None:
    planned = variant("planned", spread())
    weeks = {"three": 3, "none": 0, "one": 1, "also one": 1}
    stressed = [variant(name, spread(FRIDAY + 7 * 24 * number)) for name, number in weeks.items()]
    order = list(ranked(planned, *stressed))
    assert order == ["three", "also one", "one", "none"]
    assert list(ranked(planned, *reversed(stressed))) == order


def test_one_rule_ranks_and_tells_the_mean_of_the_pairs() -> None:
    """Ten early runs of forty two weeks later: 10 x 10 / 40 days on average, and the date at 4 in 5 where it is.

    Nine of the last ten a week later put that date off by a week, and are 9 x 5 / 40 days on average. One run five
    weeks later is 25 / 40 days, and might be luck.
    """
    finishes = [FRIDAY + 7 * 24.0 * (run // 10) for run in range(40)]
    early = [finish + 14 * 24.0 * (run < 10) for run, finish in enumerate(finishes)]
    last = [finish + 7 * 24.0 * (run > 30) for run, finish in enumerate(finishes)]
    rare = [finish + 35 * 24.0 * (run == 39) for run, finish in enumerate(finishes)]
    told = {"last": last, "rare": rare, "early": early}
    found = ranked(variant("planned", finishes), *(variant(name, ends) for name, ends in told.items()))
    assert {name: one.p80.shift for name, one in found.items()} == {"early": 0.0, "last": 5.0, "rare": 0.0}
    assert {name: one.mean.mean for name, one in found.items()} == {"early": 2.5, "last": 1.125, "rare": 0.625}
    assert list(found) == ["early", "last", "rare"]
    assert [one.distinguishable for one in found.values()] == [True, True, False]


def test_runs_that_do_not_end_rank_last_among_dates_and_first_among_stresses() -> None:
    planned = variant("planned", spread(runs=10))
    never = variant("never", [*spread(runs=7), math.inf, math.inf, math.inf])
    late = variant("late", spread(FRIDAY + 70 * 24, runs=10))
    found = ranked(planned, late, never)
    assert list(found) == ["never", "late"]
    assert found["never"].unfinished == 3
    assert found["never"].finish_p80 is None
    assert math.isinf(found["never"].p80.shift)


def test_the_chance_of_still_meeting_a_date() -> None:
    planned = variant("planned", spread(runs=10))
    asked = MONDAY + timedelta(days=4 + 7 * 7)  # met by runs 0 to 7
    found = ranked(planned, variant("late", spread(FRIDAY + 14 * 24, runs=10)), asked=asked)
    assert as_planned(planned, asked).meets.value == 0.8
    assert found["late"].meets.value == 0.6
    # Clopper–Pearson for 6 of 10 at 95 %: 0.262 to 0.878, published tables
    assert (round(found["late"].meets.low, 3), round(found["late"].meets.high, 3)) == (0.262, 0.878)


def test_the_planned_date_is_asked_about_unless_another_is_named() -> None:
    planned = as_planned(variant("planned", spread(runs=10)), None)
    assert planned.asked == planned.finish_p80 == MONDAY + timedelta(days=4 + 7 * 7)
    assert planned.meets.value == 0.8


def test_what_held_the_date_then_and_what_moved() -> None:
    planned = variant("planned", spread(), {"predecessor": 50.0, "weather": 10.0})
    late = variant("late", spread(), {"predecessor": 49.8, "weather": 10.0, "material": 60.0})
    shift = ranked(planned, late)["late"]
    assert shift.held_most is not None
    assert (shift.held_most.cause, round(shift.held_most.now, 1)) == ("material", 60.0)
    assert [(one.cause, round(one.moved.mean, 1)) for one in shift.held] == [("material", 60.0)]


def test_variants_with_other_runs_are_not_compared() -> None:
    with pytest.raises(ValueError, match="different runs"):
        ranked(variant("planned", spread(runs=10)), variant("fewer", spread(runs=9)))


def test_a_month_of_start() -> None:
    """Of ten runs the eighth ends on the Friday of the eighth week: 53 days and 15 hours."""
    held = {"weather": 4.0, "predecessor": 20.0}
    month = start_month(variant("as planned", spread(runs=10), held))
    assert month.finish == MONDAY + timedelta(days=53)
    assert month.days.value == 53 + 15 / 24
    assert month.weather_days is not None
    # days 4.00, 4.01, 4.02 in turn, of which 2 off shift: on shift 2.009 days of 24 h, in days of 8 h
    assert month.weather_days.value == pytest.approx(3 * (2.0 + 0.01 * (4 * 0 + 3 * 1 + 3 * 2) / 10))
    assert month.unfinished == 0


def test_a_month_from_which_nothing_ends_has_no_date() -> None:
    month = start_month(variant("never", [math.inf] * 4))
    assert (month.finish, month.weather_days, month.unfinished) == (None, None, 4)


def months_longer_by(*longer: Sequence[float]) -> list[PlayedVariant]:
    """Months of start a month apart, each so many days longer than the first, run by run."""
    return [
        variant(
            "month", [hours + 24 * days for hours, days in zip(spread(runs=len(more)), more, strict=True)], plan=plan
        )
        for more, plan in (
            (more, replace(PLAN, start=MONDAY + timedelta(days=28 * i))) for i, more in enumerate(longer)
        )
    ]


def test_months_are_compared_run_by_run_best_against_worst() -> None:
    """Runs a week apart over 40 weeks hide 3 days on average in their spread; pair by pair they are plain."""
    apart = months_apart(months_longer_by([0.0] * 40, [2.0, 4.0] * 20, [1.0] * 40))
    assert apart is not None
    assert (apart.least, apart.most) == (MONDAY, MONDAY + timedelta(days=28))
    # deviation of 20 twos and 20 fours: sqrt(40 / 39); t of 39 degrees at 95 % for three pairs: 2.502 (scipy tables)
    half = 2.502 * math.sqrt(40 / 39) / math.sqrt(40)
    assert apart.longer.mean == pytest.approx(3.0)
    assert apart.longer.high - apart.longer.mean == pytest.approx(half, rel=1e-3)
    assert apart.longer.distinguishable
    assert apart.runs_to_tell is None


def test_months_that_differ_too_little_say_how_many_runs_would_tell() -> None:
    """A day on average among pairs that lie 10 days either way: the interval is 3.24 days to each side."""
    apart = months_apart(months_longer_by([0.0] * 40, [11.0, -9.0] * 20))
    assert apart is not None
    assert not apart.longer.distinguishable
    # 40 x (2.0227 x 10 x sqrt(40 / 39) / sqrt(40)) ** 2 = 419.6 pairs, t of 39 degrees from published tables
    assert apart.runs_to_tell == 420


def test_months_without_a_date_at_4_in_5_are_not_compared() -> None:
    never = variant("never", [math.inf] * 10)
    assert months_apart([variant("planned", spread(runs=10)), never]) is None
    assert months_apart([]) is None


def test_the_paired_interval_covers_the_shift() -> None:
    """Shifts of 0 to 4 working days, 2 on average: 95 % intervals of 40 pairs enclose 2 in about 95 of 100 studies."""
    generator = np.random.Generator(np.random.PCG64(7))
    covered = 0
    studies = 200
    for _ in range(studies):
        days = 5 * generator.integers(5, 45, size=40)  # whole weeks, so that working days can be added freely
        more = generator.integers(0, 5, size=40)
        before = [FRIDAY - 4 * 24.0 + 7 * 24.0 * (day // 5) for day in days.tolist()]  # Mondays
        after = [hours + 24.0 * extra for hours, extra in zip(before, more.tolist(), strict=True)]
        shift = ranked(variant("planned", before), variant("late", after))["late"]
        covered += shift.mean.low <= 2.0 <= shift.mean.high
    # binomial: 190 expected, standard deviation 3.1
    assert 180 <= covered <= 199
