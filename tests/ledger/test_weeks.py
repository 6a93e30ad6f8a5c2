"""The time account week by week: cut at the midnight before Monday, and never an hour more or less than the whole."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from random_sites import SITES, played_site
from rigs import MONDAY, WEEKDAYS

from sitesim.hours import Calendar
from sitesim.ledger import NOBODY, Account, Entry, Piece, time_account, time_by_period, time_by_week
from sitesim.ledger.account import TimeKey
from sitesim.plan import Cause, Kind, Plan, State, Unit, UnitKind
from sitesim.scenario import load
from sitesim.site import Played, Stage, play

SCENARIOS = Path(__file__).parents[2] / "scenarios"
SEVEN_TO_THREE = WEEKDAYS.over(MONDAY, 28)  # eight hours from Monday to Friday
GANG = Unit("gang", UnitKind.GANG, "site")
CRANE = Unit("crane", UnitKind.CRANE, "site", on_call=True)
WEEK = 168.0


def engaged(serial: int, start: float, end: float, unit: int = 0, pieces: tuple[Piece, ...] = ()) -> Entry:
    hours = None if pieces else SEVEN_TO_THREE
    front = (start, serial - 1 if serial else NOBODY)
    return Entry(serial, serial, f"step {serial}", Kind.WORK, 0, *front, (), start, end, (unit,), hours, hours, pieces)


def weeks_of(
    entries: list[Entry], *units: Unit, first_monday: float = WEEK, shifts: Calendar = SEVEN_TO_THREE
) -> list[dict[TimeKey, float]]:
    return time_by_week(Account(entries, [shifts] * len(units)), units, first_monday)


def test_work_over_a_weekend_is_cut_at_the_midnight_before_monday() -> None:
    # by hand: Friday 7:00 is hour 103, Tuesday 11:00 of the next week hour 203. Friday has 8 hours of work, and 57 of
    # night and weekend until Sunday's end at hour 168; then come 8 and 4 hours of work, and 7 + 16 off shift
    assert weeks_of([engaged(0, 103.0, 203.0)], GANG) == [
        {(0, State.WORKING, None): 8.0, (0, State.OFF_SHIFT, None): 57.0},
        {(0, State.WORKING, None): 12.0, (0, State.OFF_SHIFT, None): 23.0},
    ]


def test_a_week_in_which_nothing_but_waiting_happens() -> None:
    # by hand: work on the first Monday and on the third; the second week is five days of waiting and 128 hours off
    first, _, third = (engaged(0, 7.0, 15.0), None, engaged(1, 2 * WEEK + 7.0, 2 * WEEK + 15.0))
    weeks = weeks_of([first, third], GANG)
    assert weeks[0] == {
        (0, State.WORKING, None): 8.0,
        (0, State.WAITING, Cause.NO_WORK): 32.0,
        (0, State.OFF_SHIFT, None): 121.0,
    }
    assert weeks[1] == {(0, State.WAITING, Cause.NO_WORK): 40.0, (0, State.OFF_SHIFT, None): 128.0}
    assert weeks[2] == {(0, State.WORKING, None): 8.0, (0, State.OFF_SHIFT, None): 7.0}


def test_who_is_hired_by_the_call_is_away_in_between() -> None:
    weeks = weeks_of([engaged(0, 7.0, 15.0), engaged(1, 2 * WEEK + 7.0, 2 * WEEK + 15.0)], CRANE)
    assert weeks == [{(0, State.WORKING, None): 8.0}, {}, {(0, State.WORKING, None): 8.0}]


def test_a_site_that_starts_on_a_thursday_has_a_short_first_week() -> None:
    # by hand: Monday follows after four days, at hour 96
    weeks = weeks_of([engaged(0, 7.0, 111.0)], GANG, first_monday=96.0, shifts=SEVEN_TO_THREE)
    assert [sum(week.values()) for week in weeks] == [89.0, 15.0]


def test_what_ends_at_the_midnight_of_sunday_makes_no_week_of_its_own() -> None:
    assert len(weeks_of([engaged(0, 103.0, WEEK)], GANG)) == 1
    assert len(weeks_of([engaged(0, 103.0, WEEK + 1.0)], GANG)) == 2


def test_pieces_are_cut_where_the_week_ends() -> None:
    # by hand: a night from Sunday 22:00 to Monday 4:00, of which the crew waits from 23:00 to 1:00
    pieces = (
        Piece(166.0, 167.0, State.WORKING, None),
        Piece(167.0, 169.0, State.WAITING, Cause.CONCRETE),
        Piece(169.0, 172.0, State.WORKING, None),
    )
    always = Calendar([0.0], [672.0])
    assert weeks_of([engaged(0, 166.0, 172.0, pieces=pieces)], GANG, shifts=always) == [
        {(0, State.WORKING, None): 1.0, (0, State.WAITING, Cause.CONCRETE): 1.0},
        {(0, State.WAITING, Cause.CONCRETE): 1.0, (0, State.WORKING, None): 3.0},
    ]


def summed(weeks: list[dict[TimeKey, float]]) -> dict[TimeKey, float]:
    total: Counter[TimeKey] = Counter()
    for week in weeks:
        for key, hours in week.items():
            assert hours > 0.0
            total[key] += hours  # type: ignore[assignment]  # hours are numbers with fractions
    return dict(total)


@pytest.mark.parametrize("number", SITES)
def test_the_weeks_of_a_random_site_add_up_to_its_time_account(number: int) -> None:
    plan, _, account = played_site(number)
    first_monday = 24.0 * (7 - plan.start.weekday())
    assert summed(time_by_week(account, plan.units, first_monday)) == time_account(account, plan.units)


def account_of(plan: Plan, run: int) -> tuple[Played, Account]:
    stage = Stage(plan)
    played = play(stage, 1, run)
    return played, Account(played.ledger.entries, stage.unit_shifts)


@pytest.mark.parametrize("name", ["tern-quay", "tern-quay-second-shift", "tern-quay-separate-gangs", "curlew-fields"])
def test_the_weeks_of_a_demo_add_up_to_its_time_account(name: str) -> None:
    plan = load(SCENARIOS / f"{name}.yaml").plan()
    for run in range(3):
        played, account = account_of(plan, run)
        weeks = time_by_week(account, plan.units, 24.0 * (7 - plan.start.weekday()))
        assert summed(weeks) == time_account(account, plan.units)
        assert len(weeks) == -(-max(entry.end for entry in played.ledger.entries) // WEEK)  # they start on a Monday
        assert all(sum(week.values()) <= WEEK * len(plan.units) for week in weeks)


@pytest.mark.parametrize("number", range(0, 60, 7))
def test_any_periods_add_up_to_the_time_account(number: int) -> None:
    from random import Random

    plan, _, account = played_site(number)
    dice = Random(number)
    edges = sorted(dice.randrange(0, 24 * 4096 * 200) / 4096.0 for _ in range(dice.randint(0, 12)))
    periods = time_by_period(account, plan.units, edges)
    assert len(periods) == len(edges) + 1
    assert summed(periods) == time_account(account, plan.units)
