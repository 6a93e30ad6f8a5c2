"""Whatever is changed about a site, what is left of it meets the same luck.

Kind of the tests: metamorphic. A plan and a changed one are asked for the same draws, through the world of a run and
through what happened in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from random_weather import rough_weather
from rigs import play_plan, printing_plan, ready_mix, site_mix

from sitesim.chance import Distribution, Exponential, Lognormal, Luck, Pert, Triangular
from sitesim.plan import (
    Climate,
    Fortune,
    HoldingHopper,
    Inspection,
    Limits,
    Link,
    Node,
    Outage,
    Plan,
    ReadyMix,
    Sharing,
    Stop,
    Unit,
    UnitKind,
)
from sitesim.policies import AtNotice, FixedSpacing, KeptRunning, LoadSizes, WillCall
from sitesim.site import Played, Stage
from sitesim.site.breakdowns import Wear
from sitesim.site.world import World

SEED = 11
STOPS = (
    Stop("partial block", "nozzle", Exponential(2.0), Lognormal.by_p50_p90(0.3, 1.0), True),
    Stop("controller", "nozzle", Exponential(6.0), Lognormal.by_p50_p90(0.2, 0.75), False),
)


def chancy(plan: Plan, spread: float = 0.1) -> Plan:
    """Spread every duration, inspect every beam and roof, and let teams be strong or weak."""

    def changed(node: Node) -> Node:
        task = node.task
        hours = task.duration.mean
        if hours:
            task = replace(task, duration=Triangular(0.7 * hours, hours, 1.6 * hours))
        if task.name in ("beam", "roof"):
            task = replace(task, inspection=Inspection(0, 0.4, Triangular(1.0, 2.0, 5.0)))
        return replace(node, task=task)

    return replace(plan, nodes=tuple(map(changed, plan.nodes)), fortune=Fortune(spread, spread))


def site(**changes: object) -> Plan:
    supply = ready_mix(haul=Triangular(0.8, 1.0, 1.5), loading=Triangular(0.2, 0.25, 0.5), refused=0.1)
    settings: dict[str, object] = {"buildings": 2, "supply": supply, "stops": STOPS, **changes}
    return chancy(printing_plan(**settings))  # type: ignore[arg-type]  # the names are checked by printing_plan


def one_more_building() -> Plan:
    return site(buildings=3)


def another_order() -> Plan:
    plan = site()
    first, second = plan.buildings
    return replace(plan, buildings=(replace(first, rank=1), replace(second, rank=0)))


def one_more_gang() -> Plan:
    """Put a second roof gang at the end of the units; any of the two serves."""
    plan = site()
    more = (*plan.units, Unit("roof 2", UnitKind.GANG, "site"))

    def any_roof(node: Node) -> Node:
        if node.task.name != "roof":
            return node
        return replace(node, task=replace(node.task, needs=((len(more) - 2, len(more) - 1),)))

    return replace(plan, units=more, nodes=tuple(map(any_roof, plan.nodes)))


def wider_spacing() -> Plan:
    plan = site()
    assert isinstance(plan.supply, ReadyMix)
    return replace(plan, supply=replace(plan.supply, ordering=FixedSpacing(LoadSizes(1.5, 0.5, 0.5), 2.5, 7.0)))


def a_plant_with_troubles() -> Plan:
    """Let the plant have other customers, lose a truck now and then, and a hopper on site hold its loads."""
    plan = site()
    assert isinstance(plan.supply, ReadyMix)
    axle = Outage("axle", Link.TRUCK, hours=((6.0, 12.0),), chance=0.3, time=Triangular(1.0, 4.0, 30.0))
    holding = HoldingHopper(2.5, 12.0)
    return replace(plan, supply=replace(plan.supply, other_customers=0.5, outages=(axle,), holding=holding))


def called_for() -> Plan:
    """Order one load the evening before and call for the others."""
    plan = site()
    assert isinstance(plan.supply, ReadyMix)
    return replace(plan, supply=replace(plan.supply, ordering=WillCall(LoadSizes(2.5, 0.5, 0.5), 7.0, 1.5)))


def roof_kept_running() -> Plan:
    plan = site()
    return replace(
        plan,
        units=tuple(replace(unit, flow=KeptRunning()) if unit.name == "roof" else unit for unit in plan.units),
    )


def roof_called_at_notice() -> Plan:
    plan = site()
    called = [
        replace(unit, flow=AtNotice(4.0, 8.0), notice=Lognormal.by_p50_p90(9.0, 30.0)) if unit.name == "roof" else unit
        for unit in plan.units
    ]
    return replace(plan, units=tuple(called))


def trades_apart() -> Plan:
    return replace(site(), sharing=Sharing(alone=frozenset({"roof"}), apart=frozenset({frozenset({"roof", "beam"})})))


def mixed_on_site() -> Plan:
    return site(supply=site_mix(cycle=Triangular(0.1, 0.125, 0.2), fails=0.05))


CHANGES: list[Callable[[], Plan]] = [
    one_more_building,
    another_order,
    one_more_gang,
    wider_spacing,
    mixed_on_site,
    a_plant_with_troubles,
    called_for,
    roof_kept_running,
    roof_called_at_notice,
    trades_apart,
    lambda: site(printers=2),
    lambda: site(tents=2),
]
"""What is changed about the site; the rest of it stays."""


def nodes_of_both(plan: Plan, changed: Plan) -> Iterator[tuple[Node, Node]]:
    of_changed = {node.key: node for node in changed.nodes}
    yield from ((node, of_changed[node.key]) for node in plan.nodes if node.key in of_changed)


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("run", [0, 7])
def test_durations_stay_with_their_steps(change: Callable[[], Plan], run: int) -> None:
    plan, changed = site(), change()
    one, other = World(Stage(plan), Luck(SEED, run)), World(Stage(changed), Luck(SEED, run))
    for node, same in nodes_of_both(plan, changed):
        assert one.hours_of_work(node, 1.0) == other.hours_of_work(same, 1.0)
        for attempt in range(3):
            rework = Triangular(1.0, 2.0, 5.0)
            assert one.hours_of_rework(node, rework, attempt) == other.hours_of_rework(same, rework, attempt)
            fails, same_fails = (of.fails_stream for of in (node, same))
            assert one.luck.uniform(fails, attempt) == other.luck.uniform(same_fails, attempt)


def worked_hours(played: Played) -> dict[str, float]:
    """Give for each step the hours that were worked on it."""
    worked: dict[str, float] = {}
    for entry in played.ledger.entries:
        if entry.node >= 0 and entry.units and not entry.key.endswith("rework"):
            length = entry.end - entry.start
            worked[entry.key] = length if entry.hours is None else entry.hours.worked(entry.start, entry.end)
    return worked


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_worked_stays_with_its_steps(change: Callable[[], Plan]) -> None:
    one, other = (worked_hours(play_plan(plan, SEED, 3)) for plan in (site(), change()))
    both = one.keys() & other.keys()
    assert len(both) == len(one)
    assert {key: one[key] for key in both} == {key: other[key] for key in both}


@pytest.mark.parametrize("change", CHANGES)
def test_inspections_fail_as_often(change: Callable[[], Plan]) -> None:
    def failed(played: Played) -> dict[str, int]:
        keys = [entry.key for entry in played.ledger.entries]
        return {key: keys.count(f"{key} rework") for key in keys if key.endswith(("beam", "roof"))}

    one, other = (failed(play_plan(plan, SEED, 4)) for plan in (site(), change()))
    assert one.keys() <= other.keys()
    assert one == {key: other[key] for key in one}


def way_of_loads(played: Played) -> dict[tuple[int, int], tuple[float, float, bool]]:
    """Give for each load, by day and number, the hours of loading and hauling, and whether it failed its test."""
    return {
        (load.day, load.number): (
            load.left_plant - load.batched,
            load.arrived - load.left_plant,
            load.verdict == "refused at the gate",
        )
        for load in played.ledger.loads
    }


@pytest.mark.parametrize(
    "change",
    [one_more_building, another_order, one_more_gang, wider_spacing, a_plant_with_troubles, called_for],
)
def test_trucks_have_the_luck_of_their_civil_day_and_number(change: Callable[[], Plan]) -> None:
    met = 0
    for run in range(6):
        one, other = (way_of_loads(play_plan(plan, SEED, run)) for plan in (site(), change()))
        both = one.keys() & other.keys()
        met += len(both)
        for load in both:
            assert one[load] == other[load]
    assert met > 6


def test_stops_stay_with_their_printer_and_come_by_exposure() -> None:
    def stops(printer: int, step: float) -> list[tuple[str, float]]:
        wear = Wear(STOPS, Luck(SEED, 0), printer)
        found: list[tuple[str, float]] = []
        while len(found) < 30:
            wear.run(min(step, wear.until_next(0.0)), 0.0)
            if wear.is_due():
                stop, hours = wear.stop()
                found.append((stop.name, hours))
        return found

    assert stops(0, 0.3125) == stops(0, 1.7)
    assert stops(0, 0.3125) != stops(1, 0.3125)


@pytest.mark.parametrize("change", [one_more_building, one_more_gang, wider_spacing, mixed_on_site])
def test_machines_break_down_in_the_same_order(change: Callable[[], Plan]) -> None:
    def cleared(plan: Plan) -> list[str]:
        played = play_plan(plan, SEED, 5, keep_diary=True)
        return [remark.text for remark in played.ledger.diary or () if "stopped for" in remark.text]

    one, other = cleared(site()), cleared(change())
    shared = min(len(one), len(other))
    assert shared > 3
    assert one[:shared] == other[:shared]


def under_the_sky(plan: Plan) -> Plan:
    limits = {"print": Limits("print", gust=14.0)}
    climate = Climate(rough_weather(2), limits, 1.5, 10, 15, 0.7)
    assert plan.print_day is not None
    return replace(plan, climate=climate, print_day=replace(plan.print_day, limits="print"))


@pytest.mark.parametrize("change", CHANGES)
def test_weather_stays(change: Callable[[], Plan]) -> None:
    one, other = (World(Stage(under_the_sky(plan)), Luck(SEED, 2)) for plan in (site(), change()))
    for day in range(0, 300, 7):
        assert one.hours.weather_of(day) == other.hours.weather_of(day)
        assert one.hours.forecast("print", ("shell",), 24.0 * day) == other.hours.forecast(
            "print", ("shell",), 24.0 * day
        )


def test_weather_and_forecasts_belong_to_the_civil_date() -> None:
    plan = under_the_sky(site())
    later = replace(plan, start=plan.start + timedelta(days=35))
    one, other = (World(Stage(of), Luck(SEED, 2)) for of in (plan, later))
    for day in range(300):
        assert one.hours.weather_of(day + 35) == other.hours.weather_of(day)
        assert one.hours.forecast("print", ("shell",), 24.0 * (day + 35)) == other.hours.forecast(
            "print", ("shell",), 24.0 * day
        )


def raised(kind: str, likely: float) -> Distribution:
    return Triangular(2.0, likely, 30.0) if kind == "triangular" else Pert(2.0, likely, 30.0)


@pytest.mark.parametrize("kind", ["triangular", "pert"])
def test_a_higher_likely_value_shortens_no_duration(kind: str) -> None:
    plan = site()

    def drawn(likely: float) -> list[float]:
        nodes = tuple(replace(node, task=replace(node.task, duration=raised(kind, likely))) for node in plan.nodes)
        stage = Stage(replace(plan, nodes=nodes))
        return [
            World(stage, Luck(SEED, run)).hours_of_work(node, learned)
            for run in range(40)
            for node in nodes
            for learned in (1.0, 0.7)
        ]

    likely = [drawn(hours) for hours in (2.0, 3.0, 9.0, 9.5, 29.0, 30.0)]
    for lower, higher in pairwise(likely):
        assert all(a <= b for a, b in zip(lower, higher, strict=True))
        assert lower != higher


def test_a_slower_task_delays_a_site_without_contention() -> None:
    """With one building nobody competes, so that a longer step never brings the end forward."""
    plan = site(buildings=1)
    for run in range(10):
        ends = []
        for factor in (1.0, 1.25, 2.0):
            nodes = tuple(
                replace(node, task=replace(node.task, duration=node.task.duration.scaled(factor)))
                if node.task.name == "roof"
                else node
                for node in plan.nodes
            )
            ends.append(max(play_plan(replace(plan, nodes=nodes), SEED, run).ledger.ended.values()))
        assert ends == sorted(ends)


def test_a_run_is_the_same_again_and_another_is_not() -> None:
    plan = under_the_sky(site())
    stage_made_once = [play_plan(plan, SEED, run).ledger for run in (0, 1, 0)]
    assert stage_made_once[0].entries == stage_made_once[2].entries
    assert stage_made_once[0].entries != stage_made_once[1].entries
    assert play_plan(plan, SEED + 1, 0).ledger.entries != stage_made_once[0].entries
