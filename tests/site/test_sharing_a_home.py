"""Trades in one home: who keeps whom out, and who slows whom; event by event on small sites worked out by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from random_sites import SITES, in_homes, played_site
from rigs import account_of, bare_plan, entries_of, network_plan, play_plan

from sitesim.chance import Distribution, Fixed
from sitesim.plan import (
    Building,
    Cause,
    Crowding,
    Holders,
    Inspection,
    Kind,
    Node,
    Plan,
    Sharing,
    Task,
    Unit,
    UnitKind,
)
from sitesim.policies import AtNotice
from sitesim.site import Played

TASKS: dict[str, tuple[Sequence[str], Distribution]] = {
    "foam": ((), Fixed(10.0)),
    "pipes": ((), Fixed(4.0)),
    "wires": ((), Fixed(6.0)),
}
GANGS = {"foamers": ["foam"], "plumbers": ["pipes"], "electricians": ["wires"]}


def ruled(sharing: Sharing | None, tasks: Mapping[str, tuple[Sequence[str], Distribution]] = TASKS) -> Plan:
    return replace(network_plan(tasks, GANGS), sharing=sharing)


def pairs(*names: tuple[str, str]) -> frozenset[frozenset[str]]:
    return frozenset(map(frozenset, names))


def times(played: Played, *keys: str) -> list[tuple[float, float]]:
    entries = entries_of(played)
    return [(entries[key].start, entries[key].end) for key in keys]


def test_without_a_rule_everybody_works_at_once() -> None:
    assert times(play_plan(ruled(None)), *TASKS) == [(0, 10), (0, 4), (0, 6)]
    assert times(play_plan(ruled(Sharing())), *TASKS) == [(0, 10), (0, 4), (0, 6)]


def test_trades_apart_follow_one_another_and_the_wait_is_for_a_crew() -> None:
    plan = ruled(Sharing(apart=pairs(("pipes", "foam"))))
    played = play_plan(plan)
    assert times(played, *TASKS) == [(0, 10), (10, 14), (0, 6)]
    entries = entries_of(played)
    assert [tuple(hold) for hold in entries["pipes"].holds] == [(10.0, Cause.CREW, entries["foam"].serial)]
    assert Holders(plan).of(Cause.CREW, "foam").of == "foamers"
    # The chain goes on through the work of whoever was in the way.
    chain = account_of(plan, played).back_from(entries["pipes"])
    assert [(segment.start, segment.end, segment.cause, segment.entry) for segment in chain] == [
        (10.0, 14.0, Cause.PREDECESSOR, entries["pipes"].serial),
        (0.0, 10.0, Cause.CREW, entries["foam"].serial),
    ]


def test_who_works_alone_keeps_everybody_out() -> None:
    assert times(play_plan(ruled(Sharing(alone=frozenset({"foam"})))), *TASKS) == [(0, 10), (10, 14), (10, 16)]


def test_who_works_alone_waits_until_everybody_is_out() -> None:
    # By their place in the order foam comes last here.
    last_first = {name: TASKS[name] for name in ("pipes", "wires", "foam")}
    played = play_plan(ruled(Sharing(alone=frozenset({"foam"})), last_first))
    assert times(played, *TASKS) == [(6, 16), (0, 4), (0, 6)]
    assert entries_of(played)["foam"].holds[-1].by == entries_of(played)["wires"].serial


def homes_plan(tasks: Sequence[tuple[str, str, float]], sharing: Sharing, homes: Sequence[str] = ("A1", "A2")) -> Plan:
    """Make a building of some homes; ``tasks``: name, home or empty for all of it, hours; each with its own gang."""
    nodes = [
        Node(i, f"{home or 'A'}/{name}", Task(name, Kind.WORK, i, ((i,),), Fixed(hours), "site"), 0, home, ())
        for i, (name, home, hours) in enumerate(tasks)
    ]
    units = [Unit(f"{name} {i}", UnitKind.GANG, "site") for i, (name, *_) in enumerate(tasks)]
    return replace(bare_plan(nodes, units, [Building("A", 0, tuple(homes), None)]), sharing=sharing)


def test_each_home_is_ruled_by_itself() -> None:
    plan = homes_plan(
        [("foam", "A1", 10.0), ("pipes", "A1", 4.0), ("pipes", "A2", 4.0)], Sharing(alone=frozenset({"foam"}))
    )
    assert times(play_plan(plan), "A1/foam", "A1/pipes", "A2/pipes") == [(0, 10), (10, 14), (0, 4)]


def test_work_for_a_whole_building_occupies_all_its_homes() -> None:
    tasks = [("roof", "", 8.0), ("foam", "A1", 10.0), ("pipes", "A2", 4.0)]
    apart = Sharing(apart=pairs(("roof", "foam")))
    assert times(play_plan(homes_plan(tasks, apart)), "A/roof", "A1/foam", "A2/pipes") == [(0, 8), (8, 18), (0, 4)]
    alone = Sharing(alone=frozenset({"roof"}))
    assert times(play_plan(homes_plan(tasks, alone)), "A/roof", "A1/foam", "A2/pipes") == [(0, 8), (8, 18), (8, 12)]
    outside = replace(alone, alone=frozenset({"foam"}), outside=frozenset({"roof"}))
    assert times(play_plan(homes_plan(tasks, outside)), "A/roof", "A1/foam", "A2/pipes") == [(0, 8), (0, 10), (0, 4)]


def test_nobody_keeps_a_home_while_waiting_for_something_else() -> None:
    # Foam, alone, needs the plumbers too, who are elsewhere until 30: the electricians have the home meanwhile.
    tasks = [("pipes", "A2", 30.0), ("foam", "A1", 10.0), ("wires", "A1", 6.0)]
    plan = homes_plan(tasks, Sharing(alone=frozenset({"foam"})))
    both = replace(plan.nodes[1], task=replace(plan.nodes[1].task, needs=((1,), (0,))))
    played = play_plan(replace(plan, nodes=(plan.nodes[0], both, plan.nodes[2])))
    assert times(played, "A2/pipes", "A1/foam", "A1/wires") == [(0, 30), (30, 40), (0, 6)]
    assert entries_of(played)["A1/foam"].holds[-1].by == entries_of(played)["A2/pipes"].serial


def test_a_home_is_free_while_the_inspector_is_waited_for_and_taken_again_for_rework() -> None:
    tasks = [("foam", "A1", 10.0), ("pipes", "A1", 400.0)]
    plan = homes_plan(tasks, Sharing(alone=frozenset({"foam"})))
    seen = replace(plan.nodes[0].task, inspection=Inspection(0, 0.9, Fixed(2.0)))
    plan = replace(plan, nodes=(replace(plan.nodes[0], task=seen), plan.nodes[1]))
    played = next(p for p in (play_plan(plan, run=run) for run in range(9)) if p.ledger.counts.failed_inspections)
    entries = entries_of(played)
    assert entries["A1/pipes"].start == 10.0
    assert entries["A1/foam rework"].start >= entries["A1/pipes"].end == 410.0


def test_a_gang_that_is_called_waits_before_the_door() -> None:
    plan = homes_plan([("foam", "A1", 10.0), ("pipes", "A1", 4.0)], Sharing(alone=frozenset({"foam"})))
    plumbers = replace(plan.units[1], flow=AtNotice(), notice=Fixed(3.0))
    played = play_plan(replace(plan, units=(plan.units[0], plumbers)))
    assert [coming.came for coming in played.ledger.comings] == [3.0]
    assert times(played, "A1/pipes") == [(10, 14)]


def test_whoever_begins_later_in_a_crowd_is_slower_and_who_is_at_work_keeps_the_pace() -> None:
    # Half as long again for every gang above the first: 10 h, 4 · 1.5, 6 · 2.
    played = play_plan(ruled(Sharing(in_home=Crowding(1, 0.5))))
    assert times(played, *TASKS) == [(0, 10), (0, 6), (0, 12)]
    # Above the second: the third alone is slowed.
    assert times(play_plan(ruled(Sharing(in_home=Crowding(2, 0.5)))), *TASKS) == [(0, 10), (0, 4), (0, 9)]


def test_who_has_left_is_no_crowd() -> None:
    tasks = {**TASKS, "wires": (("pipes",), Fixed(6.0))}
    # Pipes end at 6; wires begin beside foam alone.
    assert times(play_plan(ruled(Sharing(in_home=Crowding(1, 0.5)), tasks)), *TASKS) == [(0, 10), (0, 6), (6, 15)]


def test_the_crowd_of_a_home_is_its_own_and_that_of_a_building_everybodys() -> None:
    tasks = [("foam", "A1", 10.0), ("pipes", "A1", 4.0), ("wires", "A2", 6.0)]
    keys = ("A1/foam", "A1/pipes", "A2/wires")
    assert times(play_plan(homes_plan(tasks, Sharing(in_home=Crowding(1, 0.5)))), *keys) == [(0, 10), (0, 6), (0, 6)]
    building = Sharing(in_building=Crowding(1, 0.5))
    assert times(play_plan(homes_plan(tasks, building)), *keys) == [(0, 10), (0, 6), (0, 12)]
    both = Sharing(in_home=Crowding(1, 0.5), in_building=Crowding(2, 1.0))
    assert times(play_plan(homes_plan(tasks, both)), *keys) == [(0, 10), (0, 6), (0, 12)]


def test_gangs_that_work_together_are_a_crowd_too() -> None:
    plan = homes_plan([("foam", "A1", 10.0), ("pipes", "A1", 4.0)], Sharing(in_home=Crowding(1, 0.5)))
    units = (*plan.units, Unit("mates", UnitKind.GANG, "site"), Unit("crane", UnitKind.CRANE, "site"))
    foam = replace(plan.nodes[0], task=replace(plan.nodes[0].task, needs=((0,), (2,), (3,))))
    played = play_plan(replace(plan, units=units, nodes=(foam, plan.nodes[1])))
    assert times(played, "A1/foam", "A1/pipes") == [(0, 15), (0, 8)]  # 10 · 1.5; 4 · 2 with three gangs


@pytest.mark.parametrize("gangs", [1, 2, 5])
def test_nobody_starves_before_the_door(gangs: int) -> None:
    # A task that wants its home alone comes last in the order, behind others that keep coming: it has its turn.
    names = [f"visit {i}" for i in range(20)]
    tasks: dict[str, tuple[Sequence[str], Distribution]] = {
        name: ([names[i - gangs]] if i >= gangs else [], Fixed(3.0 + i % 2)) for i, name in enumerate(names)
    }
    tasks["foam"] = ((), Fixed(5.0))
    plan = network_plan(tasks, {**{f"gang {i}": names[i::gangs] for i in range(gangs)}, "foamers": ["foam"]})
    played = play_plan(replace(plan, sharing=Sharing(alone=frozenset({"foam"}))))
    assert played.finished
    foam = entries_of(played)["foam"]
    others = [entry for entry in played.ledger.entries if entry.key != "foam"]
    assert all(entry.end <= foam.start or entry.start >= foam.end for entry in others)


@pytest.mark.parametrize("number", SITES)
def test_on_no_site_rivals_are_in_one_home_at_once(number: int) -> None:
    """An invariant over random sites, recomputed from the ledger."""
    plan, played, _ = played_site(number)
    sharing = plan.sharing
    if sharing is None:
        return
    at_work = [(entry, in_homes(plan, entry)) for entry in played.ledger.entries]
    at_work = [(entry, homes) for entry, homes in at_work if homes and entry.start < entry.end]
    for place, (one, homes) in enumerate(at_work):
        for other, others in at_work[place + 1 :]:
            if one.start < other.end and other.start < one.end and homes & others:
                names = {plan.nodes[entry.node].task.name for entry in (one, other)}
                assert names not in sharing.apart
                assert len(names) == 1 or not names & sharing.alone
