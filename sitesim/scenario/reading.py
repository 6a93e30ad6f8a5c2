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


class _PlainDates(RoundTripConstructor):
    """Leaves dates as text, so that a date that cannot be is a fault with its line and not an exception."""

    def construct_date_as_text(self, node: ScalarNode) -> str:
        return str(node.value)


_PlainDates.add_constructor("tag:yaml.org,2002:timestamp", _PlainDates.construct_date_as_text)


def read_yaml(text: str) -> Any:
    """Parse YAML 1.2 with its lines, dates left as text; raises YAMLError or ValueError for bad syntax."""
    yaml = YAML(typ="rt", pure=True)
    yaml.Constructor = _PlainDates
    yaml.allow_duplicate_keys = False
    return yaml.load(text)


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
    except (YAMLError, ValueError) as error:
        line, what = unreadable(text, error)
        raise ScenarioError([Fault(file, line, "", f"is not readable YAML: {what}")]) from None
    if not isinstance(content, CommentedMap):
        raise ScenarioError([Fault(file, 1, "", "should be a mapping of sections such as 'site:' and 'wall:'")])
    document = Document(file, {}, folders={file: path.parent})
    document.data = _plain(content, (), file, document.places, ())
    return document


def plain(value: Any) -> Any:
    """Turn what the YAML reader made into plain mappings, lists and scalars."""
    return _plain(value, (), "", {}, ())


def _plain(value: Any, trail: Trail, file: str, places: dict[Trail, Place], around: tuple[int, ...]) -> Any:
    """Copy a value, noting the line of each key and list entry; ``around`` are the collections it lies in."""
    if id(value) in around:  # an alias to what it stands in
        return None
    inside = (*around, id(value))
    if isinstance(value, CommentedMap):
        mapping: dict[str, Any] = {}
        for key, inner in value.items():
            inner_trail = (*trail, str(key))
            if key in value.lc.data:
                places[inner_trail] = Place(file, value.lc.data[key][0] + 1)
            mapping[str(key)] = _plain(inner, inner_trail, file, places, inside)
        return mapping
    if isinstance(value, CommentedSeq):
        entries = []
        for index, inner in enumerate(value):
            inner_trail = (*trail, index)
            if index in value.lc.data:
                places[inner_trail] = Place(file, value.lc.data[index][0] + 1)
            entries.append(_plain(inner, inner_trail, file, places, inside))
        return entries
    if isinstance(value, TaggedScalar):
        return str(value.value)
    for scalar in (bool, int, float, str):
        if isinstance(value, scalar):
            return scalar(value)
    return None if value is None else str(value)
