"""A scenario changed as users change theirs: what is left of the site meets the same luck, draw for draw.

Kind of the tests: metamorphic. The demo is played in full as it stands and changed, through its files. Learning is left
out, since what a crew has done before is no luck.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable, Mapping
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from small_sites import SCENARIOS

from sitesim.chance import Luck, stream
from sitesim.ledger import REPLACEMENT
from sitesim.plan import Kind, Plan
from sitesim.scenario import load
from sitesim.site import Played, Stage, play

SEED = 5
RUNS = (0, 3)
DEMO = (SCENARIOS / "tern-quay.yaml").read_text()
MADE_COMPARABLE = (
    ("weather/seattle", f"{SCENARIOS}/weather/seattle"),
    ("default: 95 %", "default: 100 %"),
    ("gantry_up: 85 %, tent_up: 85 %, calibrate: 85 %, tent_down: 85 %, gantry_down: 85 %", ""),
    ("learning: 95 %         # chances", "learning: 100 %        # chances"),
    ("trim: {size: 2, rate: 100, waiting: 0}", "trim: {size: 2, rate: 100, waiting: 0, notice: [1, 2, 5]}"),
)
"""What makes the demo's runs tell of luck alone, and of all of it."""

Changes = tuple[tuple[str, str], ...]
"""Pieces of a scenario's text and what stands there instead."""

ROW_A = "A: {homes: [A1, A2, A3], slab: 2027-03-01, layers_a_day: 12}"
ROW_C = "C: {homes: [C1, C2, C3], slab: 2027-04-12}"
ROW_D = "D: {homes: [D1, D2, D3], slab: 2027-05-03}"
FIRST_STEP = "      trusses: [released, beam + 5 wd]"
FIRST_TASK = "    trusses: {per: building"

CHANGES: dict[str, Changes] = {
    "a home before all others": (("[A1, A2, A3]", "[A0, A1, A2, A3]"),),
    "a home in the middle": (("[C1, C2, C3]", "[C1, C1a, C2, C3]"),),
    "a home less": (("[B1, B2, B3]", "[B1, B3]"),),
    "a row before all others": ((ROW_A, f"Z: {{homes: [Z1, Z2], slab: 2027-03-01}}\n    {ROW_A}"),),
    "a row in the middle": ((ROW_C, f"{ROW_C}\n    N: {{homes: [N1], slab: 2027-04-19}}"),),
    "rows in another order": ((ROW_A, "<first>"), (ROW_D, ROW_A), ("<first>", ROW_D)),
    "trucks wider apart": (("spacing: 135 min", "spacing: 210 min"),),
    "trucks closer together": (("spacing: 135 min", "spacing: 75 min"),),
    "smaller loads": (("  load: 3 yd^3", "  load: 2.5 yd^3"),),
    "another sequence": (("sequence: boards_first", "sequence: framing_first"),),
    "a task before all others": (
        (FIRST_STEP, f"      survey: [released]\n{FIRST_STEP}"),
        (FIRST_TASK, f"    survey: {{per: building, crew: ground, time: 1}}\n{FIRST_TASK}"),
    ),
    "a gang before all others": (
        (FIRST_STEP, f"      survey: [released]\n{FIRST_STEP}"),
        (FIRST_TASK, f"    survey: {{per: building, crew: surveyors, time: 1}}\n{FIRST_TASK}"),
        ("  shell: {size: 6", "  surveyors: {size: 1}\n  shell: {size: 6"),
    ),
    "two drywall gangs": (("drywall: {size: 3", "drywall: {count: 2, size: 3"),),
    "a second printer": (("printer:\n  count: 1", "printer:\n  count: 2"),),
    "a second tent": (("tent:\n  count: 1", "tent:\n  count: 2"),),
    "metric units": (("units: us", "units: metric"),),
    "an earlier start": (("start: 2027-03-01", "start: 2027-02-01"),),
    "busier inspectors": (("calendar: inspection, visits_a_day: 6", "calendar: inspection, visits_a_day: 1"),),
}


@cache
def plan_of(folder: Path, changes: Changes = ()) -> Plan:
    """Make the plan of the demo with its text changed, each piece at its first place."""
    text = DEMO
    for before, after in (*MADE_COMPARABLE, *changes):
        assert before in text, f"{before!r} is not in the scenario"
        text = text.replace(before, after, 1)
    path = folder / f"{len(list(folder.iterdir()))}.yaml"
    path.write_text(text)
    return load(path).plan()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("changed")


class WatchedLuck(Luck):
    """Luck that notes which numbers were asked for: by stream, each ordinal."""

    asked: dict[int, set[int]]

    def uniform(self, stream: int, ordinal: int = 0) -> float:
        self.asked[stream].add(ordinal)
        return super().uniform(stream, ordinal)


def played_and_asked(plan: Plan, run: int) -> tuple[Played, dict[int, set[int]]]:
    """Play a run, and tell which numbers of which stream it asked for one by one."""
    asked: dict[int, set[int]] = defaultdict(set)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WatchedLuck, "asked", asked, raising=False)
        patch.setattr(sys.modules[play.__module__], "Luck", WatchedLuck)
        return play(Stage(plan), SEED, run, keep_diary=True), asked


@cache
def played(folder: Path, run: int, changes: Changes = ()) -> tuple[Plan, Played, dict[int, set[int]]]:
    plan = plan_of(folder, changes)
    return plan, *played_and_asked(plan, run)


WORKED_ON = (Kind.WORK, Kind.GANTRY, Kind.TENT, Kind.DELIVERY, Kind.CURE)

Met = Mapping[Any, object]
"""What a thing met by luck, by what names the thing whatever stands around it."""


def work(plan: Plan, run: Played) -> Met:
    """Give the hours worked on each step, in every attempt: what luck, ground and team make of it."""
    hours: dict[str, list[float]] = defaultdict(list)
    for entry in run.ledger.entries:
        if entry.node >= 0 and not plan.nodes[entry.node].task.pour and entry.kind in WORKED_ON:
            length = entry.end - entry.start
            hours[entry.key].append(length if entry.hours is None else entry.hours.worked(entry.start, entry.end))
    return dict(hours)


def refusals(plan: Plan, run: Played) -> Met:
    """Give how often each step was refused by its inspector."""
    keys = [entry.key for entry in run.ledger.entries]
    return {node.key: keys.count(f"{node.key} rework") for node in plan.nodes if node.task.inspection is not None}


def way_of_loads(plan: Plan, run: Played) -> Met:
    """Give for each load of the plant, by civil date and number, loading, haul, and whether it failed its test."""
    first = plan.start.toordinal()
    return {
        (first + load.day, load.number): (
            load.left_plant - load.batched,
            load.arrived - load.left_plant,
            load.verdict == "refused at the gate",
        )
        for load in run.ledger.loads
        if load.number < REPLACEMENT
    }


def way_of_pours(plan: Plan, run: Played) -> Met:
    """Give for each load of a pour the hours from batching to arrival."""
    return {
        (plan.nodes[load.node].key, load.number): round(load.arrived - load.batched, 9) for load in run.ledger.poured
    }


def weather(plan: Plan, run: Played) -> Met:
    """Give the weather of each civil day."""
    return {plan.start.toordinal() + day: run.hours.weather_of(day) for day in range(plan.days)}


def stops_of_the_printer(plan: Plan, run: Played) -> Met:
    """Give what stopped the only printer by its kind and number.

    Which kind comes first may change with the number of print days, since a pump is primed on each.
    """
    told = [remark.text for remark in run.ledger.diary or () if "stopped for" in remark.text]
    counts: dict[str, int] = defaultdict(int)
    met: dict[tuple[str, int], str] = {}
    for text in told:
        kind = text.partition(":")[0]
        met[kind, counts[kind]] = text
        counts[kind] += 1
    return met


QUANTITIES: dict[str, Callable[[Plan, Played], Met]] = {
    "work": work,
    "refusals": refusals,
    "loads": way_of_loads,
    "pours": way_of_pours,
    "weather": weather,
    "stops": stops_of_the_printer,
}
LEAST_SHARED = {"work": 150, "refusals": 50, "loads": 15, "pours": 4, "weather": 500, "stops": 20}
"""How much of each the demo and a changed one have in common at the least, so that sameness means something."""
COMPARED = [pair for pair in product(CHANGES, QUANTITIES) if pair != ("a second printer", "stops")]
"""Two printers share the stops of one between them by what each prints, so these cannot be set side by side."""


@pytest.mark.parametrize("run", RUNS)
@pytest.mark.parametrize(("change", "quantity"), COMPARED)
def test_what_is_left_of_the_site_meets_the_same_luck(folder: Path, change: str, quantity: str, run: int) -> None:
    met, met_changed = (QUANTITIES[quantity](*played(folder, run, changes)[:2]) for changes in ((), CHANGES[change]))
    shared = met.keys() & met_changed.keys()
    assert len(shared) >= LEAST_SHARED[quantity]
    assert {key: met[key] for key in shared} == {key: met_changed[key] for key in shared}


@pytest.mark.parametrize("change", ["as it stands", *CHANGES])
def test_attempts_are_numbered_by_what_they_are_attempts_at(folder: Path, change: str) -> None:
    """Nothing but its own attempts counts: no clock, no length of a list, no other step."""
    for run in RUNS:
        plan, _, asked = played(folder, run, CHANGES.get(change, ()))
        for node in plan.nodes:
            for of in (node.fails_stream, node.rework_stream, node.notice_stream, node.visit_stream):
                assert asked[of] == set(range(len(asked[of]))), node.key
        calls = asked[stream("call", "trim")]
        assert calls == set(range(len(calls)))
        assert len(calls) > 1
        assert any(len(asked[node.fails_stream]) > 1 for node in plan.nodes)


def test_batches_are_numbered_by_their_civil_day() -> None:
    plan = load(SCENARIOS / "tern-quay-site-mixing.yaml").plan()
    first = plan.start.toordinal()
    _, asked = played_and_asked(plan, 0)
    of_day: dict[int, list[int]] = defaultdict(list)
    for ordinal in sorted(asked[stream("mixer", "cycle")]):
        day, number = divmod(ordinal, 10_000)
        of_day[day].append(number)
    assert len(of_day) > 20
    for day, numbers in of_day.items():
        assert first <= day < first + plan.days
        assert numbers == list(range(len(numbers)))
