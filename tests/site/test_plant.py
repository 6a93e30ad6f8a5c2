"""Between plant and site: plant hours, other customers, traffic, and what is lost on the way.

Loads and gate are those of the tests of ready-mix: 2.5 m³ every two hours from seven on Tuesday; loading 15 min, haul
1 h, tests 7.5 min, all fixed. Instants are worked out by hand; no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import MONDAY, WEEKDAYS, entries_of, play_plan, printing_plan, ready_mix, unforeseen

from sitesim.chance import Fixed, Luck
from sitesim.hours import NEVER, Calendar, WeekPattern
from sitesim.ledger import Ledger, Load
from sitesim.plan import Cause, Link, Outage, Plan, ReadyMix, Traffic
from sitesim.policies import Delivery, FixedSpacing, LoadSizes, WillCall
from sitesim.site import Played
from sitesim.site.engine import Engine
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.supply import Gate, Order, Surroundings
from sitesim.site.world import Process

DAYS = WEEKDAYS.over(MONDAY, 14)
FIRST = MONDAY.toordinal()
TUESDAY, MORNING = 24.0, 31.0
AT_ONCE = FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 0.0, 7.0)


class Yard:
    """A plant with its hours, and gates at which somebody draws from seven on Tuesday on, as long as concrete comes."""

    def __init__(self, plan: ReadyMix, hours: Calendar | None = None, run: int = 0) -> None:
        self.env = Engine()
        self.ledger = Ledger()
        self.shut = NEVER
        self.supply = ReadyMixSupply(
            Surroundings(self.env, Luck(1, run), self.ledger, FIRST, lambda batched: 50.0), plan, hours
        )

    def work(self, need: float, pace: float = 1.0, gates: int = 1, until: float = NEVER) -> list[Load]:
        """Order the same for each gate, and shut it when nothing is left or at ``until`` [h]."""
        for line in range(gates):
            gate = self.supply.open_gate(0.25, "AB"[line], line)
            self.supply.begin(self.supply.order(need, MORNING, unforeseen), gate)
            self.env.process(self._draw(gate, pace, until))
        self.env.run()
        concrete = self.ledger.concrete
        assert concrete.batched == concrete.accounted
        return sorted(self.ledger.loads, key=lambda load: load.number)

    def _draw(self, gate: Gate, pace: float, until: float) -> Process:
        yield self.env.timeout(MORNING)
        while self.env.now < until and gate.pump.content + gate.pump.coming > 0.0:
            met = yield from gate.pump.draw(0.125, pace)
            self.ledger.concrete.in_place += met.taken
        gate.is_open = False
        self.shut = self.env.now
        in_hopper, in_truck = gate.pump.clear_out()
        self.ledger.concrete.washed_out += in_hopper
        self.ledger.concrete.returned += in_truck
        self.supply.last_call(gate)


def open_from(start: float, end: float, days: int = 5) -> Calendar:
    return WeekPattern(dict.fromkeys(range(days), ((start, end),))).over(MONDAY, 14)


def tuesday(link: Link, *hours: tuple[float, float]) -> tuple[Outage, ...]:
    return (Outage("known", link, frozenset({FIRST + 1}), hours or ((0.0, 24.0),)),)


def batched(loads: list[Load]) -> list[float]:
    return [load.batched - TUESDAY for load in loads]


# -------------------------------------------------------------------------------------------------- plant hours


def test_a_plant_that_opens_late_batches_at_its_opening() -> None:
    # Due at seven, so to be batched at a quarter to six; the plant opens at six, and the second is on time again.
    loads = Yard(ready_mix(), open_from(6.0, 18.0)).work(5.0)
    assert batched(loads) == [6.0, 7.75]
    assert loads[0].arrived == TUESDAY + 7.25


def test_a_load_whose_plant_is_shut_for_the_day_is_missed_and_nobody_waits_for_it() -> None:
    # Due at seven and nine, to be batched at 5:45 and 7:45; the plant shuts at seven, until tomorrow.
    yard = Yard(ready_mix(), open_from(5.0, 7.0))
    (load,) = yard.work(5.0)
    assert (load.number, load.verdict) == (1, "placed")
    assert yard.ledger.counts.loads == 2
    assert yard.ledger.counts.loads_called_off == 0  # it is the plant that does not come: nothing is owed for it
    assert yard.shut == load.discharge_ended + 0.25  # what the hopper held, at 1 m³/h


def test_a_plant_with_a_break_goes_on_after_it() -> None:
    breakfast = WeekPattern(dict.fromkeys(range(5), ((5.0, 7.5), (8.25, 18.0)))).over(MONDAY, 14)
    assert batched(Yard(ready_mix(), breakfast).work(5.0)) == [5.75, 8.25]


def test_a_load_that_waits_for_a_truck_until_the_plant_is_shut_is_missed() -> None:
    # One truck: back at the plant at 10:30, when it has been shut for two hours.
    yard = Yard(ready_mix(trucks=1), open_from(5.0, 8.5))
    assert batched(yard.work(5.0)) == [5.75]


@pytest.mark.parametrize(
    ("day", "works"), [(4, True), (5, False), (6, False), (7, True)], ids=["Friday", "Saturday", "Sunday", "Monday"]
)
def test_days_on_which_the_plant_does_not_work_cannot_be_ordered_for(day: int, works: bool) -> None:
    every_day = WeekPattern(dict.fromkeys(range(7), ((6.0, 15.0),))).over(MONDAY, 14)
    supply = Yard(ready_mix(), open_from(6.0, 18.0)).supply
    assert supply.can_be_ordered(24.0 * day + 6.0, 24.0 * day - 20.0, every_day) is works
    assert supply.works_on(24.0 * day + 6.0) is works
    assert Yard(ready_mix()).supply.can_be_ordered(24.0 * day + 6.0, 24.0 * day - 20.0, every_day)


@pytest.mark.parametrize("link", [Link.PLANT, Link.ROAD])
@pytest.mark.parametrize(
    ("hours", "works"),
    [
        (((0.0, 24.0),), False),
        (((5.0, 20.0),), False),  # all of its hours
        (((5.0, 12.0), (12.0, 20.0)), False),  # in two parts
        (((5.0, 12.0), (13.0, 20.0)), True),
        (((6.0, 17.0),), True),
    ],
)
def test_a_day_that_is_known_to_be_lost_cannot_be_ordered_for(
    link: Link, hours: tuple[tuple[float, float], ...], works: bool
) -> None:
    yard = Yard(ready_mix(outages=tuesday(link, *hours)), open_from(6.0, 18.0))
    assert yard.supply.can_be_ordered(MORNING, 10.0, DAYS) is works
    assert yard.supply.can_be_ordered(MORNING + 24.0, 34.0, DAYS)


def test_a_truck_lost_all_day_does_not_keep_anybody_from_ordering() -> None:
    assert Yard(ready_mix(outages=tuesday(Link.TRUCK))).supply.can_be_ordered(MORNING, 10.0, DAYS)


def test_chance_keeps_nobody_from_ordering() -> None:
    struck = Outage("strike", Link.PLANT, chance=1.0, time=Fixed(24.0))
    assert Yard(ready_mix(outages=(struck,))).supply.can_be_ordered(MORNING, 10.0, DAYS)


def on_saturdays(plan: Plan, plant_days: int) -> Plan:
    """Let the shell gang print on Saturdays too, with a plant that works on so many days of the week."""
    assert isinstance(plan.supply, ReadyMix)
    calendars = {
        **plan.calendars,
        "shell": WeekPattern(dict.fromkeys(range(6), ((6.0, 15.0),))),
        "plant": WeekPattern(dict.fromkeys(range(plant_days), ((5.0, 18.0),))),
    }
    return replace(plan, calendars=calendars, supply=replace(plan.supply, hours="plant"))


def print_dates(played: Played) -> list[int]:
    return [int(entry.start // 24) for key, entry in entries_of(played).items() if "print day" in key]


@pytest.mark.parametrize(("plant_days", "dates"), [(6, [5, 7, 8, 9]), (5, [7, 8, 9, 10])])
def test_nobody_prints_on_a_day_on_which_the_plant_is_shut(plant_days: int, dates: list[int]) -> None:
    # Ordered on Friday at eight; where the plant works on Saturday, that is the first of four days, else Monday is.
    plan = on_saturdays(printing_plan(buildings=1, layers=20, day_ends=(5, 10, 15, 20)), plant_days)
    assert print_dates(play_plan(plan)) == dates


def test_nobody_prints_on_the_saturday_after_a_print_day_either() -> None:
    # Ten days in a row: Monday to Friday, and from Monday on again. None of them waits for a plant that does not come.
    plan = on_saturdays(printing_plan(buildings=1, layers=20, day_ends=range(2, 21, 2)), 5)
    played = play_plan(plan)
    assert print_dates(played) == [7, 8, 9, 10, 11, 14, 15, 16, 17, 18]
    assert played.ledger.counts.loads == played.ledger.counts.print_days == 10


# ------------------------------------------------------------------------------------------------------ outages


def test_a_plant_lost_for_some_hours_batches_when_it_is_there_again() -> None:
    loads = Yard(ready_mix(outages=tuesday(Link.PLANT, (7.0, 8.5)))).work(5.0)
    assert batched(loads) == [5.75, 8.5]


def test_a_plant_lost_for_the_rest_of_its_day_misses_its_loads() -> None:
    # Lost from seven on, into the night, without notice: one load has been batched.
    struck = Outage("strike", Link.PLANT, hours=((7.0, 7.0 + 1e-9),), chance=1.0, time=Fixed(20.0))
    assert batched(Yard(ready_mix(outages=(struck,))).work(5.0)) == [5.75]


def test_trucks_wait_at_the_plant_for_a_road_that_is_lost() -> None:
    # Loaded at 8:00, when the road is lost for half an hour.
    first, second = Yard(ready_mix(outages=tuesday(Link.ROAD, (7.75, 8.5)))).work(5.0)
    assert (first.left_plant, second.batched, second.left_plant) == (TUESDAY + 6.0, TUESDAY + 7.75, TUESDAY + 8.5)
    assert second.arrived == TUESDAY + 9.5


def test_a_lost_truck_leaves_the_others() -> None:
    # Two trucks, of which one is lost from the first load on: as with one truck. Lost from 7:50 on, when both are out
    # (the second left at 7:45), it is the first to come back that stays away: back at 10:30.
    one = Yard(ready_mix(trucks=1)).work(7.5)
    assert batched(Yard(ready_mix(trucks=2, outages=tuesday(Link.TRUCK))).work(7.5)) == batched(one)
    both = Yard(ready_mix(trucks=2)).work(7.5)
    late = Yard(ready_mix(trucks=2, outages=tuesday(Link.TRUCK, (7.875, 11.0)))).work(7.5)
    assert batched(both) == [5.75, 7.75, 10.5]
    assert batched(late) == [5.75, 7.75, 11.0]


def test_one_truck_is_lost_however_many_print_that_day() -> None:
    # Two gates, each with one load at once, and two trucks of which one is lost: they go one after the other.
    plan = ready_mix(trucks=2, ordering=AT_ONCE, outages=tuesday(Link.TRUCK))
    loads = Yard(plan).work(2.5, gates=2)
    assert len(loads) == 2
    assert loads[1].batched == loads[0].discharge_ended + 0.125 + 1.0


def test_a_truck_lost_for_days_is_still_lost_when_printing_begins() -> None:
    # Lost on Monday, from noon on, for two days; nobody prints on Monday.
    broken = Outage("axle", Link.TRUCK, hours=((12.0, 12.0 + 1e-9),), chance=1.0, time=Fixed(20.0))
    one = Yard(ready_mix(trucks=1)).work(5.0)
    assert batched(Yard(ready_mix(trucks=2, outages=(broken,))).work(5.0)) != batched(one)
    broken = replace(broken, time=Fixed(48.0))
    assert batched(Yard(ready_mix(trucks=2, outages=(broken,))).work(5.0)) == batched(one)


# ------------------------------------------------------------------------------------------------------ traffic


def test_a_haul_takes_longer_in_traffic_and_the_dispatcher_knows_it() -> None:
    # Half as long again from six to eight. Due at seven: it would leave at six, so it is dispatched half an hour
    # earlier, at 5:15, leaves at 5:30, before the traffic, and is early. Due at nine: leaves at eight, after it.
    loads = Yard(ready_mix(traffic=(Traffic(6.0, 8.0, 1.5),))).work(5.0)
    assert batched(loads) == [5.25, 7.75]
    assert [load.arrived - load.left_plant for load in loads] == [1.0, 1.0]


def test_a_haul_that_leaves_in_traffic_takes_longer() -> None:
    loads = Yard(ready_mix(traffic=(Traffic(5.0, 6.25, 1.5), Traffic(5.0, 24.0, 3.0)))).work(2.5)
    assert batched(loads) == [5.25]
    assert loads[0].arrived == TUESDAY + 5.5 + 1.5  # the first span that holds


def test_a_haul_held_up_by_a_lost_road_goes_in_the_traffic_in_which_it_leaves() -> None:
    # Loaded at six, the road is lost until half past; from a quarter past six on it takes twice as long.
    plan = ready_mix(traffic=(Traffic(6.25, 7.0, 2.0),), outages=tuesday(Link.ROAD, (5.5, 6.5)))
    (load,) = Yard(plan).work(2.5)
    assert (load.left_plant, load.arrived) == (TUESDAY + 6.5, TUESDAY + 8.5)


def test_a_load_that_is_wanted_sooner_in_the_morning_comes_as_soon_as_the_traffic_lets_it() -> None:
    # Told at half past five that one load is wanted at seven and not at nine. Batched then, it would leave at 5:45 and
    # be there at 6:45; in traffic in which the road takes twice as long, at 7:45.
    for traffic, due in (((), 7.0), ((Traffic(5.0, 8.0, 2.0),), 7.75)):
        yard = Yard(ready_mix(traffic=traffic))
        yard.env.run(until=TUESDAY + 5.5)
        placed = Order(5.0, TUESDAY + 6.0, (Delivery(2.5, TUESDAY + 9.0),))
        assert yard.supply.confirm(placed, 2.5, unforeseen).deliveries == (Delivery(2.5, TUESDAY + due),)


# ---------------------------------------------------------------------------------------------- other customers


def test_loads_are_sent_for_earlier_by_the_wait_that_is_to_be_expected() -> None:
    # ρ s/(1 − ρ) = 0.6 × 15 min/0.4 = 22.5 min. Nobody is served before the turn would come by luck.
    plan = ready_mix(other_customers=0.6)
    firsts = [Yard(plan, run=run).work(2.5)[0].batched - TUESDAY for run in range(300)]
    assert min(firsts) == 5.75 - 0.375
    idle = sum(first == min(firsts) for first in firsts) / 300
    assert idle == pytest.approx(0.4, abs=3 * (0.24 / 300) ** 0.5)


def test_who_waits_behind_others_past_midnight_is_not_missed() -> None:
    # A plant that never shuts, and a night shift: due at 00:30 on Wednesday, ordered for Tuesday's shift.
    plan = ready_mix(other_customers=0.95, ordering=FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 0.0, 24.5))
    for run in range(40):
        (load,) = Yard(plan, run=run).work(2.5)
        assert load.verdict == "placed"


def test_the_wait_behind_others_of_a_load_does_not_hang_on_the_rest() -> None:
    few = ready_mix(other_customers=0.9, trucks=9, bays=9)
    more = replace(few, ordering=FixedSpacing(LoadSizes(2.5, 0.5, 0.5), 3.0, 7.0))
    one, other = ([load.batched - load.due for load in Yard(plan, run=5).work(7.5)] for plan in (few, more))
    assert one == other
    assert len(set(one)) > 1


# ------------------------------------------------------------------------------------------- refused and replaced


def test_a_replacement_leaves_the_luck_of_all_other_loads_alone() -> None:
    plain = ready_mix(trucks=9, bays=9, other_customers=0.5)
    refusing = replace(plain, refused=0.4)
    for run in range(20):
        ways = {load.number: load.batched - load.due for load in Yard(plain, run=run).work(10.0)}
        with_replacements = Yard(refusing, run=run).work(10.0)
        assert {load.number: load.batched - load.due for load in with_replacements if load.number < 100} == ways
        replaced = [load.number - 100 for load in with_replacements if load.number > 100]
        refused = [load.number for load in with_replacements if load.verdict == "refused at the gate"]
        assert sorted(replaced) == sorted(refused)


def test_a_whole_site_waits_for_a_plant_that_opens_late() -> None:
    # The plant opens at eight on the first print day (a date on which it is known to be lost till then): at the gate at
    # 9:15, tested by 9:22:30; aligned at seven, so the crew waits for 2 h 22:30 min for concrete.
    lost = Outage("stocktaking", Link.PLANT, frozenset({FIRST + 7}), ((0.0, 8.0),))
    played = play_plan(printing_plan(buildings=1, supply=ready_mix(outages=(lost,))), keep_diary=True)
    pieces = entries_of(played)["A/print day 1"].pieces
    assert (pieces[1].start, pieces[1].end, pieces[1].cause) == (175.0, 168.0 + 9.375, Cause.CONCRETE)
    assert played.finished


def test_nobody_goes_on_calling_a_plant_that_is_shut_for_the_day() -> None:
    # The plant is lost from eight on, for the rest of the day, without notice; whoever calls for a second load is told
    # so, and the day ends with what there is. Printing goes on the next day, with the same luck every day.
    struck = Outage("strike", Link.PLANT, frozenset({FIRST + 7}), ((8.0, 24.0),))
    supply = ready_mix(ordering=WillCall(LoadSizes(2.5, 0.5, 0.5), 7.0, 1.5), outages=(struck,))
    played = play_plan(printing_plan(buildings=1, layers=10, day_ends=(10,), supply=supply), keep_diary=True)
    assert played.finished
    monday = [load for load in played.ledger.loads if load.day == 7]
    assert [load.number for load in monday] == [1]
    assert played.ledger.counts.print_days == 2
    assert played.ledger.counts.loads == 1 + 1 + 1  # that, one missed, and what was left on Tuesday
