"""Small sites built by hand, so that tests of the model need no scenario file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from sitesim.chance import Distribution, Fixed
from sitesim.hours import WeekPattern, everlasting
from sitesim.ledger import Account, Entry
from sitesim.plan import (
    Building,
    Climate,
    Costs,
    Fortune,
    HourlyRecord,
    Inspector,
    Kind,
    Limits,
    Node,
    Plan,
    PrintDay,
    ReadyMix,
    Shell,
    SiteMix,
    Stop,
    Supply,
    Task,
    Unit,
    UnitKind,
    Wall,
    in_drops,
)
from sitesim.policies import (
    Course,
    FixedSpacing,
    GantryMoves,
    LoadSizes,
    Relocation,
    SetUpOrder,
    TakeDown,
)
from sitesim.site import Played, Stage, play

ROUND_THE_CLOCK = WeekPattern(dict.fromkeys(range(7), ((0.0, 24.0),)))
WEEKDAYS = WeekPattern(dict.fromkeys(range(5), ((7.0, 15.0),)))
EARLY_WEEKDAYS = WeekPattern(dict.fromkeys(range(5), ((6.0, 15.0),)))
ALWAYS = everlasting(1e6)
NO_COSTS = Costs("USD")
NO_CLIMATE = Climate(None, {}, 1.5, 10, 15, 1.0)
MONDAY = date(2027, 3, 1)


def network_plan(
    tasks: Mapping[str, tuple[Sequence[str], Distribution]],
    gangs: Mapping[str, Sequence[str]] | None = None,
    days: int = 4000,
    calendar: WeekPattern = ROUND_THE_CLOCK,
) -> Plan:
    """Make a plan of one building without printed walls.

    tasks: for each task its predecessors and its duration [h]; gangs: for each gang the tasks that it does.
    """
    names = list(tasks)
    gang_of = {task: i for i, done in enumerate((gangs or {}).values()) for task in done}
    nodes = tuple(
        Node(
            index=i,
            key=name,
            task=Task(
                name=name,
                kind=Kind.WORK,
                rank=i,
                needs=((gang_of[name],),) if name in gang_of else (),
                duration=duration,
                hours="site",
            ),
            building=0,
            home="",
            after=tuple(names.index(before) for before in after),
            milestone="done" if i == len(names) - 1 else "",
        )
        for i, (name, (after, duration)) in enumerate(tasks.items())
    )
    return bare_plan(
        nodes, [Unit(name, UnitKind.GANG, "site") for name in gangs or {}], [Building("A", 0, (), None)], days, calendar
    )


def bare_plan(
    nodes: Sequence[Node],
    units: Sequence[Unit],
    buildings: Sequence[Building],
    days: int = 4000,
    calendar: WeekPattern = ROUND_THE_CLOCK,
) -> Plan:
    """Put nodes, units and buildings into a plan without weather, costs or shared fortune."""
    return Plan(
        name="rig",
        start=MONDAY,
        days=days,
        units_of_measure="metric",
        calendars={"site": calendar, "shell": EARLY_WEEKDAYS},
        climate=NO_CLIMATE,
        units=tuple(units),
        inspectors=(Inspector("building", "site", Fixed(4.0), 6, 1.0),),
        buildings=tuple(buildings),
        nodes=tuple(nodes),
        relocation=None,
        print_day=None,
        supply=None,
        fortune=Fortune(0.0, 0.0),
        costs=NO_COSTS,
    )


SHELL, CRANE, PRINTER, TENT = range(4)


def unforeseen(first_load: float) -> Course:
    """Stand for the expected use of concrete where a policy must not ask for it."""
    raise AssertionError("this policy does not look ahead")


def ready_mix(load: float = 2.5, spacing: float = 2.0, **changes: object) -> ReadyMix:
    """Make a plant an hour away with fixed times and no refusals."""
    plan = ReadyMix(
        ordering=FixedSpacing(LoadSizes(load, 0.5, 0.5), spacing, 7.0),
        trucks=3,
        bays=1,
        cut_off=15.0,
        loading=Fixed(0.25),
        haul=Fixed(1.0),
        back=Fixed(1.0),
        gate=0.125,
        refused=0.0,
        wash=0.125,
        price=200.0,
        short_load=50.0,
        short_under=3.0,
        standby=130.0,
        standby_free=0.15,
        disposal=60.0,
        cancellation=100.0,
    )
    return replace(plan, **changes)  # type: ignore[arg-type]  # the names are checked by replace itself


def site_mix(**changes: object) -> SiteMix:
    """Make a mixer on site with fixed cycles and no failing batch."""
    plan = SiteMix(
        batch=0.25,
        cycle=Fixed(0.125),
        ready=0.75,
        fails=0.0,
        blend=260.0,
        hands=62.0,
        mixer=300.0,
        disposal=60.0,
    )
    return replace(plan, **changes)  # type: ignore[arg-type]  # the names are checked by replace itself


def printing_plan(
    buildings: int = 2,
    layers: int = 20,
    day_ends: Sequence[int] = (10, 20),
    supply: Supply | None = None,
    stops: Sequence[Stop] = (),
    printers: int = 1,
    tents: int = 1,
    order: SetUpOrder = SetUpOrder.GANTRY_FIRST,
    gantry_leaves: TakeDown = TakeDown.CURE,
    tent_leaves: TakeDown = TakeDown.CURE,
    gantry_moves: GantryMoves = GantryMoves.TAKEN_DOWN,
    apart: float = 0.0,
    fronts: Sequence[Sequence[int]] = (),
    layer_hours: float = 0.3125,
    layer_volume: float = 0.375,
    days: int = 400,
) -> Plan:
    """Make a site of printed buildings with one roof task each, all durations fixed.

    apart: metres from one building to the next; where there are some, gantry and tent are carried over in two hours and
    an hour for each 40 m. fronts: the buildings of each; the gantries and tents are dealt out to them in turn.
    Strength is reached 40 h after the last layer, and a tent that stays for the roof stays until 120 h after the beam.
    """
    wall = Wall(
        nozzle_hours=(layer_hours,) * layers,
        volume=(in_drops(layer_volume),) * layers,
        stops={},
        day_ends=tuple(day_ends),
        layers_a_day=max(day_ends),
    )
    units = [
        Unit("shell", UnitKind.GANG, "shell", size=6, rate=320.0),
        Unit("crane", UnitKind.CRANE, "site", on_call=True),
        *(Unit(f"printer {i + 1}", UnitKind.PRINTER, "shell") for i in range(printers)),
        *(Unit(f"tent {i + 1}", UnitKind.TENT, "shell") for i in range(tents)),
        Unit("roof", UnitKind.GANG, "site", size=4, rate=190.0),
    ]
    roof = len(units) - 1
    machines = {
        kind: [i for i, unit in enumerate(units) if unit.kind is kind] for kind in (UnitKind.PRINTER, UnitKind.TENT)
    }
    relocation = Relocation(order, gantry_leaves, tent_leaves, gantry_moves)
    nodes: list[Node] = []
    sites: list[Building] = []

    def add(
        building: int,
        name: str,
        kind: Kind,
        hours: float,
        needs: Sequence[int],
        after: Sequence[int],
        pace: float = 0.0,
    ) -> int:
        told = name not in ("slab", "roof", "strength", "beam + 5 d")
        task = Task(
            name=name,
            kind=kind,
            rank=len(nodes) % 20,
            needs=tuple((unit,) for unit in needs),
            duration=Fixed(hours),
            hours="" if kind in (Kind.CURE, Kind.HANDED_IN, Kind.MILESTONE) else "site",
            shares_fortune=bool(needs),
            pace=pace,
        )
        nodes.append(
            Node(
                index=len(nodes),
                key=f"{chr(65 + building)}/{name}",
                task=task,
                building=building,
                home="",
                after=tuple(after),
                milestone=name if name in ("walls", "released", "roof") else "",
                told=told,
            )
        )
        return len(nodes) - 1

    for b in range(buildings):
        moving: dict[str, int] = {}
        slab = add(b, "slab", Kind.HANDED_IN, 0.0, (), ())
        if apart:
            moving["gantry_travel"] = add(b, "gantry_travel", Kind.GANTRY, 2.0, (SHELL,), (slab,), pace=1 / 40)
            moving["tent_travel"] = add(b, "tent_travel", Kind.TENT, 2.0, (SHELL,), (slab,), pace=1 / 40)
        up = add(b, "gantry_up", Kind.GANTRY, 16.0, (SHELL, CRANE), (slab,))
        if gantry_moves is not GantryMoves.TAKEN_DOWN:
            moving["gantry_on"] = add(b, "gantry_on", Kind.GANTRY, 4.0, (SHELL, CRANE), (slab,))
        tent = add(b, "tent_up", Kind.TENT, 12.0, (SHELL, CRANE), (slab,))
        calibrate = add(b, "calibrate", Kind.GANTRY, 6.0, (SHELL,), (up, tent))
        walls = add(b, "walls", Kind.MILESTONE, 0.0, (), (calibrate,))
        beam = add(b, "beam", Kind.WORK, 8.0, (SHELL,), (walls,))
        cure = add(b, "cure", Kind.CURE, 72.0, (), (beam,))
        strength = None
        if TakeDown.STRENGTH in (gantry_leaves, tent_leaves):
            strength = add(b, "strength", Kind.CURE, 40.0, (), (walls,))
        lags = []
        if tent_leaves is TakeDown.ROOF:
            lags.append(add(b, "beam + 5 d", Kind.CURE, 120.0, (), (beam,)))
        tent_down = add(b, "tent_down", Kind.TENT, 8.0, (SHELL, CRANE), (cure, *lags))
        if gantry_moves is not GantryMoves.TAKEN_DOWN:
            moving["gantry_off"] = add(b, "gantry_off", Kind.GANTRY, 3.0, (SHELL, CRANE), (cure,))
        down = add(b, "gantry_down", Kind.GANTRY, 10.0, (SHELL, CRANE), (cure,))
        released = add(b, "released", Kind.MILESTONE, 0.0, (), (tent_down, down))
        add(b, "roof", Kind.WORK, 40.0, (roof,), (released, *lags))
        stays = {"printer": (tent_down,)} if relocation.gantry_waits_for_tent else {}
        served_by = {
            kind: tuple(of_kind[front :: len(fronts)])
            for front, buildings_of_it in enumerate(fronts)
            if b in buildings_of_it
            for kind, of_kind in machines.items()
        }
        shell = Shell(
            wall,
            slab,
            up,
            tent,
            calibrate,
            {},
            walls,
            (beam,),
            beam,
            cure,
            down,
            tent_down,
            released,
            moving,
            strength,
            {**stays, **({"tent": tuple(lags)} if lags else {})},
            served_by,
        )
        sites.append(Building(chr(65 + b), b, (), shell, (apart * b, 0.0) if apart else None))
    plan = bare_plan(nodes, units, sites, days, WEEKDAYS)
    return replace(
        plan,
        relocation=relocation,
        supply=supply or ready_mix(),
        print_day=PrintDay(
            crew=(SHELL,),
            limits="",
            rank=5,
            go_before=0.5,
            align=1.0,
            prime=0.25,
            wash_out=1.25,
            least_hours=4.0,
            priming=in_drops(0.14),
            specimens=in_drops(0.03),
            hose=in_drops(0.06),
            hopper=in_drops(0.25),
            first_layer_share=0.5,
            shortest_interval=0.25,
            open_time=1.0,
            working_life=5.0,
            life_falls_with_heat=False,
            joint_time=0.75,
            joint_concrete=in_drops(0.02),
            stops=tuple(stops),
        ),
    )


def with_slabs(plan: Plan, hours: Sequence[float]) -> Plan:
    """Let the slabs of the buildings be ready at these hours [h]."""
    ready = {building.shell.ready: at for building, at in zip(plan.buildings, hours, strict=True) if building.shell}
    return replace(plan, nodes=tuple(replace(node, not_before=ready.get(node.index, 0.0)) for node in plan.nodes))


def with_rules(plan: Plan, **changes: object) -> Plan:
    """Change the rules of a plan's print days."""
    assert plan.print_day is not None
    rules: PrintDay = replace(plan.print_day, **changes)  # type: ignore[arg-type]  # the names are checked by replace
    return replace(plan, print_day=rules)


def windy(shut: dict[int, list[tuple[int, int]]], kind: str, every_day: bool = False) -> Climate:
    """Make a year that is calm but for some hours of some days, counted from the first of March."""
    wind = np.full((365, 24), 2.0)
    first = (date(2026, 3, 1) - date(2026, 1, 1)).days
    for day, spans in shut.items():
        for begin, end in spans:
            if every_day:
                wind[:, begin:end] = 20.0
            else:
                wind[first + day, begin:end] = 20.0
    days = np.arange(365) + date(2026, 1, 1).toordinal()
    record = HourlyRecord("by hand", "for a test", days, 1, np.full((365, 24), 15.0), wind, np.zeros((365, 24)))
    # With no window to either side every block is the record's own date.
    return Climate(record, {kind: Limits(kind, gust=15.0)}, 1.5, 10, 0, 1.0)


def play_plan(plan: Plan, seed: int = 1, run: int = 0, keep_diary: bool = False) -> Played:
    """Play one run of a plan on a stage of its own."""
    return play(Stage(plan), seed, run, keep_diary)


def entries_of(played: Played) -> dict[str, Entry]:
    """Give the entries of a run by their keys."""
    return {entry.key: entry for entry in played.ledger.entries}


def account_of(plan: Plan, played: Played) -> Account:
    """Give the account that reads a run's ledger backwards."""
    return Account(played.ledger.entries, Stage(plan).unit_shifts, played.ledger.comings)
