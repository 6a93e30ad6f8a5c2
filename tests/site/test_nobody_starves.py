"""Every run ends: with everything handed over, or with the name of who waits and what for.

Kind of the tests: extreme values and invariants.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import simpy
from counted_events import counted_events
from random_sites import random_plan
from random_weather import rough_weather
from rigs import ROUND_THE_CLOCK, WEEKDAYS, entries_of, network_plan, play_plan, printing_plan, ready_mix, site_mix

from sitesim.chance import Exponential, Fixed, Lognormal
from sitesim.hours import Calendar, WeekPattern, everlasting
from sitesim.plan import Climate, Inspection, Kind, Limits, Plan, Stop, Supply, UnitKind
from sitesim.policies import GantryMoves, SetUpOrder, TakeDown
from sitesim.site import Played
from sitesim.site.crews import Ask, Crews, OpenHours
from sitesim.site.engine import Engine
from sitesim.site.world import Process

BREAKABLE = (
    Stop("block", "nozzle", Exponential(1.0), Lognormal.by_p50_p90(0.5, 2.0), True),
    Stop("pump", "pumped", Exponential(15.0), Lognormal.by_p50_p90(2.0, 8.0), False),
)


def played(plan: Plan, run: int = 0) -> Played:
    """Play a run that may not go on and on."""
    with counted_events(300_000):
        return play_plan(plan, seed=5, run=run)


def names_of(plan: Plan) -> set[str]:
    """Name everything in a plan that may be said to wait."""
    buildings = {building.name for building in plan.buildings}
    return {node.key for node in plan.nodes} | buildings | {f"{name}/{kind}" for name in buildings for kind in UnitKind}


@pytest.mark.parametrize("number", range(1000, 1150))
def test_a_run_ends_or_says_who_waits_for_what(number: int) -> None:
    plan = random_plan(number)
    run = played(plan, number)
    if run.finished:
        assert run.ledger.ended.keys() == {node.index for node in plan.nodes}
        return
    assert plan.days < 700, "two years are enough for any of these sites"
    who, _, reason = run.unfinished.partition(": ")
    bare = who.removesuffix(" inspection").removesuffix(" rework")
    assert bare in names_of(plan) or bare.partition("/print day ")[0] in names_of(plan)
    assert len(reason.split()) >= 4
    assert run.ledger.ended.keys() != {node.index for node in plan.nodes}


@pytest.mark.parametrize("order", list(SetUpOrder))
@pytest.mark.parametrize("leaves", list(TakeDown))
@pytest.mark.parametrize(("printers", "tents"), [(1, 1), (1, 3), (3, 1), (2, 2), (2, 3)])
@pytest.mark.parametrize("supply", [ready_mix(refused=0.2), site_mix(fails=0.2)])
def test_any_number_of_gantries_and_tents_serves_all_buildings(
    order: SetUpOrder, leaves: TakeDown, printers: int, tents: int, supply: Supply
) -> None:
    plan = printing_plan(
        buildings=5,
        supply=supply,
        stops=BREAKABLE,
        printers=printers,
        tents=tents,
        order=order,
        gantry_leaves=TakeDown.CURE if leaves is TakeDown.ROOF else leaves,
        tent_leaves=leaves,
        days=900,
    )
    assert played(plan).unfinished == ""


@pytest.mark.parametrize("order", list(SetUpOrder))
@pytest.mark.parametrize("moves", list(GantryMoves))
@pytest.mark.parametrize("gantry", [event for event in TakeDown if event is not TakeDown.ROOF])
@pytest.mark.parametrize("tent", list(TakeDown))
@pytest.mark.parametrize(("printers", "tents"), [(1, 1), (2, 3)])
def test_whenever_and_however_they_move_all_buildings_are_served(
    order: SetUpOrder, moves: GantryMoves, gantry: TakeDown, tent: TakeDown, printers: int, tents: int
) -> None:
    plan = printing_plan(
        buildings=4,
        printers=printers,
        tents=tents,
        order=order,
        gantry_leaves=gantry,
        tent_leaves=tent,
        gantry_moves=moves,
        apart=30.0,
        days=900,
    )
    run = played(plan)
    assert run.unfinished == ""
    assert run.ledger.ended.keys() == {node.index for node in plan.nodes}


@pytest.mark.parametrize("ranks", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_buildings_whose_slabs_come_out_of_order_are_all_served(ranks: tuple[int, ...]) -> None:
    plan = printing_plan(buildings=3)
    late = {
        building.shell.ready: 24.0 * 7 * rank
        for building, rank in zip(plan.buildings, ranks, strict=True)
        if building.shell
    }
    nodes = tuple(replace(node, not_before=late.get(node.index, 0.0)) for node in plan.nodes)
    run = played(replace(plan, nodes=nodes))
    assert run.finished
    # Whoever is ready first is served first, whatever the building order: the gantry stands idle for nobody.
    first = min(plan.buildings, key=lambda building: ranks[building.rank])
    starts = {key: entry.start for key, entry in entries_of(run).items() if key.endswith("gantry_up")}
    assert min(starts, key=lambda key: starts[key]) == f"{first.name}/gantry_up"


def test_a_wall_that_needs_many_days_is_printed_bit_by_bit() -> None:
    # A layer of two and a half hours, of five as the day's first: one at most fits between aligning and washing out.
    run = played(printing_plan(buildings=1, layers=4, day_ends=(4,), layer_hours=2.5, layer_volume=2.0))
    assert run.finished
    assert run.ledger.counts.print_days >= 4


def test_a_layer_that_fits_no_day_is_told() -> None:
    run = played(printing_plan(buildings=1, layers=2, day_ends=(2,), layer_hours=9.0, days=200))
    assert run.unfinished.startswith("A/print day ")
    assert run.unfinished.endswith("no working day is left within the horizon")


def test_concrete_that_is_always_too_old_is_told() -> None:
    plan = printing_plan(buildings=1, days=120)
    assert plan.print_day is not None
    run = played(replace(plan, print_day=replace(plan.print_day, working_life=1.0)))
    assert run.unfinished.startswith("A/print day ")
    assert run.ledger.concrete.batched == run.ledger.concrete.rejected > 0.0


def test_loads_that_are_all_refused_are_told() -> None:
    run = played(printing_plan(buildings=1, days=60, supply=ready_mix(refused=1.0)))
    assert run.unfinished.startswith("A/print day ")
    assert run.ledger.concrete.batched == run.ledger.concrete.rejected > 0.0


def test_weather_that_never_comes_is_told() -> None:
    plan = network_plan({"a": ((), Fixed(5.0)), "b": (("a",), Fixed(5.0))}, {"gang": "ab"}, 100, WEEKDAYS)
    second = plan.nodes[1]
    nodes = (plan.nodes[0], replace(second, task=replace(second.task, limits="paint")))
    limits = {"paint": Limits("paint", temperature_low=60.0)}
    run = played(replace(plan, nodes=nodes, climate=Climate(rough_weather(0), limits, 1.5, 10, 15, 1.0)))
    assert run.unfinished == "b: hours in which gang may do this work do not come within the horizon"


def test_a_pour_longer_than_any_day_is_told() -> None:
    plan = network_plan({"a": ((), Fixed(9.0))}, {"gang": "a"}, 100, WEEKDAYS)
    nodes = (replace(plan.nodes[0], task=replace(plan.nodes[0].task, splittable=False)),)
    assert played(replace(plan, nodes=nodes)).unfinished.startswith("a: ")


def test_steps_that_wait_for_each_other_are_told() -> None:
    plan = network_plan({"a": ((), Fixed(1.0)), "b": (("a",), Fixed(1.0))})
    nodes = (replace(plan.nodes[0], after=(1,)), plan.nodes[1])
    assert played(replace(plan, nodes=nodes)).unfinished == "steps that wait for each other are never begun"


def test_an_inspector_who_never_comes_is_told() -> None:
    plan = network_plan({"a": ((), Fixed(1.0))}, {"gang": "a"}, 30, WEEKDAYS)
    task = replace(plan.nodes[0].task, inspection=Inspection(0, 1.0, Fixed(1.0)))
    run = played(replace(plan, nodes=(replace(plan.nodes[0], task=task),)))
    assert run.unfinished == "a inspection: no inspector comes within the horizon"


def test_work_that_outlasts_the_horizon_is_told() -> None:
    plan = network_plan({"a": ((), Fixed(300.0))}, {"gang": "a"}, 10, WEEKDAYS)
    assert played(plan).unfinished == "a: it has begun, and the hours to finish it do not come within the horizon"
    assert played(replace(plan, days=60)).finished


def test_work_that_the_weather_stops_for_good_is_told() -> None:
    plan = network_plan({"a": ((), Fixed(300.0))}, {"gang": "a"}, 60, WEEKDAYS)
    task = replace(plan.nodes[0].task, limits="cool")
    limits = {"cool": Limits("cool", temperature_high=14.0)}  # mornings in March, and no more
    climate = Climate(rough_weather(0), limits, 1.5, 10, 15, 1.0)
    run = played(replace(plan, nodes=(replace(plan.nodes[0], task=task),), climate=climate))
    assert run.unfinished == (
        "a: it has begun, and the hours to finish it with weather that allows it (limits cool) "
        "do not come within the horizon"
    )


@pytest.mark.parametrize(
    ("kind", "reason"),
    [
        (Kind.DELIVERY, "it is on order and does not come within the horizon"),
        (Kind.CURE, "it has begun and is not over within the horizon"),
    ],
)
def test_a_delivery_or_a_cure_beyond_the_horizon_is_told_as_such(kind: Kind, reason: str) -> None:
    plan = network_plan({"a": ((), Fixed(300.0)), "b": (("a",), Fixed(1.0))}, {"gang": "b"}, 10, WEEKDAYS)
    waits = replace(plan.nodes[0], task=replace(plan.nodes[0].task, kind=kind))
    assert played(replace(plan, nodes=(waits, plan.nodes[1]))).unfinished == f"a: {reason}"


def test_a_site_with_nothing_to_do_is_done() -> None:
    assert played(network_plan({})).finished


@pytest.mark.parametrize("supply", [ready_mix(), site_mix()])
@pytest.mark.parametrize(
    "week",
    [
        ROUND_THE_CLOCK,
        WeekPattern(dict.fromkeys(range(5), ((6.0, 11.0), (11.5, 15.0)))),  # with a break
        WeekPattern(dict.fromkeys(range(5), ((0.0, 6.0), (20.0, 24.0)))),  # by night
    ],
)
def test_a_wall_is_printed_in_any_working_week(week: WeekPattern, supply: Supply) -> None:
    plan = printing_plan(buildings=1, supply=supply)
    run = played(replace(plan, calendars={**plan.calendars, "shell": week, "site": ROUND_THE_CLOCK}))
    assert run.finished
    # Two print days, or a few where concrete and night do not go together.
    assert run.ledger.counts.print_days <= 6


@pytest.mark.parametrize("week", [ROUND_THE_CLOCK, WeekPattern(dict.fromkeys(range(5), ((8.0, 12.0), (13.0, 17.0))))])
def test_inspectors_come_in_any_working_week(week: WeekPattern) -> None:
    plan = network_plan({"a": ((), Fixed(5.0)), "b": (("a",), Fixed(2.0))}, {"gang": "ab"}, 60, WEEKDAYS)
    task = replace(plan.nodes[0].task, inspection=Inspection(0, 0.3, Fixed(1.0)))
    plan = replace(plan, nodes=(replace(plan.nodes[0], task=task), plan.nodes[1]))
    plan = replace(plan, calendars={**plan.calendars, "office": week})
    plan = replace(plan, inspectors=tuple(replace(inspector, hours="office") for inspector in plan.inspectors))
    assert all(played(plan, run).finished for run in range(10))


def test_a_building_without_a_pour_cures_after_its_walls() -> None:
    plan = printing_plan(buildings=1)
    shell = plan.buildings[0].shell
    assert shell is not None
    bare = replace(shell, finish=(), beam=shell.walls)
    nodes = [node for node in plan.nodes if node.index != shell.beam]
    assert len(nodes) == len(plan.nodes) - 1
    # The beam stays in the plan as a step that nobody tells, so that indices hold; it is done from the start.
    loose = replace(plan.nodes[shell.beam], told=False, task=replace(plan.nodes[shell.beam].task, duration=Fixed(0.0)))
    run = played(
        replace(
            plan,
            buildings=(replace(plan.buildings[0], shell=bare),),
            nodes=tuple(loose if node.index == shell.beam else node for node in plan.nodes),
        )
    )
    assert run.finished
    assert entries_of(run)["A/cure"].start == entries_of(run)["A/walls"].end


# --------------------------------------------------------------------------------------------- who is given what


def asks_at(crews: Crews, env: simpy.Environment, *asks: Ask) -> list[float | None]:
    """Run until nothing happens and tell when each request was granted, None if it never was."""
    times: list[float | None] = [None] * len(asks)

    def watch(place: int) -> Process:
        yield asks[place].granted
        times[place] = env.now

    for place in range(len(asks)):
        env.process(watch(place))
    env.run()
    return times


def within(hours: Calendar) -> OpenHours:
    """Give the same hours whatever the units and the weather."""
    return lambda _: (hours, hours)


def test_a_blocked_request_is_passed_and_served_later() -> None:
    env = Engine()
    crews = Crews(env, 2)
    forever = everlasting(100.0)
    holder = crews.ask("holder", 0, 0, ((1,),), within(forever))
    env.run(until=1.0)
    assert holder.units == (1,)
    both = crews.ask("both", 0, 0, ((0,), (1,)), within(forever))
    one = crews.ask("one", 1, 0, ((0,),), within(forever))
    env.run(until=2.0)
    assert not both.granted.triggered
    assert one.units == (0,)
    crews.give_back((0,), 0)
    crews.give_back((1,), 1)
    env.run(until=3.0)
    assert both.units == (0, 1)
    assert (both.free_since, both.freed_by) == (2.0, 0)


def test_a_request_may_be_granted_ahead_of_its_hours() -> None:
    env = Engine()
    crews = Crews(env, 1)
    ask = crews.ask("print day", 1, 0, ((0,),), within(Calendar([6.0], [15.0])), lead=0.5)
    assert asks_at(crews, env, ask) == [5.5]


def test_nobody_gets_ahead_of_a_request_that_comes_first() -> None:
    env = Engine()
    crews = Crews(env, 1)
    hours = Calendar([6.0, 30.0], [15.0, 39.0])
    early = crews.ask("print day of B", 1, 0, ((0,),), within(hours), lead=0.5)
    first = crews.ask("beam of A", 0, 0, ((0,),), within(hours))
    assert asks_at(crews, env, early, first) == [None, 6.0]
    # A request that wants the gang only later does not stand in the way.
    env = Engine()
    crews = Crews(env, 1)
    early = crews.ask("print day of B", 1, 0, ((0,),), within(hours), lead=0.5)
    later = crews.ask("lift of A", 0, 0, ((0,),), within(Calendar([9.0], [15.0])))
    assert asks_at(crews, env, early, later)[0] == 5.5


def test_a_request_that_comes_later_may_be_served_first_where_its_hours_open_first() -> None:
    env = Engine()
    crews = Crews(env, 2)
    late = crews.ask("lift in calm air", 0, 0, ((0,),), within(Calendar([100.0], [109.0])))
    env.run(until=10.0)
    soon = crews.ask("paint", 1, 0, ((1,),), within(Calendar([50.0], [59.0])))
    assert asks_at(crews, env, late, soon) == [100.0, 50.0]
