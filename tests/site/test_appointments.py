"""Inspectors by appointment: notice, room in the diary, visits that come too early, and second visits."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from rigs import MONDAY, WEEKDAYS, entries_of, network_plan, play_plan

from sitesim.chance import Distribution, Exponential, Fixed, Luck, Observed
from sitesim.hours import NEVER
from sitesim.plan import Inspection, Inspector, Plan
from sitesim.site import Stage, play
from sitesim.site.appointments import Appointments

DAYS = WEEKDAYS.over(MONDAY, 14)
"""Seven to fifteen, Monday to Friday, two weeks."""

INSPECTOR = Inspector("building", "site", Fixed(4.0), 2, 1.0)
NODE = network_plan({"A": ("", Fixed(1.0)), "B": ("", Fixed(1.0))}).nodes


def diary(inspector: Inspector = INSPECTOR) -> Appointments:
    return Appointments([inspector], [DAYS], Luck(1, 0))


def day_of(visit: float) -> int:
    """Give the day, Monday the 0th, on which a visit ends; it has to lie within the shift."""
    day, hour = divmod(visit, 24.0)
    assert 8.0 <= hour <= 15.0
    return int(day)


@pytest.mark.parametrize(
    ("now", "expected", "day"),
    [
        (9.0, 9.0, 1),  # four hours' notice: 13:00, so not before tomorrow morning
        (3.0, 3.0, 1),  # the notice is counted in the inspector's own hours: 7:00 to 11:00
        (13.0, 13.0, 2),  # two of the four hours are tomorrow's
        (9.0, 58.0, 3),  # the work is expected on Wednesday at ten, so they come on Thursday
        (9.0, 55.0, 2),  # expected just when Wednesday begins
        (4 * 24.0 + 9.0, 4 * 24.0 + 9.0, 7),  # over the weekend
    ],
)
def test_a_visit_comes_on_the_first_day_after_the_notice_and_the_work(now: float, expected: float, day: int) -> None:
    assert day_of(diary().book(NODE[0], 0, 0, now, expected)) == day


def test_without_notice_they_come_on_the_day_that_has_not_begun() -> None:
    appointments = diary(replace(INSPECTOR, notice=Fixed(0.0)))
    assert day_of(appointments.book(NODE[0], 0, 0, 30.0, 30.0)) == 1


def test_a_full_day_sends_the_next_visit_to_another() -> None:
    appointments = diary()
    days = [day_of(appointments.book(NODE[0], 0, attempt, 9.0, 9.0)) for attempt in range(7)]
    assert days == [1, 1, 2, 2, 3, 3, 4]


def test_each_inspector_keeps_a_diary_of_their_own() -> None:
    appointments = Appointments([INSPECTOR, INSPECTOR], [DAYS, DAYS], Luck(1, 0))
    days = [day_of(appointments.book(NODE[0], who, attempt, 9.0, 9.0)) for who in (0, 1) for attempt in range(3)]
    assert days == [1, 1, 2, 1, 1, 2]


@pytest.mark.parametrize(
    ("now", "expected"), [(13 * 24.0, 13 * 24.0), (9.0, 12 * 24.0), (9.0, NEVER)], ids=["notice", "work", "never"]
)
def test_nobody_comes_when_no_day_is_left(now: float, expected: float) -> None:
    assert diary().book(NODE[0], 0, 0, now, expected) == NEVER


def test_the_hour_is_left_to_chance_within_the_shift() -> None:
    hours = [diary().book(NODE[0], 0, attempt, 9.0, 9.0) % 24.0 for attempt in range(400)]
    assert 8.0 <= min(hours) < 8.1
    assert 14.9 < max(hours) <= 15.0
    # Uniform over the seven hours that a visit of one leaves: standard deviation 7/√12.
    assert sum(hours) / 400 == pytest.approx(11.5, abs=3 * 7 / math.sqrt(12 * 400))


def test_with_nothing_left_to_chance_they_come_in_the_middle_of_the_day() -> None:
    assert diary(replace(INSPECTOR, at_any_hour=False)).book(NODE[0], 0, 0, 9.0, 9.0) == 24.0 + 11.5


def test_a_visit_longer_than_a_day_is_begun_in_the_morning() -> None:
    assert diary(replace(INSPECTOR, visit=10.0)).book(NODE[0], 0, 0, 9.0, 9.0) == 24.0 + 17.0


def test_the_luck_of_a_visit_is_that_of_its_step_and_attempt() -> None:
    alone, after_another = diary(), diary()
    after_another.book(NODE[1], 0, 0, 9.0, 9.0)
    assert alone.book(NODE[0], 0, 0, 9.0, 9.0) == after_another.book(NODE[0], 0, 0, 9.0, 9.0)


def inspected(duration: Distribution, fails: float = 0.0) -> Plan:
    """Make one step with a hold point behind it, and one that waits for it."""
    plan = network_plan({"A": ("", duration), "B": ("A", Fixed(1.0))}, {"gang": ["A"]}, days=700, calendar=WEEKDAYS)
    first, second = plan.nodes
    task = replace(first.task, inspection=Inspection(0, fails, Fixed(2.0)))
    return replace(plan, nodes=(replace(first, task=task), second))


def test_work_that_is_on_time_is_seen_once_and_the_next_step_waits_for_that() -> None:
    played = play_plan(inspected(Fixed(6.0)))
    entries = entries_of(played)
    counts = played.ledger.counts
    assert (counts.inspections, counts.lost_visits, counts.failed_inspections) == (1, 0, 0)
    assert entries["A"].end == 13.0
    # Booked when the work begins, for Monday 13:00: they come on Tuesday.
    assert day_of(entries["A inspection"].end) == 1
    assert entries["B"].start == entries["A inspection"].end


def test_a_visit_that_comes_before_the_work_is_done_is_lost() -> None:
    # Half of the draws take 4 h and half 44; 24 h are expected, three days, so they are booked for Thursday.
    stage = Stage(inspected(Observed((4.0, 44.0))))
    lost_and_days = set()
    for run in range(30):
        played = play(stage, 1, run)
        entries = entries_of(played)
        took = stage.unit_shifts[0].worked(entries["A"].start, entries["A"].end)
        counts = played.ledger.counts
        assert counts.inspections == 1
        lost_and_days.add((took, counts.lost_visits, day_of(entries["A inspection"].end)))
    # Late work is done on Monday at eleven; with four hours' notice they come on the next day.
    assert lost_and_days == {(4.0, 0, 3), (44.0, 1, 8)}


def test_as_many_visits_as_tries_until_one_passes() -> None:
    # A geometric number of visits: mean 1/(1 − p) = 2 and variance p/(1 − p)² = 2 at p = ½. Three standard errors.
    stage = Stage(inspected(Fixed(6.0), fails=0.5))
    runs = 600
    visits = 0
    for run in range(runs):
        counts = play(stage, 1, run).ledger.counts
        assert counts.inspections == counts.failed_inspections + 1
        visits += counts.inspections
    assert visits / runs == pytest.approx(2.0, abs=3 * math.sqrt(2 / runs))


def test_a_failed_visit_brings_rework_by_the_same_gang_and_a_second_visit() -> None:
    stage = Stage(inspected(Fixed(6.0), fails=0.5))
    played = next(
        played for played in (play(stage, 1, run) for run in range(99)) if played.ledger.counts.failed_inspections == 1
    )
    keys = [entry.key for entry in played.ledger.entries]
    assert keys == ["A", "A inspection", "A rework", "A inspection", "B"]
    work, first, rework, second, _ = played.ledger.entries
    assert rework.units == work.units
    assert stage.unit_shifts[0].worked(rework.start, rework.end) == 2.0
    assert first.end <= rework.start < rework.end <= second.end


def test_work_that_never_passes_is_a_run_that_does_not_end_and_says_why() -> None:
    played = play_plan(inspected(Fixed(6.0), fails=1.0))
    assert not played.finished
    assert "inspection" in played.unfinished


def test_longer_notice_never_brings_a_visit_earlier() -> None:
    for factor in (1.5, 2.0, 4.0):
        for attempt in range(50):
            short = diary(replace(INSPECTOR, notice=Exponential(6.0), at_any_hour=False))
            long = diary(replace(INSPECTOR, notice=Exponential(6.0 * factor), at_any_hour=False))
            assert long.book(NODE[0], 0, attempt, 9.0, 9.0) >= short.book(NODE[0], 0, attempt, 9.0, 9.0)
