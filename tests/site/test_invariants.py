"""What must hold in every run, whatever the site: accounts that add up to what happened.

Kind of the tests: conservation, over random sites; each is recomputed from the ledger.
"""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import pytest
from random_sites import SITES, played_site
from rigs import ROUND_THE_CLOCK, network_plan, play_plan

from sitesim.chance import Distribution, Fixed
from sitesim.hours import NEVER
from sitesim.ledger import Entry, RunClosing, on_site, time_account
from sitesim.site import Played, Stage


def finish_of(played: Played) -> float:
    return max(played.ledger.ended.values(), default=0.0)


def last_entry(played: Played) -> Entry:
    return max(played.ledger.entries, key=lambda entry: (entry.end, entry.serial))


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
    for index, (unit, span) in enumerate(zip(plan.units, on_site(account), strict=True)):
        accounted = sum(amount for (of, _, _), amount in hours.items() if of == index)
        if unit.on_call:
            engaged = [entry.end - entry.start for entry in played.ledger.entries if index in entry.units]
            assert accounted == sum(engaged)
        elif span is None:
            assert accounted == 0.0
        else:
            of_unit = [coming for coming in played.ledger.comings if coming.unit == index]
            assert not of_unit or span[0] == of_unit[0].came
            away = sum(coming.came - coming.left for coming in of_unit[1:] if coming.came <= span[1])
            assert accounted == span[1] - span[0] - away


@pytest.mark.parametrize("number", SITES)
def test_concrete_is_accounted_for_exactly(number: int) -> None:
    plan, played, _ = played_site(number)
    concrete = played.ledger.concrete
    assert concrete.batched == concrete.accounted
    assert min(concrete.in_place, concrete.rejected, concrete.returned, concrete.washed_out, concrete.priming) >= 0.0
    if played.finished:
        assert concrete.in_place == sum(
            sum(building.shell.wall.volume) for building in plan.buildings if building.shell
        )


@pytest.mark.parametrize("number", SITES)
def test_loads_tell_the_same_as_the_balance(number: int) -> None:
    _, played, _ = played_site(number)
    concrete, loads = played.ledger.concrete, played.ledger.loads
    assert sum(load.ordered for load in loads) == concrete.batched
    assert all(load.ordered == load.used + load.rejected + load.returned for load in loads)
    assert sum(load.rejected for load in loads) == concrete.rejected
    assert sum(load.returned for load in loads) == concrete.returned


@pytest.mark.parametrize("number", SITES)
def test_visits_tell_the_same_as_the_counts_of_the_run(number: int) -> None:
    _, played, _ = played_site(number)
    counts, theirs = played.ledger.counts, list(played.ledger.visits.values())
    assert sum(each.seen for each in theirs) == counts.inspections
    assert sum(each.failed for each in theirs) == counts.failed_inspections
    assert sum(each.lost for each in theirs) == counts.lost_visits
    assert all(min(each.waited, each.waited_for_lost, each.waited_for_moved) >= 0.0 for each in theirs)


@pytest.mark.parametrize("number", SITES)
def test_nobody_works_in_two_places_nor_while_away(number: int) -> None:
    plan, _, account = played_site(number)
    for unit, entries in enumerate(account.engagements):
        in_turn = sorted(entries, key=lambda entry: (entry.start, entry.end))
        assert all(earlier.end <= later.start for earlier, later in pairwise(in_turn)), plan.units[unit].name
        for left, came in account.absences.get(unit, ()):
            assert all(entry.end <= left or entry.start >= came for entry in in_turn), plan.units[unit].name


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
