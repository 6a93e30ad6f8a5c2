"""Reading one YAML file into plain values that know their lines."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq, TaggedScalar
from ruamel.yaml.constructor import RoundTripConstructor
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import ScalarNode

from sitesim.scenario.document import Document, Place, Trail
from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.unreadable import unreadable

MOST_LEVELS, MOST_VALUES = 40, 200_000
"""How deep values may be nested, and how many there may be where aliases are written out."""
_TOO_DEEP = f"values lie in one another more than {MOST_LEVELS} deep"
_TOO_MANY = f"with its aliases (*name) written out it has more than {MOST_VALUES:,} values"


class TooMuchError(ValueError):
    """A text that is YAML, but more than a scenario can be."""


class _PlainDates(RoundTripConstructor):
    """Leaves dates as text, so that a date that cannot be is a fault with its line and not an exception."""

    def construct_date_as_text(self, node: ScalarNode) -> str:
        return str(node.value)


_PlainDates.add_constructor("tag:yaml.org,2002:timestamp", _PlainDates.construct_date_as_text)


def read_yaml(text: str) -> Any:
    """Parse YAML 1.2 with its lines, dates left as text.

    Raises YAMLError or ValueError for bad syntax, TooMuchError for what is nested too deep.
    """
    yaml = YAML(typ="rt", pure=True)
    yaml.Constructor = _PlainDates
    yaml.allow_duplicate_keys = False
    try:
        return yaml.load(text)
    except RecursionError:
        raise TooMuchError(_TOO_DEEP) from None


def read_document(path: Path) -> Document:
    """Read a YAML file whose top is a mapping.

    Parameters: ``path``, as the user wrote it. Raises ScenarioError if the file cannot be read, is not YAML, or repeats
    a key.
    """
    file = str(path)
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise ScenarioError([Fault(file, 0, "", "is not text in UTF-8")]) from None
    except OSError as error:
        raise ScenarioError([Fault(file, 0, "", f"cannot be read: {error.strerror or error}")]) from None
    try:
        content = read_yaml(text)
    except TooMuchError as error:
        raise ScenarioError([Fault(file, 0, "", str(error))]) from None
    except (YAMLError, ValueError) as error:
        line, what = unreadable(text, error)
        raise ScenarioError([Fault(file, line, "", f"is not readable YAML: {what}")]) from None
    if not isinstance(content, CommentedMap):
        raise ScenarioError([Fault(file, 1, "", "should be a mapping of sections such as 'site:' and 'wall:'")])
    document = Document(file, {}, folders={file: path.parent})
    try:
        document.data = _Copying(file, document.places).plain(content, ())
    except TooMuchError as error:
        raise ScenarioError([Fault(file, 0, "", str(error))]) from None
    return document


def plain(value: Any) -> Any:
    """Turn what the YAML reader made into plain mappings, lists and scalars; raises TooMuchError as reading does."""
    return _Copying("", {}).plain(value, ())


class _Copying:
    """Copies what the YAML reader made into plain values, noting the line of each key and list entry in ``places``."""

    def __init__(self, file: str, places: dict[Trail, Place]) -> None:
        self._file = file
        self._places = places
        self._copied = 0

    def plain(self, value: Any, trail: Trail, around: tuple[int, ...] = ()) -> Any:
        """Copy a value; ``around`` are the collections it lies in.

        Raises TooMuchError where it has more values, or lies deeper, than a scenario can have.
        """
        if id(value) in around:  # an alias to what it stands in
            return None
        self._copied += 1
        if self._copied > MOST_VALUES:
            raise TooMuchError(_TOO_MANY)
        if len(around) > MOST_LEVELS:
            raise TooMuchError(_TOO_DEEP)
        inside = (*around, id(value))
        if isinstance(value, CommentedMap):
            mapping: dict[str, Any] = {}
            for key, inner in value.items():
                inner_trail = (*trail, str(key))
                if key in value.lc.data:
                    self._places[inner_trail] = Place(self._file, value.lc.data[key][0] + 1)
                mapping[str(key)] = self.plain(inner, inner_trail, inside)
            return mapping
        if isinstance(value, CommentedSeq):
            entries = []
            for index, inner in enumerate(value):
                inner_trail = (*trail, index)
                if index in value.lc.data:
                    self._places[inner_trail] = Place(self._file, value.lc.data[index][0] + 1)
                entries.append(self.plain(inner, inner_trail, inside))
            return entries
        return _scalar(value)


def _scalar(value: Any) -> Any:
    if isinstance(value, TaggedScalar):
        return str(value.value)
    for scalar in (bool, int, float, str):
        if isinstance(value, scalar):
            return scalar(value)
    return None if value is None else str(value)
