"""Small sites whose every instant was worked out by hand beforehand, compared event by event.

Kind of the tests: deterministic. The rig: Monday to Friday, the site from seven to three, the shell gang from six to
three; hour 0 is the midnight before Monday 1 March, so that Monday the 8th begins at hour 168. Times are recomputed
from the stated rules: no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import (
    MONDAY,
    WEEKDAYS,
    account_of,
    entries_of,
    network_plan,
    play_plan,
    printing_plan,
    ready_mix,
    site_mix,
    windy,
    with_rules,
)

from sitesim.chance import Fixed, Observed
from sitesim.hours import WeekPattern
from sitesim.ledger import Layer, Load, time_account
from sitesim.plan import (
    Cause,
    Climate,
    Inspection,
    Kind,
    Plan,
    PlannedStop,
    State,
    Stop,
)
from sitesim.policies import SetUpOrder, TakeDown
from sitesim.site import Played

TICK = 1 / 4096
SET_UP = {"A/gantry_up": (7.0, 39.0), "A/tent_up": (55.0, 83.0), "A/calibrate": (83.0, 104.0)}
"""16 h of gang and crane from Monday at seven, to Tuesday 15:00; 12 h from Wednesday on, to Thursday 11:00; 6 h of the
gang alone, four of them on Thursday, to Friday 08:00."""


def span_of(played: Played, key: str) -> tuple[float, float]:
    entry = entries_of(played)[key]
    return entry.start, entry.end


def layer_ends(played: Played, building: str = "A") -> list[float]:
    return [layer.end for layer in played.ledger.layers or () if layer.building == building]


def loads_of(played: Played, day: int) -> list[Load]:
    return sorted((load for load in played.ledger.loads if load.day == day), key=lambda load: load.number)


def with_stop(plan: Plan, layer: int, hours: float) -> Plan:
    """Put a stop by hand after a layer of the first building."""
    building = plan.buildings[0]
    assert building.shell is not None
    wall = replace(building.shell.wall, stops={layer: (PlannedStop("lintels", hours),)})
    shell = replace(building.shell, wall=wall)
    return replace(plan, buildings=(replace(building, shell=shell), *plan.buildings[1:]))


def near(times: list[float]) -> object:
    """Allow for rounding to ticks where concrete is used up at a rate that does not divide an hour."""
    return pytest.approx(times, abs=4 * TICK)


# ---------------------------------------------------------------------------------------------- print days, ready-mix


def test_one_building_of_two_print_days() -> None:
    played = play_plan(printing_plan(buildings=1), keep_diary=True)
    assert played.finished
    for key, span in SET_UP.items():
        assert span_of(played, key) == span
    # Ordered on Friday at eight for Monday at six: ten layers of 0.375 m³ and 0.14 + 0.03 + 0.06: 3.98, so 4 m³.
    # Both loads leave the plant 1 h 15 after first water, in time for seven and nine, and pass 7.5 min of tests.
    # Aligned by seven; first concrete at 07:07:30; primed by 07:22:30. The first layer takes twice 18:45 min.
    first = 168.0 + 7.375 + 0.625
    assert layer_ends(played)[:10] == [first + 0.3125 * i for i in range(10)]
    # The first truck may go when 0.25 m³ are left: 0.23 went to prime, 2.02 m³ are laid at 1.2 m³/h after 0.375 m³ in
    # the first layer; the second is connected then, and gone when 1.5 m³ more are laid.
    one, two = loads_of(played, 7)
    gone = first + (2.02 - 0.375) / 1.2
    assert (one.ordered, one.batched, one.arrived, one.discharge_begun) == (2.5, 173.75, 175.0, 175.125)
    assert (two.ordered, two.batched, two.arrived) == (1.5, 175.75, 177.0)
    assert [one.discharge_ended, two.discharge_begun, two.discharge_ended] == near([gone, gone, gone + 1.25])
    # Standby is what goes beyond 9 min a m³ from the end of the tests on.
    assert one.standby == pytest.approx(gone - 175.125 - 0.375, abs=4 * TICK)
    # Washed out for 1 h 15: Monday is over at 12:03:45, and Tuesday goes the same way.
    assert span_of(played, "A/print day 1") == (174.0, first + 9 * 0.3125 + 1.25) == (174.0, 180.0625)
    assert span_of(played, "A/print day 2") == (198.0, 204.0625)
    # Beam: 8 h of the gang from Tuesday 12:03:45 on, to Wednesday 11:03:45; cure three days, to Saturday; tent and
    # gantry from Monday at seven on, 8 h and 10 h; the roof takes the 40 h after that, from Wednesday at nine.
    assert span_of(played, "A/beam") == (204.0625, 227.0625)
    assert span_of(played, "A/cure") == (227.0625, 299.0625)
    assert span_of(played, "A/tent_down") == (343.0, 351.0)
    assert span_of(played, "A/gantry_down") == (367.0, 393.0)
    assert span_of(played, "A/roof") == (393.0, 561.0)
    concrete = played.ledger.concrete
    assert (concrete.batched, concrete.in_place) == (8.0, 7.5)
    assert concrete.priming == pytest.approx(2 * 0.17, abs=1e-5)
    assert concrete.washed_out == pytest.approx(2 * (0.06 + 0.02), abs=1e-5)


def test_a_truck_that_arrives_late() -> None:
    # One truck: it leaves at 177.3708, is washed for 7.5 min, is back at the plant at 178.4958, is loaded for 15 min,
    # and hauls for an hour: at the gate at 179.7458, tested by 179.8708.
    plan = printing_plan(buildings=1, supply=ready_mix(trucks=1))
    played = play_plan(plan, keep_diary=True)
    layers = [layer for layer in played.ledger.layers or () if layer.end < 192.0]
    connected = 176.0 + (2.02 - 0.375) / 1.2 + 0.125 + 1.0 + 0.25 + 1.0 + 0.125
    assert loads_of(played, 7)[1].discharge_begun == pytest.approx(connected, abs=4 * TICK)
    # Six layers and 0.02 m³ of the seventh are laid with the first load; it runs dry at 177.5625 + 0.02 ÷ 1.2. The bead
    # there has lain open since 177.2667, longer than an hour: the joint is prepared for 45 min, with 0.02 m³.
    seventh = connected + 0.75 + (0.375 - 0.02) / 1.2
    assert [layer.end for layer in layers] == near(
        [*(176.0 + 0.3125 * i for i in range(6)), seventh, seventh + 0.3125, seventh + 0.625]
    )
    assert [layer.unplanned_joint for layer in layers] == [False] * 6 + [True, False, False]
    # Tuesday's one layer needs no second load; on Wednesday and Thursday everything happens once more.
    assert played.ledger.counts.unplanned_joints == 2
    # A tenth layer would end at 181.85, after a quarter to two (181.75), when washing out has to begin.
    entry = entries_of(played)["A/print day 1"]
    assert entry.end == pytest.approx(seventh + 0.625 + 1.25, abs=4 * TICK)
    waits = [(piece.state, piece.cause) for piece in entry.pieces]
    assert waits == [
        (State.WORKING, None),
        (State.WAITING, Cause.CONCRETE),
        (State.WORKING, None),
        (State.WAITING, Cause.CONCRETE),
        (State.WORKING, None),
    ]
    assert entry.pieces[3].start == pytest.approx(177.5625 + 0.02 / 1.2, abs=4 * TICK)
    assert entry.pieces[3].end == pytest.approx(connected, abs=4 * TICK)
    # Of the second load 1.5 − 0.02 − 0.355 − 0.75 = 0.375 m³ are left: 0.25 in the hopper, and the rest goes back.
    late = loads_of(played, 7)[1]
    assert late.returned == pytest.approx(0.125, abs=1e-5)
    assert (late.verdict, late.discharge_ended) == ("returned in part", entry.end - 1.25)
    # What is left of the day's layers is one: 0.375 + 0.23 m³, so 1 m³ for Tuesday.
    assert [load.ordered for load in loads_of(played, 8)] == [1.0]
    assert span_of(played, "A/print day 2")[0] == 198.0


def test_a_truck_that_comes_in_time_makes_no_joint() -> None:
    played = play_plan(printing_plan(buildings=1, supply=ready_mix(spacing=2.75)), keep_diary=True)
    # Due at 09:45, connected at 09:52:30 = 177.875: it was dry for 18 min, and the bead had lain open for 36.5.
    assert loads_of(played, 7)[1].discharge_begun == 177.875
    assert played.ledger.counts.unplanned_joints == 0
    seventh = 177.875 + (0.375 - 0.02) / 1.2
    assert layer_ends(played)[6:8] == near([seventh, seventh + 0.3125])


def test_a_lot_that_grows_too_old() -> None:
    # A life of three hours: the first load expires at 176.75, inside layer 4; 0.23 + 0.375 + 0.75 × 1.2 m³ are used.
    played = play_plan(with_rules(printing_plan(buildings=1), working_life=3.0), keep_diary=True)
    one, two = loads_of(played, 7)
    assert (one.discharge_ended, one.verdict) == (176.75, "too old")
    assert one.rejected == pytest.approx(2.5 - 0.23 - 0.375 - 0.9, abs=1e-3)
    # The second is connected when it has passed its tests. The bead below, laid at 176.4375, has rested for 0.6875 h.
    assert two.discharge_begun == 177.125
    assert layer_ends(played)[:3] == [176.0, 176.3125, 176.625]
    assert layer_ends(played)[3:7] == near([177.125 + 0.1875 + 0.3125 * i for i in range(4)])
    assert played.ledger.counts.unplanned_joints == 0
    # 1.5 m³ are the rest of layer 4 (0.225) and three more; with 0.15 left no other is begun: shut at 178.25.
    assert span_of(played, "A/print day 1")[1] == pytest.approx(178.25 + 1.25, abs=4 * TICK)
    assert entries_of(played)["A/print day 2"].holds[-1].cause is Cause.CONCRETE
    # Three layers are left of Monday's: 1.125 + 0.23, so 1.5 m³.
    assert [load.ordered for load in loads_of(played, 8)] == [1.5]
    assert span_of(played, "A/print day 3")[0] == 222.0


def test_a_load_refused_at_the_gate_is_replaced() -> None:
    plan = printing_plan(buildings=1, supply=ready_mix(refused=0.5))
    runs = (play_plan(plan, run=run, keep_diary=True) for run in range(200))
    played = next(
        run
        for run in runs
        if [(load.number, load.verdict == "refused at the gate") for load in loads_of(run, 7)]
        == [(1, True), (2, False), (101, False)]
    )
    # Tested by 175.125 and refused; another is loaded at once: at the gate at 176.375, tested by 176.5.
    refused, second, replacement = loads_of(played, 7)
    assert (refused.rejected, refused.arrived) == (2.5, 175.0)
    assert (replacement.batched, replacement.arrived, replacement.discharge_begun) == (175.125, 176.375, 176.5)
    assert second.discharge_begun == replacement.discharge_ended
    first = 176.5 + 0.25 + 0.625
    assert layer_ends(played)[:10] == [first + 0.3125 * i for i in range(10)]
    assert span_of(played, "A/print day 1") == (174.0, first + 9 * 0.3125 + 1.25)
    assert entries_of(played)["A/print day 1"].pieces[1] == (175.0, 176.5, State.WAITING, Cause.CONCRETE)


def with_fault(hours: float) -> Plan:
    """Let the printer fail whenever ten layers have been laid: one of 37:30 min and nine of 18:45."""
    fault = Stop("printer fault", "nozzle", Fixed(3.4375), Fixed(hours), loses_hose=False)
    return printing_plan(buildings=1, stops=(fault,))


def test_the_first_truck_is_on_time_on_the_morning_after_a_long_day() -> None:
    # Three hours of repair after layer 10: the nozzle is shut at 181.8125, an hour before the cut-off; the gang is
    # done at 183.0625, after its shift. On Tuesday it is go at half past five, first water at a quarter to six.
    played = play_plan(with_fault(3.0), keep_diary=True)
    assert list(span_of(played, "A/print day 1")) == near([174.0, 183.0625])
    assert span_of(played, "A/print day 2")[0] == 198.0
    assert [(load.batched, load.arrived) for load in loads_of(played, 8)] == [(197.75, 199.0), (199.75, 201.0)]


def test_what_was_expected_at_the_cut_off_is_ordered_when_the_day_lasts_longer() -> None:
    # Shut at 183.3125, after three; by then ten layers had been ordered for Tuesday.
    played = play_plan(with_fault(4.5), keep_diary=True)
    assert list(span_of(played, "A/print day 1")) == near([174.0, 184.5625])
    assert [load.ordered for load in loads_of(played, 8)] == [2.5, 1.5]
    assert span_of(played, "A/print day 2")[0] == 198.0


def test_a_planned_stop_has_to_fit_before_wash_out() -> None:
    # Layer 10 would end at 178.8125 and five hours of lintels after three; wash-out has to begin at 181.75.
    played = play_plan(with_stop(printing_plan(buildings=1), 10, 5.0), keep_diary=True)
    assert [layer.layer for layer in played.ledger.layers or () if layer.end < 192.0] == list(range(1, 10))


def test_a_fast_layer_waits_until_the_end_of_the_slow_one_below_has_rested() -> None:
    # Interval 30 min, layers of 18:45 min after a first one of 37:30: the first bead ends at 176.0 and may be covered
    # at its end at 176.5 at the earliest, so layer 2 begins 18:45 min before; from then on each begins 30 min later.
    played = play_plan(with_rules(printing_plan(buildings=1), shortest_interval=0.5), keep_diary=True)
    assert layer_ends(played)[:4] == [176.0, 176.5, 177.0, 177.5]


def test_small_stops_add_up_to_an_unplanned_joint() -> None:
    # Layer 1 begins at 175.375 and lies open for 37:30 min of its own and 30 min of lintels: over an hour at its start.
    played = play_plan(with_stop(printing_plan(buildings=1), 1, 0.5), keep_diary=True)
    layers = [layer for layer in played.ledger.layers or () if layer.layer <= 3]
    assert [(layer.start, layer.end, layer.unplanned_joint) for layer in layers] == [
        (175.375, 176.0, False),
        (176.5, 176.5 + 0.75 + 0.3125, True),
        (177.5625, 177.875, False),
    ]


# ----------------------------------------------------------------------------------------------------- site mixing


def test_a_day_of_mixing_on_site() -> None:
    # Nothing is ordered: printing begins on Friday at eight, when the gantry is calibrated. The mixer is ready at
    # 08:45, a batch takes 7.5 min: there is concrete before nine, when the crew has aligned. Primed by 09:15.
    played = play_plan(printing_plan(buildings=1, supply=site_mix()), keep_diary=True)
    first = 104.0 + 1.0 + 0.25 + 0.625
    assert layer_ends(played)[:10] == pytest.approx([first + 0.3125 * i for i in range(10)], abs=20 * TICK)
    begun, ended = span_of(played, "A/print day 1")
    assert begun == 104.0
    assert ended == pytest.approx(first + 9 * 0.3125 + 1.25, abs=20 * TICK)
    # 3.98 m³ are fifteen batches of a quarter and a last one of 0.23.
    (record,) = loads_of(played, 4)
    assert (record.number, record.verdict) == (16, "mixed on site")
    assert record.ordered == pytest.approx(3.98, abs=1e-5)
    assert played.ledger.counts.unplanned_joints == 0
    # A building has one print day a day: the next is Monday's.
    assert span_of(played, "A/print day 2")[0] == 174.0


# ------------------------------------------------------------------------------------- two buildings, one gantry


def test_the_second_building_waits_for_the_gantry_set_by_crane() -> None:
    played = play_plan(printing_plan(buildings=2), keep_diary=True)
    entries = entries_of(played)
    # The gantry is free on Wednesday at nine (393), the tent has been since Monday. 16 h: six on Wednesday, eight, two
    # on Friday to nine (441); the tent 12 h to Monday 13:00 (517); 6 h of calibration to Tuesday at ten (538).
    assert span_of(played, "B/gantry_up") == (393.0, 441.0)
    (hold,) = entries["B/gantry_up"].holds
    assert hold == (393.0, Cause.PRINTER, entries["A/gantry_down"].serial)
    assert span_of(played, "B/tent_up") == (441.0, 517.0)
    assert span_of(played, "B/calibrate") == (517.0, 538.0)
    assert span_of(played, "B/print day 1") == (558.0, 564.0625)  # ordered on Tuesday at ten for Wednesday
    assert span_of(played, "B/print day 2") == (582.0, 588.0625)
    # Beam to Friday 11:03:45 (611.0625), cure over the weekend to Monday (683.0625); 8 h of the tent: 3.9375 h on
    # Monday, the rest on Tuesday to 11:03:45 (707.0625); the gantry 10 h to Wednesday 13:03:45.
    assert span_of(played, "B/beam") == (588.0625, 611.0625)
    assert span_of(played, "B/cure") == (611.0625, 683.0625)
    assert span_of(played, "B/tent_down") == (683.0625, 707.0625)
    assert span_of(played, "B/gantry_down") == (707.0625, 733.0625)


def test_with_the_tent_first_machines_go_on_when_the_walls_stand() -> None:
    plan = printing_plan(
        buildings=2, order=SetUpOrder.TENT_FIRST, gantry_leaves=TakeDown.WALLS, tent_leaves=TakeDown.WALLS
    )
    played = play_plan(plan, keep_diary=True)
    entries = entries_of(played)
    # Tent 12 h to Tuesday at eleven, gantry 16 h to Thursday at eleven; the walls stand on the Tuesday after, 12:03:45.
    assert span_of(played, "A/tent_up") == (7.0, 35.0)
    assert span_of(played, "A/gantry_up") == (35.0, 83.0)
    assert span_of(played, "A/print day 2") == (198.0, 204.0625)
    # The gantry is taken apart inside: 10 h to Wednesday 14:03:45; the tent 8 h to Thursday 14:03:45.
    assert span_of(played, "A/gantry_down") == (204.0625, 230.0625)
    assert span_of(played, "A/tent_down") == (230.0625, 254.0625)
    # Both want the gang then; building A comes first: its beam, 8 h to Friday 13:03:45. Then the tent of B: 1.9375 h on
    # Friday, eight on Monday, 2.0625 on Tuesday.
    assert span_of(played, "A/beam") == (254.0625, 277.0625)
    assert span_of(played, "B/tent_up") == (277.0625, 369.0625)
    assert entries["B/tent_up"].holds == (
        (254.0625, Cause.TENT, entries["A/tent_down"].serial),
        (277.0625, Cause.CREW, entries["A/beam"].serial),
    )
    assert span_of(played, "B/gantry_up") == (369.0625, 417.0625)
    # Nothing stands any more when the beam has cured: the roof begins at once, on Monday 13:03:45.
    assert span_of(played, "A/cure") == (277.0625, 349.0625)
    assert span_of(played, "A/roof") == (349.0625, 517.0625)


# ------------------------------------------------------------------------------------------------- inspections


def inspected(duration: Fixed | Observed, fails: float) -> Plan:
    """Task a, its inspection, then task b of 2 h; the inspector comes in the middle of a day, an hour a visit."""
    plan = network_plan({"a": ((), duration), "b": (("a",), Fixed(2.0))}, {"gang": "ab"}, 60, WEEKDAYS)
    task = replace(plan.nodes[0].task, inspection=Inspection(0, fails, Fixed(3.0)))
    inspectors = tuple(replace(inspector, at_any_hour=False) for inspector in plan.inspectors)
    return replace(plan, inspectors=inspectors, nodes=(replace(plan.nodes[0], task=task), plan.nodes[1]))


def test_a_failed_inspection_brings_rework_and_another_visit() -> None:
    runs = (play_plan(inspected(Fixed(5.0), 0.5), run=run) for run in range(200))
    played = next(run for run in runs if run.ledger.counts.failed_inspections == 1)
    # Booked on Monday at seven with 4 h notice for work expected at noon: the next day, 11:30 (half of 7 h, and 1 h).
    # 3 h of rework to 14:30; booked at 11:30, the notice is over on Wednesday at 07:30: so Thursday.
    spans = [(entry.key, entry.start, entry.end) for entry in played.ledger.entries]
    assert spans == [
        ("a", 7.0, 12.0),
        ("a inspection", 12.0, 35.5),
        ("a rework", 35.5, 38.5),
        ("a inspection", 38.5, 83.5),
        ("b", 83.5, 85.5),
    ]
    assert (played.ledger.counts.inspections, played.ledger.counts.lost_visits) == (2, 0)


@pytest.mark.parametrize(
    ("ended", "lost", "seen"),
    [
        (9.0, 0, 59.5),  # 2 h, done on Monday at nine: the visit is Wednesday's all the same
        (
            59.0,
            1,
            83.5,
        ),  # 20 h, done on Wednesday at eleven: the inspector came at half past ten, and comes on Thursday
    ],
)
def test_a_visit_that_comes_too_early_is_lost(ended: float, lost: int, seen: float) -> None:
    # Expected to take 11 h, to Tuesday at ten: so booked for Wednesday, from 10:30 to 11:30 (59.5). Booked anew on
    # Wednesday at eleven, the notice of 4 h is over at three: the first day after that is Thursday.
    runs = (play_plan(inspected(Observed((2.0, 20.0)), 0.0), run=run) for run in range(50))
    played = next(run for run in runs if entries_of(run)["a"].end == ended)
    assert played.ledger.counts.lost_visits == lost
    assert span_of(played, "a inspection") == (ended, seen)


# ----------------------------------------------------------------------------------------------------- weather


def weathered(duration: float, climate: Climate, splittable: bool) -> Plan:
    plan = network_plan({"a": ((), Fixed(duration))}, {"gang": "a"}, 60, WEEKDAYS)
    task = replace(plan.nodes[0].task, limits="wind", splittable=splittable)
    return replace(plan, climate=climate, nodes=(replace(plan.nodes[0], task=task),))


def test_splittable_work_stops_for_the_wind_and_goes_on() -> None:
    # Windy from nine to noon every day: 2 h and 3 h are worked on Monday and on Tuesday.
    plan = weathered(10.0, windy({0: [(9, 12)]}, "wind", every_day=True), splittable=True)
    played = play_plan(plan)
    assert span_of(played, "a") == (7.0, 39.0)
    hours = time_account(account_of(plan, played), plan.units)
    assert hours == {
        (0, State.WORKING, None): 10.0,
        (0, State.WAITING, Cause.WEATHER): 6.0,
        (0, State.OFF_SHIFT, None): 16.0,
    }
    chain = [segment[:3] for segment in account_of(plan, played).back_from(played.ledger.entries[0])][::-1]
    # The night lies in the stretch that it follows: work until three, so the night is work's.
    assert chain == [
        (0.0, 7.0, Cause.PREDECESSOR),
        (7.0, 9.0, Cause.PREDECESSOR),
        (9.0, 12.0, Cause.WEATHER),
        (12.0, 33.0, Cause.PREDECESSOR),
        (33.0, 36.0, Cause.WEATHER),
        (36.0, 39.0, Cause.PREDECESSOR),
    ]


def test_a_pour_waits_for_a_day_on_which_it_fits() -> None:
    # Monday is calm for three hours from seven, Tuesday for three from noon, Wednesday all day: 4 h fit on Wednesday.
    climate = windy({0: [(10, 24)], 1: [(7, 12)]}, "wind")
    poured = play_plan(weathered(4.0, climate, splittable=False))
    assert span_of(poured, "a") == (55.0, 59.0)
    holds = [hold[:2] for hold in poured.ledger.entries[0].holds]
    assert holds == [(7.0, Cause.PREDECESSOR), (55.0, Cause.WEATHER)]  # the night first, then the wind
    assert span_of(play_plan(weathered(4.0, climate, splittable=True)), "a") == (7.0, 24.0 + 13.0)
    # Three hours fit on Monday.
    assert span_of(play_plan(weathered(3.0, climate, splittable=False)), "a") == (7.0, 10.0)


def test_a_pour_goes_on_through_a_break() -> None:
    # 6 h in a week with a break from noon to half past: in one go, from seven to one; half an hour of it is overtime.
    week = WeekPattern(dict.fromkeys(range(5), ((7.0, 12.0), (12.5, 15.5))))
    plan = network_plan({"a": ((), Fixed(6.0))}, {"gang": "a"}, 60, week)
    assert span_of(play_plan(plan), "a") == (7.0, 13.5)
    plan = replace(plan, nodes=(replace(plan.nodes[0], task=replace(plan.nodes[0].task, splittable=False)),))
    played = play_plan(plan)
    assert span_of(played, "a") == (7.0, 13.0)
    assert time_account(account_of(plan, played), plan.units) == {
        (0, State.WORKING, None): 5.5,
        (0, State.OVERTIME, None): 0.5,
    }


@pytest.mark.parametrize("ripe", [10.0, 14.5, 16.0])
def test_what_does_not_fit_into_a_shift_waits_for_what_made_it_ready_whatever_the_minute(ripe: float) -> None:
    # From seven to three, six hours in one go: ripe at ten, at half past two or at four it begins on Tuesday at seven.
    tasks = {"cure": ((), Fixed(ripe)), "lift": (("cure",), Fixed(6.0))}
    plan = network_plan(tasks, {"gang": ("lift",)}, 60, WEEKDAYS)
    cure, lift = plan.nodes
    cure = replace(cure, task=replace(cure.task, kind=Kind.CURE, hours=""))
    plan = replace(plan, nodes=(cure, replace(lift, task=replace(lift.task, splittable=False))))
    played = play_plan(plan)
    assert span_of(played, "lift") == (31.0, 37.0)
    assert [hold[:2] for hold in entries_of(played)["lift"].holds] == [(31.0, Cause.CURE)]


def test_print_days_are_called_off_for_a_right_forecast() -> None:
    # On Monday the 8th and Tuesday the 9th it is calm for three hours only; a day needs four. Wednesday is calm.
    climate = windy({7: [(9, 24)], 8: [(9, 24)]}, "print")
    plan = replace(with_rules(printing_plan(buildings=1), limits="print"), climate=climate)
    played = play_plan(plan, keep_diary=True)
    counts = played.ledger.counts
    assert (counts.days_called_off, counts.loads_called_off) == (2, 4)
    assert span_of(played, "A/print day 1") == (222.0, 228.0625)
    assert [hold[:2] for hold in entries_of(played)["A/print day 1"].holds] == [
        (174.0, Cause.CONCRETE),
        (198.0, Cause.WEATHER),
        (222.0, Cause.WEATHER),
    ]
    assert played.ledger.concrete.batched == 8.0  # nothing was batched on the days called off


def test_a_print_day_shut_by_wind_goes_on_the_next_day() -> None:
    # Monday the 8th is calm until ten: layers are laid as long as they end by then, the last at 09:52:30 (177.875).
    climate = windy({7: [(10, 24)]}, "print")
    plan = replace(with_rules(printing_plan(buildings=1), limits="print"), climate=climate)
    played = play_plan(plan, keep_diary=True)
    assert [end for end in layer_ends(played) if end < 192.0] == [176.0 + 0.3125 * i for i in range(7)]
    assert span_of(played, "A/print day 1") == (174.0, 177.875 + 1.25)
    # Three layers are left: 1.125 + 0.23, so one load of 1.5 m³; the first layer of the day is slow again.
    assert [load.ordered for load in loads_of(played, 8)] == [1.5]
    assert entries_of(played)["A/print day 2"].holds == ((198.0, Cause.WEATHER, -1),)
    first = 199.125 + 0.25 + 0.625
    assert layer_ends(played)[7:10] == [first, first + 0.3125, first + 0.625]


def test_layers_tell_their_age() -> None:
    played = play_plan(printing_plan(buildings=1), keep_diary=True)
    first, second = (played.ledger.layers or [])[:2]
    # First water at 173.75.
    assert first == Layer("A", 1, 175.375, 176.0, 2.25, False)
    assert second == Layer("A", 2, 176.0, 176.3125, 2.5625, False)
    assert MONDAY.weekday() == 0
