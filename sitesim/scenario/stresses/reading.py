"""Reading a list of stresses, with every fault at its line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError, model_validator

from sitesim.scenario.document import Document, Place, Trail
from sitesim.scenario.faults import Fault, ScenarioError, nearest
from sitesim.scenario.quantities import wrong
from sitesim.scenario.reading import read_document
from sitesim.scenario.sections.section import Name, Names, Section, names_in
from sitesim.scenario.stresses import kinds
from sitesim.scenario.stresses.restarting import StartLater
from sitesim.scenario.validation import faults_of
from sitesim.scenario.variants.draft import Draft
from sitesim.scenario.variants.paths import unknown_in
from sitesim.scenario.variants.values import Factors, Values

_USUAL = Path(__file__).parent / "usual.yaml"
_BY_PATH = ("values", "factors", "later")
_NOT_CHANGES = ("name", "together")


class StressEntry(Section):
    """One stress: its name and what it changes."""

    name: Name
    """In the words in which it is told."""
    values: Values | None = None
    factors: Factors | None = None
    later: kinds.Later | None = None
    delivery_late: kinds.DeliveryLate | None = None
    start_later: StartLater | None = None
    """In months."""
    slower_learning: kinds.SlowerLearning | None = None
    weather: kinds.WeatherChange | None = None
    worst_year: kinds.WorstYear | None = None
    gang_missing: kinds.GangMissing | None = None
    plant_closed: kinds.PlantClosed | None = None
    printer_down: kinds.PrinterDown | None = None
    tent_lost: kinds.TentLost | None = None
    together: Names = ()
    """Names of stresses further up that come together."""

    @model_validator(mode="after")
    def _changes_something(self) -> StressEntry:
        if not self.together and not self.changes():
            known = ", ".join(key for key in type(self).model_fields if key != "name")
            raise wrong(f"{self.name} changes nothing; write one of {known}")
        return self

    def changes(self) -> dict[str, kinds.Change]:
        """Give what it changes by itself, by key."""
        written = {key: getattr(self, key) for key in type(self).model_fields if key not in _NOT_CHANGES}
        return {key: change for key, change in written.items() if change is not None}


class StressList(Section):
    """A file of stresses."""

    stresses: tuple[StressEntry, ...] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Stress:
    """Something that goes wrong.

    Parameters: ``name``, in the trade's words; ``steps``, what it changes and where each of that is written; ``parts``,
    the names of the stresses that come together in it.
    """

    name: str
    steps: tuple[tuple[kinds.Change, Place], ...]
    parts: tuple[str, ...] = ()

    @property
    def files(self) -> frozenset[str]:
        """The files of the user's own in which it is written."""
        return frozenset(place.file for _, place in self.steps) - {str(_USUAL)}

    def changed(self, draft: Draft) -> Draft:
        """Give the draft under this stress; raises DoesNotApply, with what is missing, if it has nothing to change."""
        for change, place in self.steps:
            draft = change.changed(replace(draft, place=place))
        return draft


def usual_text() -> str:
    """Give the list that is taken unless another is named, with its comments."""
    return _USUAL.read_text(encoding="utf-8")


def usual_stresses() -> tuple[Stress, ...]:
    """Give the stresses of that list."""
    return read_stresses(_USUAL)


def read_stresses(path: Path) -> tuple[Stress, ...]:
    """Read a list of stresses.

    Parameters: ``path``, a YAML file. Raises ScenarioError with all faults that were found.
    """
    document = read_document(path)
    faults = [*_path_faults(document), *_name_faults(document)]
    try:
        entries = StressList.model_validate(document.data).stresses
    except ValidationError as error:
        raise ScenarioError([*faults, *faults_of(document, error, StressList)]) from None
    if faults:
        raise ScenarioError(faults)
    return _put_together(document, entries)


def _put_together(document: Document, entries: tuple[StressEntry, ...]) -> tuple[Stress, ...]:
    made: dict[str, Stress] = {}
    for index, entry in enumerate(entries):
        steps = [step for part in entry.together for step in made[part].steps]
        for key, change in entry.changes().items():
            steps += _steps(document, ("stresses", index, key), change)
        made[entry.name] = Stress(entry.name, tuple(steps), entry.together)
    return tuple(made.values())


def _steps(document: Document, trail: Trail, change: kinds.Change) -> list[tuple[kinds.Change, Place]]:
    """Give what is changed, and where it is written: each path by itself, as far as one does not hang on another."""
    if isinstance(change, Values | kinds.Later):
        return [(one, document.place((*trail, path))) for path, one in change.apart().items()]
    return [(change, document.place(trail))]


def _name_faults(document: Document) -> list[Fault]:
    """Give the faults of names: each is given once, and what comes together stands further up."""
    faults: list[Fault] = []
    names: list[str] = []
    for index, entry in _entries(document):
        for part in names_in(entry.get("together")):
            if part not in names:
                message = f"there is no stress {part} further up: {nearest(part, names)}"
                faults.append(document.fault(("stresses", index, "together"), message))
        name = str(entry.get("name", "")).strip()
        if name in names:
            faults.append(document.fault(("stresses", index, "name"), f"{name} is the name of two stresses"))
        names.append(name)
    return faults


def _path_faults(document: Document) -> list[Fault]:
    """Give the faults of dotted paths that no scenario can have."""
    faults: list[Fault] = []
    for index, entry in _entries(document):
        for key in _BY_PATH:
            paths = entry.get(key)
            for path in paths if isinstance(paths, dict) else ():
                unknown = unknown_in(path)
                if unknown:
                    faults.append(document.fault(("stresses", index, key, path), unknown))
    return faults


def _entries(document: Document) -> list[tuple[int, dict[str, Any]]]:
    """Give the entries that can be looked at, with their places in the list."""
    entries = document.get(("stresses",))
    return [(i, one) for i, one in enumerate(entries if isinstance(entries, list) else ()) if isinstance(one, dict)]
