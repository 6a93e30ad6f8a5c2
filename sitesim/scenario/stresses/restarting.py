"""A scenario begun in another month."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sitesim.scenario.loading import written
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.stresses.kinds import StartLater, moved_start
from sitesim.scenario.variants.draft import SiteFacts
from sitesim.scenario.variants.laying import draft_of, renamed


@dataclass(frozen=True, slots=True)
class Restarted:
    """A scenario begun in another month: ``wanted``, the day on which it would begin if the site worked on it."""

    scenario: Scenario
    wanted: date


def restarted(scenario: Scenario, sets: Iterable[str], months: int, facts: SiteFacts) -> Restarted:
    """Give the scenario begun so many months later, on a working day."""
    document, _ = written(scenario.path, sets)
    before = draft_of(document, scenario, facts)
    draft = StartLater(months).changed(before)
    return Restarted(renamed(draft, f"started {draft.start.isoformat()}"), moved_start(before.start, months))
