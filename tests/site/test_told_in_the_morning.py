"""The plant is called in the morning: an order for layers that are not next is brought to what really stands.

Kind of the tests: hand computation on the rig's days. On Monday 8 March layers 1 to 10 are planned. Printing begins
at 07:22:30; the first layer takes 37:30, each further one 18:45. After two nozzle hours, at 09:22:30 and 7:30 into
layer 6, the printer stands for 3 h 45, until 13:07:30. The bead has then lain open for longer than an hour: 45 min
for the joint, and the rest of layer 6 is laid by 14:03:45. There is no time for another before wash-out, at 13:45.
The plant's cut-off is at noon, so what had been ordered for Tuesday by then is for layers 11 to 20: 3.75 m³ and 0.23
to begin with, loads of 2.5 m³ at seven and 1.5 m³ at nine. Tuesday really prints layers 7 to 10, which take 1.5 m³,
and 1.73 in all: one load of 2 m³.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from rigs import play_plan, printing_plan, ready_mix, windy, with_rules, with_slabs

from sitesim.answers.printed_day import ToldDay, told_days
from sitesim.chance import Fixed
from sitesim.ledger import Load
from sitesim.plan import Plan, Stop
from sitesim.policies import ConfirmTheOrder, DaysNeed, LoadSizes, WillCall
from sitesim.report.diary import diary
from sitesim.report.print_day_words import DayTeller
from sitesim.site import Played

TUESDAY = 24.0 * 8
FAULT = Stop("control fault", "nozzle", Fixed(2.0), Fixed(3.75), loses_hose=False)


def short_day(**supply: object) -> Plan:
    """Make the site whose first print day falls short."""
    plan = printing_plan(buildings=1, supply=ready_mix(cut_off=12.0, **supply), stops=[FAULT])
    return with_rules(plan, working_life=12.0)


def tuesdays_loads(played: Played) -> list[Load]:
    return sorted((load for load in played.ledger.loads if load.day == 8), key=lambda load: load.number)


def volumes(loads: Sequence[Load]) -> list[float]:
    return [load.ordered for load in loads]


def tuesday(plan: Plan, played: Played) -> ToldDay:
    (told,) = told_days(plan, played.ledger, 9)
    return told


def lines(plan: Plan, played: Played) -> list[tuple[float, str]]:
    (day,) = diary(plan, played, day=9)
    return [(line.instant, line.text) for line in day.lines]


def test_the_day_before_falls_short_as_reckoned() -> None:
    played = play_plan(short_day(), keep_diary=True)
    monday = (played.ledger.printed or [])[0]
    assert (monday.first, monday.target, monday.last) == (1, 10, 6)
    assert (played.ledger.layers or [])[5].end == pytest.approx(24.0 * 7 + 14.0 + 3.75 / 60, abs=1e-3)
    assert monday.tomorrow is not None
    assert monday.tomorrow.need == pytest.approx(3.98, abs=1e-4)
    assert monday.tomorrow.loads == ((2.5, TUESDAY + 7.0), (1.5, TUESDAY + 9.0))


def test_what_the_day_does_not_need_is_called_off_with_the_go() -> None:
    # The go is at half past five. One load of 2 m³ comes; 0.27 are left, 0.25 of them in the hopper.
    plan = short_day()
    played = play_plan(plan, keep_diary=True)
    (only,) = tuesdays_loads(played)
    assert (only.ordered, only.due, only.verdict) == (2.0, TUESDAY + 7.0, "returned in part")
    assert only.returned == pytest.approx(0.02, abs=1e-4)
    assert played.ledger.counts.loads_called_off == 1
    assert played.ledger.counts.loads_called_off_by_weather == 0
    told = tuesday(plan, played)
    assert (told.printed.first, told.printed.last, told.printed.target) == (7, 10, 10)
    assert told.printed.order.need == pytest.approx(1.73, abs=1e-4)
    assert (TUESDAY + 5.5, "the morning's call: 1 of 2 loads called off, 1 of 2 loads made smaller") in lines(
        plan, played
    )
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


def test_a_day_tells_what_was_ordered_and_what_came_of_it() -> None:
    plan = short_day()
    told = tuesday(plan, play_plan(plan, keep_diary=True))
    teller = DayTeller(plan, told)
    assert teller.headings()[1] == (
        "Needed with priming, hose and specimens: 1.73 m³. Ordered the day before, for 3.98 m³: 2.50 m³ at 07:00 and "
        "1.50 m³ at 09:00. With the go: 2.00 m³ at 07:00."
    )
    at_the_go = [event.text for event in teller.events() if event.instant == TUESDAY + 5.5]
    assert at_the_go == [
        "go: the forecast leaves enough hours",
        "the plant is told what comes: 2.00 m³ at 07:00",
        "a load, 1.50 m³, due 09:00: called off in the morning",
    ]
    assert [ticket.verdict for ticket in told.tickets] == ["returned in part", "called off in the morning"]
    assert told.balance.batched_m3 == 2.0


def test_an_order_that_is_only_confirmed_comes_and_goes_back() -> None:
    # Load 2, batched at 07:45, is on its way when layer 10 is done at 08:56:15; of load 1 0.77 m³ are left.
    played = play_plan(short_day(morning_call=ConfirmTheOrder()), keep_diary=True)
    one, two = tuesdays_loads(played)
    assert (one.ordered, two.ordered) == (2.5, 1.5)
    assert (one.returned, two.returned) == (pytest.approx(0.52, abs=1e-4), 1.5)
    assert two.verdict == "returned"
    assert played.ledger.counts.loads_called_off == 0


@pytest.mark.parametrize(
    ("notice", "come", "called_off", "returned"),
    [
        (0.25, [2.0], 1, 0.02),  # load 1 is to be batched at 05:45, a quarter of an hour after the go
        (0.5, [2.5], 1, 0.52),  # too late for load 1, in time for load 2, to be batched at 07:45
        (2.25, [2.5], 1, 0.52),
        (2.5, [2.5, 1.5], 0, 2.02),
    ],
)
def test_a_load_can_be_changed_as_long_before_it_is_batched_as_the_plant_asks(
    notice: float, come: list[float], called_off: int, returned: float
) -> None:
    plan = short_day(notice=notice)
    played = play_plan(plan, keep_diary=True)
    loads = tuesdays_loads(played)
    assert volumes(loads) == come
    assert sum(load.returned for load in loads) == pytest.approx(returned, abs=1e-4)
    assert played.ledger.counts.loads_called_off == called_off
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
    if not called_off:
        said = "less is needed than was ordered, but no load can be called off or made smaller any more"
        assert (TUESDAY + 5.5, said) in lines(plan, played)


def test_the_one_load_of_an_order_on_call_is_made_smaller() -> None:
    supply = {"ordering": WillCall(LoadSizes(2.5, 0.5, 0.5), 7.0, 1.5)}
    assert volumes(tuesdays_loads(play_plan(short_day(**supply), keep_diary=True))) == [2.0]
    kept = play_plan(short_day(morning_call=ConfirmTheOrder(), **supply), keep_diary=True)
    assert volumes(tuesdays_loads(kept)) == [2.5]


def test_loads_by_the_days_need_come_when_the_layers_left_need_them() -> None:
    # Loads of 1 m³. Of the four ordered for layers 11 to 20 two come, each with no time to spare: layers 7 to 10 have
    # used up the first, less 0.23 to begin with, 0.77 / 0.375 layers after 07:22:30: two and 1 min: 08:19:45.
    supply = {"ordering": DaysNeed(LoadSizes(1.0, 0.5, 0.5), 7.0, 0.0)}
    played = play_plan(short_day(**supply), keep_diary=True)
    loads = tuesdays_loads(played)
    assert volumes(loads) == [1.0, 1.0]
    # The course counts from seven, when the load is at the gate: 07:15, 37:30, 18:45 and 1 min.
    assert loads[1].due == pytest.approx(TUESDAY + 8.0 + 12.25 / 60, abs=1e-3)
    assert played.ledger.counts.loads_called_off == 2


def test_a_day_that_went_as_planned_changes_nothing() -> None:
    plan = printing_plan(buildings=1, supply=ready_mix(cut_off=12.0))
    played = play_plan(plan, keep_diary=True)
    assert all(printed.placed is None for printed in played.ledger.printed or ())
    assert played.ledger.counts.loads_called_off == 0
    as_placed = play_plan(
        replace(plan, supply=ready_mix(cut_off=12.0, morning_call=ConfirmTheOrder())), keep_diary=True
    )
    assert played.ledger.loads == as_placed.ledger.loads


def windy_plan(shut: dict[int, list[tuple[int, int]]], **supply: object) -> Plan:
    plan = printing_plan(buildings=1, supply=ready_mix(cut_off=9.0, **supply))
    return replace(with_rules(plan, limits="print"), climate=windy(shut, "print"))


def test_what_the_weather_leaves_undone_is_charged_to_the_weather() -> None:
    # Monday the 8th is calm until ten, after the cut-off at nine: seven layers are laid, three are left, for Tuesday.
    played = play_plan(windy_plan({7: [(10, 24)]}), keep_diary=True)
    counts = played.ledger.counts
    assert (counts.loads_called_off, counts.loads_called_off_by_weather) == (1, 1)
    assert volumes(tuesdays_loads(played)) == [1.5]  # 3 × 0.375 + 0.23


def test_on_a_day_that_is_no_go_what_is_too_late_to_call_off_comes_for_nothing() -> None:
    # Monday and Tuesday are no go at half past five: load 1, to be batched at 05:45, comes all the same on both.
    plan = windy_plan({7: [(9, 24)], 8: [(9, 24)]}, notice=0.5)
    played = play_plan(plan, keep_diary=True)
    counts = played.ledger.counts
    assert (counts.days_called_off, counts.loads_called_off, counts.loads_called_off_by_weather) == (2, 2, 2)
    back = [load for load in played.ledger.loads if load.verdict == "returned"]
    assert [(load.day, load.ordered, load.arrived, load.returned) for load in back] == [
        (7, 2.5, 24.0 * 7 + 7.0, 2.5),
        (8, 2.5, 24.0 * 8 + 7.0, 2.5),
    ]
    assert played.ledger.concrete.returned >= 5.0
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
    assert counts.loads == len(played.ledger.loads)


def test_at_the_end_of_a_day_what_is_too_late_to_call_off_comes_too() -> None:
    # Monday is calm until ten. Loads of 1 m³ every two hours: the first is used up in layer 3 at 08:19:45, the second
    # connected at 09:07:30, the joint prepared until 09:52:30, the layer done at 10:10:15 and the nozzle shut. The
    # third is on its way; the fourth was to be batched at 11:45, 94:45 min later.
    sizes = {"ordering": ready_mix(load=1.0).ordering}
    for notice, back in ((0.0, [3]), (1.5, [3]), (1.75, [3, 4])):
        played = play_plan(windy_plan({7: [(10, 24)]}, notice=notice, **sizes), keep_diary=True)
        monday = [load for load in played.ledger.loads if load.day == 7 and load.verdict == "returned"]
        assert sorted(load.number for load in monday) == back


@pytest.mark.parametrize(("notice", "come"), [(0.0, []), (1.0, [1]), (3.0, [1, 2])])
def test_where_the_crew_is_needed_elsewhere_in_the_morning_what_is_too_late_to_call_off_comes_on_its_day(
    notice: float, come: list[int]
) -> None:
    # B prints on Monday the 8th, and orders for Tuesday. But A, which goes first, has its slab by then, and the crew
    # sets its gantry up until Wednesday. At six no crew has come to B: load 1 was to be batched at 05:45 and comes a
    # quarter of an hour late, load 2 was to be batched at 07:45.
    plan = printing_plan(buildings=2, printers=2, tents=2, supply=ready_mix(notice=notice))
    played = play_plan(with_slabs(with_rules(plan, working_life=12.0), (176.0, 0.0)), keep_diary=True)
    loads = [load for load in tuesdays_loads(played) if load.building == "B"]
    assert [load.number for load in loads] == come
    assert {load.verdict for load in loads} <= {"returned"}
    assert [load.arrived for load in loads] == [TUESDAY + 7.25, TUESDAY + 9.0][: len(come)]
    assert played.ledger.counts.loads_called_off == 2 - len(come)
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
