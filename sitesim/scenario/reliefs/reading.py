"""Reading a list of reliefs, with every fault at its line."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError, model_validator

from sitesim.scenario.document import Document
from sitesim.scenario.faults import Fault, ScenarioError, nearest
from sitesim.scenario.naming import meant_by
from sitesim.scenario.quantities import wrong
from sitesim.scenario.reading import read_document
from sitesim.scenario.reliefs.kinds import NewValues, Relieving
from sitesim.scenario.reliefs.relief import Relief, together
from sitesim.scenario.sections.section import Name, Names, Section, names_in
from sitesim.scenario.validation import faults_of
from sitesim.scenario.variants.paths import unknown_in

_ENTRIES = "reliefs"


class ReliefEntry(Section):
    """One relief: its name, and what it changes or which others come together in it."""

    name: Name
    """In the words in which it is told."""
    set: NewValues | None = None
    """Other values, by their dotted paths."""
    both: Names = ()
    """Names, or parts of names, of reliefs further up or of the usual ones that come together."""

    @model_validator(mode="after")
    def _changes_something(self) -> ReliefEntry:
        if not self.both and (self.set is None or not self.set.root):
            raise wrong(f"{self.name} changes nothing; write set: {{path: value}}, or both: [one, another]")
        return self


class ReliefList(Section):
    """A file of reliefs."""

    reliefs: tuple[ReliefEntry, ...] = Field(min_length=1)
    usual: bool = False
    """Whether the usual reliefs are played besides."""


def read_reliefs(path: Path, usual: Sequence[Relief]) -> tuple[Relief, ...]:
    """Read a list of reliefs.

    Parameters: ``path``, a YAML file; ``usual``, the reliefs that the scenario itself suggests, of which those are
    played besides that the list names, or all if it says so. Raises ScenarioError with all faults that were found.
    """
    document = read_document(path)
    faults = [*_path_faults(document), *_name_faults(document, usual)]
    try:
        found = ReliefList.model_validate(document.data)
    except ValidationError as error:
        raise ScenarioError([*faults, *faults_of(document, error, ReliefList)]) from None
    if faults:
        raise ScenarioError(faults)
    return _put_together(document, found, usual)


def _put_together(document: Document, found: ReliefList, usual: Sequence[Relief]) -> tuple[Relief, ...]:
    made: dict[str, Relief] = {one.name: one for one in usual} if found.usual else {}
    own: list[Relief] = []
    faults: list[Fault] = []
    for index, entry in enumerate(found.reliefs):
        parts = [_meant(part, own, usual) for part in entry.both]
        faults += [document.fault((_ENTRIES, index, "both"), message) for message in _at_odds(parts)]
        made |= {part.name: part for part in parts}
        changes: dict[str, Relieving] = {} if entry.set is None else {**entry.set.apart()}
        steps = tuple((change, document.place((_ENTRIES, index, "set", path))) for path, change in changes.items())
        alone = Relief(entry.name, steps)
        whole = together((*parts, alone), entry.name) if parts else alone
        relief = Relief(
            entry.name, whole.steps, whole.more, whole.relieves, whole.unpriced, tuple(part.name for part in parts)
        )
        own.append(relief)
        made[relief.name] = relief
    if faults:
        raise ScenarioError(faults)
    return tuple(made.values())


def _at_odds(parts: Sequence[Relief]) -> Iterator[str]:
    """Say which reliefs cannot come together, since both change the same."""
    for one, other in itertools.combinations(parts, 2):
        if not one.goes_with(other):
            same = sorted(one.paths & other.paths) or sorted(one.paths)
            yield f"{one.name} and {other.name} both change {same[0]}; set what is meant in one relief"


def _meant(part: str, own: Sequence[Relief], usual: Sequence[Relief]) -> Relief:
    return (meant_by(part, own) or meant_by(part, usual))[0]


def _name_faults(document: Document, usual: Sequence[Relief]) -> list[Fault]:
    """Give the faults of names: each is given once, and what comes together is known and only one is meant by it."""
    faults: list[Fault] = []
    names: list[str] = []
    for index, entry in _entries(document):
        above = [Relief(name, ()) for name in names]
        for part in names_in(entry.get("both")):
            message = _unclear(part, above, usual)
            if message:
                faults.append(document.fault((_ENTRIES, index, "both"), message))
        name = str(entry.get("name", "")).strip()
        if name in [*names, *(one.name for one in usual)]:
            message = f"{name} is the name of two reliefs" if name in names else f"{name} is that of a usual relief"
            faults.append(document.fault((_ENTRIES, index, "name"), message))
        names.append(name)
    return faults


def _unclear(part: str, above: Sequence[Relief], usual: Sequence[Relief]) -> str:
    """Say why a name does not mean one relief, or nothing if it does."""
    meant = meant_by(part, above) or meant_by(part, usual)
    if not meant:
        known = [one.name for one in (*above, *usual)]
        return f"there is no relief {part} further up or among the usual ones: {nearest(part, known)}"
    return "" if len(meant) == 1 else f"{part} may be any of {', '.join(one.name for one in meant)}; write more of it"


def _path_faults(document: Document) -> list[Fault]:
    """Give the faults of dotted paths that no scenario can have."""
    faults: list[Fault] = []
    for index, entry in _entries(document):
        paths = entry.get("set")
        for path in paths if isinstance(paths, dict) else ():
            unknown = unknown_in(str(path))
            if unknown:
                faults.append(document.fault((_ENTRIES, index, "set", path), unknown))
    return faults


def _entries(document: Document) -> list[tuple[int, dict[str, Any]]]:
    """Give the entries that can be looked at, with their places in the list."""
    entries = document.get((_ENTRIES,))
    return [(i, one) for i, one in enumerate(entries if isinstance(entries, list) else ()) if isinstance(one, dict)]
