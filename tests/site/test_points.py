"""Hold and witness points, visits that are moved, and refusals that become fewer: worked out by hand.

Kind of the tests: deterministic, but for two that say so. Monday to Friday, seven to three; the shell gang from six to
three; hour 0 is the midnight before Monday 1 March. The inspector comes at half past ten for an hour unless told else.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest
from rigs import MONDAY, WEEKDAYS, entries_of, network_plan, play_plan, printing_plan

from sitesim.chance import Fixed, Luck, Observed
from sitesim.hours import NEVER
from sitesim.ledger import RunClosing
from sitesim.plan import Inspection, Inspector, Kind, Learning, Node, Plan, PlannedStop, Task, WitnessPoint
from sitesim.site import Played, Stage, play
from sitesim.site.appointments import Appointments
from sitesim.trade.learning import unit_factor

INSPECTOR = Inspector("special", "site", Fixed(4.0), 4, 1.0, at_any_hour=False)


def with_inspections(plan: Plan, points: Mapping[str, Inspection], inspector: Inspector = INSPECTOR) -> Plan:
    """Have an inspector called to the steps of a plan that are named by their key."""
    nodes = tuple(
        replace(node, task=replace(node.task, inspection=points[node.key])) if node.key in points else node
        for node in plan.nodes
    )
    return replace(plan, nodes=nodes, inspectors=(inspector,))


def visits_of(played: Played) -> dict[str, float]:
    """Give what became of the only inspector's visits, without what is nought."""
    (of_theirs,) = played.ledger.visits.values()
    named = ("seen", "failed", "lost", "moved", "waited", "waited_for_lost", "waited_for_moved", "witnessed", "missed")
    return {name: getattr(of_theirs, name) for name in named if getattr(of_theirs, name)}


# ------------------------------------------------------------------------------------------------- moved and lost


def late(moved_until: float) -> Plan:
    """Make a step of 2 or 20 h, seen afterwards by an inspector who wants a day's notice."""
    plan = network_plan({"a": ((), Observed((2.0, 20.0))), "b": ("a", Fixed(2.0))}, {"gang": "ab"}, 60, WEEKDAYS)
    inspector = replace(INSPECTOR, notice=Fixed(8.0), moved_until=moved_until)
    return with_inspections(plan, {"a": Inspection(0, 0.0, Fixed(0.0))}, inspector)


def late_run(moved_until: float) -> Played:
    runs = (play_plan(late(moved_until), run=run, keep_diary=True) for run in range(50))
    return next(played for played in runs if entries_of(played)["a"].end == 59.0)


def test_what_a_lost_visit_costs_is_the_wait_for_the_next() -> None:
    # 11 h are expected, to Tuesday at ten: the visit is Wednesday's, at 10:30 (58.5). The work is done on Wednesday at
    # eleven. Booked then, eight hours of notice are over on Thursday at eleven: the first day after that is Friday.
    played = late_run(math.inf)
    assert entries_of(played)["a inspection"].end == 96.0 + 11.5
    assert visits_of(played) == {"seen": 1, "lost": 1, "waited": 48.5, "waited_for_lost": 48.5}
    said = [remark.text for remark in played.ledger.diary or ()]
    assert said[0] == "a: the work is later than the booked visit, which is lost; the next is 2.0 days later"


def test_a_visit_that_is_moved_in_time_costs_less() -> None:
    # Eight hours before the visit is Wednesday at half past two in the night, so it is moved on Tuesday at three, while
    # they answer: the notice is over on Wednesday at three, so they come on Thursday and nothing is lost.
    played = late_run(8.0)
    assert entries_of(played)["a inspection"].end == 72.0 + 11.5
    assert visits_of(played) == {"seen": 1, "moved": 1, "waited": 24.5, "waited_for_moved": 24.5}
    assert played.ledger.counts.lost_visits == 0
    (remark, *_) = played.ledger.diary or ()
    assert (remark.instant, remark.text) == (39.0, "a: the work will be late; the booked visit is moved")


@pytest.mark.parametrize(
    ("begins", "moved_until", "instant"),
    [
        (2 * 24.0 + 13.0, 4.0, 2 * 24.0 + 9.0),  # on the morning of the same Wednesday
        (2 * 24.0 + 9.0, 4.0, 24.0 + 15.0),  # five in the morning is before their day: the evening before
        (7 * 24.0 + 9.0, 16.0, 4 * 24.0 + 15.0),  # a Sunday: on Friday, before they go
        (24.0 + 7.0, 0.0, 24.0 + 7.0),  # when it begins
        (8.0, 2.0, -NEVER),  # before their first day nobody answers
        (2 * 24.0 + 13.0, math.inf, -NEVER),
    ],
)
def test_a_visit_is_moved_while_somebody_answers(begins: float, moved_until: float, instant: float) -> None:
    diary = Appointments([replace(INSPECTOR, moved_until=moved_until)], [WEEKDAYS.over(MONDAY, 14)], Luck(1, 0))
    assert diary.can_be_moved_until(0, begins + INSPECTOR.visit) == instant


def test_a_visit_that_can_no_longer_be_moved_when_the_work_begins_is_lost() -> None:
    assert visits_of(late_run(58.5 - 7.0 + 1.0))["lost"] == 1  # work begins on Monday at seven
    assert visits_of(late_run(58.5 - 7.0))["moved"] == 1


def test_work_in_time_moves_nothing() -> None:
    runs = (play_plan(late(8.0), run=run) for run in range(50))
    played = next(played for played in runs if entries_of(played)["a"].end == 9.0)
    assert visits_of(played) == {"seen": 1, "waited": 59.5 - 9.0}


def test_a_moved_visit_is_free_for_somebody_else() -> None:
    days = WEEKDAYS.over(MONDAY, 14)
    first, second = network_plan({"a": ((), Fixed(1.0)), "b": ((), Fixed(1.0))}).nodes
    diary = Appointments([replace(INSPECTOR, visits_a_day=1)], [days], Luck(1, 0))
    visit = diary.book(first, 0, 0, 9.0, 9.0)
    assert visit == 24.0 + 11.5
    assert diary.book(second, 0, 0, 9.0, 9.0) == 48.0 + 11.5
    diary.call_off(0, visit)
    assert diary.book(second, 0, 1, 9.0, 9.0) == 24.0 + 11.5


def test_moving_in_time_never_brings_a_visit_later_than_losing_it() -> None:
    """Metamorphic: the same work under the same luck, with one more thing that may be done."""
    for run in range(60):
        for notice in (2.0, 8.0, 20.0):
            plans = (
                replace(late(hours), inspectors=(replace(INSPECTOR, notice=Fixed(notice), moved_until=hours),))
                for hours in (math.inf, 16.0)
            )
            lost, moved = (entries_of(play_plan(plan, run=run))["b"].start for plan in plans)
            assert moved <= lost


# ---------------------------------------------------------------------------------------------------- learning

FAILS, RATE, FLOOR = 0.8, 0.5, 0.25


def repeated(times: int, gangs: int = 1) -> Plan:
    """Make one task done again and again by one gang, or by several in turn, each time seen by the inspector."""
    names = [f"a{i}" for i in range(times)]
    tasks = {name: ([names[i - 1]] if i else [], Fixed(6.0)) for i, name in enumerate(names)}
    by = {f"gang {g}": names[g::gangs] for g in range(gangs)}
    plan = network_plan(tasks, by, 3000, WEEKDAYS)
    point = Inspection(0, FAILS, Fixed(1.0), Learning(RATE, FLOOR))
    nodes = tuple(replace(node, task=replace(node.task, name="a", inspection=point)) for node in plan.nodes)
    return replace(plan, nodes=nodes, inspectors=(INSPECTOR,))


def failures(played: Played, plan: Plan) -> list[int]:
    keys = [entry.key for entry in played.ledger.entries]
    return [keys.count(f"{node.key} rework") for node in plan.nodes]


def expected_failures(plan: Plan, run: int, counts: list[int]) -> list[int]:
    """Draw by hand what the inspector finds, for the n-th time that a gang does the task."""
    luck, found = Luck(1, run), []
    for node, count in zip(plan.nodes, counts, strict=True):
        chance = FAILS * max(FLOOR, count ** math.log2(RATE))
        attempt = 0
        while luck.uniform(node.fails_stream, attempt) < chance:
            attempt += 1
        found.append(attempt)
    return found


@pytest.mark.parametrize(("gangs", "counts"), [(1, [1, 2, 3, 4, 5, 6, 7, 8]), (2, [1, 1, 2, 2, 3, 3, 4, 4])])
def test_the_chance_to_fail_falls_with_each_time_the_same_gang_does_the_task(gangs: int, counts: list[int]) -> None:
    plan = repeated(8, gangs)
    for run in range(40):
        assert failures(play_plan(plan, run=run), plan) == expected_failures(plan, run, counts)


def test_the_chances_are_those_of_the_unit_rule_with_a_floor() -> None:
    # Closed form, checked against 600 runs: a geometric number of failures has mean p/(1 − p), variance p/(1 − p)².
    chances = [FAILS * unit_factor(n, RATE, FLOOR) for n in (1, 2, 3, 4)]
    assert chances == pytest.approx([0.8, 0.4, 0.8 / 3, 0.2])
    plan, runs = repeated(4), 600
    stage = Stage(plan)
    found = [failures(play(stage, 1, run), plan) for run in range(runs)]
    for number, p in enumerate(chances):
        mean = sum(one[number] for one in found) / runs
        assert mean == pytest.approx(p / (1 - p), abs=3 * math.sqrt(p / (1 - p) ** 2 / runs))


def test_what_is_learned_never_makes_a_visit_fail_that_passed() -> None:
    plan = repeated(6)
    dull = replace(
        plan,
        nodes=tuple(
            replace(node, task=replace(node.task, inspection=Inspection(0, FAILS, Fixed(1.0)))) for node in plan.nodes
        ),
    )
    for run in range(20):
        taught, untaught = failures(play_plan(plan, run=run), plan), failures(play_plan(dull, run=run), dull)
        assert all(one <= other for one, other in zip(taught, untaught, strict=True))


# ---------------------------------------------------------------------------------------------- witnesses of a task


def witnessed_task(notice: float, comes: float = 1.0) -> Plan:
    plan = network_plan({"a": ((), Fixed(2.0)), "b": ("a", Fixed(2.0))}, {"gang": "ab"}, 60, WEEKDAYS)
    point = Inspection(0, 0.0, Fixed(0.0), witness=True, comes=comes)
    return with_inspections(plan, {"b": point}, replace(INSPECTOR, notice=Fixed(notice)))


@pytest.mark.parametrize("notice", [0.5, 8.0])
@pytest.mark.parametrize(("comes", "came"), [(1.0, True), (0.0, False)])
def test_a_witness_comes_while_the_work_goes_on_or_not_at_all(notice: float, comes: float, came: bool) -> None:
    # They are told by the look-ahead: a notice that is longer than the work before this one does not keep them away.
    played = play_plan(witnessed_task(notice, comes), keep_diary=True)
    assert visits_of(played) == ({"witnessed": 1} if came else {"missed": 1})
    assert [(entry.key, entry.start, entry.end) for entry in played.ledger.entries] == [
        ("a", 7.0, 9.0),
        ("b", 9.0, 11.0),
    ]
    (remark,) = played.ledger.diary or ()
    assert remark.text == (
        "b: the special inspector came as a witness"
        if came
        else "b: the special inspector did not come as a witness; the work went on"
    )


def test_an_invitation_is_followed_as_often_as_is_said() -> None:
    """A share of 3000 runs, within three standard errors."""
    stage, runs = Stage(witnessed_task(0.5, comes=0.7)), 3000
    came = sum(play(stage, 1, run).ledger.visits[0].witnessed for run in range(runs))
    assert came / runs == pytest.approx(0.7, abs=3 * math.sqrt(0.7 * 0.3 / runs))


def test_a_witness_has_so_many_visits_a_day_as_anybody() -> None:
    names = "abcd"
    plan = network_plan(
        {name: ((), Fixed(2.0)) for name in names}, {f"gang {name}": name for name in names}, 60, WEEKDAYS
    )
    point = Inspection(0, 0.0, Fixed(0.0), witness=True)
    plan = with_inspections(plan, dict.fromkeys(names, point), replace(INSPECTOR, notice=Fixed(0.0), visits_a_day=3))
    assert visits_of(play_plan(plan)) == {"witnessed": 3, "missed": 1}


def test_a_witness_does_not_come_on_a_day_off() -> None:
    diary = Appointments([INSPECTOR], [WEEKDAYS.over(MONDAY, 14)], Luck(1, 0))
    assert diary.witness("x", 0, 1.0, 5 * 24.0 + 8.0, 5 * 24.0 + 12.0) == NEVER
    assert diary.witness("x", 0, 1.0, 5 * 24.0 + 8.0, 7 * 24.0 + 7.5) == 7 * 24.0 + 7.0


# ------------------------------------------------------------------------------------- layers of a printed wall


def printed(
    held: Mapping[int, str] | None = None,
    witnessed: Mapping[int, str] | None = None,
    notice: float = 4.0,
    stops: dict[int, tuple[PlannedStop, ...]] | None = None,
) -> Plan:
    """Make one printed building with points at some of its layers; the rest as in `printing_plan`."""
    plan = printing_plan(buildings=1)
    building = plan.buildings[0]
    shell = building.shell
    assert shell is not None
    nodes = list(plan.nodes)
    holds = {}
    for layer, name in (held or {}).items():
        task = Task(
            name, Kind.MILESTONE, 6, (), Fixed(0.0), "", shares_fortune=False, inspection=Inspection(0, 0.0, Fixed(0.0))
        )
        nodes.append(Node(len(nodes), f"A/{name}", task, 0, "", (shell.calibrate,), told=True))
        holds[layer] = (nodes[-1].index,)
    wall = replace(
        shell.wall,
        stops=stops or {},
        witnessed={layer: (WitnessPoint(name, 0),) for layer, name in (witnessed or {}).items()},
    )
    building = replace(building, shell=replace(shell, wall=wall, holds=holds))
    inspector = replace(INSPECTOR, notice=Fixed(notice))
    return replace(plan, nodes=tuple(nodes), buildings=(building,), inspectors=(inspector,))


def spans(played: Played, *keys: str) -> list[tuple[float, float]]:
    entries = entries_of(played)
    return [(entries[key].start, entries[key].end) for key in keys]


def test_a_witness_changes_nothing_of_the_printing() -> None:
    plain, seen = play_plan(printed()), play_plan(printed(witnessed={1: "first layer", 7: "ties", 20: "top"}))
    assert [entry[:13] for entry in plain.ledger.entries] == [entry[:13] for entry in seen.ledger.entries]
    assert visits_of(seen) == {"witnessed": 3}


def test_printing_stops_at_a_hold_until_the_inspector_has_been() -> None:
    # Monday's layers 1 to 10 are done, and pump and hose washed out, at 12:03:45. The visit was booked on Friday with
    # Monday's concrete, for the first day after Monday: Tuesday at half past ten. At half past eleven less than four
    # hours of the shift are left, so layer 11 is printed on Wednesday.
    played = play_plan(printed(held={10: "reinforcement"}), keep_diary=True)
    day_1, seen, day_2 = spans(played, "A/print day 1", "A/reinforcement inspection", "A/print day 2")
    assert day_1 == (174.0, 180.0625)
    assert seen == (180.0625, 203.5)
    assert day_2 == (222.0, 228.0625)
    assert visits_of(played) == {"seen": 1, "waited": 203.5 - 180.0625}
    assert any(
        remark.text.startswith("A/reinforcement: the special inspector came") for remark in played.ledger.diary or ()
    )


def test_a_hold_is_booked_ahead_so_that_notice_costs_nothing() -> None:
    # Twelve hours of notice: since Friday at eight they are over on Monday at noon. Booked when the layer is laid they
    # would be over on Wednesday at eight.
    seen = spans(play_plan(printed(held={10: "reinforcement"}, notice=12.0)), "A/reinforcement inspection")
    assert seen == [(180.0625, 203.5)]


def test_a_hold_that_the_day_did_not_reach_loses_its_visit() -> None:
    # A stop of four hours after layer 9 would end on Monday at half past two, too late to wash out: layers 9 and 10
    # are Tuesday's. Layer 9 is done at eight, the stop at noon, layer 10 at 12:18:45, washed out at 13:33:45. The visit
    # was Tuesday's at half past ten. Booked anew, four hours of notice are over on Wednesday: they come on Thursday.
    plan = printed(held={10: "reinforcement"}, stops={9: (PlannedStop("boxes", 4.0),)})
    assert plan.print_day is not None
    patient = replace(plan.print_day, working_life=20.0, open_time=20.0)
    played = play_plan(replace(plan, print_day=patient))
    day_2, seen = spans(played, "A/print day 2", "A/reinforcement inspection")
    assert day_2 == (198.0, 205.5625)
    assert seen == (205.5625, 240.0 + 11.5)
    assert visits_of(played) == {"seen": 1, "lost": 1, "waited": 251.5 - 205.5625, "waited_for_lost": 251.5 - 205.5625}


def test_without_points_a_run_writes_down_nothing_of_inspectors() -> None:
    plan = printed()
    played = play_plan(plan)
    assert played.ledger.visits == {}


def test_the_table_tells_each_inspector_of_a_run() -> None:
    plan = late(8.0)
    stage = Stage(plan)
    played = late_run(8.0)
    rows = RunClosing(plan, stage.unit_shifts, stage.shift(("site",))).tables(3, played.ledger, "", keep_loads=False)
    assert rows["visits"] == [(3, "special", 1, 0, 0, 1, 24.5, 0.0, 24.5, 0, 0)]
