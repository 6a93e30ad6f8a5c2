"""Other values and factors, by the dotted paths of what is written."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, Self

from pydantic import ConfigDict, RootModel

from sitesim.scenario.document import Trail
from sitesim.scenario.inheritance import followed, set_value
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.quantities import Quantity
from sitesim.scenario.sections.supply import MODES
from sitesim.scenario.variants.amounts import times
from sitesim.scenario.variants.draft import DoesNotApply, Draft
from sitesim.scenario.variants.paths import most_at

SomeFactor = Annotated[float, Quantity("", "1.5", "factor", least=0.0, most=100.0, bare=True)]


class Values(RootModel[dict[str, Any]]):
    """Other values, by their dotted paths."""

    model_config = ConfigDict(frozen=True)

    def apart(self) -> dict[str, Self]:
        """Give each value by itself, by its path."""
        return {path: type(self)({path: value}) for path, value in self.root.items()}

    def changed(self, draft: Draft) -> Draft:
        """Put each value in place of what is written."""
        for path, value in self.root.items():
            for trail in draft.trails(path) if "*" in path else [self._trail(draft, path)]:
                document = draft.document.copied()
                set_value(document, trail, value, draft.place, MODES)
                draft = replace(draft, document=document)
        return draft

    def _trail(self, draft: Draft, path: str) -> Trail:
        wanted = tuple(int(part) if part.isdecimal() else part for part in path.split("."))
        trail, unknown = followed(draft.document, wanted, ScenarioModel)
        if unknown:
            raise DoesNotApply(unknown)
        return trail


class Factors(RootModel[dict[str, SomeFactor]]):
    """Factors on values, by their dotted paths; a share does not grow beyond the whole."""

    model_config = ConfigDict(frozen=True)

    def changed(self, draft: Draft) -> Draft:
        """Multiply what is written; of paths with a ``*``, one that leads nowhere is passed over if another does not.

        Raises DoesNotApply if there is nothing to multiply, or nothing at a path that names one place.
        """
        missing: list[DoesNotApply] = []
        reached = 0
        for path, factor in self.root.items():
            try:
                trails = draft.trails(path)
            except DoesNotApply as none:
                if "*" not in path:
                    raise
                missing.append(none)
                continue
            reached += 1
            for trail in trails:
                draft = draft.with_value(trail, times(draft.document.get(trail), factor, most_at(trail)))
        if missing and not reached:
            raise missing[0]
        return draft
