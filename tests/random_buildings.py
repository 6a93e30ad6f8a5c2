"""Buildings drawn at random: printed shells, the tasks in their homes, and how gantry and tent move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from random_durations import draw_distribution

from sitesim.chance import Distribution, Fixed, Triangular
from sitesim.hours import on_clock
from sitesim.plan import (
    Building,
    Inspection,
    Kind,
    Learning,
    Node,
    PlannedStop,
    Shell,
    Task,
    Unit,
    UnitKind,
    Wall,
    in_drops,
)
from sitesim.policies import COMING, GantryMoves, Relocation, SetUpOrder, TakeDown

TAKE_DOWNS = (TakeDown.WALLS, TakeDown.BEAM, TakeDown.CURE)


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


def draw_fronts(dice: Random, machines: dict[UnitKind, tuple[int, ...]]) -> list[dict[UnitKind, tuple[int, ...]]]:
    """Tie gantries and tents to two fronts now and then, where there are enough."""
    if min(map(len, machines.values())) < 2 or dice.random() < 0.5:
        return []
    return [{kind: units[front::2] for kind, units in machines.items()} for front in range(2)]


def draw_relocation(dice: Random, usual: Relocation) -> Relocation:
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


def _wall(dice: Random) -> Wall:
    layers = dice.randint(1, 24)
    steel: tuple[PlannedStop, ...] = (PlannedStop("joint steel", 0.25),)
    stops = {layer: steel for layer in range(1, layers) if dice.random() < 0.1}
    ends = sorted({layers, *(layer for layer in range(1, layers) if dice.random() < 0.15)})
    pace = dice.choice((0.9, 1.2, 2.0))
    hours = [on_clock(dice.choice((0.25, 0.3, 0.4))) for _ in range(layers)]
    volume = tuple(in_drops(pace * of_layer) for of_layer in hours)
    return Wall(tuple(hours), volume, stops, tuple(ends), dice.choice((4, 10, layers)))


def draw_building(draft: Draft, b: int, rank: int, homes: tuple[str, ...], relocation: Relocation | None) -> Building:
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
