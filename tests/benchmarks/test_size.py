"""What a run costs against the size of the site: in proportion to its layers and tasks."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path
from time import process_time

import pytest

from sitesim.ledger import RunClosing
from sitesim.plan import Plan
from sitesim.scenario import load
from sitesim.site import Stage, play

SCENARIOS = Path(__file__).parents[2] / "scenarios"
MOST_TIMES_THE_SMALL_SITE = 1.8
"""How many times as much a layer or task of a large site may cost; 1.2 is measured for twelve rows."""


def rows(folder: Path, count: int) -> Plan:
    """Write Tern Quay with so many rows, a gantry and its gangs for each five of them."""
    text = (SCENARIOS / "tern-quay.yaml").read_text()
    start = date(2027, 3, 1)
    buildings = "".join(
        f"    R{n}: {{homes: [R{n}a, R{n}b, R{n}c], slab: {start + timedelta(days=21 * (n // max(1, count // 5)))}}}\n"
        for n in range(count)
    )
    text = re.sub(r"(  buildings:[^\n]*\n)(?:    [A-E]: [^\n]*\n)+", lambda found: found[1] + buildings, text)
    machines = max(1, count // 5)
    text = text.replace("  count: 1\n", f"  count: {machines}\n").replace(
        "crane: {count: 1,", f"crane: {{count: {machines},"
    )
    text = re.sub(r"^(  \w+: \{)size:", rf"\g<1>count: {machines}, size:", text, flags=re.MULTILINE)
    (folder / "weather").symlink_to(SCENARIOS / "weather")
    path = folder / "rows.yaml"
    path.write_text(text)
    return load(path).plan()


def cost(plan: Plan, runs: int = 4) -> tuple[float, int]:
    """Give the least seconds of a run, closing included, and how many layers and tasks it has."""
    stage = Stage(plan)
    closing = RunClosing(plan, stage.unit_shifts, stage.shift(("site",)))
    times = []
    for run in range(runs):
        begun = process_time()
        played = play(stage, 1, run)
        closing.tables(run, played.ledger, played.unfinished, keep_loads=False)
        times.append(process_time() - begun)
        assert played.finished
    layers = sum(building.shell.wall.layers for building in plan.buildings if building.shell)
    return min(times), layers + len(plan.nodes)


def test_a_large_site_costs_no_more_than_in_proportion(capsys: pytest.CaptureFixture[str]) -> None:
    small, parts_of_small = cost(load(SCENARIOS / "tern-quay.yaml").plan(), 8)
    large, parts_of_large = cost(load(SCENARIOS / "curlew-fields.yaml").plan())
    with capsys.disabled():
        print(
            f"\n  Tern Quay {small * 1e3:.0f} ms, {small * 1e6 / parts_of_small:.0f} µs a layer or task; Curlew Fields "
            f"{large * 1e3:.0f} ms, {large * 1e6 / parts_of_large:.0f} µs"
        )
    assert large / parts_of_large < MOST_TIMES_THE_SMALL_SITE * small / parts_of_small


def test_two_hundred_homes_can_be_played(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    per_home = {}
    for count in (5, 20, 67):
        folder = tmp_path / str(count)
        folder.mkdir()
        plan = rows(folder, count)
        per_home[3 * count] = cost(plan, 2)[0] / (3 * count)
    with capsys.disabled():
        print("\n  " + "; ".join(f"{homes} homes {1e3 * spent:.2f} ms a home" for homes, spent in per_home.items()))
    assert per_home[201] < 3.0 * per_home[15]
