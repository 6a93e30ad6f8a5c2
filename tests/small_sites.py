"""Small scenario files: an activity network, and the demo with low walls."""

from __future__ import annotations

from pathlib import Path

SCENARIOS = Path(__file__).parents[1] / "scenarios"

NETWORK = """\
name: Two homes
site: {start: 2027-03-01, horizon: 200 d, buildings: {A: {homes: [A1, A2]}}}
calendar: {site: {days: mon-fri, hours: ["07:00-15:00"]}}
crews: {gang: {size: 2, rate: 100}}
finishing:
  tasks:
    frame: {crew: gang, time: [4, 8, 16]}
    paint: {crew: gang, time: [2, 4, 9]}
  sequences:
    only: {frame: [], paint: [frame]}
"""

LOW_WALLS = f"""\
# The demo with one home in a row and walls of twelve layers.
extends: {SCENARIOS / "tern-quay.yaml"}
name: Low walls
site:
  buildings:
    A: {{homes: [A1]}}
    B: {{homes: [B1]}}
    C: {{homes: [C1]}}
    D: {{homes: [D1]}}
    E: {{homes: [E1]}}
wall:
  height: 480 mm
  path: [{{layers: 1-12, path: 150 m}}]
  day_ends: [6, 12]
  lintels: []
  points: [{{name: bars, layer: 6, by: special, fails: 10 %, rework: [0.25, 0.5, 1], crew: steel}}]
  holds: [{{layer: 6, tasks: [grout_lift]}}]
"""


def network_file(folder: Path, *changes: tuple[str, str], name: str = "two-homes.yaml") -> Path:
    """Write the activity network with pieces of its text changed."""
    text = NETWORK
    for before, after in changes:
        assert before in text, f"{before!r} is not in the scenario"
        text = text.replace(before, after)
    path = folder / name
    path.write_text(text)
    return path


def low_walls_file(folder: Path) -> Path:
    """Write the demo with low walls."""
    path = folder / "low-walls.yaml"
    path.write_text(LOW_WALLS)
    return path
