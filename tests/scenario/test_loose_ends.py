"""Islands, early beginnings and ends that nothing waits for are named; nothing begins before what it waits for ends."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, lines_of, plain_network, written
from hypothesis import given, settings
from hypothesis import strategies as st

from sitesim.scenario import load

SITE = """
name: Rows
site: {{start: 2027-03-01, buildings: {{A: {{homes: [A1, A2], slab: 2027-03-08}}}}}}
finishing:
  tasks:
    roof: {{per: building, time: 2}}
    paint: {{time: 1}}
    floor: {{time: 1}}
    fence: {{per: {fence}, time: 1}}
    gate: {{per: {fence}, time: 1}}
  sequences:
    usual: {sequence}
"""


def site(folder: Path, sequence: str, fence: str = "building") -> Path:
    return written(folder, SITE.format(sequence=sequence, fence=fence))


def cautions(path: Path) -> list[str]:
    return [line for line in load(path).cautions() if line.startswith(("Sequence", "No sequence"))]


def test_a_task_tied_to_nothing_is_a_fault_on_a_slab(tmp_path: Path) -> None:
    path = site(tmp_path, "{roof: [slab], paint: [roof], fence: }")
    assert lines_of(path) == [
        "site.yaml:12  finishing.sequences.usual.fence: is an island: it waits for nothing, and nothing waits for it, "
        "so it would begin before there is a slab; let it wait for slab, or for what it follows"
    ]


def test_tasks_tied_to_each_other_only_are_named_together(tmp_path: Path) -> None:
    path = site(tmp_path, "{gate: [fence], roof: [slab], paint: [roof], fence: }")
    (line,) = lines_of(path)
    assert "usual.gate: is an island with fence: they wait for nothing else" in line


def test_what_hangs_on_the_shell_in_several_ways_is_no_island(tmp_path: Path) -> None:
    assert cautions(site(tmp_path, "{roof: [slab], paint: [roof], fence: [slab], gate: [fence]}")) == [
        "Sequence usual: no task of a home waits for fence and gate, so a home counts as handed over without; its "
        "building and the site do not.",
        "No sequence has floor: nobody does it.",
    ]


def test_a_delivery_ties_a_task_to_what_it_is_ordered_after(tmp_path: Path) -> None:
    text = SITE.format(sequence="{roof: [slab], paint: , floor: [paint]}", fence="site")
    path = written(
        tmp_path, text.replace("paint: {time: 1}", "paint: {time: 1, delivery: {ordered_after: roof, lead: 3}}")
    )
    assert cautions(path) == [
        "Sequence usual: paint waits for deliveries alone, and for no task: work begins as soon as they are there, "
        "whatever stands by then.",
        "No sequence has fence and gate: nobody does them.",
    ]


def test_windows_of_the_demo_that_wait_for_nothing_are_told_before_the_other_cautions(tmp_path: Path) -> None:
    text = DEMO.read_text()
    assert text.count("      windows: [deck]\n") == 2
    sites = [tmp_path / "no.yaml", tmp_path / "yes.yaml"]
    for path, changed in zip(
        sites, (text, text.replace("      windows: [deck]\n", "      windows: []\n")), strict=True
    ):
        path.write_text(changed.replace("weather/", f"{DEMO.parent}/weather/"))
    before, after = (load(path).cautions() for path in sites)
    new = [line for line in after if line not in before]
    assert new == [
        "Sequence boards_first: windows waits for deliveries alone, and for no task: work begins as soon as they are "
        "there, whatever stands by then."
    ]
    assert after[0] == new[0]


def test_work_of_the_site_may_stand_alone_and_is_told(tmp_path: Path) -> None:
    path = site(tmp_path, "{roof: [slab], paint: [roof], floor: [roof], fence: , gate: [roof]}", fence="site")
    assert cautions(path) == [
        "Sequence usual: fence is an island: nothing before or behind ties it to the rest, so it begins on the first "
        "day.",
        "Sequence usual: no task of a home waits for gate, so a home counts as handed over without; its building and "
        "the site do not.",
        "Sequence usual: nothing waits for paint and floor; a home counts as handed over when the last of them is "
        "done.",
    ]


def test_what_begins_before_the_slab_is_told(tmp_path: Path) -> None:
    path = site(tmp_path, "{fence: , gate: [fence, slab], roof: [gate], paint: [roof], floor: [paint]}")
    assert cautions(path) == [
        "Sequence usual: nothing is before fence, not even the slab: this begins on the first day."
    ]


def test_islands_where_nothing_is_printed_are_told(tmp_path: Path) -> None:
    tasks = "{a: {per: building, time: 1}, b: {per: building, time: 1}, c: {per: building, time: 1}}"
    scenario = plain_network(tmp_path, tasks, "{a: , b: [a], c: }")
    assert any("c is an island" in line for line in scenario.cautions())


NAMES = "abcdefgh"


@given(st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=9))
@settings(max_examples=40, deadline=None)
def test_islands_are_the_components_of_the_network(
    tmp_path_factory: pytest.TempPathFactory, links: list[tuple[int, int]]
) -> None:
    """Against a graph library: all components but one are islands, and that one is the largest."""
    import networkx

    from sitesim.scenario.loose_ends import loose_ends

    graph = networkx.Graph()
    graph.add_nodes_from(NAMES)
    waits: dict[str, list[str]] = {name: [] for name in NAMES}
    for one, other in links:
        if one != other:
            earlier, later = sorted((NAMES[one], NAMES[other]))
            waits[later].append(earlier)
            graph.add_edge(earlier, later)
    tasks = ", ".join(f"{name}: {{per: building, time: 1}}" for name in NAMES)
    sequence = ", ".join(f"{name}: [{', '.join(dict.fromkeys(afters))}]" for name, afters in waits.items())
    folder = tmp_path_factory.mktemp("network")
    scenario = plain_network(folder, f"{{{tasks}}}", f"{{{sequence}}}")
    found = {frozenset(island) for island in loose_ends(scenario.model, "only").islands}
    components = {frozenset(component) for component in networkx.connected_components(graph)}
    assert found < components
    (main,) = components - found
    assert len(main) == max(map(len, components))


@pytest.mark.parametrize("lag", ["+ -24 h", "- 24 h", "+ - 2 wd", "- 3 d drying", "+ -0.5 d"])
def test_nothing_begins_before_what_it_waits_for_has_ended(tmp_path: Path, lag: str) -> None:
    (line,) = lines_of(site(tmp_path, f"{{roof: [slab], paint: [roof {lag}]}}"))
    assert line == (
        f"site.yaml:12  finishing.sequences.usual.paint.0: roof {lag}: nothing begins before what it waits for has "
        "ended; where it may, let it wait for an earlier step, or write roof as two tasks and let it wait for the first"
    )


def test_a_lead_time_below_zero_is_refused(tmp_path: Path) -> None:
    text = SITE.format(sequence="{roof: [slab], paint: [roof]}", fence="site")
    path = written(
        tmp_path, text.replace("paint: {time: 1}", "paint: {time: 1, delivery: {ordered_after: roof, lead: -3}}")
    )
    (line,) = lines_of(path)
    assert line.endswith("paint.delivery.lead: -3 wd is too little, it should be at least 0 h")


def test_a_name_with_a_dash_is_a_name(tmp_path: Path) -> None:
    tasks = "{dry-in: {per: building, time: 1}, fit - out 2: {per: building, time: 1}, c: {per: building, time: 1}}"
    plan = plain_network(tmp_path, tasks, "{dry-in: , fit - out 2: [dry-in + 2 h], c: [fit - out 2]}").plan()
    assert [node.key for node in plan.nodes] == ["all/dry-in", "all/dry-in + 2 h", "all/fit - out 2", "all/c"]
