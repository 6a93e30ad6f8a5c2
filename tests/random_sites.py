"""Random small sites, each made of one number: odd numbers of everything, so that no tidy plan hides a fault."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from math import inf
from random import Random
from typing import Any

import numpy as np
import pytest
import simpy
from rigs import MONDAY, NO_CLIMATE, NO_COSTS, ROUND_THE_CLOCK, account_of, play_plan, ready_mix, site_mix

from sitesim.chance import Distribution, Exponential, Fixed, Lognormal, Triangular
from sitesim.hours import WeekPattern, on_clock
from sitesim.ledger import Account, Entry
from sitesim.plan import (
    Building,
    Climate,
    Crowding,
    DryStore,
    Evaporation,
    Fortune,
    HoldingHopper,
    HourlyRecord,
    Inspection,
    Inspector,
    Kind,
    Learning,
    Limits,
    Link,
    Node,
    Outage,
    Plan,
    PlannedStop,
    PrintDay,
    Sharing,
    Shell,
    Shelter,
    Sides,
    Stop,
    Supply,
    Task,
    Traffic,
    Unit,
    UnitKind,
    Wall,
    WitnessPoint,
    in_drops,
)
from sitesim.plan.absences import absent
from sitesim.policies import (
    COMING,
    AdjustTheOrder,
    AtNotice,
    ConfirmTheOrder,
    DaysNeed,
    FixedSpacing,
    GantryMoves,
    KeptRunning,
    LoadSizes,
    OrderingPolicy,
    Relocation,
    SetUpOrder,
    TakeDown,
    WillCall,
)
from sitesim.site import Played
from sitesim.site.engine import Engine

SITES = range(200)
TAKE_DOWNS = (TakeDown.WALLS, TakeDown.BEAM, TakeDown.CURE)


def draw_distribution(dice: Random, hours: float) -> Distribution:
    """Draw a duration [h] of about the given length; now and then none at all."""
    kind = dice.randrange(8)
    if kind == 0:
        return Fixed(0.0)
    if kind <= 2:
        return Fixed(on_clock(hours))
    if kind <= 5:
        return Triangular(0.5 * hours, hours, 2.5 * hours)
    if kind == 6:
        return Lognormal.by_p50_p90(hours, 2.0 * hours)
    return Exponential(hours)


def rough_weather(seed: int, rough: float = 0.15) -> HourlyRecord:
    """Make one year of weather by hand: spells of wind and rain, cold nights.

    rough: share of the days that are stormy and wet.
    """
    dice = np.random.default_rng(seed)
    days = 365
    spell = np.repeat(dice.random(days // 3 + 1) < rough, 3)[:days]
    hour = np.arange(24)
    season = 10.0 - 12.0 * np.cos(2 * np.pi * (np.arange(days) + 60) / days)
    temperature = season[:, None] + 4.0 * np.sin((hour - 9) * np.pi / 12)[None, :]
    wind = np.where(spell[:, None], 9.0, 3.0) + dice.random((days, 24)) * 4.0
    rain = np.where(spell[:, None] & (dice.random((days, 24)) < 0.5), 2.0, 0.0)
    ordinals = np.arange(days) + MONDAY.replace(year=2025, month=1, day=1).toordinal()
    return HourlyRecord("by hand", "made for tests", ordinals, 1, np.round(temperature, 2), np.round(wind, 2), rain)


@dataclass
class Draft:
    """A plan in the making."""

    dice: Random
    units: list[Unit]
    nodes: list[Node]
    gangs: list[int]
    shell_gangs: tuple[int, ...]
    cranes: tuple[int, ...]
    with_weather: bool
    moves: Random
    fronts: list[dict[UnitKind, tuple[int, ...]]]

    def add(
        self,
        key: str,
        name: str,
        kind: Kind,
        needs: Sequence[tuple[int, ...]],
        duration: Distribution,
        building: int,
        after: Sequence[int],
        home: str = "",
        told: bool = False,
        **task: object,
    ) -> int:
        """Write one more node down and give its index."""
        made = Task(
            name=name,
            kind=kind,
            rank=len(self.nodes) % 30,
            needs=tuple(needs),
            duration=duration,
            hours="" if kind in (Kind.CURE, Kind.HANDED_IN, Kind.MILESTONE, Kind.DELIVERY) else "site",
            **task,  # type: ignore[arg-type]  # the names are checked by Task itself
        )
        index = len(self.nodes)
        self.nodes.append(Node(index, key, made, building, home, tuple(sorted(set(after))), told=told))
        return index

    def some_limits(self, *kinds: str) -> str:
        return self.dice.choice(("", *kinds)) if self.with_weather else ""

    def some_inspection(self, share: float) -> Inspection | None:
        if self.dice.random() >= share:
            return None
        return Inspection(0, self.dice.choice((0.0, 0.3, 0.6)), Triangular(0.5, 2.0, 6.0))

    def some_learning(self) -> Learning:
        return self.dice.choice((Learning(), Learning(0.85, 0.6)))


def random_plan(number: int) -> Plan:
    """Make the random site of this number."""
    dice, extras, moves = (Random(f"{of}site {number}") for of in ("", "extras of ", "moves of "))
    with_weather = dice.random() < 0.6
    printers, tents = dice.randint(1, 3), dice.randint(1, 3)
    units = [
        *(Unit(f"shell {i}", UnitKind.GANG, ("shell", "site")[i], rate=100.0) for i in range(dice.randint(1, 2))),
        *(Unit(f"crane {i}", UnitKind.CRANE, "site", on_call=dice.random() < 0.7) for i in range(dice.randint(1, 2))),
        *(Unit(f"printer {i}", UnitKind.PRINTER, "shell") for i in range(printers)),
        *(Unit(f"tent {i}", UnitKind.TENT, "shell") for i in range(tents)),
        *(Unit(f"gang {i}", UnitKind.GANG, dice.choice(("site", "site", "long"))) for i in range(dice.randint(1, 4))),
    ]
    of_kind = {kind: tuple(i for i, unit in enumerate(units) if unit.kind is kind) for kind in UnitKind}
    shell_gangs = tuple(i for i in of_kind[UnitKind.GANG] if units[i].name.startswith("shell"))
    finishing = [i for i in of_kind[UnitKind.GANG] if i not in shell_gangs]
    machines = {kind: of_kind[kind] for kind in (UnitKind.PRINTER, UnitKind.TENT)}
    fronts = _fronts(moves, machines)
    draft = Draft(dice, units, [], finishing, shell_gangs, of_kind[UnitKind.CRANE], with_weather, moves, fronts)
    order = dice.choice(list(SetUpOrder))
    gantry, tent = dice.choice(TAKE_DOWNS), dice.choice(TAKE_DOWNS)
    if order is SetUpOrder.GANTRY_FIRST and TAKE_DOWNS.index(tent) > TAKE_DOWNS.index(gantry):
        gantry, tent = tent, gantry
    relocation = _relocation(moves, Relocation(order, gantry, tent))
    count = dice.randint(1, 4)
    ranks = dice.sample(range(count), count)
    buildings = []
    for b in range(count):
        homes = tuple(f"{chr(65 + b)}{h + 1}" for h in range(dice.randint(0, 3)))
        printed = b == 0 or dice.random() < 0.75
        buildings.append(_building(draft, b, ranks[b], homes, relocation if printed else None))
    if dice.random() < 0.3:
        gate = draft.add("site/road", "road", Kind.WORK, ((dice.choice(finishing),),), Fixed(20.0), -1, ())
        draft.add("site/gate", "gate", Kind.MILESTONE, (), Fixed(0.0), -1, (gate,))
    units = _with_flows(Random(f"flows of site {number}"), units)
    plan = _with_absences(
        number,
        Plan(
            name=f"random site {number}",
            start=MONDAY,
            days=dice.choice((700, 700, 700, 90, 30)),
            units_of_measure="metric",
            calendars=_calendars(dice),
            climate=_climate(dice) if with_weather else NO_CLIMATE,
            units=tuple(units),
            inspectors=(Inspector("building", "site", Triangular(1.0, 6.0, 20.0), dice.randint(1, 3), 1.0),),
            buildings=tuple(buildings),
            nodes=tuple(draft.nodes),
            relocation=relocation,
            print_day=_print_day(dice, extras, shell_gangs, "print" if with_weather else ""),
            supply=_supply(dice, extras, Random(f"mornings of site {number}")),
            fortune=dice.choice((Fortune(0.0, 0.0), Fortune(0.1, 0.1))),
            costs=NO_COSTS,
            sharing=_sharing(Random(f"sharing of site {number}")),
        ),
    )
    return _with_tent_sides(Random(f"sides of site {number}"), _with_points(Random(f"points of site {number}"), plan))


def _with_points(dice: Random, plan: Plan) -> Plan:
    """Let visits be moved, refusals fall with practice, and witnesses be invited, on half of the sites.

    Printed walls have layers at which an inspector is waited for, and others to which one is invited, too.
    """
    if dice.random() < 0.5:
        return plan
    inspectors = tuple(replace(each, moved_until=dice.choice((inf, 0.0, 4.0, 48.0))) for each in plan.inspectors)
    nodes = list(plan.nodes)
    for node in plan.nodes:
        if node.task.inspection is not None:
            rules = _some_rules(dice, node.task.inspection)
            nodes[node.index] = replace(node, task=replace(node.task, inspection=rules))
    buildings = tuple(_with_points_on_walls(dice, building, nodes) for building in plan.buildings)
    return replace(plan, inspectors=inspectors, nodes=tuple(nodes), buildings=buildings)


def _some_rules(dice: Random, usual: Inspection) -> Inspection:
    learning = dice.choice((Learning(), Learning(0.7, 0.2)))
    return replace(usual, learning=learning, witness=dice.random() < 0.3, comes=dice.choice((1.0, 0.6)))


def _with_points_on_walls(dice: Random, building: Building, nodes: list[Node]) -> Building:
    """Invite a witness to some layers of a printed wall, and wait for an inspector at one that nothing holds yet."""
    shell = building.shell
    if shell is None:
        return building
    layers = range(1, shell.wall.layers + 1)
    witnessed = {layer: (WitnessPoint(f"layer {layer}", 0, 0.8),) for layer in layers if dice.random() < 0.15}
    holds, free = dict(shell.holds), [layer for layer in layers if layer not in shell.holds]
    if free and dice.random() < 0.6:
        point = Task(
            "wall point",
            Kind.MILESTONE,
            5,
            (),
            Fixed(0.0),
            "site",
            inspection=Inspection(0, 0.4, Triangular(0.5, 1.0, 3.0)),
        )
        index, layer = len(nodes), dice.choice(free)
        nodes.append(Node(index, f"{building.name}/wall point", point, nodes[shell.walls].building, "", (), told=True))
        holds[layer] = (index,)
    wall = replace(shell.wall, witnessed=witnessed)
    return replace(building, shell=replace(shell, wall=wall, holds=holds))


def _with_tent_sides(dice: Random, plan: Plan) -> Plan:
    """Put a heated tent over the printing, now and then with sides that come down, and keep layers wet."""
    limits = plan.climate.limits.get("print")
    if limits is None or dice.random() < 0.3:
        return plan
    down = dice.choice((14.0, 16.0))
    sides = Sides(down, down * dice.choice((0.8, 1.0)), dice.choice((0.0, 1.0, 5.0)), dice.choice(("site", "shell")))
    shelter = Shelter(True, 0.4, dice.choice((inf, 25.0)), 8.0, 12.0, dice.choice((None, sides, sides)))
    evaporation = dice.choice((None, Evaporation(1.0, 25.0), Evaporation(0.6, 25.0, 0.125)))
    under = replace(limits, shelter=shelter, evaporation=evaporation)
    record = plan.climate.record
    assert record is not None
    record = replace(record, humidity=np.where(record.rain > 0.0, 0.95, 0.5))
    return replace(plan, climate=replace(plan.climate, record=record, limits={**plan.climate.limits, "print": under}))


def _with_absences(number: int, plan: Plan) -> Plan:
    """Let gangs and machines be away for a while, now and then on the same days, on a third of the sites."""
    dice = Random(f"absences of site {number}")
    if dice.random() < 0.67:
        return plan
    for unit in dice.sample(range(len(plan.units)), dice.randint(1, min(3, len(plan.units)))):
        for _ in range(dice.randint(1, 3)):
            first = MONDAY.toordinal() + dice.randrange(0, 150)
            plan = absent(plan, unit, frozenset(range(first, first + dice.randint(1, 15))))
    return plan


def _sharing(dice: Random) -> Sharing | None:
    """Rule who may share a home, and who slows whom there, on half of the sites."""
    if dice.random() < 0.5:
        return None
    tasks = [f"task {number}" for number in range(5)]
    crowding = (None, Crowding(1, 0.15), Crowding(2, 0.5))
    return Sharing(
        alone=frozenset(dice.sample(tasks, dice.choice((0, 0, 1, 2)))),
        apart=frozenset(frozenset(dice.sample(tasks, 2)) for _ in range(dice.randint(0, 3))),
        outside=frozenset(dice.sample(tasks, dice.choice((0, 0, 1)))),
        in_home=dice.choice(crowding),
        in_building=dice.choice(crowding),
    )


def _with_flows(dice: Random, units: list[Unit]) -> list[Unit]:
    """Keep some gangs behind the shell running, and call any gang at notice, on half of the sites."""
    if dice.random() < 0.5:
        return units
    return [_with_flow(dice, unit) if unit.kind is UnitKind.GANG else unit for unit in units]


def _with_flow(dice: Random, unit: Unit) -> Unit:
    stays, ahead = dice.choice((0.0, 4.0, 30.0)), dice.choice((0.0, 0.0, 8.0, 40.0))
    flows = (None, AtNotice(stays, ahead), KeptRunning(), KeptRunning(dice.choice((0.0, 5.0, 60.0))))
    flow = dice.choice(flows if unit.name.startswith("gang") else flows[:2])
    return replace(unit, flow=flow, notice=draw_distribution(dice, 16.0))


def _fronts(dice: Random, machines: dict[UnitKind, tuple[int, ...]]) -> list[dict[UnitKind, tuple[int, ...]]]:
    """Tie gantries and tents to two fronts now and then, where there are enough."""
    if min(map(len, machines.values())) < 2 or dice.random() < 0.5:
        return []
    return [{kind: units[front::2] for kind, units in machines.items()} for front in range(2)]


def _relocation(dice: Random, usual: Relocation) -> Relocation:
    """Let gantry and tent leave, and move, in a way that half of the sites do not have."""
    if dice.random() < 0.5:
        return usual
    while True:
        gantry = dice.choice((*TAKE_DOWNS, TakeDown.STRENGTH))
        drawn = Relocation(usual.order, gantry, dice.choice(list(TakeDown)), dice.choice(list(GantryMoves)))
        lifted_under_tent = drawn.tent_goes_first and drawn.tent_stands_over_gantry
        inside = drawn.order is SetUpOrder.TENT_FIRST and drawn.gantry_moves is GantryMoves.CRANE
        if not lifted_under_tent and not inside:
            return drawn


def _calendars(dice: Random) -> dict[str, WeekPattern]:
    holidays = frozenset(MONDAY.toordinal() + dice.randrange(2, 200) for _ in range(dice.randint(0, 8)))
    weekdays = dict.fromkeys(range(5), ((7.0, 15.0),))
    early = dict.fromkeys(range(dice.choice((5, 6))), ((6.0, 15.0),))
    with_lunch = dict.fromkeys(range(5), ((7.0, 12.0), (12.5, 17.5)))
    shell = dice.choice((WeekPattern(early, holidays),) * 3 + (WeekPattern(with_lunch, holidays), ROUND_THE_CLOCK))
    return {
        "site": WeekPattern(weekdays, holidays),
        "shell": shell,
        "long": WeekPattern(with_lunch, holidays),
        "plant": WeekPattern(dict.fromkeys(range(5), ((5.0, 12.0), (12.5, 18.0))), holidays),
    }


def _climate(dice: Random) -> Climate:
    limits = {
        "print": Limits("print", temperature_low=dice.choice((-40.0, 5.0)), gust=14.0),
        "lift": Limits("lift", gust=11.0),
        "dry": Limits("dry", rain=0.0, temperature_low=-5.0),
    }
    return Climate(rough_weather(dice.randrange(5)), limits, 1.5, 10, 15, dice.choice((1.0, 0.8)))


def _supply(dice: Random, extras: Random, mornings: Random) -> Supply:
    """Draw a supply; the dice that decided before there was so much to decide still decide the same."""
    if dice.random() < 0.35:
        return site_mix(
            batch=in_drops(dice.choice((0.1, 0.25, 0.4))),
            cycle=Triangular(0.05, 0.1, 0.4),
            fails=dice.choice((0.0, 0.1)),
            clean_every=extras.choice((1e9, 1.0, 3.0)),
            clean_time=extras.choice((0.0, 0.25)),
            store=_store(extras),
        )
    sizes = LoadSizes(dice.choice((1.5, 2.5, 4.0)), 0.5, 0.5)
    spacing = dice.choice((0.5, 1.5, 2.5))
    return ready_mix(
        ordering=_ordering(extras, sizes, spacing),
        trucks=dice.randint(1, 4),
        haul=Triangular(0.7, 1.0, 2.0),
        refused=dice.choice((0.0, 0.15)),
        hours=extras.choice(("", "", "plant")),
        other_customers=extras.choice((0.0, 0.3, 0.8)),
        traffic=extras.choice(((), (Traffic(6.0, 9.0, 1.15), Traffic(15.0, 18.0, 1.05)))),
        outages=_outages(extras),
        holding=_holding(extras, sizes.load),
        cut_off=mornings.choice((15.0, 15.0, 10.0)),
        morning_call=mornings.choice((AdjustTheOrder(), AdjustTheOrder(), ConfirmTheOrder())),
        notice=mornings.choice((0.0, 0.0, 0.5, 3.0)),
    )


def _ordering(dice: Random, sizes: LoadSizes, spacing: float) -> OrderingPolicy:
    fixed = FixedSpacing(sizes, spacing, 7.0, dice.choice((None, 1.5)))
    called = WillCall(sizes, 7.0, dice.choice((1.25, 2.0)), dice.choice((0.0, 0.5)))
    return dice.choice((fixed, fixed, called, DaysNeed(sizes, 7.0, dice.choice((0.0, 0.5)))))


def _outages(dice: Random) -> tuple[Outage, ...]:
    known = frozenset(MONDAY.toordinal() + dice.randrange(5, 60) for _ in range(6))
    storm = Outage("storm", Link.ROAD, chance=0.05, time=Triangular(0.5, 2.0, 30.0))
    axle = Outage("axle", Link.TRUCK, known, ((6.0, 12.0),), 0.1, Triangular(1.0, 20.0, 100.0))
    silo = Outage("silo", Link.PLANT, known, ((0.0, 9.0), (11.0, 24.0)), 0.05, Triangular(0.25, 1.0, 60.0))
    return tuple(outage for outage in (storm, axle, silo) if dice.random() < 0.25)


def _holding(dice: Random, load: float) -> HoldingHopper | None:
    if dice.random() < 0.7:
        return None
    capacity = load * dice.choice((1.0, 1.6))
    return HoldingHopper(in_drops(capacity), 30.0, in_drops(dice.choice((0.0, 0.5))), dice.choice((1.0, 1.3)))


def _store(dice: Random) -> DryStore | None:
    if dice.random() < 0.5:
        return None
    lead = Triangular(1.0, 4.0, 30.0)
    return DryStore(in_drops(dice.choice((2.0, 6.0))), in_drops(dice.choice((0.1, 1.0))), in_drops(2.5), lead)


def _print_day(dice: Random, extras: Random, crew: tuple[int, ...], limits: str) -> PrintDay:
    old = extras.choice(({}, {"old_after": 2.0, "old_counts": 4.0}))
    pause = extras.choice(({}, {"pause_after": 0.25, "pause_counts": 3.0}))
    stops = (
        Stop(
            "partial block",
            "nozzle",
            Exponential(dice.choice((1.0, 8.0))),
            Lognormal.by_p50_p90(0.33, 1.0),
            True,
            **old,
            **pause,
        ),
        Stop("controller", "nozzle", Exponential(20.0), Lognormal.by_p50_p90(0.2, 0.75), False),
    )
    return PrintDay(
        crew=crew,
        limits=limits,
        rank=5,
        go_before=0.5,
        align=dice.choice((0.0, 1.0)),
        prime=dice.choice((0.0, 0.25)),
        wash_out=1.25,
        least_hours=4.0,
        priming=in_drops(0.14),
        specimens=in_drops(0.03),
        hose=in_drops(0.06),
        hopper=in_drops(dice.choice((0.1, 0.25, 1.0))),
        first_layer_share=dice.choice((0.5, 1.0)),
        shortest_interval=dice.choice((0.0, 0.25, 0.5)),
        open_time=1.0,
        working_life=dice.choice((2.0, 5.0)),
        life_falls_with_heat=dice.random() < 0.5,
        joint_time=0.75,
        joint_concrete=in_drops(0.02),
        stops=dice.choice(((), stops)),
        slump_check=extras.choice((0.0, 0.125)),
        planned_joint_time=extras.choice((0.0, 0.25)),
        planned_joint_concrete=in_drops(extras.choice((0.0, 0.02))),
        meal_after=extras.choice((1e9, 3.5)),
        meal=0.5,
        hose_life=extras.choice((1e9, 1e9, 0.5)),
        hose_clear=0.5,
        waived=extras.choice((0.0, 0.5)),
        warmth=extras.choice((0.0, 2.0)),
        least_warmth=extras.choice((-100.0, 8.0)),
    )


def _wall(dice: Random) -> Wall:
    layers = dice.randint(1, 24)
    steel: tuple[PlannedStop, ...] = (PlannedStop("joint steel", 0.25),)
    stops = {layer: steel for layer in range(1, layers) if dice.random() < 0.1}
    ends = sorted({layers, *(layer for layer in range(1, layers) if dice.random() < 0.15)})
    pace = dice.choice((0.9, 1.2, 2.0))
    hours = [on_clock(dice.choice((0.25, 0.3, 0.4))) for _ in range(layers)]
    volume = tuple(in_drops(pace * of_layer) for of_layer in hours)
    return Wall(tuple(hours), volume, stops, tuple(ends), dice.choice((4, 10, layers)))


def _building(draft: Draft, b: int, rank: int, homes: tuple[str, ...], relocation: Relocation | None) -> Building:
    dice, name = draft.dice, chr(65 + b)
    slab = draft.add(f"{name}/slab", "slab", Kind.HANDED_IN, (), Fixed(0.0), b, ())
    if dice.random() < 0.5:
        not_before = on_clock(dice.choice((0.0, 33.0, 24.0 * dice.randint(1, 30))))
        draft.nodes[slab] = replace(draft.nodes[slab], not_before=not_before)
    shell = None
    last = slab
    if relocation is not None:
        shell = _shell(draft, b, slab, relocation)
        last = shell.released
    made = [last]
    for home in homes or ("",):
        for t in range(dice.randint(1, 5)):
            _finishing_task(draft, b, home, t, made)
    at = (draft.moves.uniform(0.0, 300.0), draft.moves.uniform(0.0, 300.0))
    return Building(name, rank, homes, shell, at)


def _finishing_task(draft: Draft, b: int, home: str, t: int, made: list[int]) -> None:
    dice = draft.dice
    kind = dice.choice((Kind.WORK,) * 5 + (Kind.DELIVERY, Kind.CURE))
    key = f"{chr(65 + b)}{home}/task {t}"
    after = [made[0], *dice.sample(made, min(len(made), dice.randint(0, 2)))]
    if kind is not Kind.WORK:
        made.append(draft.add(key, f"task {t}", kind, (), draw_distribution(dice, 60.0), b, after, home))
        return
    groups = [tuple(dice.sample(draft.gangs, dice.randint(1, len(draft.gangs))))]
    if dice.random() < 0.2:
        groups.append(draft.cranes)
    splittable = dice.random() < 0.8
    made.append(
        draft.add(
            key,
            f"task {t}",
            kind,
            groups if dice.random() < 0.95 else (),
            draw_distribution(dice, 12.0 if splittable else 3.0),
            b,
            after,
            home,
            limits=draft.some_limits("dry", "lift"),
            splittable=splittable,
            learning=draft.some_learning(),
            inspection=draft.some_inspection(0.25),
        )
    )


def _shell(draft: Draft, b: int, slab: int, relocation: Relocation) -> Shell:
    """Tell one building's shell in the order in which it is done."""
    dice, name = draft.dice, chr(65 + b)
    crew = (draft.shell_gangs,)
    lifting = (draft.shell_gangs, draft.cranes)
    at: dict[str, int] = {}
    moving: dict[str, int] = {}
    stays_for: dict[str, tuple[int, ...]] = {}
    strength = None
    last = slab

    def step(event: str, kind: Kind, needs: Sequence[tuple[int, ...]], hours: float, **task: Any) -> int:
        nonlocal last
        duration = draw_distribution(dice, hours) if hours else Fixed(0.0)
        last = at[event] = draft.add(f"{name}/{event}", event, kind, needs, duration, b, (last,), told=True, **task)
        return last

    def further(event: str, inspected: bool = False) -> None:
        """Write down a step that not every site has; those of moves in one piece where it moves so."""
        nonlocal last
        needed = event in ("gantry_on", "gantry_off") and relocation.in_one_piece
        if event in at or event in ("gantry_up", "tent_up") or not (needed or draft.moves.random() < 0.2):
            return
        kind = Kind.TENT if event == "tent_travel" else Kind.GANTRY
        at[event] = last = draft.add(
            f"{name}/{event}",
            event,
            kind,
            lifting,
            draw_distribution(draft.moves, 6.0),
            b,
            (last,),
            told=True,
            inspection=Inspection(0, 0.3, Fixed(1.0)) if inspected else None,
            pace=draft.moves.choice((0.0, 0.05)) if "travel" in event else 0.0,
        )
        moving[event] = last

    def ripens(event: str, hours: float, after: int) -> int:
        return draft.add(f"{name}/{event}", event, Kind.CURE, (), Fixed(hours), b, (after,))

    def take_down(event: TakeDown) -> None:
        for thing in relocation.leave_after(event):
            kind, moved = (Kind.GANTRY, "gantry") if thing == "printer" else (Kind.TENT, "tent")
            if thing == "printer":
                further("gantry_off")
            step(f"{moved}_down", kind, lifting, 8.0, limits=draft.some_limits("lift"), learning=draft.some_learning())
            if thing == "printer":
                further("ballast_off")

    for thing in relocation.asked_for():
        kind, moved = (Kind.GANTRY, "gantry") if thing == "printer" else (Kind.TENT, "tent")
        for event in COMING[thing][:-1]:
            further(event)
        step(
            f"{moved}_up",
            kind,
            lifting,
            12.0,
            limits=draft.some_limits("lift"),
            learning=draft.some_learning(),
            inspection=draft.some_inspection(0.3),
        )
        further(COMING[thing][-1])
    further("align")
    step("calibrate", Kind.GANTRY, crew, 5.0)
    further("test_bead", inspected=True)
    wall = _wall(dice)
    holds: dict[int, tuple[int, ...]] = {}
    if wall.layers > 2 and dice.random() < 0.5:
        layer = dice.randint(1, wall.layers)
        holds[layer] = tuple(
            step(f"grout {i}", Kind.WORK, crew, 4.0, inspection=draft.some_inspection(0.7)) for i in range(2)
        )
    step("walls", Kind.MILESTONE, (), 0.0)
    take_down(TakeDown.WALLS)
    if TakeDown.STRENGTH in (relocation.gantry_leaves, relocation.tent_leaves):
        main = last
        strength = last = ripens("strength", draft.moves.choice((0.0, 30.0, 300.0)), at["walls"])
        take_down(TakeDown.STRENGTH)
        last = main
    pours = TakeDown.BEAM in (relocation.gantry_leaves, relocation.tent_leaves)
    finish = tuple(
        step(event, Kind.WORK, crew, 4.0, splittable=dice.random() < 0.5, limits=draft.some_limits("dry"))
        for event in ("cage", "beam")
        if pours or dice.random() < 0.7
    )
    beam = finish[-1] if finish else at["walls"]
    take_down(TakeDown.BEAM)
    last = beam  # it cures from its pour on, whatever is taken down meanwhile
    step("cure", Kind.CURE, (), 72.0)
    if relocation.gantry_waits_for_tent:
        stays_for["printer"] = (at["tent_down"],)
    take_down(TakeDown.CURE)
    if relocation.tent_leaves is TakeDown.ROOF:
        stays_for["tent"] = (ripens("roof materials", draft.moves.choice((0.0, 100.0, 900.0)), at["walls"]),)
    take_down(TakeDown.ROOF)
    step("released", Kind.MILESTONE, (), 0.0)
    served_by = draft.moves.choice(draft.fronts) if draft.fronts else {}
    return Shell(
        wall, slab, at["gantry_up"], at["tent_up"], at["calibrate"], holds, at["walls"], finish, beam, at["cure"],
        at["gantry_down"], at["tent_down"], at["released"], moving, strength, stays_for, served_by,
    )  # fmt: skip


@cache
def played_site(number: int) -> tuple[Plan, Played, Account]:
    """Play a random site once for all the tests that read it, with its diary kept."""
    plan = random_plan(number)
    with counted_events():
        played = play_plan(plan, seed=3, run=number, keep_diary=True)
    return plan, played, account_of(plan, played)


def in_homes(plan: Plan, entry: Entry) -> set[tuple[int, str]]:
    """Give the homes in which an entry's work was, none for what is no work of a gang in one."""
    if entry.node < 0 or not entry.units or entry.kind is not Kind.WORK:
        return set()
    node, outside = plan.nodes[entry.node], frozenset() if plan.sharing is None else plan.sharing.outside
    if node.told or node.building < 0 or node.task.name in outside:
        return set()
    homes = (node.home,) if node.home else plan.buildings[node.building].homes or ("",)
    return {(node.building, home) for home in homes}


class EndlessRunError(AssertionError):
    """A run that goes on and on."""


@contextmanager
def counted_events(most: int = 1_000_000) -> Iterator[list[int]]:
    """Count the events of all SimPy environments inside the block, in the list's only place.

    Runs go event by event there, in SimPy's own way. Raises EndlessRunError past ``most`` events.
    """
    count = [0]
    step = simpy.Environment.step

    def counting(env: simpy.Environment) -> None:
        count[0] += 1
        if count[0] > most:
            raise EndlessRunError(f"more than {most} events by hour {env.now}")
        step(env)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counting)
        patch.setattr(Engine, "run", simpy.Environment.run)
        yield count
