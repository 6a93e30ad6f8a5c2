"""Changes of a list, each laid over one scenario."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, Protocol, TypeVar

from sitesim.scenario.document import Document, Place
from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.loading import checked, written
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.variants.draft import DoesNotApply, Draft, SiteFacts


class Listed(Protocol):
    """What a list holds: a name and what it changes."""

    @property
    def name(self) -> str:
        """In the words in which it is told."""

    @property
    def files(self) -> frozenset[str]:
        """The files of the user's own in which it is written."""

    def changed(self, draft: Draft) -> Draft:
        """Give the changed draft; raises DoesNotApply if the scenario has nothing to change."""


AnyListed = TypeVar("AnyListed", bound=Listed)


@dataclass(frozen=True, slots=True)
class LaidOver(Generic[AnyListed]):
    """What is ``laid`` over a scenario, and the ``scenario`` then; None where it does not apply, and then ``why_not``.

    ``doubts`` say why one that applies may change little.
    """

    laid: AnyListed
    scenario: Scenario | None
    why_not: str = ""
    doubts: tuple[str, ...] = ()


def lay_over(
    scenario: Scenario, sets: Iterable[str], listed: Sequence[AnyListed], facts: SiteFacts
) -> tuple[LaidOver[AnyListed], ...]:
    """Lay each of several changes over a scenario.

    Parameters: ``scenario``, as planned; ``sets``, the settings that it was loaded with. A change with which the rest
    of the scenario does not fit together any more does not apply. Raises ScenarioError with all faults of what is
    written in a list of the user's own.
    """
    document, _ = written(scenario.path, sets)
    found: list[LaidOver[AnyListed]] = []
    faults: list[Fault] = []
    for one in listed:
        try:
            draft = one.changed(draft_of(document, scenario, facts))
            found.append(LaidOver(one, renamed(draft, one.name), doubts=draft.doubts))
        except DoesNotApply as reason:
            found.append(LaidOver(one, None, str(reason)))
        except ScenarioError as error:
            faults += [fault for fault in error.faults if fault.file in one.files]
            found.append(LaidOver(one, None, _does_not_fit(error)))
    if faults:
        raise ScenarioError(faults)
    return tuple(found)


def _does_not_fit(error: ScenarioError) -> str:
    fault = error.faults[0]
    return f"the scenario does not fit together under it: {fault.path}: {fault.message}"


def draft_of(document: Document, scenario: Scenario, facts: SiteFacts) -> Draft:
    """Begin a draft."""
    return Draft(document, scenario, facts, Place(document.file, 1))


def renamed(draft: Draft, name: str) -> Scenario:
    """Make a scenario of a draft, called by what is laid over it; files that this names lie beside its list."""
    named = draft.with_value(("name",), f"{draft.scenario.name}: {name}")
    for place in set(named.document.places.values()):
        named.document.folders.setdefault(place.file, Path(place.file).parent)
    return checked(draft.scenario.path, named.document)
