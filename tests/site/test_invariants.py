"""What must hold in every run, whatever the site: accounts that add up, and nothing in two places or out of turn.

Kind of the tests: conservation and invariants, over random sites; each is recomputed from the ledger.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import networkx as nx
import pytest
from random_sites import random_plan
from rigs import ROUND_THE_CLOCK, account_of, network_plan, play_plan

from sitesim.chance import Distribution, Fixed, Luck
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.ledger import Account, Entry, Layer, RunClosing, on_site, time_account
from sitesim.plan import Building, Kind, Plan, ReadyMix, Shell, UnitKind
from sitesim.policies import SetUpOrder
from sitesim.site import Played, Stage

SITES = range(200)


@cache
def played_site(number: int) -> tuple[Plan, Played, Account]:
    """Play a random site once for all the tests of this file."""
    plan = random_plan(number)
    played = play_plan(plan, seed=3, run=number, keep_diary=True)
    return plan, played, account_of(plan, played)


def finish_of(played: Played) -> float:
    return max(played.ledger.ended.values(), default=0.0)


def last_entry(played: Played) -> Entry:
    return max(played.ledger.entries, key=lambda entry: (entry.end, entry.serial))


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
def test_chain_tiles_the_finish(number: int) -> None:
    _, played, account = played_site(number)
    if not played.finished:
        return
    segments = list(account.back_from(last_entry(played)))[::-1]
    assert segments[0].start == 0.0
    assert segments[-1].end == finish_of(played)
    assert all(earlier.end == later.start for earlier, later in pairwise(segments))
    assert all(segment.start < segment.end for segment in segments)


@pytest.mark.parametrize("number", SITES)
def test_states_of_each_unit_add_up_to_its_time_on_site(number: int) -> None:
    plan, played, account = played_site(number)
    hours = time_account(account, plan.units)
    assert all(amount > 0.0 for amount in hours.values())
    for index, (unit, span) in enumerate(zip(plan.units, on_site(account, plan.units), strict=True)):
        accounted = sum(amount for (of, _, _), amount in hours.items() if of == index)
        if unit.on_call:
            engaged = [entry.end - entry.start for entry in played.ledger.entries if index in entry.units]
            assert accounted == sum(engaged)
        else:
            assert accounted == (0.0 if span is None else span[1] - span[0])


@pytest.mark.parametrize("number", SITES)
def test_concrete_is_accounted_for_exactly(number: int) -> None:
    plan, played, _ = played_site(number)
    concrete = played.ledger.concrete
    assert concrete.batched == concrete.accounted
    assert min(concrete.in_place, concrete.rejected, concrete.returned, concrete.washed_out, concrete.priming) >= 0.0
    if played.finished:
        assert concrete.in_place == sum(sum(shell.wall.volume) for _, _, shell in shells_of(plan))


@pytest.mark.parametrize("number", SITES)
def test_loads_tell_the_same_as_the_balance(number: int) -> None:
    plan, played, _ = played_site(number)
    concrete, loads = played.ledger.concrete, played.ledger.loads
    assert sum(load.ordered for load in loads) == concrete.batched
    assert all(load.ordered == load.used + load.rejected + load.returned for load in loads)
    if isinstance(plan.supply, ReadyMix):
        assert sum(load.rejected for load in loads) == concrete.rejected
        assert sum(load.returned for load in loads) == concrete.returned


@pytest.mark.parametrize("number", SITES)
def test_held_days_add_up_to_the_finish(number: int) -> None:
    plan, played, _ = played_site(number)
    stage = Stage(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    tables = closing.tables(0, played.ledger, played.unfinished, True)
    held = [days for _, _, _, days, _ in tables["held"]]
    off_shift = [(days, off) for _, _, _, days, off in tables["held"]]
    if played.finished:
        assert sum(held) == pytest.approx(finish_of(played) / 24.0, rel=1e-12)
        assert tables["runs"][0][1] == finish_of(played)
        assert all(0.0 <= off <= days for days, off in off_shift)
    else:
        assert held == []
        assert tables["runs"][0][1] == NEVER


@pytest.mark.parametrize("number", SITES)
def test_holds_and_pieces_tile_their_spans(number: int) -> None:
    _, played, _ = played_site(number)
    entries = played.ledger.entries
    for entry in entries:
        ends = [entry.ready, *(hold.end for hold in entry.holds)]
        assert all(earlier < later for earlier, later in pairwise(ends)), entry
        assert ends[-1] == entry.start, entry
        assert entry.start <= entry.end
        if entry.ready_by >= 0:
            assert entries[entry.ready_by].end == entry.ready
        else:
            assert entry.ready == 0.0
        for hold in entry.holds:
            assert hold.by < 0 or entries[hold.by].end == hold.end, (entry, entries[hold.by])
        if entry.pieces:
            assert (entry.pieces[0].start, entry.pieces[-1].end) == (entry.start, entry.end)
            assert all(earlier.end == later.start for earlier, later in pairwise(entry.pieces))


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
        if shell.gantry_down in begun:
            assert begun[shell.gantry_down] >= ended[shell.tent_down]


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
    hours = played.hours.open(task.limits, names or ((task.hours,) if task.hours else ()))
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


@pytest.mark.parametrize("number", SITES)
def test_work_takes_the_hours_that_luck_gave_it(number: int) -> None:
    plan, played, _ = played_site(number)
    if plan.fortune.site or plan.fortune.building:
        return
    luck = Luck(3, number)
    for index, entry in first_entries(played).items():
        node = plan.nodes[index]
        if node.task.learning.rate != 1.0 or index not in played.ledger.ended:
            continue
        drawn = on_clock(luck.draw(node.task.duration, node.duration_stream))
        worked = entry.end - entry.start if entry.hours is None else entry.hours.worked(entry.start, entry.end)
        assert worked == drawn, entry


@pytest.mark.parametrize("number", SITES)
def test_same_seed_and_run_give_the_same_ledger(number: int) -> None:
    plan, played, _ = played_site(number)
    again = play_plan(plan, seed=3, run=number, keep_diary=True)
    assert again.ledger.entries == played.ledger.entries
    assert again.ledger.loads == played.ledger.loads
    assert again.ledger.diary == played.ledger.diary
    assert again.unfinished == played.unfinished


def test_another_run_gives_another_ledger() -> None:
    plan, played, _ = played_site(0)
    assert play_plan(plan, seed=3, run=1).ledger.entries != played.ledger.entries
    assert play_plan(plan, seed=4, run=0).ledger.entries != played.ledger.entries


@pytest.mark.parametrize("number", range(60))
def test_without_limits_the_finish_is_the_longest_path(number: int) -> None:
    """Oracle: networkx, a library of graphs. Every task has a gang of its own and works day and night."""
    from random import Random

    dice = Random(number)
    names = [f"task {i}" for i in range(dice.randint(1, 25))]
    tasks: dict[str, tuple[list[str], Distribution]] = {
        name: (dice.sample(names[:i], dice.randint(0, min(i, 3))), Fixed(dice.randrange(0, 400) / 8))
        for i, name in enumerate(names)
    }
    plan = network_plan(tasks, {f"gang of {name}": [name] for name in names}, calendar=ROUND_THE_CLOCK)
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_node("end")
    for name, (before, duration) in tasks.items():
        graph.add_edge(name, "end", weight=duration.mean)
        for earlier in before:
            graph.add_edge(earlier, name, weight=tasks[earlier][1].mean)
    assert finish_of(play_plan(plan)) == nx.dag_longest_path_length(graph)
