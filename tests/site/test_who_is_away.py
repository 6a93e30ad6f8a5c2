"""Waiting for a gang that is away, told and accounted for as waiting for a crew.

Kind of the tests: deterministic; Monday to Friday from seven to three, hour 0 the midnight before Monday 1 March.
Recomputed by hand from the stated rules.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from rigs import MONDAY, SHELL, WEEKDAYS, account_of, entries_of, network_plan, play_plan, printing_plan

from sitesim.chance import Fixed
from sitesim.hours import Calendar, WeekPattern
from sitesim.ledger import NOBODY, Entry, Hold, on_site, time_account
from sitesim.ledger.chain import stopped_inside
from sitesim.plan import Cause, Kind, Plan, State, UnitKind
from sitesim.plan.absences import absent
from sitesim.site import Played

WORKING_DAY = 8.0
TUESDAY, WEDNESDAY, THURSDAY, FRIDAY = (MONDAY + timedelta(days=day) for day in range(1, 5))


def dates(first: date, days: int) -> frozenset[int]:
    return frozenset(range(first.toordinal(), first.toordinal() + days))


def three_steps() -> Plan:
    """A day of the frame gang, a day of the boards gang, another day of the frame gang."""
    return network_plan(
        {
            "frame": ((), Fixed(WORKING_DAY)),
            "boards": (("frame",), Fixed(WORKING_DAY)),
            "trim": (("boards",), Fixed(WORKING_DAY)),
        },
        {"carpenters": ["frame", "trim"], "boarders": ["boards"]},
        calendar=WEEKDAYS,
    )


def hours_of(plan: Plan, played: Played, unit: int) -> dict[tuple[State, Cause | None], float]:
    hours = time_account(account_of(plan, played), plan.units)
    return {(state, cause): amount for (of, state, cause), amount in hours.items() if of == unit}


def test_work_waits_for_a_gang_that_is_away_from_the_morning_on_which_it_would_have_begun() -> None:
    # Frame on Monday; the boarders are away from Tuesday for two weeks, and come on Tuesday the 16th.
    plan = absent(three_steps(), 1, dates(TUESDAY, 14))
    played = play_plan(plan)
    boards = entries_of(played)["boards"]
    back = 31.0 + 14 * 24.0
    assert (boards.ready, boards.start, boards.end) == (15.0, back, back + 8.0)
    assert boards.holds == (Hold(31.0, Cause.PREDECESSOR, NOBODY), Hold(back, Cause.CREW, NOBODY))


def test_others_wait_for_a_crew_and_their_account_adds_up() -> None:
    plan = absent(three_steps(), 1, dates(TUESDAY, 14))
    played = play_plan(plan)
    # From Monday at three to Wednesday the 17th at seven: ten working days of the boarders' absence, one of their work.
    assert hours_of(plan, played, 0) == {
        (State.WORKING, None): 16.0,
        (State.WAITING, Cause.CREW): 80.0,
        (State.WAITING, Cause.PREDECESSOR): 8.0,
        (State.OFF_SHIFT, None): (16 * 24.0 + 15.0 - 7.0) - 16.0 - 80.0 - 8.0,
    }
    span = on_site(account_of(plan, played))[0]
    assert span == (7.0, 16 * 24.0 + 15.0)
    assert sum(hours_of(plan, played, 0).values()) == span[1] - span[0]


def test_a_gang_that_leaves_in_the_middle_of_its_work_holds_the_finish_as_a_crew() -> None:
    # Two days of boards from Tuesday on, and nobody there from Wednesday to Friday: the second day is Monday the 8th.
    plan = absent(three_steps(), 1, dates(WEDNESDAY, 3))
    boards = replace(plan.nodes[1], task=replace(plan.nodes[1].task, duration=Fixed(2 * WORKING_DAY)))
    plan = replace(plan, nodes=(plan.nodes[0], boards, plan.nodes[2]))
    played = play_plan(plan)
    told = entries_of(played)
    assert (told["boards"].start, told["boards"].end) == (31.0, 168.0 + 15.0)
    chain = account_of(plan, played).back_from(told["boards"], until=31.0)
    assert [segment[:3] for segment in chain] == [
        (175.0, 183.0, Cause.PREDECESSOR),
        (55.0, 175.0, Cause.CREW),
        (31.0, 55.0, Cause.PREDECESSOR),
    ]
    assert hours_of(plan, played, 0)[State.WAITING, Cause.CREW] == 24.0
    assert hours_of(plan, played, 0)[State.WAITING, Cause.PREDECESSOR] == 16.0


def test_hours_in_which_weather_would_have_stopped_those_who_are_away_are_lost_to_weather() -> None:
    # Away on Tuesday and Wednesday; the weather shuts Wednesday and Thursday.
    shift = WeekPattern(WEEKDAYS.spans, away=dates(TUESDAY, 2)).over(MONDAY, 7)
    assert shift.usual == WEEKDAYS.over(MONDAY, 7)
    hours = Calendar([7.0, 103.0], [15.0, 111.0])
    hours.usual = Calendar([7.0, 31.0, 103.0], [15.0, 39.0, 111.0])
    entry = Entry(0, 0, "paint", Kind.WORK, 0, 7.0, NOBODY, (), 7.0, 111.0, (), hours, shift, ())
    assert stopped_inside(entry) == [
        (7.0, 31.0, None),
        (31.0, 55.0, Cause.CREW),
        (55.0, 103.0, Cause.WEATHER),
        (103.0, 111.0, None),
    ]


def test_printing_waits_for_its_crew_and_not_for_the_plant() -> None:
    # The first print day would be Monday the 8th at six; the crew is away that week, and prints on the 15th.
    plan = absent(printing_plan(buildings=1), SHELL, dates(MONDAY + timedelta(days=7), 5))
    day = entries_of(play_plan(plan))["A/print day 1"]
    assert day.start == 174.0 + 7 * 24.0
    assert day.holds == (Hold(174.0, Cause.CONCRETE, NOBODY), Hold(174.0 + 7 * 24.0, Cause.CREW, NOBODY))


@pytest.mark.parametrize("away", [dates(MONDAY, 9), dates(THURSDAY, 14)])
def test_the_accounts_of_a_printing_site_add_up_whoever_is_away(away: frozenset[int]) -> None:
    plan = absent(printing_plan(buildings=2), SHELL, away)
    played = play_plan(plan)
    assert played.finished
    account = account_of(plan, played)
    for unit, span in enumerate(on_site(account)):
        if span is not None and plan.units[unit].kind is not UnitKind.CRANE:
            assert sum(hours_of(plan, played, unit).values()) == span[1] - span[0]


def test_of_two_gangs_alike_the_one_that_is_there_does_the_work() -> None:
    plan = three_steps()
    spare = replace(plan.units[1], name="boarders 2")
    needs = replace(plan.nodes[1], task=replace(plan.nodes[1].task, needs=((1, 2),)))
    plan = replace(plan, units=(*plan.units, spare), nodes=(plan.nodes[0], needs, plan.nodes[2]))
    usual = entries_of(play_plan(plan))["boards"]
    assert (usual.units, usual.start) == ((1,), 31.0)
    away = entries_of(play_plan(absent(plan, 1, dates(TUESDAY, 14))))["boards"]
    assert (away.units, away.start, away.holds) == ((2,), 31.0, usual.holds)
    # Where neither is there it is the one who comes first.
    both = absent(absent(plan, 1, dates(TUESDAY, 14)), 2, dates(TUESDAY, 2))
    assert (entries_of(play_plan(both))["boards"].units, entries_of(play_plan(both))["boards"].start) == ((2,), 79.0)
