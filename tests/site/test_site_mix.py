"""Concrete mixed on site: batch after batch, as far as there is room, and no more than the day needs."""

from __future__ import annotations

import pytest
from rigs import ALWAYS, MONDAY, WEEKDAYS, site_mix, unforeseen

from sitesim.chance import Luck, Triangular
from sitesim.ledger import Ledger
from sitesim.plan import SiteMix
from sitesim.site.engine import Engine
from sitesim.site.pump import Pump
from sitesim.site.site_mix import SiteMixSupply
from sitesim.site.supply import Gate, Surroundings
from sitesim.site.world import Process

MORNING = 7.0
LIFE = 2.0


class Yard:
    """A mixer, a gate, and a pump from which somebody draws in small parts from seven on."""

    def __init__(self, plan: SiteMix, run: int = 0, hopper: float = 0.25) -> None:
        self.env = Engine()
        self.ledger = Ledger()
        luck = Luck(1, run)
        self.supply = SiteMixSupply(
            Surroundings(self.env, luck, self.ledger, MONDAY.toordinal(), lambda born: LIFE), plan, ALWAYS
        )
        self.gate = Gate(self.env, Pump(self.env, hopper, self.ledger.concrete), self.ledger.concrete, "A")
        self.contents: list[float] = []
        self.ended = 0.0

    def work(self, need: float, pace: float = 1.0, until: float = 20.0) -> Ledger:
        """Mix ``need`` [m³], draw at ``pace`` [m³/h] until nothing is left or ``until`` [h], and shut the gate."""
        self.supply.begin(self.supply.order(need, MORNING, unforeseen), self.gate)
        self.env.process(self._draw(pace, until))
        self.env.run()
        return self.ledger

    def _draw(self, pace: float, until: float) -> Process:
        pump = self.gate.pump
        yield self.env.timeout(MORNING)
        while self.env.now < until and pump.content + pump.coming > 0.0:
            met = yield from pump.draw(0.0625, pace)
            self.ledger.concrete.in_place += met.taken
            self.contents.append(pump.content)
        self.ended = self.env.now
        self.gate.is_open = False
        in_hopper, in_truck = pump.clear_out()
        self.ledger.concrete.washed_out += in_hopper
        self.ledger.concrete.returned += in_truck
        self.supply.last_call(self.gate)


def test_a_batch_that_grows_too_old_behind_one_that_is_drawn_does_not_stop_the_mixer() -> None:
    # Four batches fill a hopper of 1 m³ by 8:15, and a fifth waits in the mixer. The first is drawn from eight on for
    # an hour. The second lives but for half an hour: at 8:22:30 the fifth takes its place, and the sixth is mixed then,
    # while the printer prints: it takes the place of the first at nine.
    env, ledger = Engine(), Ledger()
    lives = {7.875: 0.5}
    around = Surroundings(env, Luck(1, 0), ledger, MONDAY.toordinal(), lambda born: lives.get(born, LIFE))
    supply = SiteMixSupply(around, site_mix(), ALWAYS)
    gate = supply.open_gate(1.0, "A", 0)
    supply.begin(supply.order(2.0, MORNING, unforeseen), gate)

    def draw() -> Process:
        yield 8.0
        yield from gate.pump.draw(0.5, 0.25)

    env.process(draw())
    env.run(until=9.0625)
    assert ledger.concrete.rejected == 0.25
    assert [lot.born for lot in gate.pump.lots] == [8.0, 8.125, 8.25, 8.375]


def test_the_mixer_is_there_until_the_day_begins() -> None:
    supply = Yard(site_mix()).supply
    days = WEEKDAYS.over(MONDAY, 7)
    assert supply.can_be_ordered(7.0, 7.0, days)
    assert not supply.can_be_ordered(7.0, 7.25, days)


def test_the_first_batch_begins_when_the_mixer_has_been_made_ready() -> None:
    # Ready 45 min after seven; a cycle takes 7.5 min, so the first concrete is there at 7:52:30.
    yard = Yard(site_mix(ready=0.75))
    yard.supply.begin(yard.supply.order(1.0, MORNING, unforeseen), yard.gate)
    yard.env.run(until=7.8749)
    assert yard.gate.pump.content == 0.0
    yard.env.run(until=7.8751)
    assert yard.gate.pump.content == 0.25
    assert yard.gate.pump.lots[0].born == 7.75  # first water at the start of the cycle
    assert yard.gate.pump.lots[0].expires == 9.75


@pytest.mark.parametrize(
    ("need", "made", "batches"),
    [(1.0, 1.0, 4), (1.125, 1.125, 5), (1.0625, 1.125, 5), (0.25, 0.25, 1), (0.0625, 0.125, 1)],
)
def test_a_day_is_whole_batches_and_a_last_one_no_smaller_than_half(need: float, made: float, batches: int) -> None:
    ledger = Yard(site_mix()).work(need)
    assert ledger.concrete.batched == made == ledger.concrete.accounted
    (record,) = ledger.loads
    assert (record.number, record.ordered, record.verdict) == (batches, made, "mixed on site")


def test_a_slow_mixer_sets_the_pace() -> None:
    # Four batches of a quarter of an hour each from 7:45 on, then the last one is drawn.
    yard = Yard(site_mix(cycle=Triangular(0.2499, 0.25, 0.2501)))
    yard.work(1.0, pace=4.0)
    assert yard.ended == pytest.approx(7.75 + 4 * 0.25 + 0.0625, abs=0.01)


def test_a_fast_mixer_waits_for_room_in_the_hopper() -> None:
    # 0.125 h a batch against 0.5 h to draw one: the hopper of two batches is never more than full.
    yard = Yard(site_mix(), hopper=0.5)
    ledger = yard.work(3.0, pace=0.5)
    assert max(yard.contents) <= 0.5
    (record,) = ledger.loads
    # From the first batch on the printer is never without: 3 m³ at half a cubic metre an hour.
    assert yard.ended == 7.875 + 6.0
    assert record.discharge_ended == yard.ended - 1.0  # when room came for the last batch


def test_concrete_that_waits_in_the_mixer_grows_older() -> None:
    yard = Yard(site_mix(), hopper=0.25)
    yard.supply.begin(yard.supply.order(1.0, MORNING, unforeseen), yard.gate)
    yard.env.run(until=8.5)
    yard.gate.pump.take(0.25)
    yard.env.run(until=8.75)
    assert yard.gate.pump.lots[0].born == 7.875  # mixed behind the first batch, and held back by it


def test_a_batch_that_fails_is_thrown_away_and_mixed_again() -> None:
    for run in range(30):
        ledger = Yard(site_mix(fails=0.3), run).work(2.0)
        (record,) = ledger.loads
        assert ledger.concrete.in_place == 2.0
        assert record.rejected == ledger.concrete.rejected == (record.number - 8) * 0.25
        assert ledger.concrete.batched == record.ordered == ledger.concrete.accounted


def test_as_many_batches_fail_as_the_plan_says() -> None:
    # Binomial: standard error √(0.2 × 0.8/n) of the share.
    records = [Yard(site_mix(fails=0.2), run).work(5.0, pace=4.0).loads[0] for run in range(100)]
    batches = sum(record.number for record in records)
    failed = sum(record.rejected for record in records) / 0.25
    assert failed / batches == pytest.approx(0.2, abs=3 * (0.16 / batches) ** 0.5)


def test_after_the_last_call_no_further_batch_is_begun_and_the_one_in_hand_is_washed_out() -> None:
    # Batches are ready at 7:52:30, 8:00, 8:07:30 …, drawn at 2 m³/h; shut at 8:15 while one is being mixed.
    ledger = Yard(site_mix()).work(5.0, pace=2.0, until=8.25)
    concrete = ledger.concrete
    (record,) = ledger.loads
    assert concrete.batched == record.ordered == concrete.accounted < 5.0
    assert concrete.washed_out > 0.0
    assert record.discharge_ended <= 8.375


def test_a_day_called_off_costs_no_concrete() -> None:
    yard = Yard(site_mix())
    yard.supply.call_off(yard.supply.order(2.0, MORNING, unforeseen), "A")
    yard.env.run()
    assert yard.ledger.concrete.batched == 0.0


def test_batches_have_luck_of_their_own_by_civil_day() -> None:
    plan = site_mix(cycle=Triangular(0.1, 0.125, 0.25))

    def end_of(run: int, morning: float, first_ordinal: int) -> float:
        env, ledger = Engine(), Ledger()
        supply = SiteMixSupply(Surroundings(env, Luck(1, run), ledger, first_ordinal, lambda born: LIFE), plan, ALWAYS)
        gate = Gate(env, Pump(env, 5.0, ledger.concrete), ledger.concrete, "A")
        supply.begin(supply.order(2.0, morning, unforeseen), gate)
        env.run(until=morning + 8.0)
        supply.last_call(gate)
        env.run(until=morning + 9.0)
        return ledger.loads[0].discharge_ended - morning

    monday = MONDAY.toordinal()
    assert end_of(0, 7.0, monday) == end_of(0, 79.0, monday - 3)
    assert end_of(0, 7.0, monday) != end_of(0, 31.0, monday)
    assert end_of(0, 7.0, monday) != end_of(1, 7.0, monday)


def test_what_is_lost_on_the_way_is_mixed_again() -> None:
    # 1 m³ is needed, four batches; 0.0625 m³ is lost with the hose, and comes with a last half batch of 0.125 m³.
    yard = Yard(site_mix())
    pump = yard.gate.pump
    yard.supply.begin(yard.supply.order(1.0, MORNING, unforeseen), yard.gate)

    def lose_some() -> Process:
        yield yard.env.timeout(MORNING + 1.0 - yard.env.now)
        assert pump.lose(0.0625) == 0.0625

    yard.env.process(lose_some())
    yard.env.process(yard._draw(1.0, 20.0))
    yard.env.run()
    concrete = yard.ledger.concrete
    assert concrete.batched == 1.125
    assert concrete.in_place + concrete.washed_out + 0.0625 == 1.125
