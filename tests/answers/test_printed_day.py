"""Print days in figures: on random sites every minute and every drop is told once; a small day is reckoned by hand.

Kind of the tests: invariants, over all print days of all random sites, with both ways of supply, each recomputed from
the ledger; and hand computation on the rig's day: aligned from six to seven, first concrete at 07:07:30, primed by
07:22:30, the first of ten layers of 0.375 m³ until 08:00, each further one 18:45; loads of 2.5 and 1.5 m³ from 07:00,
2 h apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from random_sites import SITES, played_site, random_plan
from rigs import play_plan, printing_plan, ready_mix, site_mix

from sitesim.answers.printed_day import (
    ACCOUNT_ORDER,
    Balance,
    Batch,
    Level,
    ToldDay,
    print_days_of,
    told_days,
)
from sitesim.ledger import Ledger, RunClosing
from sitesim.plan import Cause, Doing, Kind, Plan, SiteMix, in_drops
from sitesim.site import Stage

DAY = 8
MIDNIGHT = 24.0 * (DAY - 1)


def all_days(plan: Plan, ledger: Ledger) -> list[ToldDay]:
    return [told for day, building in print_days_of(ledger) for told in told_days(plan, ledger, day, building)]


def days_of_site(number: int) -> Iterator[tuple[Plan, Ledger, ToldDay]]:
    plan, played, _ = played_site(number)
    for told in all_days(plan, played.ledger):
        yield plan, played.ledger, told


def the_day(plan: Plan) -> ToldDay:
    (told,) = told_days(plan, play_plan(plan, keep_diary=True).ledger, DAY)
    return told


@pytest.fixture(scope="module")
def told() -> ToldDay:
    return the_day(printing_plan(buildings=1))


def test_the_random_sites_print_in_both_ways() -> None:
    days = {isinstance(plan.supply, SiteMix): 0 for plan in map(random_plan, SITES)}
    for number in SITES:
        for plan, _, _ in days_of_site(number):
            days[isinstance(plan.supply, SiteMix)] += 1
    assert set(days) == {True, False}
    assert min(days.values()) > 100


@pytest.mark.parametrize("number", SITES)
def test_every_minute_of_a_print_day_is_told_once(number: int) -> None:
    for _, ledger, told in days_of_site(number):
        spans = told.printed.spans
        assert (spans[0].start, spans[-1].end) == (told.printed.start, told.printed.end)
        assert all(earlier.end == later.start for earlier, later in pairwise(spans))
        assert all(span.start < span.end for span in spans)
        assert sum(told.account.values()) == told.length
        pieces = [piece for entry in ledger.entries if entry.key == told.printed.key for piece in entry.pieces]
        assert told.length == sum(piece.end - piece.start for piece in pieces)
        by_cause = [
            (cause, sum(piece.end - piece.start for piece in pieces if piece.cause is cause)) for cause in Cause
        ]
        assert {cause: hours for cause, hours in by_cause if hours} == {
            **{item: hours for item, hours in told.account.items() if isinstance(item, Cause)},
            **({Cause.BREAKDOWN: told.account[Doing.STOPPED]} if Doing.STOPPED in told.account else {}),
        }
        assert set(told.account) <= set(ACCOUNT_ORDER)


@pytest.mark.parametrize("number", SITES)
def test_every_drop_of_concrete_is_told_once(number: int) -> None:
    plan, played, _ = played_site(number)
    sums = [0.0] * len(Balance._fields)
    for told in all_days(plan, played.ledger):
        batched, *ended = told.balance
        assert batched == sum(ended)
        assert min(ended) >= 0.0
        assert batched == sum(ticket.ordered for ticket in told.tickets if ticket.number is not None)
        if not isinstance(plan.supply, SiteMix):
            assert told.balance.washed_out_m3 == told.printed.washed_out
        sums = [so_far + more for so_far, more in zip(sums, told.balance, strict=True)]
    printed = set(print_days_of(played.ledger))
    for load in played.ledger.loads:  # what could not be called off any more on a day that was no go
        if (load.day + 1, load.building) not in printed:
            assert load.returned == load.ordered
            sums[Balance._fields.index("batched_m3")] += load.ordered
            sums[Balance._fields.index("returned_m3")] += load.returned
    assert sums == [getattr(played.ledger.concrete, name.removesuffix("_m3")) for name in Balance._fields]


@pytest.mark.parametrize("number", SITES)
def test_what_is_at_the_pump_comes_and_goes(number: int) -> None:
    for _, _, told in days_of_site(number):
        levels = told.levels()
        if not levels:
            assert told.printed.last < told.printed.first
            continue
        assert levels[0].before == 0.0
        assert levels[-1].after == 0.0
        assert min(min(level.before, level.after) for level in levels) >= -1e-9
        laid = -sum(flow.volume for flow in told.printed.flows if flow.end > flow.start)
        assert laid <= told.balance.in_place_m3
        assert told.balance.in_place_m3 - laid < 0.002  # a few drops may be laid in less than a tick
        for line in told.ages():
            assert 0.0 <= line.age <= line.age_at_end <= line.life + 1 / 4096


@pytest.mark.parametrize("number", SITES)
def test_layers_and_why_a_day_ended(number: int) -> None:
    for plan, ledger, told in days_of_site(number):
        printed = told.printed
        assert [layer.layer for layer in told.layers] == list(range(printed.first, printed.last + 1))
        assert printed.last <= printed.target
        assert printed.go <= printed.start < printed.end
        gangs = {unit for entry in ledger.entries if entry.kind is Kind.PRINTING for unit in entry.units}
        assert told.gangs
        assert set(told.gangs) <= gangs
        assert all(layer.since_below is None or layer.since_below > 0.0 for layer in told.layers)
        assert plan.print_day is not None


@pytest.mark.parametrize("number", range(0, 200, 10))
def test_a_diary_changes_no_row(number: int) -> None:
    """The tables of a run are the same whether somebody reads along or not."""
    plan = random_plan(number)
    stage = Stage(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    with_diary, without = (play_plan(plan, 3, number, keep) for keep in (True, False))
    assert without.ledger.printed is None
    tables = [closing.tables(number, one.ledger, one.unfinished, keep_loads=True) for one in (with_diary, without)]
    assert tables[0] == tables[1]


def test_a_run_without_printing_has_no_print_days() -> None:
    assert print_days_of(Ledger()) == []
    assert told_days(printing_plan(), Ledger(), 1) == []


def test_only_the_building_that_is_asked_for() -> None:
    plan = printing_plan(buildings=2, printers=2, tents=2)
    ledger = play_plan(plan, keep_diary=True).ledger
    for day, building in print_days_of(ledger):
        assert [told.printed.building for told in told_days(plan, ledger, day, building)] == [building]
    assert {building for _, building in print_days_of(ledger)} == {"A", "B"}


# The rig's day, by hand


def test_the_account_by_hand(told: ToldDay) -> None:
    """60 min align, 7:30 tests of the first load, 15 prime, 37:30 first layer, 9 times 18:45, 75 wash-out."""
    minutes = {item: 60 * hours for item, hours in told.account.items()}
    expected = {
        Doing.LAYING: 37.5 + 9 * 18.75,
        Doing.ALIGNING: 60.0,
        Doing.PRIMING: 15.0,
        Cause.CONCRETE: 7.5,
        Doing.WASHING_OUT: 75.0,
    }
    assert minutes == pytest.approx(expected, abs=0.05)
    assert list(minutes) == list(expected), "in the order in which they are told"


def test_the_balance_by_hand(told: ToldDay) -> None:
    """4 m³ ordered: 10 layers of 0.375, 0.17 to prime and for specimens, 0.06 in the hose, 0.02 left in the hopper."""
    assert told.balance == pytest.approx((4.0, 3.75, 0.0, 0.17, 0.0, 0.08, 0.0, 0.0), abs=1e-5)


def test_the_tickets_by_hand(told: ToldDay) -> None:
    """Load 1 is used up to the hopper's 0.25 m³ after 0.23 for the start and 2.02 of layers: 5 layers and 0.145 m³.

    That is 08:00 + 4 layers + 7:15 min. Load 2, due at 09:00, stands at the gate until load 1 is gone.
    """
    first, second = told.tickets
    assert (first.number, first.ordered, first.due, first.arrived) == (1, 2.5, MIDNIGHT + 7.0, MIDNIGHT + 7.0)
    assert first.batched == MIDNIGHT + 5.75
    assert first.left_plant == MIDNIGHT + 6.0
    assert first.discharge_begun == MIDNIGHT + 7.125
    assert first.discharge_ended == pytest.approx(MIDNIGHT + 8.0 + (4 * 18.75 + 7.25) / 60, abs=1e-3)
    assert first.left_site == pytest.approx(first.discharge_ended + 0.125)
    assert first.age_at_end == pytest.approx(first.discharge_ended - MIDNIGHT - 5.75)
    assert first.on_site == pytest.approx(first.discharge_ended - MIDNIGHT - 7.0 + 0.125)
    assert (first.used, first.rejected, first.returned, first.verdict) == (2.5, 0.0, 0.0, "placed")
    assert (second.number, second.arrived, second.verdict) == (2, MIDNIGHT + 9.0, "placed")


def test_layers_lie_on_each_other_after_their_time(told: ToldDay) -> None:
    """The second begins 37:30 after the first, each further one 18:45 after the one below."""
    since = [layer.since_below for layer in told.layers]
    assert since[0] is None
    assert since[1] == pytest.approx(37.5 / 60, abs=1e-3)
    assert since[2:] == pytest.approx([18.75 / 60] * 8, abs=1e-3)


def test_the_level_by_hand(told: ToldDay) -> None:
    """2.5 m³ from 07:07:30; 0.23 less when primed; 0.375 less with the first layer, by 08:00."""
    levels = {level.instant: level for level in told.levels()}
    assert levels[MIDNIGHT + 7.125] == Level(MIDNIGHT + 7.125, 0.0, 2.5)
    primed = levels[MIDNIGHT + 7.375]
    assert (primed.before, primed.after) == pytest.approx((2.5, 2.27), abs=1e-5)
    assert levels[MIDNIGHT + 8.0].after == pytest.approx(2.27 - 0.375, abs=1e-5)


def test_the_level_between_two_instants_of_a_draw() -> None:
    """A load that comes in the middle of a layer adds to what is left at that moment, not at the layer's beginning.

    Load 2 of 1.5 m³ is connected at 09:07:30 at the latest: by then (67:30 of 18:45 each) 3.6 layers more are laid.
    """
    told = the_day(printing_plan(buildings=1, supply=ready_mix(spacing=2.0)))
    (second,) = [ticket for ticket in told.tickets if ticket.number == 2]
    (level,) = [level for level in told.levels() if level.instant == second.discharge_begun]
    laid = 0.375 * (1.0 + (level.instant - MIDNIGHT - 8.0) / 0.3125)
    assert level.before == pytest.approx(2.27 - laid, abs=1e-3)
    assert level.after == pytest.approx(level.before + 1.5, abs=1e-5)


def test_the_age_at_the_nozzle_by_hand(told: ToldDay) -> None:
    """Batched at 05:45: 1:37:30 old at the first layer's beginning, 2:15 at its end; of no use after 5 h."""
    first = told.ages()[0]
    assert (first.start, first.age, first.life) == (MIDNIGHT + 7.375, 7.375 - 5.75, 5.0)
    assert told.layers[0].age == pytest.approx(2.25)


def test_a_joint_in_a_layer_makes_its_rest_count_anew() -> None:
    """The first 2.5 m³ last 6.05 layers, until 09:35; the next come at 11:07:30, and the joint takes 45 min.

    What is laid of layer 7 is prepared with the joint; layer 8 lies on it after the usual 18:45.
    """
    told = the_day(printing_plan(buildings=1, supply=ready_mix(spacing=4.0)))
    (joint,) = [span for span in told.printed.spans if span.doing is Doing.UNPLANNED_JOINT]
    assert (joint.start, joint.end) == (MIDNIGHT + 11.125, MIDNIGHT + 11.875)
    assert told.layer_at(joint.start) == 7
    assert [layer.layer for layer in told.layers if layer.unplanned_joint] == [7]
    following = told.layers[7]
    assert following.start - told.layers[6].start > 2.0
    assert following.since_below == pytest.approx(18.75 / 60, abs=1e-3)


def test_a_load_that_is_ordered_and_never_batched_has_a_ticket() -> None:
    """The third of 1.5 m³ every 4:30 h would be batched at 14:45; nobody waits for it that long."""
    told = the_day(printing_plan(buildings=1, supply=ready_mix(load=1.5, spacing=4.5)))
    (never,) = [ticket for ticket in told.tickets if ticket.number is None]
    assert (never.due, never.batched, never.verdict) == (MIDNIGHT + 16.0, None, "not batched")
    assert (never.age_at_end, never.on_site) == (None, None)
    assert len(told.printed.order.loads) == len(told.tickets) == 3


def test_batches_by_hand() -> None:
    """Ready at 06:45, a batch of 0.25 m³ every 7:30; the second waits for room until the pump is primed at 07:15."""
    told = the_day(printing_plan(buildings=1, supply=site_mix()))
    first, second = told.batches[:2]
    assert first == Batch(MIDNIGHT + 6.75, MIDNIGHT + 6.875, 0.25)
    assert second.begun == MIDNIGHT + 6.875
    assert second.in_hopper > MIDNIGHT + 7.0
    assert sum(batch.volume for batch in told.batches) <= told.balance.batched_m3


def test_the_order_for_tomorrow(told: ToldDay) -> None:
    """Layers 11 to 20 need the same as the first ten: 2.5 m³ at seven and 1.5 m³ at nine the next morning."""
    tomorrow = told.printed.tomorrow
    assert tomorrow is not None
    assert tomorrow.morning == MIDNIGHT + 24.0 + 6.0
    assert tomorrow.loads == ((2.5, MIDNIGHT + 24.0 + 7.0), (1.5, MIDNIGHT + 24.0 + 9.0))
    assert told.printed.order.need == tomorrow.need == in_drops(3.75) + in_drops(0.14) + in_drops(0.03) + in_drops(0.06)


def test_the_last_print_day_orders_nothing() -> None:
    plan = printing_plan(buildings=1)
    ledger = play_plan(plan, keep_diary=True).ledger
    last = max(day for day, _ in print_days_of(ledger))
    (told,) = told_days(plan, ledger, last)
    assert told.printed.tomorrow is None
    assert told.printed.key == "A/print day 2"
