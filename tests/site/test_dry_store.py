"""A store of dry material at the mixer: full at the start, ordered for again in time or not.

Times and volumes are worked out by hand from the stated rules; no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import ALWAYS, MONDAY, WEEKDAYS, entries_of, play_plan, printing_plan, site_mix, unforeseen

from sitesim.chance import Distribution, Fixed, Luck, Triangular
from sitesim.hours import Calendar
from sitesim.ledger import Ledger, Piece
from sitesim.plan import Cause, DryStore, State, in_drops
from sitesim.site.dry_store import Store
from sitesim.site.engine import Engine
from sitesim.site.site_mix import SiteMixSupply
from sitesim.site.supply import Surroundings

DAYS = WEEKDAYS.over(MONDAY, 60)
A_DAY = Fixed(8.0)


class Shed:
    """A store, and the hours at which somebody was told that more has come."""

    def __init__(
        self, reorder_at: float, delivery: float, lead: Distribution = A_DAY, hours: Calendar = DAYS, run: int = 0
    ) -> None:
        self.env = Engine()
        plan = DryStore(4.0, reorder_at, delivery, lead)
        self.store = Store(self.env, plan, Luck(1, run), hours)
        self.told: list[float] = []

    def level(self) -> float:
        """Find the level by asking, to a sixteenth of a cubic metre."""
        return max(n / 16 for n in range(200) if self.store.has(n / 16))


def test_it_is_full_when_the_site_begins_and_nothing_is_ordered() -> None:
    shed = Shed(1.0, 2.0)
    shed.env.run()
    assert shed.level() == 4.0


def test_the_next_delivery_is_ordered_at_the_level_and_takes_its_lead_in_working_hours() -> None:
    # Ordered on Monday at 13:00: two hours on Monday, six on Tuesday, so Tuesday at 13:00. At 1.5 nothing is ordered.
    shed = Shed(1.0, 2.0)
    shed.env.run(until=12.0)
    shed.store.use(2.5)
    shed.env.run(until=13.0)
    shed.store.use(0.5)
    shed.env.run(until=36.9)
    assert shed.level() == 1.0
    shed.env.run(until=37.1)
    assert shed.level() == 3.0
    shed.env.run(until=1000.0)
    assert shed.level() == 3.0


def test_what_has_no_room_does_not_come_in() -> None:
    shed = Shed(3.0, 2.0)
    shed.store.use(1.0)
    shed.env.run()
    assert shed.level() == 4.0


def test_it_orders_again_at_once_where_a_delivery_does_not_lift_it_over_the_level() -> None:
    # 4 − 4 = 0, and 0.5 a delivery: at 0.5 and 1.0 it orders again, at 1.5 no more. A lead of 8 h each, a day of work:
    # ordered at midnight, so Monday, Tuesday, Wednesday at three.
    shed = Shed(1.0, 0.5)
    shed.store.use(4.0)
    levels = []
    for day in range(5):
        shed.env.run(until=24.0 * day + 15.5)
        levels.append(shed.level())
    assert levels == [0.5, 1.0, 1.5, 1.5, 1.5]


def test_whoever_waits_is_told_of_each_delivery_once_and_makes_it_ordered() -> None:
    # Two cubic metres are above the level of one, so nothing is on order until somebody finds that too little.
    shed = Shed(1.0, 2.0)
    shed.store.use(2.0)
    shed.env.run(until=7.0)
    for _ in range(2):
        shed.store.tell_of_delivery(lambda: shed.told.append(shed.env.now))
    shed.env.run()
    assert shed.told == [15.0, 15.0]
    assert shed.level() == 4.0


def test_a_delivery_that_cannot_come_within_the_horizon_never_comes() -> None:
    shed = Shed(1.0, 2.0, Fixed(1e5))
    shed.store.use(4.0)
    shed.store.tell_of_delivery(lambda: shed.told.append(shed.env.now))
    shed.env.run()
    assert shed.told == []


def test_lead_times_are_draws_of_their_own_luck_one_a_delivery() -> None:
    leads = Triangular(1.0, 20.0, 60.0)

    def deliveries(run: int) -> list[float]:
        shed = Shed(0.5, 0.25, leads, ALWAYS, run)
        shed.store.use(4.0)
        found: list[float] = []

        def again() -> None:
            found.append(shed.env.now)
            if len(found) < 3:
                shed.store.tell_of_delivery(again)

        shed.store.tell_of_delivery(again)
        shed.env.run()
        return found

    assert deliveries(0) == deliveries(0)
    assert deliveries(0) != deliveries(1)
    first, second, third = deliveries(0)
    assert 0.0 < first < second < third
    assert len({first, second - first, third - second}) == 3


# ------------------------------------------------------------------------------------------------ in a print day


def stocked(capacity: float, reorder_at: float, delivery: float, lead: float, **mixer: object) -> list[Piece]:
    """Print one day of ten layers from a store; returns how the first print day was spent."""
    store = DryStore(in_drops(capacity), in_drops(reorder_at), in_drops(delivery), Fixed(lead))
    plan = printing_plan(buildings=1, layers=10, day_ends=(10,), supply=site_mix(store=store, **mixer))
    played = play_plan(plan)
    assert played.finished
    concrete = played.ledger.concrete
    assert concrete.batched == concrete.accounted
    return list(entries_of(played)["A/print day 1"].pieces)


def test_the_wait_for_dry_material_is_charged_to_material_and_the_batch_after_it_to_concrete() -> None:
    # Friday, from eight: mixing from 8:45 on, printing from 9:15 on. Material for 1 m³ is four batches. Of these 0.23
    # prime, and 0.77 are laid: 0.375 in 37:30 min, 0.375 in 18:45 min, and 0.02 of layer 3. More was ordered when the
    # fourth batch took the last of the material, 3.5 h ahead; then the fifth batch is mixed for 7.5 min.
    pieces = stocked(1.0, 1e-3, 4.0, 3.5)
    dry = 105.25 + 0.625 + 0.3125 + 0.02 / 1.2
    (material,) = [piece for piece in pieces if piece.cause is Cause.MATERIAL]
    (concrete,) = [piece for piece in pieces if piece.cause is Cause.CONCRETE and piece.start > 105.5]
    assert material.start == pytest.approx(dry, abs=0.001)
    assert material.state is State.WAITING
    assert concrete.start == material.end
    assert concrete.end - concrete.start == 0.125  # one cycle


def test_a_store_that_is_ordered_for_in_time_holds_nobody_up() -> None:
    pieces = stocked(3.0, 2.0, 3.0, 0.5)
    assert all(piece.cause is not Cause.MATERIAL for piece in pieces)


def test_a_day_that_ends_without_material_says_what_it_waited_for() -> None:
    # The delivery takes weeks; the crew waits until it is time to wash out (13:45 on Friday, hour 109.75).
    store = DryStore(1.0, in_drops(1e-3), 8.0, Fixed(100.0))
    played = play_plan(printing_plan(buildings=1, layers=10, day_ends=(10,), supply=site_mix(store=store)))
    first, second = (entries_of(played)[f"A/print day {n}"] for n in (1, 2))
    assert [(piece.end, piece.cause) for piece in first.pieces if piece.state is State.WAITING][-1] == (
        109.75,
        Cause.MATERIAL,
    )
    assert second.pieces[1].cause is Cause.MATERIAL
    assert played.finished


def test_two_mixers_share_a_store_and_have_luck_of_their_own() -> None:
    cycles = Triangular(0.05, 0.1, 0.3)
    plan = printing_plan(buildings=2, printers=2, tents=2, supply=site_mix(cycle=cycles))
    alone = printing_plan(buildings=1, supply=site_mix(cycle=cycles))
    both, one = play_plan(plan), play_plan(alone)
    # The batches of the first printer meet the same luck, whether there is a second one or not.
    first = [load for load in both.ledger.loads if load.building == "A"]
    assert [load.ordered for load in first] == [load.ordered for load in one.ledger.loads]
    ends = {load.building: load.discharge_ended - load.due for load in both.ledger.loads if load.day == first[0].day}
    assert len(set(ends.values())) == len(ends)
    stocked_plan = replace(plan, supply=site_mix(cycle=cycles, store=DryStore(4.0, 1.0, 4.0, Fixed(4.0))))
    played = play_plan(stocked_plan)
    assert played.finished
    assert played.ledger.concrete.batched == played.ledger.concrete.accounted


# ------------------------------------------------------------------------------------------------------ cleaning


@pytest.mark.parametrize(("every", "ended"), [(1e9, 8.75), (0.5, 9.25)])
def test_the_mixer_is_cleaned_between_batches(every: float, ended: float) -> None:
    # Eight batches of 7.5 min from 7:45 on into a hopper with room: 8:45 without cleaning. Cleaned half an hour after
    # it was clean, for half an hour: after four batches, from 8:15 to 8:45; four more end at 9:15, when all is mixed.
    env, ledger = Engine(), Ledger()
    plan = site_mix(clean_every=every, clean_time=0.5)
    supply = SiteMixSupply(Surroundings(env, Luck(1, 0), ledger, MONDAY.toordinal(), lambda born: 5.0), plan, ALWAYS)
    gate = supply.open_gate(10.0, "A", 0)
    supply.begin(supply.order(2.0, 7.0, unforeseen), gate)
    env.run(until=9.24)
    assert gate.pump.content == (2.0 if every > 1.0 else 1.75)
    env.run(until=9.26)
    assert gate.pump.content == 2.0
    assert max(lot.born for lot in gate.pump.lots) + 0.125 == ended
