"""Scenarios under stress: each stress of a list laid over one scenario."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitesim.scenario.document import Document, Place
from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.loading import checked, written
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.stresses.draft import DoesNotApply, Draft, SiteFacts
from sitesim.scenario.stresses.kinds import StartLater, moved_start
from sitesim.scenario.stresses.reading import Stress


@dataclass(frozen=True, slots=True)
class Stressed:
    """A stress, and the ``scenario`` under it; None where it does not apply, and then ``why_not``.

    ``doubts`` say why one that applies may change little.
    """

    stress: Stress
    scenario: Scenario | None
    why_not: str = ""
    doubts: tuple[str, ...] = ()


def stressed(
    scenario: Scenario, sets: Iterable[str], stresses: Sequence[Stress], facts: SiteFacts
) -> tuple[Stressed, ...]:
    """Lay each stress over a scenario.

    Parameters: ``scenario``, as planned; ``sets``, the settings that it was loaded with. A stress under which the rest
    of the scenario does not fit together any more does not apply. Raises ScenarioError with all faults of what is
    written in a list of the user's own.
    """
    document, _ = written(scenario.path, sets)
    found: list[Stressed] = []
    faults: list[Fault] = []
    for stress in stresses:
        try:
            draft = stress.changed(_draft(document, scenario, facts))
            found.append(Stressed(stress, _renamed(draft, stress.name), doubts=draft.doubts))
        except DoesNotApply as reason:
            found.append(Stressed(stress, None, str(reason)))
        except ScenarioError as error:
            own = [fault for fault in error.faults if fault.file in stress.files]
            faults += own
            found.append(Stressed(stress, None, _does_not_fit(error)))
    if faults:
        raise ScenarioError(faults)
    return tuple(found)


def _does_not_fit(error: ScenarioError) -> str:
    fault = error.faults[0]
    return f"the scenario does not fit together under it: {fault.path}: {fault.message}"


@dataclass(frozen=True, slots=True)
class Restarted:
    """A scenario begun in another month: ``wanted``, the day on which it would begin if the site worked on it."""

    scenario: Scenario
    wanted: date


def restarted(scenario: Scenario, sets: Iterable[str], months: int, facts: SiteFacts) -> Restarted:
    """Give the scenario begun so many months later, on a working day."""
    document, _ = written(scenario.path, sets)
    before = _draft(document, scenario, facts)
    draft = StartLater(months).changed(before)
    return Restarted(_renamed(draft, f"started {draft.start.isoformat()}"), moved_start(before.start, months))


def _draft(document: Document, scenario: Scenario, facts: SiteFacts) -> Draft:
    return Draft(document, scenario, facts, Place(document.file, 1))


def _renamed(draft: Draft, name: str) -> Scenario:
    """Make a scenario of a draft, called by the stress; files that the stress names lie beside its list."""
    named = draft.with_value(("name",), f"{draft.scenario.name}: {name}")
    for place in set(named.document.places.values()):
        named.document.folders.setdefault(place.file, Path(place.file).parent)
    return checked(draft.scenario.path, named.document)
