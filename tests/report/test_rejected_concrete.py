"""Concrete that is thrown away, as a foreman reads of it: when, at which age, how much; in the diary, on the ticket.

Kind of the tests: hand computation on the rig's day, Monday 8 March: first water of load 1 at 05:45, connected at
07:07:30, 0.23 m³ to prime and for specimens by 07:22:30, the first layer of 0.375 m³ until 08:00, then 1.2 m³/h.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from random_sites import SITES, played_site
from rigs import play_plan, printing_plan, ready_mix, site_mix

from sitesim.answers.printed_day import Ticket, ToldDay, print_days_of, told_days
from sitesim.ledger import REFUSED, Ledger, Rejection
from sitesim.plan import HoldingHopper, Plan, Supply
from sitesim.report.diary import diary
from sitesim.report.print_day_data import day_as_data
from sitesim.report.print_day_terminal import ticket_volumes
from sitesim.report.print_day_words import DayTeller
from sitesim.report.words import Style
from sitesim.site import Played

DAY = 8
MIDNIGHT = 24.0 * (DAY - 1)
TICK = 1 / 4096

STIRRED = ready_mix(holding=HoldingHopper(4.0, 10.0, refill_at=2.5))

WAYS: dict[str, tuple[Supply, float]] = {
    "at the gate": (ready_mix(), 1.3),
    "while it discharges": (ready_mix(), 3.0),
    "in the pump's hopper": (ready_mix(), 3.75),
    "stirred": (STIRRED, 4.0),
    "on its test": (ready_mix(refused=0.5), 5.0),
    "a batch": (site_mix(), 0.4),
}


@cache
def played_day(way: str) -> tuple[Plan, Played, ToldDay]:
    supply, life = WAYS[way]
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=supply, days=21)
    assert plan.print_day is not None
    plan = replace(plan, print_day=replace(plan.print_day, working_life=life))
    for run in range(20):
        played = play_plan(plan, run=run, keep_diary=True)
        (told,) = told_days(plan, played.ledger, print_days_of(played.ledger)[0][0])
        if way != "on its test" or told.tickets[0].verdict == REFUSED:
            return plan, played, told
    raise AssertionError("no load was refused in twenty runs")


def lines_of(way: str, part: str) -> list[tuple[float, str]]:
    """Give the lines of the diary of that day that say something, and when [h]."""
    plan, played, told = played_day(way)
    (day,) = diary(plan, played, day=told.day)
    return [(line.instant, line.text) for line in day.lines if part in line.text]


def events_of(way: str, part: str) -> list[tuple[float, str]]:
    plan, _, told = played_day(way)
    return [(event.instant, event.text) for event in DayTeller(plan, told).events() if part in event.text]


def ticket_of(way: str, number: int) -> Ticket:
    return next(ticket for ticket in played_day(way)[2].tickets if ticket.number == number)


def test_a_load_too_old_at_the_gate_is_refused_when_it_has_passed_its_tests() -> None:
    """Tested at 07:07:30, at an age of 1:22:30; its life was 1:18."""
    rejection = ticket_of("at the gate", 1).rejection
    assert rejection is not None
    assert (rejection.instant, rejection.age, rejection.volume) == (MIDNIGHT + 7.125, 1.375, 2.5)
    assert lines_of("at the gate", "refused")[0] == (
        MIDNIGHT + 7.125,
        "load 1 (2.50 m³) refused at age 1 h 22, past its working life of 1 h 18: 2.50 m³ lost",
    )
    assert events_of("at the gate", "refused")[0][1].startswith(
        "load 1 refused at age 1:22, past its working life of 1:18: 2.50 m³ lost, "
    )


def test_a_load_that_grows_too_old_while_it_discharges() -> None:
    """Its life of 3 h is over at 08:45; the truck still stands there with what has not been laid, 0.995 m³."""
    ticket = ticket_of("while it discharges", 1)
    assert ticket.rejection is not None
    assert (ticket.rejection.instant, ticket.rejection.age) == (MIDNIGHT + 8.75, 3.0)
    assert ticket.rejection.volume == ticket.rejected == pytest.approx(0.995, abs=1e-3)
    assert ticket.discharge_ended == MIDNIGHT + 8.75
    said = [text for instant, text in lines_of("while it discharges", "load 1") if instant == MIDNIGHT + 8.75]
    assert said[0] == (
        "the rest of load 1 (2.50 m³) thrown away at age 3 h 00, the end of its working life: 0.99 m³ lost"
    )
    assert said[1].startswith("load 1 (2.50 m³) empty at age 3 h 00")


def test_what_grows_too_old_in_the_hopper_is_told_then_and_not_when_its_truck_was_empty() -> None:
    """The truck is empty at 09:22:15 with 0.25 m³ in the hopper; 0.155 m³ are laid of it until 09:30, 3:45 old."""
    ticket = ticket_of("in the pump's hopper", 1)
    assert ticket.rejection is not None
    assert (ticket.rejection.instant, ticket.rejection.age) == (MIDNIGHT + 9.5, 3.75)
    assert ticket.rejected == pytest.approx(0.095, abs=1e-3)
    emptied = ticket.discharge_ended
    assert emptied == pytest.approx(MIDNIGHT + 9 + 22.25 / 60, abs=TICK)
    instants = [instant for instant, _ in lines_of("in the pump's hopper", "load 1")]
    assert instants == sorted(instants)
    assert lines_of("in the pump's hopper", "empty at age 3 h 37") == [
        (emptied, lines_of("in the pump's hopper", "empty")[0][1])
    ]
    assert lines_of("in the pump's hopper", "thrown away") == [
        (
            MIDNIGHT + 9.5,
            "the rest of load 1 (2.50 m³) thrown away at age 3 h 45, the end of its working life: 0.10 m³ lost",
        )
    ]
    assert events_of("in the pump's hopper", "thrown away") == [
        (MIDNIGHT + 9.5, "the rest of load 1 thrown away at age 3:45, the end of its working life: 0.10 m³ lost")
    ]


def test_a_stirred_load_is_told_by_the_age_that_it_counts_as_and_by_its_own() -> None:
    """Load 1 is in at 07:22:30, so all is a quarter of an hour later than above; load 2, of 07:45, at 09:16:30.

    Both end with load 1 at 09:45, when 90 min at 1.2 m³/h have been laid since 08:15: of load 1, 0.095 m³ are left.
    """
    ticket = ticket_of("stirred", 2)
    lost = ticket.rejection
    assert lost is not None
    assert (lost.instant, lost.age, lost.own_age, lost.life) == (MIDNIGHT + 9.75, 4.0, 2.0, 4.0)
    assert lost.volume == ticket.rejected == 1.5
    (event,) = events_of("stirred", "all of load 2 thrown away")
    assert event == (
        MIDNIGHT + 9.75,
        "all of load 2 thrown away at age 4:00, the end of its working life, as old as what it was stirred into; "
        "its own is 2:00: 1.50 m³ lost",
    )
    first = ticket_of("stirred", 1).rejection
    assert first is not None
    assert (first.instant, first.own_age, first.volume) == (MIDNIGHT + 9.75, 4.0, pytest.approx(0.095, abs=1e-3))
    assert lines_of("stirred", "load 2 (1.50 m³) empty at age 1 h 31")[0][0] < MIDNIGHT + 9.75


def test_a_load_that_fails_its_test_is_refused_after_the_test() -> None:
    ticket = ticket_of("on its test", 1)
    assert ticket.rejection is not None
    assert (ticket.rejection.instant, ticket.let_go) == (MIDNIGHT + 7.125, MIDNIGHT + 7.125)
    assert lines_of("on its test", "load 1 (2.50 m³) refused") == [
        (MIDNIGHT + 7.125, "load 1 (2.50 m³) refused on its test at age 1 h 22: 2.50 m³ lost")
    ]


def test_a_batch_mixed_on_site_that_grows_too_old_is_told() -> None:
    """The day begins at eight; the first batch, of 08:45, lies in the hopper until 09:09; priming ends at 09:15."""
    told = played_day("a batch")[2]
    midnight = 24.0 * (told.day - 1)
    first = told.batches_too_old[0]
    assert (first.instant, first.volume, first.number) == (pytest.approx(midnight + 9.15, abs=TICK), 0.25, None)
    assert lines_of("a batch", "a batch thrown")[0][1] == (
        "a batch thrown away at age 24 min, the end of its working life: 0.25 m³ lost"
    )
    assert events_of("a batch", "a batch thrown")[0][1] == (
        "a batch thrown away at age 0:24, the end of its working life: 0.25 m³ lost"
    )
    assert len(lines_of("a batch", "a batch thrown")) == len(told.batches_too_old)


def test_the_ticket_says_when_and_at_which_age() -> None:
    plan, _, told = played_day("in the pump's hopper")
    first = next(iter(ticket_volumes(Style(False, "USD"), DayTeller(plan, told), told)))
    assert first[-1] == "too old, 09:30 at age 3:45"
    data = day_as_data(plan, told)["tickets"][0]["rejection"]
    assert (data["time"], data["age_hours"], data["working_life_hours"]) == ("2027-03-08T09:30:00", 3.75, 3.75)
    assert day_as_data(plan, told)["tickets"][1]["rejection"] is None


def _in_loads(ledger: Ledger) -> dict[tuple[str, int, int], tuple[float, str]]:
    return {
        (load.building, load.day, load.number): (load.rejected, load.verdict)
        for load in ledger.loads
        if load.rejected and load.verdict != "mixed on site"
    }


@pytest.mark.parametrize("number", SITES)
def test_all_that_is_rejected_is_told_once_and_past_its_life(number: int) -> None:
    """Kind: invariant, over all random sites with both ways of supply, with holding hoppers and waivers."""
    ledger = played_site(number)[1].ledger
    rejections: list[Rejection] = ledger.rejections or []
    in_loads = _in_loads(ledger)
    of_loads = [one for one in rejections if one.number is not None]
    assert sorted((one.building, one.day, one.number or 0) for one in of_loads) == sorted(in_loads)
    for one in of_loads:
        volume, verdict = in_loads[one.building, one.day, one.number or 0]
        assert one.volume == volume
        if verdict != REFUSED:
            assert one.age >= one.life > 0.0
    for one in rejections:
        assert one.age >= one.own_age > 0.0
        assert one.volume > 0.0
    if not in_loads:  # of batches, those that failed their test are rejected too
        assert sum(one.volume for one in rejections) <= ledger.concrete.rejected
