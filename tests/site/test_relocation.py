"""When gantry and tent leave, and how they move, on small sites worked out by hand beforehand; and on random ones.

Kind of the tests: deterministic, and invariants over random sites. The rig is that of the hand-computed print days:
Monday to Friday, site and crane from seven to three, the shell gang from six to three; Monday the 8th begins at hour
168. The walls of the first building stand at 204.0625, its beam is poured by 227.0625 and has cured by 299.0625, a
Saturday. Times are recomputed from the stated rules: no source outside the project.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from random_sites import SITES, played_site
from rigs import CRANE, SHELL, WEEKDAYS, entries_of, play_plan, printing_plan, site_mix, with_slabs

from sitesim.chance import Fixed
from sitesim.ledger.rows import NOBODY
from sitesim.plan import Cause, Plan, Shell, Unit, UnitKind
from sitesim.policies import GantryMoves, SetUpOrder, TakeDown
from sitesim.site import Played

WALLS, BEAM, CURE, STRENGTH, ROOF = (
    TakeDown.WALLS,
    TakeDown.BEAM,
    TakeDown.CURE,
    TakeDown.STRENGTH,
    TakeDown.ROOF,
)


def spans_of(played: Played, building: str, *steps: str) -> list[tuple[float, float]]:
    entries = entries_of(played)
    return [(entries[f"{building}/{step}"].start, entries[f"{building}/{step}"].end) for step in steps]


def moves_of(played: Played, building: str) -> list[str]:
    """Name the steps of moves that were played in a building, in the order in which they began."""
    of_building = [entry for entry in played.ledger.entries if entry.key.startswith(f"{building}/")]
    names = [entry.key.partition("/")[2] for entry in sorted(of_building, key=lambda entry: entry.start)]
    return [name for name in names if name.startswith(("gantry", "tent"))]


def with_duration(plan: Plan, key: str, hours: float) -> Plan:
    """Give every building's step of this name another fixed duration [h]."""
    nodes = tuple(
        replace(node, task=replace(node.task, duration=Fixed(hours))) if node.task.name == key else node
        for node in plan.nodes
    )
    return replace(plan, nodes=nodes)


# ----------------------------------------------------------------------------------------------- when they leave


def test_what_leaves_by_strength_goes_while_the_beam_still_cures() -> None:
    played = play_plan(printing_plan(buildings=1, gantry_leaves=STRENGTH, tent_leaves=STRENGTH))
    # 40 h after the walls: Thursday 04:03:45. The tent 8 h of Thursday, the gantry 8 h of Friday and 2 h of Monday. The
    # cure has ended by then; the roof takes 6 h of Monday, four days, and 2 h of the Monday after.
    assert spans_of(played, "A", "strength", "beam", "cure", "tent_down", "gantry_down", "roof") == [
        (204.0625, 244.0625),
        (204.0625, 227.0625),
        (227.0625, 299.0625),
        (247.0, 255.0),
        (271.0, 345.0),
        (345.0, 513.0),
    ]
    assert entries_of(played)["A/tent_down"].holds[0].cause is Cause.CURE


def test_a_strength_that_is_late_holds_the_release_and_not_the_cure() -> None:
    plan = printing_plan(buildings=1, order=SetUpOrder.TENT_FIRST, gantry_leaves=STRENGTH, tent_leaves=CURE)
    played = play_plan(with_duration(plan, "strength", 400.0))
    # Reached on Friday the 26th at 04:03:45. The tent went on Monday the 15th; the gantry, without a tent, takes 8 h of
    # that Friday and 2 h of the Monday after.
    assert spans_of(played, "A", "tent_down", "strength", "gantry_down") == [
        (343.0, 351.0),
        (204.0625, 604.0625),
        (607.0, 681.0),
    ]
    assert spans_of(played, "A", "released") == [(681.0, 681.0)]


def test_a_gantry_that_a_crane_lifts_out_waits_for_a_tent_that_waits_for_strength() -> None:
    plan = printing_plan(buildings=1, gantry_leaves=CURE, tent_leaves=STRENGTH)
    played = play_plan(with_duration(plan, "strength", 400.0))
    assert spans_of(played, "A", "cure", "tent_down", "gantry_down") == [
        (227.0625, 299.0625),
        (607.0, 615.0),
        (679.0, 705.0),
    ]


def test_a_tent_that_stays_for_the_roof_goes_when_the_last_of_its_other_waits_ends() -> None:
    plan = printing_plan(buildings=1, order=SetUpOrder.TENT_FIRST, gantry_leaves=BEAM, tent_leaves=ROOF)
    played = play_plan(plan)
    # Five days after the beam: Monday 11:03:45, two days after the cure. The gantry had gone by Thursday. The tent
    # takes 3.9375 h of Monday and 4.0625 h of Tuesday; the roof follows at once.
    assert spans_of(played, "A", "gantry_down", "beam + 5 d", "tent_down") == [
        (227.0625, 253.0625),
        (227.0625, 347.0625),
        (347.0625, 371.0625),
    ]
    assert spans_of(played, "A", "released", "roof") == [(371.0625, 371.0625), (371.0625, 539.0625)]


@pytest.mark.parametrize("lag", [0.0, 50.0, 120.0, 301.5, 1000.0])
def test_the_roof_never_waits_for_the_tent_longer_than_it_takes_to_strike_it(lag: float) -> None:
    plan = printing_plan(buildings=1, order=SetUpOrder.TENT_FIRST, gantry_leaves=BEAM, tent_leaves=ROOF)
    entries = entries_of(play_plan(with_duration(plan, "beam + 5 d", lag)))
    ends = max(entries["A/cure"].end, entries["A/beam + 5 d"].end)
    asked = [hold.end for hold in entries["A/tent_down"].holds]
    assert entries["A/tent_down"].ready == ends
    assert asked in ([], [entries["A/tent_down"].start])  # nothing but the night or the weekend
    assert entries["A/roof"].ready == entries["A/tent_down"].end


# ------------------------------------------------------------------------------------------------- how they move


def test_a_gantry_lifted_in_one_piece_is_set_up_once_and_taken_down_once() -> None:
    played = play_plan(printing_plan(buildings=2, gantry_moves=GantryMoves.CRANE))
    assert moves_of(played, "A") == ["gantry_up", "tent_up", "tent_down", "gantry_off"]
    assert moves_of(played, "B") == ["gantry_on", "tent_up", "tent_down", "gantry_down"]
    # Off the slab on Tuesday from seven to ten, and free; onto the next by two. The tent 1 h of Tuesday, Wednesday, 3 h
    # of Thursday; the calibration 5 h of Thursday and 1 h of Friday; the first print day is ordered for Monday.
    assert spans_of(played, "A", "tent_down", "gantry_off", "released") == [
        (343.0, 351.0),
        (367.0, 370.0),
        (370.0,) * 2,
    ]
    assert spans_of(played, "B", "gantry_on", "tent_up", "calibrate") == [
        (370.0, 374.0),
        (374.0, 418.0),
        (418.0, 439.0),
    ]
    assert spans_of(played, "B", "print day 1", "print day 2") == [(510.0, 516.0625), (534.0, 540.0625)]
    assert spans_of(played, "B", "tent_down", "gantry_down") == [(679.0, 687.0), (703.0, 729.0)]
    held = entries_of(played)["B/gantry_on"].holds[-1]
    assert (held.cause, held.by) == (Cause.PRINTER, entries_of(played)["A/gantry_off"].serial)


def test_a_gantry_on_rails_rolls_out_under_its_tent() -> None:
    plan = printing_plan(buildings=2, tents=2, gantry_leaves=BEAM, gantry_moves=GantryMoves.RAILS)
    played = play_plan(with_slabs(plan, [0.0, 228.0]))
    # Off the slab from Wednesday 11:03:45 to 14:03:45; onto the next 0.9375 h of Wednesday and 3.0625 h of Thursday;
    # the other tent 4.9375 h of Thursday and 7.0625 h of Friday, while the first one stays over the cure. The gang
    # calibrates 0.9375 h of Friday and 5.0625 h of Monday, and strikes the first tent from Monday 11:03:45 on.
    assert spans_of(played, "A", "gantry_off", "tent_down") == [(227.0625, 230.0625), (347.0625, 371.0625)]
    assert spans_of(played, "B", "calibrate") == [(278.0625, 347.0625)]
    assert spans_of(played, "B", "gantry_on", "tent_up") == [(230.0625, 250.0625), (250.0625, 278.0625)]
    # For good it is rolled off first, and taken down beside the slab.
    assert [step for step in moves_of(played, "B") if step.startswith("gantry")] == [
        "gantry_on",
        "gantry_off",
        "gantry_down",
    ]


def test_carrying_over_takes_its_time_by_the_distance() -> None:
    played = play_plan(printing_plan(buildings=2, apart=120.0))
    # 2 h and 120 m at 40 m/h: 5 h of the shell gang. Nothing is carried over to the first building.
    assert moves_of(played, "A") == ["gantry_up", "tent_up", "tent_down", "gantry_down"]
    # Free on Wednesday at nine. Carried by two; the gantry up 1 h of Wednesday, Thursday, 7 h of Friday; the tent
    # carried 1 h of Friday and 4 h of Monday from six on; up 5 h of Monday and 7 h of Tuesday.
    assert spans_of(played, "B", "gantry_travel", "gantry_up", "tent_travel", "tent_up") == [
        (393.0, 398.0),
        (398.0, 446.0),
        (446.0, 514.0),
        (514.0, 542.0),
    ]


def test_the_way_is_from_where_the_gantry_stands() -> None:
    plan = printing_plan(buildings=3, apart=40.0)
    # The third building's slab is ready first: it is served after the first, 80 m away, and the second after it, 40 m.
    played = play_plan(with_slabs(plan, [0.0, 700.0, 0.0]))
    entries = entries_of(played)
    hours = {name: entries[f"{name}/gantry_travel"].hours for name in "BC"}
    assert all(found is not None for found in hours.values())
    worked = {name: found.worked(*spans_of(played, name, "gantry_travel")[0]) for name, found in hours.items() if found}
    assert worked == {"C": 4.0, "B": 3.0}


# ------------------------------------------------------------------------------------------------------ how many


def test_a_second_tent_gains_the_hours_that_it_is_raised_ahead() -> None:
    def set_up(tents: int) -> Played:
        plan = printing_plan(buildings=2, tents=tents, order=SetUpOrder.TENT_FIRST, gantry_leaves=BEAM)
        return play_plan(with_slabs(replace(plan, calendars={"site": WEEKDAYS, "shell": WEEKDAYS}), [0.0, 240.0]))

    # Everybody works from seven to three. The gantry of A is down on Thursday at 14:56:15; A has cured on Saturday.
    steps = ("tent_up", "gantry_up", "calibrate")
    one, two = set_up(1), set_up(2)
    assert spans_of(one, "A", "gantry_down", "cure") == [(228.9375, 254.9375), (228.9375, 300.9375)]
    # With one tent: struck on Monday, raised again by Wednesday 11:00; the gantry by Friday 11:00.
    assert spans_of(one, "A", "tent_down") == [(343.0, 351.0)]
    assert spans_of(one, "B", *steps) == [(367.0, 395.0), (395.0, 443.0), (443.0, 513.0)]
    # With two: raised from Thursday 14:56:15 on, Friday, to Monday 10:56:15; then the first one is struck, by Tuesday.
    assert spans_of(two, "B", *steps) == [(254.9375, 346.9375), (370.9375, 418.9375), (418.9375, 440.9375)]
    assert spans_of(two, "A", "tent_down") == [(346.9375, 370.9375)]
    week = WEEKDAYS.over(printing_plan().start, 60)
    ahead = week.worked(254.9375, 343.0)  # until the first one could be struck
    assert ahead == 8.0625
    assert week.worked(440.9375, 513.0) == ahead


def uncontended(
    printers: int, slabs: Sequence[float], gantry_moves: GantryMoves = GantryMoves.TAKEN_DOWN, apart: float = 0.0
) -> Plan:
    """Make a site on which nobody waits for anything but gantries: a gang, a crane and a tent for each building."""
    count = len(slabs)
    plan = printing_plan(
        buildings=count, printers=printers, tents=count, supply=site_mix(), gantry_moves=gantry_moves, apart=apart
    )
    first = len(plan.units)
    gangs = (SHELL, *range(first, first + count - 1))
    cranes = (CRANE, *range(first + count - 1, first + 2 * count - 2))
    roofs = tuple(range(first + 2 * count - 2, first + 3 * count - 3))
    usual = next(i for i, unit in enumerate(plan.units) if unit.name == "roof")
    serving = {SHELL: gangs, CRANE: cranes, usual: (usual, *roofs)}
    more: list[Unit] = []
    for unit in (SHELL, CRANE, usual):
        more += [replace(plan.units[unit], name=f"{plan.units[unit].name} {n}") for n in range(1, count)]
    nodes = tuple(
        replace(node, task=replace(node.task, needs=tuple(serving[group[0]] for group in node.task.needs)))
        for node in plan.nodes
    )
    assert plan.print_day is not None
    rules = replace(plan.print_day, crew=gangs)
    return with_slabs(replace(plan, units=(*plan.units, *more), nodes=nodes, print_day=rules), slabs)


@pytest.mark.parametrize("slabs", [(0.0,) * 4, (0.0, 100.0, 500.0, 900.0), (500.0, 0.0, 300.0, 0.0)])
def test_more_gantries_are_never_later(slabs: tuple[float, ...]) -> None:
    # Taken down in between, a gantry is set up in the same time wherever it comes from. One that moves in one piece is
    # not: there one more gantry, fetched to the site, may be set up more slowly than one that stands there is moved.
    finishes = [max(play_plan(uncontended(printers, slabs)).ledger.ended.values()) for printers in (1, 2, 3, 4)]
    assert finishes == sorted(finishes, reverse=True)
    assert finishes[0] > finishes[1]


def moves_by_gantry(plan: Plan, played: Played) -> list[list[str]]:
    """Name for each gantry the steps by which it was moved, with their buildings."""
    return [
        [entry.key for entry in played.ledger.entries if i in entry.units and "/gantry_" in entry.key]
        for i, unit in enumerate(plan.units)
        if unit.kind is UnitKind.PRINTER
    ]


@pytest.mark.parametrize("slab", [0.0, 2000.0])
def test_a_gantry_that_is_taken_down_for_good_is_not_put_onto_a_slab_in_one_piece(slab: float) -> None:
    # A and B are left at the same time: the first gantry is lifted off for C, and that takes so long that the second,
    # for which nobody waits, is taken down sooner. C takes the first all the same, whether it waits for it or not.
    plan = with_duration(uncontended(2, (0.0, 0.0, slab), GantryMoves.CRANE), "gantry_off", 60.0)
    played = play_plan(plan)
    assert played.finished
    assert moves_by_gantry(plan, played) == [
        ["A/gantry_up", "A/gantry_off", "C/gantry_on", "C/gantry_down"],
        ["B/gantry_up", "B/gantry_down"],
    ]
    assert entries_of(played)["B/gantry_down"].end < entries_of(played)["A/gantry_off"].end


def by_printer(plan: Plan, played: Played, step: str) -> dict[str, str]:
    """Name for each building the printer that was moved by a step there."""
    return {
        entry.key.partition("/")[0]: plan.units[unit].name
        for entry in played.ledger.entries
        for unit in entry.units
        if entry.key.endswith(f"/{step}") and plan.units[unit].kind is UnitKind.PRINTER
    }


def test_the_gantry_that_stands_nearest_is_fetched_and_not_the_one_idle_longest() -> None:
    # Both stand free when the slab of C is ready: printer 1, idle longer, at A, 80 m away, printer 2 at B, 40 m away.
    # Fetching it takes 2 h and an hour for each 40 m; D is left with printer 1, 120 m away.
    plan = uncontended(2, (0.0, 100.0, 2000.0, 2100.0), GantryMoves.CRANE, apart=40.0)
    played = play_plan(plan)
    entries = entries_of(played)
    assert entries["A/gantry_off"].end < entries["B/gantry_off"].end < 2000.0
    assert by_printer(plan, played, "gantry_on") == {"C": "printer 2", "D": "printer 1"}
    hours = {name: entries[f"{name}/gantry_travel"].hours for name in "CD"}
    worked = {name: found.worked(*spans_of(played, name, "gantry_travel")[0]) for name, found in hours.items() if found}
    assert worked == {"C": 3.0, "D": 5.0}


def test_of_gantries_equally_near_the_one_idle_longest_is_fetched() -> None:
    plan = uncontended(2, (0.0, 100.0, 2000.0, 2100.0), GantryMoves.CRANE)
    played = play_plan(plan)
    assert by_printer(plan, played, "gantry_on") == {"C": "printer 1", "D": "printer 2"}


def test_a_gantry_that_stands_in_one_piece_is_moved_before_another_one_is_set_up() -> None:
    # One slab after the other: moving takes 4 h of crane and gang, setting the second gantry up 16.
    plan = uncontended(2, (0.0, 1000.0, 2000.0), GantryMoves.CRANE)
    assert moves_by_gantry(plan, play_plan(plan)) == [
        ["A/gantry_up", "A/gantry_off", "B/gantry_on", "B/gantry_off", "C/gantry_on", "C/gantry_down"],
        [],
    ]


def test_a_gantry_that_is_set_up_sooner_than_one_is_fetched_is_taken_only_if_more_slabs_wait_than_gantries() -> None:
    # From A to B it is 800 m, 22 h with loading, and 4 h to set it on; a new one is up in 16 h. But when the slab of B
    # is ready and no further one waits, the first gantry stays in one piece for it and is fetched all the same.
    far = 800.0
    plan = uncontended(2, (0.0, 2000.0), GantryMoves.CRANE, apart=far)
    assert moves_by_gantry(plan, play_plan(plan)) == [
        ["A/gantry_up", "A/gantry_off", "B/gantry_travel", "B/gantry_on", "B/gantry_down"],
        [],
    ]
    plan = uncontended(2, (0.0, 2000.0, 2000.0), GantryMoves.CRANE, apart=far)
    assert [moves[:4] for moves in moves_by_gantry(plan, play_plan(plan))] == [
        ["A/gantry_up", "A/gantry_off", "C/gantry_travel", "C/gantry_on"],
        ["B/gantry_up", "B/gantry_down"],
    ]


@pytest.mark.parametrize("moves", [GantryMoves.CRANE, GantryMoves.RAILS])
@pytest.mark.parametrize("apart", [0.0, 40.0, 900.0])
@pytest.mark.parametrize("printers", [2, 3])
@pytest.mark.parametrize("slabs", [(0.0,) * 5, (0.0, 100.0, 500.0, 900.0, 900.0), (500.0, 0.0, 300.0, 0.0, 2000.0)])
def test_each_gantry_that_stays_in_one_piece_is_fetched_and_taken_down_in_the_end(
    moves: GantryMoves, apart: float, printers: int, slabs: tuple[float, ...]
) -> None:
    plan = uncontended(printers, slabs, moves, apart)
    played = play_plan(plan)
    assert played.finished
    for steps in moves_by_gantry(plan, played):
        names = [step.partition("/")[2] for step in steps]
        assert names.count("gantry_up") == names.count("gantry_down") <= 1
        assert names[:1] in ([], ["gantry_up"])
        assert names[-1:] in ([], ["gantry_down"])


def test_a_front_keeps_its_gantry_and_its_tent() -> None:
    slabs = (0.0, 0.0, 3000.0, 0.0)
    fronts = ((0, 2), (1, 3))
    tied, free = (
        play_plan(with_slabs(printing_plan(buildings=4, printers=2, tents=2, fronts=given), slabs))
        for given in (fronts, ())
    )

    def of(played: Played, building: int, kind: UnitKind) -> set[int]:
        units = {unit for entry in played.ledger.entries if entry.building == building for unit in entry.units}
        plan = printing_plan(buildings=4, printers=2, tents=2)
        return {unit for unit in units if plan.units[unit].kind is kind}

    for kind in (UnitKind.PRINTER, UnitKind.TENT):
        first, second = of(tied, 0, kind), of(tied, 1, kind)
        assert (of(tied, 2, kind), of(tied, 3, kind)) == (first, second)
        assert first != second
    # The last building waits for the second front's gantry, which A's could have spared it.
    starts = [entries_of(played)["D/gantry_up"].start for played in (tied, free)]
    ended = {name: entries_of(tied)[f"{name}/gantry_down"].end for name in "AB"}
    assert ended["A"] < ended["B"]
    assert starts[1] < starts[0]
    assert starts[0] >= ended["B"]


# -------------------------------------------------------------------------------------------------- random sites


def shells(plan: Plan) -> list[Shell]:
    return [building.shell for building in plan.buildings if building.shell is not None]


@pytest.mark.parametrize("number", SITES)
def test_each_gantry_is_set_up_first_and_taken_down_last(number: int) -> None:
    plan, played, _ = played_site(number)
    assert plan.relocation is not None
    for printer in (i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.PRINTER):
        entries = [entry for entry in played.ledger.entries if printer in entry.units and entry.node != NOBODY]
        moves = [plan.nodes[entry.node].task.name for entry in entries if " " not in entry.key]
        story = [move for move in moves if move in ("gantry_up", "gantry_on", "gantry_off", "gantry_down")]
        off = ["gantry_off"] if plan.relocation.gantry_moves is GantryMoves.RAILS else []
        if plan.relocation.in_one_piece:
            between = (len(story) - len(("gantry_up", *off, "gantry_down"))) // 2
            expected = ["gantry_up", *["gantry_off", "gantry_on"] * between, *off, "gantry_down"]
        else:
            expected = ["gantry_up", "gantry_down"] * (len(story) // 2)
        if played.finished:
            assert story == (expected if story else [])
        elif plan.relocation.in_one_piece:
            assert story.count("gantry_up") <= 1


@pytest.mark.parametrize("number", SITES)
def test_nothing_leaves_before_its_own_event(number: int) -> None:
    plan, played, _ = played_site(number)
    assert plan.relocation is not None
    begun: dict[int, float] = {}
    for entry in played.ledger.entries:
        begun.setdefault(entry.node, entry.start)
    ended = played.ledger.ended
    for shell in shells(plan):
        events = {WALLS: shell.walls, BEAM: shell.beam, CURE: shell.cure, STRENGTH: shell.strength, ROOF: shell.cure}
        for thing, leaves, steps in (
            ("printer", plan.relocation.gantry_leaves, (shell.moving.get("gantry_off"), shell.gantry_down)),
            ("tent", plan.relocation.tent_leaves, (shell.tent_down,)),
        ):
            event = events[leaves]
            assert event is not None
            for step in (step for step in steps if step in begun):
                assert step is not None
                assert begun[step] >= ended[event]
                assert all(begun[step] >= ended[awaited] for awaited in shell.stays_for.get(thing, ()))
        if shell.released in ended:
            assert ended[shell.released] >= max(ended[shell.gantry_down], ended[shell.tent_down], ended[shell.cure])


def test_random_sites_have_every_way_of_leaving_and_moving() -> None:
    relocations = [plan.relocation for plan, _, _ in map(played_site, SITES) if plan.relocation is not None]
    assert {one.gantry_leaves for one in relocations} == {WALLS, BEAM, CURE, STRENGTH}
    assert {one.tent_leaves for one in relocations} == set(TakeDown)
    assert {one.gantry_moves for one in relocations} == set(GantryMoves)
