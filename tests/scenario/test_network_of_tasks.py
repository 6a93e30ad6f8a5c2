"""Tasks of homes, buildings and the site: who waits for whom."""

from __future__ import annotations

from pathlib import Path

import networkx
import pytest
from cases import plain_network, written

from sitesim.plan import Kind, Plan, UnitKind
from sitesim.scenario import load

ROWS = """
name: Rows
site:
  start: 2027-03-01
  buildings:
    A: {homes: [A1, A2], slab: 2027-03-08}
    B: {homes: [B1]}
    shed: {sequence: bare}
finishing:
  sequence: full
  tasks:
    pipes: {per: site, time: 3}
    roof: {per: building, crew: [roof], time: 2}
    paint: {crew: paint, time: 1, delivery: {ordered_after: [roof, nothing], lead: 10}}
    tidy: {per: building, time: 1}
    gate: {per: site, time: 1, milestone: open}
  sequences:
    full: {pipes: , roof: [pipes + 1 wd], paint: [roof + 12 h], tidy: [paint], gate: [tidy, paint]}
    bare: {roof: , gate: [roof]}
crews:
  roof: {count: 2}
  paint: {skills: [paint, tape], rate: 100}
  spare: {skills: paint, overtime: 90 /h}
"""


@pytest.fixture
def rows(tmp_path: Path) -> Plan:
    return load(written(tmp_path, ROWS)).plan()


def after(plan: Plan, key: str) -> set[str]:
    node = next(node for node in plan.nodes if node.key == key)
    return {plan.nodes[index].key for index in node.after}


def test_a_home_task_waits_for_its_own_buildings_task(rows: Plan) -> None:
    assert after(rows, "A2/paint") == {"A/roof + 12 h", "A2/paint delivery"}
    assert after(rows, "A/roof + 12 h") == {"A/roof"}
    assert after(rows, "A2/paint delivery") == {"A/roof"}


def test_a_building_task_waits_for_all_homes_of_the_building(rows: Plan) -> None:
    assert after(rows, "A/tidy") == {"A1/paint", "A2/paint"}
    assert after(rows, "B/tidy") == {"B1/paint"}


def test_a_site_task_waits_for_all_and_all_wait_for_it(rows: Plan) -> None:
    assert after(rows, "site/gate") == {"A/tidy", "B/tidy", "A1/paint", "A2/paint", "B1/paint", "shed/roof"}
    assert after(rows, "A/roof") == after(rows, "B/roof") == {"site/pipes + 1 wd"}
    assert after(rows, "shed/roof") == set()


def test_nodes_know_their_place_and_lags_their_hours(rows: Plan) -> None:
    nodes = {node.key: node for node in rows.nodes}
    assert (nodes["site/gate"].building, nodes["site/gate"].home, nodes["site/gate"].milestone) == (-1, "", "open")
    assert (nodes["A2/paint"].building, nodes["A2/paint"].home) == (0, "A2")
    assert (nodes["site/pipes + 1 wd"].task.hours, nodes["site/pipes + 1 wd"].task.duration.mean) == ("site", 8.0)
    lag = nodes["A/roof + 12 h"].task
    assert (lag.kind, lag.hours, lag.duration.mean, lag.shares_fortune) == (Kind.CURE, "", 12.0, False)
    assert nodes["A/slab"].not_before == 7 * 24.0
    assert "B/slab" not in nodes


def test_gangs_are_numbered_and_found_by_their_skills(rows: Plan) -> None:
    assert [unit.name for unit in rows.units] == ["roof 1", "roof 2", "paint", "spare"]
    assert {unit.kind for unit in rows.units} == {UnitKind.GANG}
    needs = {node.task.name: node.task.needs for node in rows.nodes}
    assert needs["roof"] == ((0, 1),)
    assert needs["paint"] == ((2, 3),)
    assert [unit.overtime_rate for unit in rows.units] == [0.0, 0.0, 150.0, 90.0]


def test_nothing_is_printed_where_there_is_no_wall(rows: Plan) -> None:
    assert (rows.print_day, rows.supply, rows.relocation) == (None, None, None)
    assert all(building.shell is None for building in rows.buildings)
    assert rows.climate.record is None


def test_the_building_order_can_be_another_than_that_of_the_list(tmp_path: Path) -> None:
    plan = load(written(tmp_path, ROWS), ["site.order=[shed, B, A]"]).plan()
    assert [(building.name, building.rank) for building in plan.buildings] == [("shed", 0), ("B", 1), ("A", 2)]
    assert {node.building for node in plan.nodes if node.home == "A1"} == {2}


def test_a_task_may_have_its_own_calendar_and_learning(tmp_path: Path) -> None:
    more = "calendar: {nights: {hours: '20:00-24:00'}}\nlearning: {floor: 0.5, default: 0.9, tasks: {tidy: 0.8}}\n"
    text = ROWS.replace("tidy: {per: building", "tidy: {calendar: nights, per: building") + more
    tasks = {node.task.name: node.task for node in load(written(tmp_path, text)).plan().nodes}
    assert tasks["tidy"].hours == "nights"
    assert (tasks["tidy"].learning.rate, tasks["tidy"].learning.floor) == (0.8, 0.5)
    assert tasks["paint"].learning.rate == 0.9
    assert tasks["gate"].learning.rate == 1.0  # nobody of the crews does it, so nobody learns


BUILDING_CONTRACT = {  # fourteen activities of a building contract, weeks; Hillier & Lieberman, from memory
    "A": ((1, 2, 3), ""),
    "B": ((2, 3.5, 8), "A"),
    "C": ((6, 9, 18), "B"),
    "D": ((4, 5.5, 10), "C"),
    "E": ((1, 4.5, 5), "C"),
    "F": ((4, 4, 10), "E"),
    "G": ((5, 6.5, 11), "D"),
    "H": ((5, 8, 17), "E G"),
    "I": ((3, 7.5, 9), "C"),
    "J": ((3, 9, 9), "F I"),
    "K": ((4, 4, 4), "J"),
    "L": ((1, 5.5, 7), "J"),
    "M": ((1, 2, 3), "H"),
    "N": ((5, 5.5, 9), "K L"),
}


def test_a_plain_network_has_the_longest_path_of_its_source(tmp_path: Path) -> None:
    tasks = ", ".join(
        f"{name}: {{time: [{', '.join(f'{168 * value:g} h' for value in times)}]}}"
        for name, (times, _) in BUILDING_CONTRACT.items()
    )
    waits = ", ".join(f"{name}: [{', '.join(before.split())}]" for name, (_, before) in BUILDING_CONTRACT.items())
    plan = plain_network(tmp_path, f"{{{tasks}}}", f"{{{waits}}}").plan()
    graph = networkx.DiGraph()
    for node in plan.nodes:
        graph.add_edge(node.index, "end", weight=node.task.duration.mean)
        for other in node.after:
            graph.add_edge(other, node.index, weight=plan.nodes[other].task.duration.mean)
    *path, _ = networkx.dag_longest_path(graph)
    names = [plan.nodes[index].task.name for index in path]
    assert names == ["A", "B", "C", "E", "F", "J", "L", "N"]
    assert sum(plan.nodes[index].task.duration.mean for index in path) == pytest.approx(44 * 168)
