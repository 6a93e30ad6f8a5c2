"""A scenario said back in words, so that its author sees what will be played."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from sitesim.scenario import Scenario

if TYPE_CHECKING:
    from rich.console import Group, RenderableType


def check_report(scenario: Scenario, description: Iterable[str]) -> Group:
    """Lay out what will be played, as its ``description`` says, what is assumed, and the cautions."""
    from rich.console import Group
    from rich.text import Text

    cautions = scenario.cautions()
    count = f"{len(cautions)} caution{'' if len(cautions) == 1 else 's'}, told at the end"
    parts: list[RenderableType] = [Text(f"{scenario.name}: no faults, {count}. This will be played:", style="bold")]
    parts += [Text(f"· {line}") for line in description]
    for title, lines in (("What is assumed", scenario.assumptions()), ("Cautions", cautions)):
        parts += ["", Text(title, style="bold"), *(Text(f"· {line}") for line in lines)]
    return Group(*parts)
