"""Lists of stresses laid over a scenario, with facts made up."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitesim.scenario import Scenario
from sitesim.scenario.stresses import Stress, read_stresses
from sitesim.scenario.variants import LaidOver, lay_over


@dataclass(frozen=True)
class Facts:
    """Facts made up."""

    plain_days: float = 200.0
    busiest_gang: str = "shell"
    print_days: tuple[int, ...] = (1, 4, 10, 14, 15, 17, 18, 21, 22, 23, 24, 30)
    worst_year: int = 2013


def laid_over(scenario: Scenario, folder: Path, text: str) -> list[LaidOver[Stress]]:
    """Lay a list of stresses over a scenario."""
    file = folder / "stresses.yaml"
    file.write_text(text)
    return list(lay_over(scenario, (), read_stresses(file), Facts()))


def changed_by(scenario: Scenario, folder: Path, change: str) -> dict[str, Any]:
    """Give what a stress leaves differently written in a scenario, by dotted path."""
    (one,) = laid_over(scenario, folder, f"stresses:\n  - name: It\n    {change}\n")
    assert one.scenario is not None, one.why_not
    before, after = (dict(leaves(of.resolved)) for of in (scenario, one.scenario))
    return {
        path: after.get(path) for path in {**before, **after} if path != "name" and before.get(path) != after.get(path)
    }


def leaves(value: Any, path: str = "") -> list[tuple[str, Any]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else None
    if inner is None:
        return [(path, value)]
    return [leaf for key, one in inner for leaf in leaves(one, f"{path}.{key}".strip("."))]
