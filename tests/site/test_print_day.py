"""What a print day has besides layers: slump check, planned joint, meal, hose life, wear by age and pause, waiver.

The rig is that of the hand-computed sites: the first print day is Monday the 8th, which begins at hour 168. Crew at
six, aligned by seven, first concrete at 07:07:30 (175.125), primed by 07:22:30 (175.375); the first layer takes 37:30
min, others 18:45, each of 0.375 m³. Times are recomputed from the stated rules: no source outside the project.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

import numpy as np
import pytest
from rigs import MONDAY, entries_of, play_plan, printing_plan, ready_mix, site_mix, with_rules

from sitesim.chance import Fixed
from sitesim.ledger import Layer, Load, Piece
from sitesim.plan import DROP, Cause, Climate, Doing, HourlyRecord, Plan, PlannedStop, State, Stop, Supply, in_drops
from sitesim.policies import Delivery, FixedSpacing, LoadSizes, TodayView, WillCall
from sitesim.site import Played
from sitesim.trade.working_life import working_life

TICK = 1 / 4096
PRIMED = 175.375
ENDS = [176.0 + 0.3125 * i for i in range(10)]
"""When the layers of an undisturbed Monday are in place."""
ALL_AT_ONCE = ready_mix(ordering=FixedSpacing(LoadSizes(9.0, 0.5, 9.0), 2.0, 7.0))
LASTING = {"working_life": 24.0, "open_time": 100.0}
"""Concrete that never grows too old or cold."""


def with_stops(plan: Plan, stops: dict[int, float]) -> Plan:
    """Put stops by hand after layers of the only building."""
    (building,) = plan.buildings
    assert building.shell is not None
    planned = {layer: (PlannedStop("lintels", hours),) for layer, hours in stops.items()}
    shell = replace(building.shell, wall=replace(building.shell.wall, stops=planned))
    return replace(plan, buildings=(replace(building, shell=shell),))


def play_day(
    stops: Sequence[Stop] = (), planned: dict[int, float] | None = None, supply: Supply | None = None, **rules: object
) -> Played:
    """Play one building of one print day of ten layers; one load is enough unless a supply is named."""
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), stops=stops, supply=supply or ALL_AT_ONCE)
    plan = with_rules(plan, **{"working_life": 24.0, **rules})
    played = play_plan(with_stops(plan, planned or {}), keep_diary=True)
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
    return played


def layers_of(played: Played) -> list[Layer]:
    return list(played.ledger.layers or ())


def ends_of(played: Played) -> list[float]:
    return [layer.end for layer in layers_of(played)]


def pieces_of(played: Played, day: int = 1) -> list[Piece]:
    return list(entries_of(played)[f"A/print day {day}"].pieces)


def down(played: Played) -> list[float]:
    """Give the beginnings of what stood still for a breakdown."""
    return [piece.start for piece in pieces_of(played) if piece.state is State.DOWN]


def near(times: list[float]) -> object:
    """Allow for rounding to ticks where concrete is used up at a rate that does not divide an hour."""
    return pytest.approx(times, abs=4 * TICK)


def test_an_undisturbed_day() -> None:
    assert ends_of(play_day()) == ENDS


# ---------------------------------------------------------------------------------------- slump check, joint, meal


def test_the_slump_check_comes_before_priming() -> None:
    assert ends_of(play_day(slump_check=0.25)) == [end + 0.25 for end in ENDS]


def test_the_planned_joint_is_made_on_the_mornings_that_find_a_top_of_yesterday() -> None:
    plan = with_rules(
        printing_plan(buildings=1), planned_joint_time=0.5, planned_joint_concrete=in_drops(0.03), hopper=1.0
    )
    played = play_plan(plan, keep_diary=True)
    # Ten layers take 3.98 m³, and with the joint 4.01. Monday has nothing to prepare. On Tuesday the crew is aligned at
    # seven (199) and has prepared the joint at half past; the truck has been there since 07:07:30. Primed by 07:45.
    assert ends_of(played)[:10] == ENDS
    assert ends_of(played)[10] == 199.5 + 0.25 + 0.625
    assert played.ledger.concrete.joint_preparation == in_drops(0.03)
    assert [load.ordered for load in played.ledger.loads] == [2.5, 1.5, 2.5, 2.0]
    assert played.ledger.counts.print_days == 2
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


def test_a_meal_stops_the_nozzle_after_the_layer_under_way() -> None:
    # Due at half past eight (176.5), in the middle of layer 3, which is in place at 176.625. Half an hour, once a day.
    played = play_day(meal_after=2.5, meal=0.5)
    assert ends_of(played) == [*ENDS[:3], *(end + 0.5 for end in ENDS[3:])]
    assert [layer.unplanned_joint for layer in layers_of(played)] == [False] * 10
    assert all(piece.state is State.WORKING for piece in pieces_of(played) if piece.start >= PRIMED)


def test_a_meal_that_lets_the_bead_grow_cold_costs_a_joint() -> None:
    # Layer 3 begins at 176.3125; at 177.375, after 45 min at table, its beginning has lain open for an hour and more.
    played = play_day(meal_after=2.5, meal=0.75)
    assert [layer.layer for layer in layers_of(played) if layer.unplanned_joint] == [4]
    assert ends_of(played)[3] == 176.625 + 0.75 + 0.75 + 0.3125


def test_no_truck_stands_by_while_lintels_are_set_on_the_last_layer_of_the_day() -> None:
    plain, lintels = play_day(), play_day(planned={10: 1.5})
    assert [load.discharge_ended for load in lintels.ledger.loads] == [
        load.discharge_ended for load in plain.ledger.loads
    ]
    assert [load.standby for load in lintels.ledger.loads] == [load.standby for load in plain.ledger.loads]
    assert entries_of(lintels)["A/print day 1"].end == entries_of(plain)["A/print day 1"].end + 1.5
    # On an earlier layer it is needed once more, after the joint that has grown cold by then: 45 minutes.
    (load,), (waiting,) = plain.ledger.loads, play_day(planned={9: 1.5}).ledger.loads
    assert waiting.discharge_ended == load.discharge_ended + 1.5 + 0.75


def test_nobody_eats_after_the_last_layer() -> None:
    assert entries_of(play_day(meal_after=4.8125, meal=0.5))["A/print day 1"].end == ENDS[-1] + 1.25


# ------------------------------------------------------------------------------------------------------- hose life


def test_accelerated_concrete_sets_in_a_hose_that_stands() -> None:
    # Lintels for half an hour after layer 3; it sets within 24 min, and is cleared in 45.
    played = play_day(planned={3: 0.5}, hose_life=0.4, hose_clear=0.75, **LASTING)
    assert ends_of(played) == [*ENDS[:3], *(end + 1.25 for end in ENDS[3:])]
    assert down(played) == [176.625 + 0.5]
    assert played.ledger.counts.blockages_and_faults == 1
    assert played.ledger.concrete.lost_to_blockages == in_drops(0.06)


def test_a_stop_as_long_as_the_life_in_the_hose_does_no_harm() -> None:
    played = play_day(planned={3: 0.5}, hose_life=0.5, hose_clear=0.75, **LASTING)
    assert (played.ledger.counts.blockages_and_faults, played.ledger.concrete.lost_to_blockages) == (0, 0.0)


def test_clearing_the_hose_may_let_the_bead_grow_cold() -> None:
    # Layer 3 begins at 176.3125. The stop alone would be over in time (177.125); cleared at 177.875 it is too late.
    # Then the joint, for a quarter of an hour, through which the hose lasts, as it was filled anew.
    played = play_day(planned={3: 0.5}, hose_life=0.4, hose_clear=0.75, joint_time=0.25)
    assert [layer.layer for layer in layers_of(played) if layer.unplanned_joint] == [4]
    assert ends_of(played)[3] == 177.875 + 0.25 + 0.3125


def test_a_wait_in_which_somebody_looks_again_is_one_standstill() -> None:
    # The first load runs dry at 177.5625 + 0.02 ÷ 1.2. The second, due at 177.75, is refused at 177.875, and its
    # replacement is there at 179.25: 1.67 h, of which neither part is as long as the 1.5 h that the hose lasts.
    supply = ready_mix(spacing=2.75, refused=0.5)
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=supply)
    plan = with_rules(plan, hose_life=1.5, hose_clear=0.25, **LASTING)

    def verdicts(played: Played) -> list[tuple[int, bool]]:
        loads: list[Load] = sorted(played.ledger.loads, key=lambda load: load.batched)
        return [(load.number, load.verdict == "refused at the gate") for load in loads if load.day == 7]

    runs = (play_plan(plan, run=run, keep_diary=True) for run in range(200))
    played = next(run for run in runs if verdicts(run) == [(1, False), (2, True), (102, False)])
    assert down(played) == near([179.25])
    assert played.ledger.counts.blockages_and_faults == 1


def test_a_blockage_that_empties_the_hose_leaves_nothing_to_set() -> None:
    # Blocked after two hours of the nozzle (177.375), cleared in half an hour, with a hose that lasts 24 min.
    block = Stop("block", "nozzle", Fixed(2.0), Fixed(0.5), loses_hose=True)
    played = play_day([block], hose_life=0.4, hose_clear=0.75, **LASTING)
    assert down(played) == near([177.375])
    assert played.ledger.concrete.lost_to_blockages == in_drops(0.06)
    fault = Stop("fault", "nozzle", Fixed(2.0), Fixed(0.5), loses_hose=False)
    played = play_day([fault], hose_life=0.4, hose_clear=0.75, **LASTING)
    assert [piece.end - piece.start for piece in pieces_of(played) if piece.state is State.DOWN] == [1.25]
    assert played.ledger.counts.blockages_and_faults == 2


# ------------------------------------------------------------------------------------------- wear by age and pause


def blockage(every: float, **changes: float) -> Stop:
    return replace(Stop("block", "nozzle", Fixed(every), Fixed(0.125), loses_hose=False), **changes)


def test_old_concrete_brings_a_stop_sooner_from_the_age_on_at_which_it_is_old() -> None:
    # First water at 173.75; old at 176.375, when the nozzle has run for an hour of the two. The other takes 20 min.
    # After 7.5 min of clearing the next two hours are over in 40 min.
    played = play_day([blockage(2.0, old_after=2.625, old_counts=3.0)], **LASTING)
    first = 176.375 + 1 / 3
    assert down(played)[:2] == near([first, first + 0.125 + 2 / 3])


def test_concrete_of_each_load_counts_by_its_own_age() -> None:
    # Loads of 2.5 m³, first water at 173.75 and 175.75. The first is old at 176.75, with 1.375 h on the nozzle, and is
    # used up at 177.5625 + 0.02 ÷ 1.2, each hour counted twice; the second is young till 178.75.
    played = play_day([blockage(3.5, old_after=3.0, old_counts=2.0)], supply=ready_mix(), **LASTING)
    dry = 177.5625 + 0.02 / 1.2
    counted = 1.375 + 2 * (dry - 176.75)
    assert down(played)[:1] == near([dry + 3.5 - counted])


def test_young_concrete_brings_no_stop_sooner() -> None:
    with_age = play_day([blockage(2.0, old_after=20.0, old_counts=9.0)], **LASTING)
    assert ends_of(with_age) == ends_of(play_day([blockage(2.0)], **LASTING))


def test_a_long_pause_brings_a_stop_sooner() -> None:
    # Half an hour of lintels after layer 3, when 1.25 h of three have been laid; a quarter of an hour of it counts four
    # times: the stop is due 45 min after the lintels.
    played = play_day([blockage(3.0, pause_after=0.25, pause_counts=4.0)], planned={3: 0.5}, **LASTING)
    assert down(played)[:1] == near([177.125 + 0.75])


def test_a_pause_longer_than_the_machine_bears_stops_it_at_the_first_drop() -> None:
    played = play_day([blockage(3.0, pause_after=0.25, pause_counts=8.0)], planned={3: 0.5}, **LASTING)
    assert down(played)[:1] == near([177.125])


def test_a_short_pause_does_no_harm() -> None:
    played = play_day([blockage(3.0, pause_after=0.5, pause_counts=99.0)], planned={3: 0.5}, **LASTING)
    assert down(played)[:1] == near([PRIMED + 3.0 + 0.5])


# ------------------------------------------------------------------------------------------------- waiver, warmth


def test_a_waiver_lets_concrete_be_used_for_longer_and_counts_what_was() -> None:
    # Agreed till 176.75, used till 177.25, in layers 4 to 6: half an hour at 1.2 m³/h.
    played = play_day(supply=ready_mix(), working_life=3.0, waived=0.5)
    one = next(load for load in played.ledger.loads if load.number == 1)
    assert (one.discharge_ended, one.verdict) == (177.25, "too old")
    assert played.ledger.concrete.past_agreed_life == pytest.approx(0.6, abs=1e-3)
    assert one.rejected == pytest.approx(2.5 - 0.23 - 0.375 - 0.9 - 0.6, abs=1e-3)


def test_without_need_of_the_waiver_nothing_is_past_its_life() -> None:
    assert play_day(supply=ready_mix(), waived=0.5).ledger.concrete.past_agreed_life == 0.0


@pytest.mark.parametrize(("warmth", "least", "degrees"), [(0.0, -99.0, 15.0), (10.0, -99.0, 25.0), (0.0, 22.0, 22.0)])
def test_concrete_is_warmer_than_the_air_at_first_water(warmth: float, least: float, degrees: float) -> None:
    # An even 15 °C: the first load, batched at 173.75, is thrown away at the end of the life at its own warmth.
    days = np.arange(365) + MONDAY.replace(year=2026, month=1, day=1).toordinal()
    warm = np.full((365, 24), 15.0)
    record = HourlyRecord("by hand", "for a test", days, 1, warm, np.full((365, 24), 2.0), np.zeros((365, 24)))
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=ready_mix(load=9.0))
    plan = with_rules(plan, working_life=3.0, life_falls_with_heat=True, warmth=warmth, least_warmth=least)
    played = play_plan(replace(plan, climate=Climate(record, {}, 1.5, 10, 0, 1.0)), keep_diary=True)
    first = played.ledger.loads[0]
    assert first.verdict == "too old"
    assert first.discharge_ended - first.batched == pytest.approx(working_life(3.0, degrees), abs=TICK)


# ----------------------------------------------------------------------------------------------- calling for more


def test_loads_are_called_for_while_printing_goes_on() -> None:
    # Loads of 1.5 m³; the lead is 1.5 h. After priming 1.27 m³ are there, and 3.75 are to be laid in 3.125 h, 1.2 m³/h:
    # 63.5 min are less than the lead, so the second is called at once (175.375) and stands at the gate at 176.875. With
    # 2.77 m³ in sight, which last 2.31 h, the third is called at the start of the layer at which no more than 1.8 m³
    # are left: 0.375 a layer, so after three of them (1.645), at 176.625.
    supply = ready_mix(ordering=WillCall(LoadSizes(1.5, 0.5, 0.5), 7.0, 1.5))
    played = play_day(supply=supply, **LASTING)
    loads = sorted(played.ledger.loads, key=lambda load: load.number)
    assert [(load.ordered, load.due) for load in loads] == [(1.5, 175.0), (1.5, 176.875), (1.0, 178.125)]
    assert played.ledger.counts.loads_called_off == 0


def test_what_will_not_last_the_lead_is_called_for_at_the_next_look() -> None:
    # The lead is a quarter of an hour. At the start of layer 3 (176.3125) 0.52 m³ are left, which last 26 min.
    supply = ready_mix(ordering=WillCall(LoadSizes(1.5, 0.5, 0.5), 7.0, 0.25))
    played = play_day(supply=supply, **LASTING)
    assert played.finished
    second = next(load for load in played.ledger.loads if load.number == 2)
    # 0.145 m³ are left at the start of layer 4 (176.625), which last 7.25 min: called there. It cannot be kept, for a
    # truck takes an hour and a quarter.
    assert (second.due, second.arrived) == (176.875, 176.625 + 1.25)


def test_nobody_calls_for_concrete_that_the_day_has_no_time_for() -> None:
    # The day has to be washed out from 13:45 (181.75) on; a layer of two hours begins at 175.375, 179.375 and no more.
    supply = ready_mix(ordering=WillCall(LoadSizes(2.5, 0.5, 0.5), 7.0, 1.5))
    plan = printing_plan(buildings=1, layers=4, day_ends=(4,), layer_hours=2.0, layer_volume=2.0, supply=supply)
    played = play_plan(with_rules(plan, **LASTING), keep_diary=True)
    assert played.finished
    assert played.ledger.counts.loads_called_off == 0


def test_a_day_that_will_run_short_is_topped_up() -> None:
    # 2.5 and 1.5 m³ for 3.98; a life of three hours throws 0.995 m³ of the first away at 176.75, inside layer 4, and
    # the pump is dry. 0.225 m³ of that layer and 2.25 of six more are to be laid, and 1.5 m³ on their way: 0.975 are
    # missing, so one more cubic metre is called, an hour and a half ahead.
    ordering = FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 2.0, 7.0, top_up=1.5)
    played = play_day(supply=ready_mix(ordering=ordering), working_life=3.0, open_time=100.0)
    third = next(load for load in played.ledger.loads if load.number == 3)
    assert third.due == 176.75 + 1.5
    assert third.ordered == 1.0
    assert len(ends_of(played)) == 10
    assert "A/print day 2" not in entries_of(played)
    # Without anybody to call the day ends short.
    alone = play_day(supply=ready_mix(), working_life=3.0, open_time=100.0)
    assert "A/print day 2" in entries_of(alone)


class Watched(FixedSpacing):
    """Loads at a fixed spacing, that nobody calls for, though what somebody would see is noted."""

    seen: ClassVar[list[TodayView]] = []

    def call(self, view: TodayView) -> Delivery | None:
        self.seen.append(view)
        return None


def test_who_waits_for_concrete_for_a_joint_sees_the_whole_layer_above_it() -> None:
    # Printing begins at 175.375 with 1 m³ less 0.23. Layer 2 is done at 176.3125, and less is left than the 0.02 m³ of
    # a joint. Two hours of lintels and 45 min later, at 179.0625, layers 3 to 6 are to be laid.
    Watched.seen.clear()
    supply = ready_mix(ordering=Watched(LoadSizes(1.0, 0.5, 0.5), 6.0, 7.0, top_up=1.5))
    plan = printing_plan(buildings=1, layers=6, day_ends=(6,), supply=supply)
    play_plan(with_stops(with_rules(plan, working_life=24.0, open_time=1.0), {2: 2.0}))
    (view,) = [view for view in Watched.seen if 178.75 < view.now < 180.0]
    assert (view.now, view.on_hand) == (179.0625, 0.0)
    assert view.need == pytest.approx(4 * 0.375, abs=2 * DROP)
    assert view.layer == pytest.approx(0.375, abs=2 * DROP)


# ------------------------------------------------------------------------------------- a hopper that holds little


def test_priming_takes_as_much_as_it_takes_from_a_hopper_that_holds_less() -> None:
    # Batches and hopper of 0.1 m³, 7:30 each. Primed, 0.1 m³ are there and as much waits in the mixer: together 0.17 to
    # prime and for specimens, and 0.03 of the 0.06 in the hose. The rest comes with the third batch, 7:30 later.
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=site_mix(batch=0.1))
    plan = with_rules(plan, hopper=in_drops(0.1), **LASTING)
    played = play_plan(plan, keep_diary=True)
    rules = plan.print_day
    assert rules is not None
    printed, *_ = played.ledger.printed or ()
    assert printed.priming == rules.priming + rules.specimens
    assert printed.washed_out >= rules.hose
    primed = next(span for span in printed.spans if span.doing is Doing.PRIMING)
    waited, laying = printed.spans[printed.spans.index(primed) + 1 :][:2]
    assert (waited.state, waited.cause) == (State.WAITING, Cause.CONCRETE)
    assert (waited.start, waited.end) == (primed.end, primed.end + 0.125)
    assert (laying.doing, laying.start) == (Doing.LAYING, waited.end)
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


def test_a_hose_that_is_lost_is_filled_from_the_next_batches() -> None:
    # A hose of 0.15 m³ behind a hopper of 0.1: what is thrown away is what it holds, however little is there at once.
    stop = Stop("full blockage", "pumped", Fixed(1.5), Fixed(0.5), loses_hose=True)
    plan = printing_plan(buildings=1, layers=6, day_ends=(6,), supply=site_mix(batch=0.1), stops=[stop])
    plan = with_rules(plan, hopper=in_drops(0.1), hose=in_drops(0.15), **LASTING)
    played = play_plan(plan, keep_diary=True)
    rules = plan.print_day
    assert rules is not None
    stops = played.ledger.counts.blockages_and_faults
    assert stops > 0
    assert played.ledger.concrete.lost_to_blockages == stops * rules.hose
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


def test_a_mixer_does_not_go_on_mixing_for_a_printer_that_stands() -> None:
    # A life of an hour, and a stop of five after layer 5. Of the batches the one in the hopper and the one that waited
    # in the mixer grow too old; the next is begun when the printer goes on, which waits for it for 7:30.
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=site_mix())
    plan = with_stops(with_rules(plan, working_life=1.0, open_time=100.0), {5: 5.0})
    played = play_plan(plan, keep_diary=True)
    day = next(printed for printed in played.ledger.printed or () if printed.first <= 5 <= printed.last)
    stop = next(span for span in day.spans if span.doing is Doing.PLANNED_STOP)
    assert stop.end - stop.start == 5.0
    old = [one for one in played.ledger.rejections or () if stop.start < one.instant <= stop.end]
    assert len(old) == 2
    after = day.spans[day.spans.index(stop) + 1]
    assert (after.state, after.cause, after.end - after.start) == (State.WAITING, Cause.CONCRETE, 0.125)
    assert played.finished
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted
