"""A run read from its ledger, event by event: nothing out of turn, in two places, or outside its hours.

Kind of the tests: invariants, over random sites; each is recomputed from the ledger.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

import pytest
from random_sites import SITES, in_homes, played_site

from sitesim.chance import Luck
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger import Entry, Layer
from sitesim.plan import Building, Cause, Kind, Plan, Shell, UnitKind
from sitesim.policies import SetUpOrder
from sitesim.site import Played, Stage


def shells_of(plan: Plan) -> Iterator[tuple[int, Building, Shell]]:
    for index, building in enumerate(plan.buildings):
        if building.shell is not None:
            yield index, building, building.shell


def first_entries(played: Played) -> dict[int, Entry]:
    """Give for each node that was begun its first entry."""
    first: dict[int, Entry] = {}
    for entry in played.ledger.entries:
        if entry.node >= 0:
            first.setdefault(entry.node, entry)
    return first


@pytest.mark.parametrize("number", SITES)
def test_nothing_begins_before_what_it_needs(number: int) -> None:
    plan, played, _ = played_site(number)
    for index, entry in first_entries(played).items():
        node = plan.nodes[index]
        assert entry.start >= node.not_before
        for earlier in node.after:
            assert entry.start >= played.ledger.ended[earlier], (entry.key, plan.nodes[earlier].key)


@pytest.mark.parametrize("number", SITES)
def test_nobody_is_in_two_places_at_once(number: int) -> None:
    plan, played, _ = played_site(number)
    for unit in range(len(plan.units)):
        engaged = sorted((entry.start, entry.end) for entry in played.ledger.entries if unit in entry.units)
        assert all(earlier[1] <= later[0] for earlier, later in pairwise(engaged)), plan.units[unit].name


@pytest.mark.parametrize("number", SITES)
def test_machines_stay_with_a_building_from_set_up_to_take_down(number: int) -> None:
    plan, played, _ = played_site(number)
    entries = played.ledger.entries
    for kind, up, down in ((UnitKind.PRINTER, "gantry_up", "gantry_down"), (UnitKind.TENT, "tent_up", "tent_down")):
        machines = {i for i, unit in enumerate(plan.units) if unit.kind is kind}
        stays: list[tuple[int, float, float]] = []
        for index, _, shell in shells_of(plan):
            used = {unit for entry in entries if entry.building == index for unit in entry.units} & machines
            assert len(used) <= 1
            begun = [entry.start for entry in entries if entry.node == getattr(shell, up)]
            if used and begun:
                stays.append((used.pop(), min(begun), played.ledger.ended.get(getattr(shell, down), NEVER)))
        for earlier, later in pairwise(sorted(stays)):
            assert earlier[0] != later[0] or earlier[2] <= later[1]


@pytest.mark.parametrize("number", SITES)
def test_printing_goes_on_between_calibration_and_take_down(number: int) -> None:
    plan, played, _ = played_site(number)
    begun = {index: entry.start for index, entry in first_entries(played).items()}
    for index, _, shell in shells_of(plan):
        for entry in played.ledger.entries:
            if entry.kind is Kind.PRINTING and entry.building == index:
                assert entry.start >= played.ledger.ended[shell.calibrate]
                assert entry.end <= min(begun.get(shell.gantry_down, NEVER), begun.get(shell.tent_down, NEVER))


@pytest.mark.parametrize("number", SITES)
def test_no_crane_lifts_a_gantry_under_a_raised_tent(number: int) -> None:
    plan, played, _ = played_site(number)
    if plan.relocation is None or plan.relocation.order is not SetUpOrder.GANTRY_FIRST:
        return
    begun = {index: entry.start for index, entry in first_entries(played).items()}
    ended = played.ledger.ended
    for _, _, shell in shells_of(plan):
        if shell.tent_up in begun:
            assert begun[shell.tent_up] >= ended[shell.gantry_up]
        lifts = [shell.gantry_down, shell.moving.get("gantry_off", -1)] if plan.relocation.tent_goes_first else []
        for lift in lifts:
            assert begun.get(lift, NEVER) >= ended.get(shell.tent_down, NEVER)


@pytest.mark.parametrize("number", SITES)
def test_a_gantry_that_goes_inside_the_tent_finds_it_raised(number: int) -> None:
    plan, played, _ = played_site(number)
    if plan.relocation is None or plan.relocation.order is not SetUpOrder.TENT_FIRST:
        return
    begun = {index: entry.start for index, entry in first_entries(played).items()}
    for _, _, shell in shells_of(plan):
        for step in (shell.gantry_up, *(shell.moving.get(name, -1) for name in ("ballast", "gantry_on"))):
            assert begun.get(step, NEVER) >= played.ledger.ended.get(shell.tent_up, NEVER)


def days_of(plan: Plan, played: Played) -> Iterator[tuple[Entry, list[Layer]]]:
    """Give each print day with the layers that were finished on it."""
    for entry in played.ledger.entries:
        if entry.kind is Kind.PRINTING:
            name = plan.buildings[entry.building].name
            yield (
                entry,
                [
                    layer
                    for layer in played.ledger.layers or ()
                    if layer.building == name and entry.start <= layer.start and layer.end <= entry.end
                ],
            )


@pytest.mark.parametrize("number", SITES)
def test_no_layer_is_laid_on_one_that_has_not_rested(number: int) -> None:
    """Bead to bead: at the beginning of the path and at its end, the pace being the same in between."""
    plan, played, _ = played_site(number)
    if plan.print_day is None:
        return
    tick = 1 / 4096
    for _, layers in days_of(plan, played):
        for below, above in pairwise(layers):
            assert above.layer == below.layer + 1
            assert above.start >= below.end
            assert above.start - below.start >= plan.print_day.shortest_interval - tick, (below, above)
            assert above.end - below.end >= plan.print_day.shortest_interval - tick, (below, above)


@pytest.mark.parametrize("number", SITES)
def test_layers_come_in_turn_and_once(number: int) -> None:
    plan, played, _ = played_site(number)
    for index, building, shell in shells_of(plan):
        layers = [layer.layer for layer in played.ledger.layers or () if layer.building == building.name]
        assert layers == list(range(1, len(layers) + 1))
        if shell.walls in played.ledger.ended:
            assert len(layers) == shell.wall.layers
        for hold, steps in shell.holds.items():
            after = [layer.start for layer in played.ledger.layers or () if layer.building == building.name]
            if len(after) > hold:
                assert after[hold] >= max(played.ledger.ended[step] for step in steps), (index, hold)


def planned_window(plan: Plan, played: Played, entry: Entry) -> tuple[Calendar, float]:
    """Give the hours in which an entry should begin, and the length [h] that should fit from there."""
    task = plan.nodes[entry.node].task
    names = tuple(sorted({plan.units[unit].hours for unit in entry.units if _is_asked(plan, unit)}))
    names = names or ((task.hours,) if task.hours else ())
    hours = played.hours.open(task.limits, names, through_breaks=not task.splittable)
    plain_length = not task.splittable and task.learning.rate == 1.0 and not entry.key.endswith("rework")
    return hours, on_clock(task.duration.mean) if plain_length else 0.0


def _is_asked(plan: Plan, unit: int) -> bool:
    return plan.units[unit].kind in (UnitKind.GANG, UnitKind.CRANE)


@pytest.mark.parametrize("number", SITES)
def test_work_begins_within_its_hours(number: int) -> None:
    plan, played, _ = played_site(number)
    for entry in played.ledger.entries:
        if entry.kind in (Kind.INSPECTION, Kind.PRINTING) or entry.node < 0:
            continue
        if plan.nodes[entry.node].told and entry.kind is Kind.MILESTONE:
            continue
        hours, window = planned_window(plan, played, entry)
        assert hours.is_open(entry.start), entry
        assert hours.next_window(entry.start, window) == entry.start, entry


@pytest.mark.parametrize("number", SITES)
def test_print_days_begin_with_a_shift(number: int) -> None:
    plan, played, _ = played_site(number)
    stage = Stage(plan)
    for entry in played.ledger.entries:
        if entry.kind is Kind.PRINTING:
            shift = stage.days((plan.units[entry.units[0]].hours,))
            assert shift.is_open(entry.start)
            assert shift.close_after(entry.start) - entry.start >= (plan.print_day.least_hours if plan.print_day else 0)


def slowed_by(plan: Plan, played: Played, entry: Entry) -> set[float]:
    """Give the factors by which those in the same place may slow work: who begins at the same instant may be later."""
    rules, homes = plan.sharing, in_homes(plan, entry)
    if rules is None or not homes:
        return {1.0}

    def gangs(of: Entry) -> int:
        return sum(plan.units[unit].kind is UnitKind.GANG for unit in of.units)

    there = [(other, in_homes(plan, other)) for other in played.ledger.entries if other.serial != entry.serial]
    sure = [(other, places) for other, places in there if other.start < entry.start < other.end]
    perhaps = [(other, places) for other, places in there if other.start == entry.start]
    factors = set()
    for count in range(len(perhaps) + 1):
        for some in combinations(perhaps, count):
            beside = [*sure, *some]
            crowd = gangs(entry) + max(
                sum(gangs(other) for other, places in beside if home in places) for home in homes
            )
            in_building = gangs(entry) + sum(gangs(other) for other, places in beside if same_building(homes, places))
            home = 1.0 if rules.in_home is None else rules.in_home.factor(crowd)
            factors.add(home if rules.in_building is None else home * rules.in_building.factor(in_building))
    return factors


def same_building(homes: set[tuple[int, str]], others: set[tuple[int, str]]) -> bool:
    return bool({building for building, _ in homes} & {building for building, _ in others})


@pytest.mark.parametrize("number", SITES)
def test_work_takes_the_hours_that_luck_gave_it(number: int) -> None:
    plan, played, _ = played_site(number)
    if plan.fortune.site or plan.fortune.building:
        return
    luck = Luck(3, number)
    for index, entry in first_entries(played).items():
        node = plan.nodes[index]
        if node.task.learning.rate != 1.0 or node.task.pace or index not in played.ledger.ended:
            continue
        drawn = luck.draw(node.task.duration, node.duration_stream)
        worked = entry.end - entry.start if entry.hours is None else entry.hours.worked(entry.start, entry.end)
        assert worked in {on_clock(drawn * factor) for factor in slowed_by(plan, played, entry)}, entry


@pytest.mark.parametrize("number", SITES)
def test_a_day_prints_no_more_than_its_layers(number: int) -> None:
    plan, played, _ = played_site(number)
    printed: dict[tuple[int, int], int] = {}
    for entry, layers in days_of(plan, played):
        on = entry.building, int(entry.start // 24)
        assert on not in printed, "two print days of a building on one civil day"
        printed[on] = len(layers)
        shell = plan.buildings[entry.building].shell
        assert shell is not None
        assert len(layers) <= shell.wall.layers_a_day
        assert all(layer.layer not in (*shell.wall.day_ends, *shell.holds) for layer in layers[:-1])


@pytest.mark.parametrize("number", SITES)
def test_nobody_waits_for_concrete_into_the_night(number: int) -> None:
    plan, played, _ = played_site(number)
    if plan.print_day is None:
        return
    stage, rules = Stage(plan), plan.print_day
    for entry in played.ledger.entries:
        if entry.kind is not Kind.PRINTING:
            continue
        time_to_wash = stage.days((plan.units[entry.units[0]].hours,)).close_after(entry.start) - rules.wash_out
        for piece in entry.pieces:
            if piece.cause is Cause.CONCRETE:
                # A wait that begins late lasts for the open time at most.
                assert piece.end <= max(time_to_wash, piece.start + rules.open_time), (entry.key, piece)


def could_have_begun(plan: Plan, played: Played, entry: Entry) -> float | None:
    """Tell when [h] a step could begin whose gangs are the only ones to do it, and never wait for a print day.

    None for any other step, and where others may have to leave a home first.
    """
    node = plan.nodes[entry.node]
    sole = all(len(group) == 1 for group in node.task.needs)
    elsewhere = plan.sharing is not None or any(plan.units[unit].flow is not None for unit in entry.units)
    prints = plan.print_day is not None and not set(plan.print_day.crew).isdisjoint(entry.units)
    unknown_window = not node.task.splittable and (node.task.learning.rate != 1.0 or entry.key.endswith("rework"))
    if not sole or node.told or elsewhere or prints or unknown_window:
        return None
    hours, window = planned_window(plan, played, entry)
    engaged = [
        (other.start, other.end)
        for other in played.ledger.entries
        if other.serial != entry.serial and not set(other.units).isdisjoint(entry.units)
    ]
    instant = max(entry.ready, node.not_before)
    while True:
        begun = hours.next_window(instant, window)
        free = max([begun, *(end for start, end in engaged if start <= begun < end)])
        if free == instant or begun == entry.start:  # a step of no length may be over before others begin then
            return begun
        instant = free


def test_work_begins_as_soon_as_it_can() -> None:
    looked_at = waited = 0
    for number in SITES:
        plan, played, _ = played_site(number)
        for entry in played.ledger.entries:
            if entry.kind is Kind.WORK and entry.units and entry.node >= 0:
                earliest = could_have_begun(plan, played, entry)
                if earliest is not None:
                    assert entry.start == earliest, (number, entry.key)
                    looked_at += 1
                    waited += entry.start > entry.ready
    assert looked_at > 200
    assert waited > 100
