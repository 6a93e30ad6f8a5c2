"""A second gang carries on when the first one's shift ends."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import EARLY_WEEKDAYS, account_of, play_plan, printing_plan, site_mix

from sitesim.hours import WeekPattern
from sitesim.ledger.account import time_account
from sitesim.plan import Kind, Plan, State, Unit, UnitKind
from sitesim.plan.absences import absent

LATE = WeekPattern(dict.fromkeys(range(5), ((14.5, 22.0),)))


def two_shifts() -> Plan:
    """Forty layers of 18 min 45 s in one day: too many for the shell gang, which works from six to three."""
    plan = printing_plan(buildings=1, layers=40, day_ends=(40,), supply=site_mix(), layer_hours=0.3125)
    late = len(plan.units)
    assert plan.print_day is not None
    return replace(
        plan,
        units=(*plan.units, Unit("late", UnitKind.GANG, "late", rate=250.0)),
        calendars={**plan.calendars, "late": LATE, "both": EARLY_WEEKDAYS.relieved_by(LATE)},
        print_day=replace(plan.print_day, second_crew=(late,), hours="both"),
    )


def test_hours_that_meet_become_one_span_and_closed_dates_stay_closed() -> None:
    first = WeekPattern({0: ((6.0, 15.0),), 1: ((6.0, 15.0),)}, frozenset({5}))
    both = first.relieved_by(WeekPattern({0: ((15.0, 22.0),), 3: ((15.0, 22.0),)}))
    assert both.spans == {0: ((6.0, 22.0),), 1: ((6.0, 15.0),)}
    assert both.closed == frozenset({5})


def test_hours_that_do_not_meet_stay_two_spans() -> None:
    assert WeekPattern({0: ((6.0, 12.0),)}).relieved_by(WeekPattern({0: ((13.0, 20.0),)})).spans == {
        0: ((6.0, 12.0), (13.0, 20.0))
    }


def test_each_gang_has_its_own_part_of_the_day() -> None:
    plan = two_shifts()
    played = play_plan(plan)
    days = [entry for entry in played.ledger.entries if entry.kind is Kind.PRINTING]
    names = [[plan.units[unit].name for unit in entry.units] for entry in days]
    assert names[:2] == [["shell", "printer 1", "tent 1"], ["late", "printer 1", "tent 1"]]
    first, second = days[:2]
    assert first.end % 24 == 15.0
    assert second.start == first.end
    assert second.end % 24 <= 22.0
    for entry in days:
        assert entry.pieces[0].start == entry.start
        assert entry.pieces[-1].end == entry.end
        assert all(one.end == next_.start for one, next_ in zip(entry.pieces, entry.pieces[1:], strict=False))


def test_the_second_gang_prints_more_in_a_day_without_overtime() -> None:
    plan = two_shifts()
    assert plan.print_day is not None
    alone = replace(plan, print_day=replace(plan.print_day, second_crew=(), hours=""))
    both, one = play_plan(plan), play_plan(alone)
    assert both.ledger.counts.print_days < one.ledger.counts.print_days
    time = time_account(account_of(plan, both), plan.units)
    late = len(plan.units) - 1
    assert time.get((late, State.WORKING, None), 0.0) > 0.0
    assert (late, State.OVERTIME, None) not in time


def test_what_both_gangs_and_the_printer_did_adds_up_to_the_days() -> None:
    plan = two_shifts()
    played = play_plan(plan)
    hours = sum(entry.end - entry.start for entry in played.ledger.entries if entry.kind is Kind.PRINTING)
    assert hours == played.ledger.counts.day_hours
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
    assert hours > 0.0


def test_a_second_gang_that_is_away_prints_nothing_and_nobody_prints_without_the_first() -> None:
    plan = two_shifts()
    late = len(plan.units) - 1
    ordinals = frozenset(range(plan.start.toordinal(), plan.start.toordinal() + 60))
    without_late, without_shell = absent(plan, late, ordinals), absent(plan, 0, ordinals)
    played = play_plan(without_late)
    assert not any(late in entry.units for entry in played.ledger.entries if entry.end < 24.0 * 60)
    days = [entry for entry in play_plan(without_shell).ledger.entries if entry.kind is Kind.PRINTING]
    assert days[0].start >= 24.0 * 60
    assert all(entry.end > entry.start for entry in days)


@pytest.mark.parametrize("layers", [10, 40])
def test_a_day_that_ends_before_the_second_shift_needs_nobody_of_it(layers: int) -> None:
    plan = replace(two_shifts())
    short = printing_plan(buildings=1, layers=layers, day_ends=(layers,), supply=site_mix())
    plan = replace(plan, buildings=short.buildings, nodes=short.nodes)
    played = play_plan(plan)
    assert played.finished
    gangs = {unit for entry in played.ledger.entries for unit in entry.units}
    assert (len(plan.units) - 1 in gangs) == (layers == 40)
