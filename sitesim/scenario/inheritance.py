"""Laying one scenario over another: ``extends``, settings from the command line, and a building's own wall."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from ruamel.yaml.error import YAMLError

from sitesim.scenario.document import Document, Place, Trail, dotted, plain_copy
from sitesim.scenario.faults import Fault, ScenarioError, nearest
from sitesim.scenario.keys import known_keys, names_are_free
from sitesim.scenario.reading import plain, read_document, read_yaml
from sitesim.scenario.task_tables import take_in_tables

Modes = Mapping[str, tuple[str, Mapping[str, frozenset[str]]]]
"""For sections that come in modes: the key that names the mode, and the keys that each mode knows."""


def read_with_parents(path: Path, modes: Modes) -> Document:
    """Read a scenario and all that it extends, each laid over the one that it extends.

    Parameters: ``path``; ``modes``. Raises ScenarioError if a file cannot be read or the chain closes on itself.
    """
    chain: list[tuple[Path, Document]] = []
    seen: list[Path] = []
    following: Path | None = path
    while following is not None:
        resolved = following.resolve()
        if resolved in seen:
            names = " -> ".join(file.name for file in [*seen[seen.index(resolved) :], resolved])
            raise ScenarioError([chain[-1][1].fault(("extends",), f"the files extend one another: {names}")])
        seen.append(resolved)
        document = _read_linked(following, chain)
        document.faults += take_in_tables(document)
        chain.append((following, document))
        following = _parent(following, document)
    for _, document in chain:
        document.remove(("extends",))
    merged = chain[-1][1]
    for _, document in reversed(chain[:-1]):
        merged = laid_over(document, merged, modes)
    return merged


def _read_linked(path: Path, chain: list[tuple[Path, Document]]) -> Document:
    """Read a file; if another names it, a file that is not there is that one's fault."""
    if chain and not path.is_file():
        raise ScenarioError([chain[-1][1].fault(("extends",), f"there is no file {path}")])
    return read_document(path)


def _parent(path: Path, document: Document) -> Path | None:
    name = document.data.get("extends")
    if name is None:
        return None
    if not isinstance(name, str) or "\0" in name:
        raise ScenarioError([document.fault(("extends",), f"{name!r} is not the name of a scenario file")])
    return Path(os.path.normpath(path.parent / name))


def laid_over(upper: Document, lower: Document, modes: Modes) -> Document:
    """Give the lower document with the upper one's values in place of its own; mappings merge, lists replace."""
    merged = lower.copied()
    merged.file = upper.file
    merged.folders.update(upper.folders)
    merged.faults += upper.faults
    merged.unread |= upper.unread
    _lay(upper, merged, (), modes)
    return merged


def _lay(upper: Document, merged: Document, trail: Trail, modes: Modes) -> None:
    above = upper.get(trail)
    if len(trail) == 1 and trail[0] in modes:
        _drop_other_mode(str(trail[0]), above, merged, modes)
    for key, value in above.items():
        inner = (*trail, key)
        if isinstance(value, dict) and isinstance(merged.get(inner), dict):
            _lay(upper, merged, inner, modes)
            continue
        merged.put(inner, plain_copy(value), upper.place(inner))
        merged.places.update((other, place) for other, place in upper.places.items() if other[: len(inner)] == inner)


def _drop_other_mode(section: str, above: Mapping[str, Any], merged: Document, modes: Modes) -> None:
    """Take out of a section what only its former mode knows, when ``above`` names another mode."""
    key, known = modes[section]
    mode = above.get(key)
    below = merged.get((section,))
    if not isinstance(below, dict) or mode == below.get(key) or mode not in known:
        return
    others = frozenset().union(*known.values()) - known[str(mode)]
    for stale in [name for name in below if name in others]:
        merged.remove((section, stale))


def with_settings(
    document: Document, settings: Iterable[str], model: Any, modes: Modes
) -> tuple[Document, list[Fault]]:
    """Give the document with ``path=value`` settings laid over it, and the faults of those that cannot be.

    Parameters: ``settings``, each a dotted path, ``=`` and a value in YAML; ``model``, the annotation that says which
    keys are known.
    """
    faults: list[Fault] = []
    changed = document.copied()
    for setting in settings:
        file = f"--set {setting}"
        changed.folders[file] = Path()
        path, equals, text = setting.partition("=")
        trail = tuple(int(part) if part.isdecimal() else part for part in path.strip().split("."))
        if not equals or not path.strip():
            faults.append(Fault(file, 0, "", "should be path=value, such as supply.spacing='90 min'"))
            continue
        try:
            value = plain(read_yaml(text))
        except (YAMLError, ValueError):
            faults.append(Fault(file, 0, dotted(trail), f"{text!r} is not a value that can be read"))
            continue
        trail, unknown = followed(changed, trail, model)
        if unknown:
            faults.append(Fault(file, 0, dotted(trail), unknown + _how_to_add(changed, trail, model)))
            continue
        set_value(changed, trail, value, Place(file, 0), modes)
        faults += take_in_tables(changed)
    return changed, faults


def _how_to_add(document: Document, trail: Trail, model: Any) -> str:
    """Say how something new comes in where names are free; nothing elsewhere.

    A setting never adds a name: one that is mistaken would be a second thing that nothing uses, and change no result.
    """
    if not names_are_free(model, trail[:-1]):
        return ""
    file = Path(document.file).name
    return f" (--set only changes what is there; a new {trail[-1]} goes into a file that begins with extends: {file})"


def followed(document: Document, trail: Trail, model: Any) -> tuple[Trail, str]:
    """Follow a trail through the content; give it with its keys as they are written, and what is unknown of it."""
    reached: Trail = ()
    for part in trail:
        holder = document.get(reached)
        if isinstance(holder, list):
            if not isinstance(part, int) or part >= len(holder):
                return trail, f"{dotted(reached)} is a list of {len(holder)}, counted from 0: there is no {part}"
            reached = (*reached, part)
            continue
        name = str(part)
        if holder is not None and not isinstance(holder, dict):
            return trail, f"{dotted(reached)} is {holder!r}, which has nothing inside it"
        if name not in (holder or {}):
            known = list(known_keys(model, reached)) + [key for key in holder or {} if names_are_free(model, reached)]
            if name not in known:
                return (*reached, name), f"{name} is not known here: {nearest(name, known)}"
        reached = (*reached, name)
    return reached, ""


def set_value(document: Document, trail: Trail, value: Any, place: Place, modes: Modes) -> None:
    """Put a value into a document; where it names the mode of a section, what only the former mode knows goes."""
    if len(trail) == 2 and trail[0] in modes and trail[1] == modes[str(trail[0])][0]:
        _drop_other_mode(str(trail[0]), {str(trail[1]): value}, document, modes)
    document.put(trail, value, place)


def with_own_walls(document: Document) -> Document:
    """Give the document in which each building's own part of the wall is laid over the wall of the site."""
    wall = document.get(("wall",))
    buildings = document.get(("site", "buildings"))
    if not isinstance(wall, dict) or not isinstance(buildings, dict):
        return document
    changed = document.copied()
    for name, building in buildings.items():
        if isinstance(building, dict) and isinstance(building.get("wall"), dict):
            _put_own_wall(document, changed, ("site", "buildings", name, "wall"))
    return changed


def _put_own_wall(document: Document, changed: Document, trail: Trail) -> None:
    own = Document(document.file, {"wall": document.get(trail)})
    own.places = {
        ("wall", *at[len(trail) :]): place for at, place in document.places.items() if at[: len(trail)] == trail
    }
    site = Document(document.file, {"wall": document.get(("wall",))})
    site.places = {at: place for at, place in document.places.items() if at[:1] == ("wall",)}
    merged = laid_over(own, site, {})
    changed.put(trail, merged.data["wall"], document.place(trail))
    changed.places.update((trail + at[1:], place) for at, place in merged.places.items())
