"""What a relief study found of the same site, where one was played into the folder beside."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitesim.errors import UserError
from sitesim.report.relief_figures import money_signed
from sitesim.report.shift_words import signed
from sitesim.report.words import Style
from sitesim.study import StudyFolder
from sitesim.study.theatre import PLANNED

PAGE, DATA = "relief.html", "relief.json"
"""What a relief study leaves beside the folders of its runs."""

_MOST = 8


@dataclass(frozen=True, slots=True)
class ReliefBeside:
    """A relief study of the same site: its ``answer`` in words, its ``reliefs``, and its ``page``, seen from here."""

    answer: str
    runs: int
    reliefs: tuple[Mapping[str, Any], ...]
    page: str

    def rows(self, style: Style) -> Iterator[tuple[str, str, str]]:
        """Give the first of the reliefs, best first: name, working days won on average, money on average."""
        for one in self.reliefs[:_MOST]:
            won, cost = one["won"]["mean"], one["cost"]["mean"]
            yield (
                one["name"],
                "–" if won is None else signed(won, 1) if one["distinguishable"] else "none that can be told",
                "–" if cost is None else money_signed(style, cost),
            )


def relief_beside(path: Path, manifest: Mapping[str, Any]) -> ReliefBeside | None:
    """Find the relief study of the scenario that a folder of runs was played from; None if there is none.

    Parameters: ``path`` of the folder; ``manifest``, its own. A study of another scenario, or one that cannot be read,
    counts as none.
    """
    place = path.resolve().with_name(f"{path.resolve().name}-relief")
    try:
        planned = StudyFolder(place / PLANNED).manifest()
        found = json.loads((place / DATA).read_text(encoding="utf-8"))
        if planned["scenario_digest"] != manifest["scenario_digest"]:
            return None
        return ReliefBeside(
            str(found["answer"]), int(found["planned"]["runs"]), tuple(found["reliefs"]), f"../{place.name}/{PAGE}"
        )
    except (OSError, ValueError, KeyError, TypeError, UserError):
        return None
