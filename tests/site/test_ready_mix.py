"""Ready-mix: cut-off, the way of a load, trucks and bays, refusals, calling off, standby, and luck by civil day."""

from __future__ import annotations

import pytest
from rigs import MONDAY, WEEKDAYS, ready_mix, unforeseen

from sitesim.chance import Luck, Observed, Triangular
from sitesim.hours import NEVER
from sitesim.ledger import Ledger, Load
from sitesim.plan import ReadyMix
from sitesim.policies import FixedSpacing, LoadSizes
from sitesim.site.engine import Engine
from sitesim.site.pump import Pump
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.supply import Gate, Surroundings
from sitesim.site.world import Process

DAYS = WEEKDAYS.over(MONDAY, 14)
TUESDAY, MORNING = 24.0, 31.0
LIFE = 5.0


class Yard:
    """A plant, a gate, and a pump from which somebody draws from seven on Tuesday, as long as concrete comes."""

    def __init__(self, plan: ReadyMix, run: int = 0, first_ordinal: int = MONDAY.toordinal(), day: int = 1) -> None:
        self.env = Engine()
        self.ledger = Ledger()
        self.morning = 24.0 * day + 7.0
        luck = Luck(1, run)
        self.supply = ReadyMixSupply(
            Surroundings(self.env, luck, self.ledger, first_ordinal, lambda batched: LIFE), plan
        )
        self.gate = Gate(self.env, Pump(self.env, 0.25, self.ledger.concrete), self.ledger.concrete, "A")

    def work(self, need: float, pace: float = 1.0, until: float = NEVER) -> list[Load]:
        """Order, draw at ``pace`` [m³/h], and shut the gate when nothing is left or at ``until`` [h].

        Returns the delivery records in the order of the loads' numbers.
        """
        self.supply.begin(self.supply.order(need, self.morning, unforeseen), self.gate)
        self.env.process(self._draw(pace, until))
        self.env.run()
        return sorted(self.ledger.loads, key=lambda load: load.number)

    def _draw(self, pace: float, until: float) -> Process:
        yield self.env.timeout(self.morning)
        while self.env.now < until and self.gate.pump.content + self.gate.pump.coming > 0.0:
            met = yield from self.gate.pump.draw(0.125, pace)
            self.ledger.concrete.in_place += met.taken
        self.shut()

    def shut(self) -> None:
        self.gate.is_open = False
        in_hopper, in_truck = self.gate.pump.clear_out()
        self.ledger.concrete.washed_out += in_hopper
        self.ledger.concrete.returned += in_truck
        self.supply.last_call(self.gate)


@pytest.mark.parametrize(
    ("morning", "now", "possible"),
    [
        (MORNING, 15.0, True),  # the cut-off is at 15:00 of the day before
        (MORNING, 15.25, False),
        (7 * 24 + 7.0, 4 * 24 + 15.0, True),  # for Monday it is Friday's
        (7 * 24 + 7.0, 5 * 24 + 1.0, False),
        (7.0, 0.0, False),  # nobody could order before the first day
    ],
)
def test_tomorrow_is_ordered_by_the_cut_off_of_the_last_working_day(morning: float, now: float, possible: bool) -> None:
    assert Yard(ready_mix()).supply.can_be_ordered(morning, now, DAYS) is possible


def test_an_order_names_hours_of_its_own_day() -> None:
    order = Yard(ready_mix()).supply.order(4.0, MORNING, unforeseen)
    assert [(load.volume, load.due) for load in order.deliveries] == [(2.5, TUESDAY + 7.0), (1.5, TUESDAY + 9.0)]


def test_a_load_is_batched_so_that_it_stands_at_the_gate_when_it_is_due() -> None:
    # Loading 15 min, haul 1 h, tests 7.5 min, all fixed.
    (load,) = Yard(ready_mix()).work(2.5)
    assert (load.batched, load.left_plant, load.arrived) == (TUESDAY + 5.75, TUESDAY + 6.0, TUESDAY + 7.0)
    assert (load.discharge_begun, load.discharge_ended) == (TUESDAY + 7.125, TUESDAY + 9.375)  # 2.25 m³ at 1 m³/h
    assert (load.used, load.rejected, load.returned, load.verdict) == (2.5, 0.0, 0.0, "placed")


def test_one_truck_goes_to_and_fro() -> None:
    first, second = Yard(ready_mix(trucks=1)).work(5.0)
    # Discharged at 9:22:30, then 7.5 min of washing and an hour's way back.
    assert second.batched == first.discharge_ended + 0.125 + 1.0
    assert second.arrived > second.due


def test_two_trucks_share_a_bay_and_with_two_bays_they_do_not() -> None:
    at_once = FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 0.0, 7.0)
    one_bay = Yard(ready_mix(ordering=at_once, bays=1)).work(5.0, pace=2.0)
    two_bays = Yard(ready_mix(ordering=at_once, bays=2)).work(5.0, pace=2.0)
    assert [load.batched - TUESDAY for load in one_bay] == [5.75, 6.0]
    assert [load.batched - TUESDAY for load in two_bays] == [5.75, 5.75]


def test_never_more_loads_are_on_the_road_than_there_are_trucks() -> None:
    crowd = ready_mix(
        trucks=3, bays=2, haul=Triangular(0.5, 1.0, 2.0), ordering=FixedSpacing(LoadSizes(1.0, 0.5, 0.5), 0.25, 7.0)
    )
    for run in range(20):
        loads = Yard(crowd, run).work(12.0, pace=2.0)
        assert len(loads) == 12
        for load in loads:
            assert sum(other.batched <= load.batched < other.arrived for other in loads) <= 3


def test_time_beyond_the_free_time_is_standby() -> None:
    # 2.25 m³ at 1 m³/h take 2.25 h, of which 2.5 m³ × 0.15 h/m³ = 0.375 h are free.
    (load,) = Yard(ready_mix(standby_free=0.15)).work(2.5)
    assert load.standby == 2.25 - 0.375


def test_a_quick_discharge_costs_no_standby() -> None:
    (load,) = Yard(ready_mix(standby_free=0.15)).work(2.5, pace=12.0)
    assert load.standby == 0.0


def test_waiting_before_it_was_due_is_the_trucks_own_time() -> None:
    # Half of the hauls take half an hour less than expected, half of them more; nothing is free of charge.
    plan = ready_mix(haul=Observed((0.5, 1.5)), gate=0.0, standby_free=0.0)
    found = set()
    for run in range(20):
        (load,) = Yard(plan, run).work(2.5, pace=1.0)
        stood = load.discharge_ended - load.arrived
        found.add((load.arrived - load.due, stood - load.standby))
    # Early trucks begin to discharge at seven, when the printer does: half an hour of their own.
    assert found == {(-0.5, 0.5), (0.5, 0.0)}


def test_a_refused_load_is_thrown_away_and_replaced() -> None:
    for run in range(30):
        yard = Yard(ready_mix(refused=0.4), run)
        loads = yard.work(5.0)
        refused = [load for load in loads if load.verdict == "refused at the gate"]
        good = [load for load in loads if load not in refused]
        assert [load.rejected for load in refused] == [load.ordered for load in refused]
        assert sum(load.ordered for load in good) == 5.0
        assert len(loads) == len(good) + len(refused) == yard.ledger.counts.loads
        concrete = yard.ledger.concrete
        assert concrete.batched == concrete.accounted == sum(load.ordered for load in loads)


def test_as_many_loads_are_refused_as_the_plan_says() -> None:
    # Binomial: standard error √(0.1 × 0.9/n) of the share.
    verdicts = [load.verdict for run in range(150) for load in Yard(ready_mix(refused=0.1), run).work(10.0, pace=4.0)]
    share = verdicts.count("refused at the gate") / len(verdicts)
    assert share == pytest.approx(0.1, abs=3 * (0.09 / len(verdicts)) ** 0.5)


def test_a_replacement_is_loaded_at_once() -> None:
    loads = next(
        loads for loads in (Yard(ready_mix(refused=0.5), run).work(2.5) for run in range(50)) if len(loads) == 2
    )
    refused, replacement = loads
    assert replacement.batched == refused.arrived + 0.125
    assert replacement.ordered == refused.ordered


def test_what_has_not_been_batched_at_the_end_is_called_off_and_the_rest_comes_for_nothing() -> None:
    # Due at 7, 9 and 11; shut at 8:30, when the second is on the road and the third has not been batched.
    yard = Yard(ready_mix())
    loads = yard.work(7.5, until=TUESDAY + 8.5)
    assert [load.verdict for load in loads] == ["returned in part", "returned"]
    assert [load.used for load in loads] == [1.625, 0.0]  # 1.375 m³ from 7:07:30 on, and the hopper washed out
    assert loads[1].discharge_begun == NEVER
    assert yard.ledger.counts.loads_called_off == 1
    assert yard.gate.pump.coming == loads[1].ordered  # of what was called off nothing is expected any more
    concrete = yard.ledger.concrete
    assert concrete.batched == 5.0 == concrete.accounted


def test_a_day_called_off_counts_its_loads_and_batches_nothing() -> None:
    yard = Yard(ready_mix())
    yard.supply.call_off(yard.supply.order(7.5, MORNING, unforeseen), "A")
    yard.env.run()
    assert yard.ledger.counts.loads_called_off == 3
    assert yard.ledger.concrete.batched == 0.0


def test_concrete_that_grew_too_old_in_the_hopper_is_on_the_record_of_its_load() -> None:
    # Five hours from 5:45 on; the truck leaves at 9:30 with 0.25 m³ in the hopper, and half of that is drawn.
    yard = Yard(ready_mix())
    yard.supply.begin(yard.supply.order(2.5, MORNING, unforeseen), yard.gate)

    def draw_and_wait() -> Process:
        yield yard.env.timeout(MORNING + 0.25)
        yield from yard.gate.pump.draw(2.375, 1.0)

    yard.env.process(draw_and_wait())
    yard.env.run(until=TUESDAY + 14.0)
    yard.shut()
    (load,) = yard.ledger.loads
    assert (load.used, load.rejected, load.verdict) == (2.375, 0.125, "too old")
    assert load.discharge_ended == TUESDAY + 9.5


def test_the_luck_of_a_load_goes_by_civil_day_and_number() -> None:
    uncertain = ready_mix(haul=Triangular(0.5, 1.0, 2.0), loading=Triangular(0.1, 0.25, 0.5))
    wider = ready_mix(
        haul=uncertain.haul,
        loading=uncertain.loading,
        ordering=FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 3.0, 8.0),
        trucks=9,
    )

    def ways(yard: Yard) -> list[tuple[float, float]]:
        return [(load.left_plant - load.batched, load.arrived - load.left_plant) for load in yard.work(7.5)]

    hauled = ways(Yard(uncertain))
    assert len(set(hauled)) == 3
    assert ways(Yard(wider)) == hauled  # whatever the spacing
    assert ways(Yard(uncertain, first_ordinal=MONDAY.toordinal() - 3, day=4)) == hauled  # whenever the site began
    assert ways(Yard(uncertain, day=2)) != hauled
    assert ways(Yard(uncertain, run=1)) != hauled
