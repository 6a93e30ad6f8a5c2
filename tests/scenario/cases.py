"""Scenarios to test with: one on paper, changed a line at a time."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitesim.scenario import Fault, Scenario, ScenarioError, load, write_new

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DEMO = SCENARIOS / "tern-quay.yaml"
IN_ONE_PIECE = SCENARIOS / "tern-quay-in-one-piece.yaml"

INSIDE = (
    "relocation.order=tent-first",
    "relocation.gantry_lift=telehandler",
    "relocation.tasks.gantry_up.crane=false",
    "relocation.tasks.gantry_down.crane=false",
)
"""Settings by which the gantry is set up and taken down under the tent."""

STRENGTH = "relocation.strength={reached: 1400 delta_degC*h, datum: 0 degC}"
"""The setting of a strength that something may wait for."""


def changed(folder: Path, *changes: tuple[str, str]) -> Path:
    """Write the scenario to start from with pieces of its text changed, each of which stands there once."""
    path = folder / "site.yaml"
    write_new(path)
    text = path.read_text()
    for before, after in changes:
        assert text.count(before) == 1, f"{before!r} stands there {text.count(before)} times"
        text = text.replace(before, after)
    path.write_text(text)
    return path


def written(folder: Path, text: str, name: str = "site.yaml") -> Path:
    """Write a scenario of one's own."""
    path = folder / name
    path.write_text(text)
    return path


def faults_of(path: Path, *sets: str) -> list[Fault]:
    """Load what cannot be loaded, and give its faults."""
    with pytest.raises(ScenarioError) as error:
        load(path, sets)
    return error.value.faults


def lines_of(path: Path, *sets: str) -> list[str]:
    """Give the faults as they are printed, with the bare name of the file."""
    return [str(fault).replace(f"{path.parent}/", "") for fault in faults_of(path, *sets)]


def line_with(path: Path, text: str) -> int:
    """Find the only line that has a text, counted from 1."""
    found = [number for number, line in enumerate(path.read_text().splitlines(), start=1) if text in line]
    assert len(found) == 1, f"{text!r} stands on lines {found}"
    return found[0]


def line_of_section(path: Path, section: str) -> int:
    """Find the line on which a section begins, counted from 1."""
    return path.read_text().splitlines().index(f"{section}:") + 1


def plain_network(folder: Path, tasks: str, sequence: str, more: str = "") -> Scenario:
    """Load an activity network of one building without homes, in a calendar that never stops."""
    return load(
        written(
            folder,
            f"""
name: Network
site: {{start: 2027-03-01, buildings: {{all: }}}}
calendar: {{site: continuous}}
finishing:
  tasks: {tasks}
  sequences: {{only: {sequence}}}
{more}
""",
        )
    )
