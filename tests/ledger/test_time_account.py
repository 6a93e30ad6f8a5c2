"""The time account, on engagements written by hand: every hour of everybody, once."""

from __future__ import annotations

import pytest
from rigs import MONDAY, WEEKDAYS

from sitesim.hours import Calendar, WeekPattern
from sitesim.ledger import NOBODY, Account, Entry, Hold, Piece, on_site, time_account
from sitesim.ledger.account import TimeKey
from sitesim.plan import Cause, Kind, State, Unit, UnitKind

SEVEN_TO_THREE = WEEKDAYS.over(MONDAY, 14)
SIX_TO_THREE = WeekPattern(dict.fromkeys(range(5), ((6.0, 15.0),))).over(MONDAY, 14)
GANG = Unit("gang", UnitKind.GANG, "site")
CRANE = Unit("crane", UnitKind.CRANE, "site", on_call=True)


def engaged(
    serial: int,
    span: tuple[float, float],
    units: tuple[int, ...] = (0,),
    kind: Kind = Kind.WORK,
    hours: Calendar | None = SEVEN_TO_THREE,
    shift: Calendar | None = SEVEN_TO_THREE,
    ready: tuple[float, int] | None = None,
    holds: tuple[Hold, ...] = (),
    pieces: tuple[Piece, ...] = (),
) -> Entry:
    return Entry(
        serial,
        serial,
        f"step {serial}",
        kind,
        0,
        *(ready or (span[0], NOBODY)),
        holds,
        *span,
        units,
        hours,
        shift,
        pieces,
    )


def hours_of(entries: list[Entry], *units: Unit, shifts: Calendar = SEVEN_TO_THREE) -> dict[TimeKey, float]:
    return time_account(Account(entries, [shifts] * len(units)), units)


def test_work_over_a_night() -> None:
    # Monday seven to three and Tuesday seven to eleven: twelve hours of work, sixteen off shift.
    assert hours_of([engaged(0, (7.0, 35.0))], GANG) == {
        (0, State.WORKING, None): 12.0,
        (0, State.OFF_SHIFT, None): 16.0,
    }


def test_moving_a_tent_is_moving() -> None:
    assert hours_of([engaged(0, (7.0, 9.0), kind=Kind.TENT)], GANG) == {(0, State.MOVING, None): 2.0}


def test_weather_and_the_hours_of_others_inside_work_are_waiting() -> None:
    # A gang there from six to three works with one that comes at seven; weather shuts nine to noon.
    together = Calendar([7.0], [15.0])
    entry = engaged(0, (7.0, 31.0), hours=Calendar([7.0, 12.0], [9.0, 15.0]), shift=together)
    assert hours_of([entry], GANG, shifts=SIX_TO_THREE) == {
        (0, State.WORKING, None): 5.0,
        (0, State.WAITING, Cause.WEATHER): 3.0,
        (0, State.WAITING, Cause.CREW): 1.0,  # Tuesday from six to seven
        (0, State.OFF_SHIFT, None): 15.0,
    }


def test_a_pour_goes_on_as_overtime() -> None:
    assert hours_of([engaged(0, (13.0, 18.0), hours=None, shift=None)], GANG) == {
        (0, State.WORKING, None): 2.0,
        (0, State.OVERTIME, None): 3.0,
    }


def test_a_print_day_is_accounted_for_by_its_pieces() -> None:
    pieces = (
        Piece(7.0, 10.0, State.WORKING, None),
        Piece(10.0, 10.5, State.WAITING, Cause.CONCRETE),
        Piece(10.5, 11.0, State.DOWN, Cause.BREAKDOWN),
        Piece(11.0, 16.0, State.WORKING, None),
    )
    assert hours_of([engaged(0, (7.0, 16.0), kind=Kind.PRINTING, pieces=pieces)], GANG) == {
        (0, State.WORKING, None): 7.0,
        (0, State.WAITING, Cause.CONCRETE): 0.5,
        (0, State.DOWN, Cause.BREAKDOWN): 0.5,
        (0, State.OVERTIME, None): 1.0,
    }


def test_a_gap_is_charged_to_what_the_next_engagement_waited_for() -> None:
    # Free at nine; the next step is ready at eleven, when another gang is done; a shower holds it until one.
    before = engaged(0, (7.0, 9.0))
    other = engaged(1, (7.0, 11.0), units=())
    after = engaged(2, (13.0, 15.0), ready=(11.0, 1), holds=(Hold(13.0, Cause.WEATHER, NOBODY),))
    assert hours_of([before, other, after], GANG) == {
        (0, State.WORKING, None): 4.0,
        (0, State.WAITING, Cause.PREDECESSOR): 2.0,
        (0, State.WAITING, Cause.WEATHER): 2.0,
    }


def test_nights_in_a_gap_are_off_shift_whoever_is_waited_for() -> None:
    before = engaged(0, (7.0, 9.0))
    cure = engaged(1, (9.0, 33.0), units=(), kind=Kind.CURE, hours=None, shift=None, ready=(9.0, 0))
    after = engaged(2, (33.0, 34.0), ready=(33.0, 1))
    assert hours_of([before, cure, after], GANG) == {
        (0, State.WORKING, None): 3.0,
        (0, State.WAITING, Cause.CURE): 8.0,
        (0, State.OFF_SHIFT, None): 16.0,
    }


def test_a_gap_that_the_chain_does_not_reach_is_without_work() -> None:
    # Nothing tells what the second step waited for before it was ready.
    assert hours_of([engaged(0, (7.0, 8.0)), engaged(1, (10.0, 11.0))], GANG) == {
        (0, State.WORKING, None): 2.0,
        (0, State.WAITING, Cause.NO_WORK): 2.0,
    }


def test_what_is_hired_by_the_call_is_absent_between_calls() -> None:
    calls = [engaged(0, (7.0, 9.0)), engaged(1, (13.0, 14.0))]
    assert hours_of(calls, CRANE) == {(0, State.WORKING, None): 3.0}
    assert on_site(Account(calls, [SEVEN_TO_THREE])) == [(7.0, 14.0)]


def test_whoever_never_came_has_no_account() -> None:
    account = Account([engaged(0, (7.0, 9.0))], [SEVEN_TO_THREE] * 2)
    assert on_site(account) == [(7.0, 9.0), None]
    assert {unit for unit, _, _ in time_account(account, [GANG, GANG])} == {0}


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_the_order_in_which_entries_were_written_does_not_matter(order: tuple[int, ...]) -> None:
    spans = [(7.0, 9.0), (9.0, 12.0), (12.0, 15.0)]
    entries = [engaged(serial, spans[place]) for serial, place in enumerate(order)]
    assert hours_of(entries, GANG) == {(0, State.WORKING, None): 8.0}


def test_a_machine_is_on_shift_in_its_own_hours_and_in_those_of_whoever_moves_it() -> None:
    # by hand: moved from seven to three, its own hours ten to six, seven to six in all: eight moved, three it stands
    own = WeekPattern(dict.fromkeys(range(5), ((10.0, 18.0),))).over(MONDAY, 14)
    printer = Unit("printer", UnitKind.PRINTER, "site")
    assert hours_of([engaged(0, (7.0, 18.0), kind=Kind.GANTRY)], printer, shifts=own) == {
        (0, State.MOVING, None): 8.0,
        (0, State.WAITING, Cause.CREW): 3.0,
    }
