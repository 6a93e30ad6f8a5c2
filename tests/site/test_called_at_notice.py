"""Gangs that leave for another job and are called back, event by event on small sites worked out by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

import pytest
from rigs import SHELL, WEEKDAYS, account_of, entries_of, network_plan, play_plan, printing_plan

from sitesim.chance import Distribution, Fixed, Lognormal, Observed, Triangular
from sitesim.ledger import RunClosing, on_site, time_account
from sitesim.ledger.rows import Coming
from sitesim.plan import Cause, Hire, Inspection, Inspector, Limits, Plan, State
from sitesim.plan.absences import absent
from sitesim.policies import AtNotice
from sitesim.site import Played, Stage

FRAMERS, BOARDS = range(2)
TASKS: dict[str, tuple[Sequence[str], Distribution]] = {
    "frame": ((), Fixed(10.0)),
    "boards": (("frame",), Fixed(4.0)),
    "trim": (("boards",), Fixed(20.0)),
    "patch": (("trim",), Fixed(4.0)),
}
GANGS = {"framers": ["frame", "trim"], "boards": ["boards", "patch"]}


def called(plan: Plan, unit: int, notice: Distribution, stays: float = 0.0, ahead: float = 0.0) -> Plan:
    """Let a gang be called at notice."""
    units = list(plan.units)
    units[unit] = replace(units[unit], flow=AtNotice(stays, ahead), notice=notice)
    return replace(plan, units=tuple(units))


def two_visits(stays: float = 0.0, ahead: float = 0.0, notice: float = 8.0) -> Plan:
    """Boards after ten hours of frames, a patch after twenty of trim: day and night, the boards' gang called."""
    return called(network_plan(TASKS, GANGS), BOARDS, Fixed(notice), stays, ahead)


def waited(plan: Plan, played: Played, unit: int) -> dict[Cause | None, float]:
    hours = time_account(account_of(plan, played), plan.units)
    return {cause: amount for (of, state, cause), amount in hours.items() if (of, state) == (unit, State.WAITING)}


def costs(plan: Plan) -> dict[str, float]:
    stage = Stage(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    rows = closing.tables(0, play_plan(plan).ledger, "", False)["costs"]
    return {item: amount for _, item, amount in rows}


def times(played: Played, *keys: str) -> list[tuple[float, float]]:
    entries = entries_of(played)
    return [(entries[key].start, entries[key].end) for key in keys]


def test_it_comes_after_its_notice_and_leaves_when_its_work_runs_out() -> None:
    plan = two_visits()
    played = play_plan(plan)
    assert times(played, "frame", "boards", "trim", "patch") == [(0, 10), (18, 22), (22, 42), (50, 54)]
    assert played.ledger.comings == [Coming(BOARDS, 0.0, 10.0, 18.0), Coming(BOARDS, 22.0, 42.0, 50.0)]
    # On site it only works: from 18 to 54 less the 28 h in between.
    hours = time_account(account_of(plan, played), plan.units)
    assert {key[1:]: value for key, value in hours.items() if key[0] == BOARDS} == {(State.WORKING, None): 8.0}
    assert on_site(account_of(plan, played))[BOARDS] == (18.0, 54.0)


def test_whoever_waits_for_it_waits_for_a_crew() -> None:
    entries = entries_of(play_plan(two_visits()))
    assert [(hold.end, hold.cause) for hold in entries["patch"].holds] == [(50.0, Cause.CREW)]
    plan = two_visits()
    chain = account_of(plan, play_plan(plan)).back_from(entries["patch"])
    assert [(segment.start, segment.cause) for segment in chain if segment.cause is Cause.CREW] == [
        (42.0, Cause.CREW),
        (10.0, Cause.CREW),
    ]


@pytest.mark.parametrize(
    ("ahead", "boards", "patch", "waits"),
    [
        (6.0, 12.0, 38.0, 0.0),  # called at 4, there at 12; trim from 16 to 36, called at 30, there at 38
        (8.0, 10.0, 34.0, 0.0),  # as long ahead as the notice: there to the hour, trim from 14 to 34
        (12.0, 10.0, 34.0, 2.0 + 4.0),  # called at 0, when the frames begin, and at 22: there at 8 and at 30
    ],
)
def test_it_can_be_called_ahead(ahead: float, boards: float, patch: float, waits: float) -> None:
    plan = two_visits(ahead=ahead)
    played = play_plan(plan)
    assert times(played, "boards", "patch") == [(boards, boards + 4), (patch, patch + 4)]
    assert sum(waited(plan, played, BOARDS).values()) == waits
    assert len(played.ledger.comings) == 2


def test_it_is_called_at_the_earliest_when_the_step_before_begins() -> None:
    played = play_plan(two_visits(ahead=100.0))
    # Trim begins at 14: nobody knows before then when it will be done, and it never leaves.
    assert times(played, "boards", "trim", "patch") == [(10, 14), (14, 34), (34, 38)]
    assert [coming.called for coming in played.ledger.comings] == [0.0]


@pytest.mark.parametrize(("stays", "comings"), [(0.0, 2), (19.0, 2), (20.0, 1), (50.0, 1)])
def test_it_stays_for_work_that_is_expected_soon(stays: float, comings: int) -> None:
    plan = two_visits(stays)
    played = play_plan(plan)
    assert len(played.ledger.comings) == comings
    if comings == 1:
        assert times(played, "boards", "patch") == [(18, 22), (42, 46)]
        assert waited(plan, played, BOARDS) == {Cause.PREDECESSOR: 20.0}


def test_notice_counts_its_own_hours() -> None:
    plan = called(network_plan(TASKS, GANGS, calendar=WEEKDAYS), BOARDS, Fixed(12.0))
    played = play_plan(plan)
    # Frames: Monday and two hours of Tuesday, 09:00. Twelve hours of work later it is Wednesday at 13:00.
    assert entries_of(played)["frame"].end == 24 + 9
    assert played.ledger.comings[0] == Coming(BOARDS, 0.0, 24 + 9, 48 + 13)
    assert entries_of(played)["boards"].start == 48 + 13


def test_a_printing_gang_leaves_for_the_cure_and_does_not_wait_for_a_gantry_that_is_elsewhere() -> None:
    # Both slabs lie ready from the first day; the second waits for the gantry. The gang leaves while the beam of the
    # first cures, 72 h from its pour on, comes back to take down, and goes on to the second without leaving.
    plan = called(printing_plan(buildings=2), SHELL, Fixed(2.0))
    played = play_plan(plan)
    entries = entries_of(played)
    assert played.finished
    pours, cures = ([entries[f"{name}/{step}"].end for name in "AB"] for step in ("beam", "cure"))
    comings = [coming for coming in played.ledger.comings if coming.unit == SHELL]
    assert [(coming.left, coming.called) for coming in comings[1:]] == list(zip(pours, cures, strict=True))
    assert comings[0].called == 0.0


def test_what_is_expected_is_what_a_planner_expects() -> None:
    tasks = {**TASKS, "frame": ((), Triangular(1.0, 7.0, 22.0))}  # ten hours on average, whatever they turn out to be
    for run in range(8):
        played = play_plan(called(network_plan(tasks, GANGS), BOARDS, Fixed(8.0), ahead=8.0), run=run)
        assert played.ledger.comings[0].called == 2.0
        assert entries_of(played)["boards"].start == max(10.0, entries_of(played)["frame"].end)


def test_a_visit_that_is_booked_is_what_is_expected() -> None:
    plan = two_visits(ahead=5.0)
    frame = plan.nodes[0]
    seen = replace(frame.task, inspection=Inspection(0, 0.0, Fixed(1.0)))
    played = play_plan(replace(plan, nodes=(replace(frame, task=seen), *plan.nodes[1:])))
    visit = entries_of(played)["frame inspection"].end
    assert visit > 10.0
    assert played.ledger.comings[0].called == max(0.0, visit - 5.0)


def seen_by_the_inspector(run: int, moved_until: float, fails: float = 0.0) -> Played:
    """Frames of 2 or 20 h, of 11 on average, then an inspector at half past ten, then boards, called two hours ahead.

    Eleven hours end on Tuesday at ten: the visit is booked for Wednesday, and over at 11:30 (59.5).
    """
    tasks = {"frame": ((), Observed((2.0, 20.0))), "boards": (("frame",), Fixed(4.0))}
    plan = called(
        network_plan(tasks, {"framers": ["frame"], "boards": ["boards"]}, 60, WEEKDAYS), BOARDS, Fixed(1.0), ahead=2.0
    )
    frame = replace(plan.nodes[0], task=replace(plan.nodes[0].task, inspection=Inspection(0, fails, Fixed(1.0))))
    inspector = Inspector("special", "site", Fixed(8.0), 4, 1.0, at_any_hour=False, moved_until=moved_until)
    return play_plan(replace(plan, nodes=(frame, plan.nodes[1]), inspectors=(inspector,)), run=run)


def first_run(ends: float, moved_until: float, fails: float = 0.0, failed: int = 0) -> Played:
    """Give the first run in which the frames end at an instant, and so many visits fail."""
    runs = (seen_by_the_inspector(run, moved_until, fails) for run in range(50))
    return next(
        each
        for each in runs
        if entries_of(each)["frame"].end == ends and each.ledger.counts.failed_inspections == failed
    )


def test_a_visit_that_is_moved_moves_the_call() -> None:
    # At 56.5 it is seen that the frames take to 59; the next visit is Friday's, over at 107.5.
    assert first_run(59.0, 2.0).ledger.comings == [Coming(BOARDS, 0.0, 105.5, 106.5)]


def test_nobody_waits_on_site_for_the_visit_after_one_that_is_lost() -> None:
    assert first_run(59.0, inf).ledger.comings == [
        Coming(BOARDS, 0.0, 57.5, 58.5),
        Coming(BOARDS, 59.0, 105.5, 106.5),
    ]


def test_nobody_waits_on_site_for_the_visit_after_one_that_has_failed() -> None:
    # Failed on Wednesday at 11:30; with eight hours of notice the next is on Friday.
    assert first_run(9.0, inf, fails=0.5, failed=1).ledger.comings == [
        Coming(BOARDS, 0.0, 57.5, 58.5),
        Coming(BOARDS, 59.5, 105.5, 106.5),
    ]


def test_it_waits_on_site_for_whoever_works_with_it_and_is_not_sent_home() -> None:
    # The pair needs framers and boards together; the framers are at other work until 30.
    tasks: dict[str, tuple[Sequence[str], Distribution]] = {"frame": ((), Fixed(30.0)), "pair": ((), Fixed(4.0))}
    plan = network_plan(tasks, {"framers": ["frame"], "boards": ["pair"]})
    pair = replace(plan.nodes[1], task=replace(plan.nodes[1].task, needs=((FRAMERS,), (BOARDS,))))
    plan = called(replace(plan, nodes=(plan.nodes[0], pair)), BOARDS, Fixed(8.0))
    played = play_plan(plan)
    assert played.ledger.comings == [Coming(BOARDS, 0.0, 0.0, 8.0)]
    assert times(played, "pair") == [(30, 34)]
    assert waited(plan, played, BOARDS) == {Cause.CREW: 22.0}


def one_of_two(first: float, second: float, notice: float = 8.0) -> Plan:
    """Two pieces of work, ready after some hours of their own, for either of two gangs that are called."""
    tasks: dict[str, tuple[Sequence[str], Distribution]] = {
        "one": ((), Fixed(first)),
        "other": ((), Fixed(second)),
        "boards of one": (("one",), Fixed(10.0)),
        "boards of other": (("other",), Fixed(10.0)),
    }
    plan = network_plan(tasks, {"a": ["one"], "b": ["other"], "c": ["boards of one", "boards of other"], "d": []})
    nodes = [
        replace(node, task=replace(node.task, needs=((2, 3),))) if node.key.startswith("boards") else node
        for node in plan.nodes
    ]
    plan = replace(plan, nodes=tuple(nodes))
    return called(called(plan, 2, Fixed(notice)), 3, Fixed(notice))


def test_each_piece_of_work_that_waits_calls_a_gang() -> None:
    played = play_plan(one_of_two(5.0, 7.0))
    assert played.ledger.comings == [Coming(2, 0.0, 5.0, 13.0), Coming(3, 0.0, 7.0, 15.0)]
    assert times(played, "boards of one", "boards of other") == [(13, 23), (15, 25)]


def test_of_two_who_are_away_the_one_is_called_that_can_come() -> None:
    # The first is missing for three weeks, from all of its jobs: whatever comes up, the second is called.
    plan = one_of_two(5.0, 60.0)
    missing = absent(plan, 2, frozenset(range(plan.start.toordinal(), plan.start.toordinal() + 21)))
    assert play_plan(missing).ledger.comings == [Coming(3, 0.0, 5.0, 13.0), Coming(3, 23.0, 60.0, 68.0)]
    ahead = called(called(missing, 2, Fixed(8.0), ahead=4.0), 3, Fixed(8.0), ahead=4.0)
    assert play_plan(ahead).ledger.comings == [Coming(3, 0.0, 1.0, 9.0), Coming(3, 19.0, 56.0, 64.0)]


def test_who_is_on_site_and_free_is_asked_first() -> None:
    # The first comes at 13 and is done at 23; the other's work is ready at 23, when nobody has left yet.
    played = play_plan(one_of_two(5.0, 23.0))
    assert played.ledger.comings == [Coming(2, 0.0, 5.0, 13.0)]
    assert times(played, "boards of other") == [(23, 33)]


def test_who_comes_and_is_needed_no_more_leaves_again() -> None:
    # The second is called at 14 and comes at 24; by then the first, done at 23, has the work. It goes home at once.
    played = play_plan(one_of_two(5.0, 14.0, notice=8.0))
    assert played.ledger.comings == [Coming(2, 0.0, 5.0, 13.0), Coming(3, 0.0, 14.0, 22.0)]
    late = play_plan(called(one_of_two(5.0, 14.0), 3, Fixed(10.0)))
    assert late.ledger.comings == [Coming(2, 0.0, 5.0, 13.0), Coming(3, 0.0, 14.0, 24.0)]
    assert entries_of(late)["boards of other"].units == (2,)


def test_who_came_in_vain_has_come_all_the_same() -> None:
    # As above: the second comes once, works never, and is paid for its way.
    plan = called(one_of_two(5.0, 14.0), 3, Fixed(10.0))
    paid = tuple(replace(unit, hire=Hire(mobilisation=30.0, demobilisation=20.0)) for unit in plan.units)
    assert costs(replace(plan, units=paid)) == {f"{name} mobilisation": 50.0 for name in "abcd"}


def test_the_calls_of_a_run_are_counted() -> None:
    plan = two_visits()
    stage = Stage(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    played = play_plan(plan)
    assert closing.tables(7, played.ledger, "", False)["calls"] == [(7, "boards", 2, 28.0)]
    weeks = closing.weeks(7, played.ledger)
    assert [(who, hours) for _, who, _, _, _, hours in weeks if who == "boards"] == [("boards", 8.0)]


def test_its_days_away_are_not_hired_and_each_coming_is_paid() -> None:
    # On site on the first day from 18 to 22 and on the third from 50 to 54; the day in between is not.
    plan = two_visits()
    hired = replace(plan.units[BOARDS], hire=Hire(day=100.0, mobilisation=30.0, demobilisation=20.0))
    plan = replace(plan, units=(plan.units[FRAMERS], hired))
    assert costs(plan) == {"gang boards": 200.0, "boards mobilisation": 100.0}
    always_there = replace(plan, units=(plan.units[FRAMERS], replace(hired, flow=None)))
    # There from 10 to 38 (boards, twenty hours of trim, the patch): two dates, and one coming.
    assert costs(always_there) == {"gang boards": 200.0, "boards mobilisation": 50.0}
    stays = two_visits(stays=20.0)
    stays = replace(stays, units=(stays.units[FRAMERS], replace(hired, flow=stays.units[BOARDS].flow)))
    assert costs(stays) == {"gang boards": 200.0, "boards mobilisation": 50.0}


def test_its_luck_is_that_of_the_gang_and_the_call() -> None:
    notice = Lognormal.by_p50_p90(8.0, 30.0)

    def notices(plan: Plan, run: int) -> list[float]:
        return [coming.came - coming.called for coming in play_plan(plan, run=run).ledger.comings]

    plan = called(network_plan(TASKS, GANGS), BOARDS, notice)
    longer = {**TASKS, "trim": (("boards",), Fixed(90.0))}
    for run in range(5):
        assert notices(plan, run) == notices(called(network_plan(longer, GANGS), BOARDS, notice), run)
        assert notices(plan, run)[0] != notices(plan, run)[1]
        assert notices(plan, run) != notices(plan, run + 1)


def test_a_gang_that_cannot_come_any_more_is_told() -> None:
    plan = replace(two_visits(notice=200.0), days=2)
    assert play_plan(plan).unfinished == "boards: boards is called, and cannot come within the horizon"


def test_the_plain_plan_knows_the_notice_by_its_mean() -> None:
    from sitesim.plan import plain

    plan = called(network_plan(TASKS, GANGS), BOARDS, Triangular(2.0, 4.0, 12.0))
    assert [coming.came - coming.called for coming in play_plan(plain(plan)).ledger.comings] == [6.0, 6.0]


def test_it_comes_whatever_the_weather() -> None:
    plan = two_visits()
    limits = {"dry": Limits("dry")}
    assert play_plan(replace(plan, climate=replace(plan.climate, limits=limits))).finished


def test_the_diary_tells_when_it_is_called_comes_and_goes() -> None:
    played = play_plan(two_visits(), keep_diary=True)
    assert [(remark.instant, remark.text) for remark in played.ledger.diary or ()] == [
        (10.0, "boards is called"),
        (18.0, "boards comes"),
        (22.0, "boards goes to another job"),
        (42.0, "boards is called"),
        (50.0, "boards comes"),
    ]
