"""The data files that a scenario names, found from the file that names them."""

from __future__ import annotations

from collections.abc import Iterator
from glob import glob
from pathlib import Path
from typing import Any

from sitesim.scenario.document import Document, Trail


def find_data_files(document: Document) -> tuple[Document, Document, dict[str, Path]]:
    """Find the files that a scenario names.

    Returns the document with full paths, to be read; the document with bare file names, to be kept beside copies of the
    files; and those files by their bare names.
    """
    document = _with_each_record(document)
    located, portable = document.copied(), document.copied()
    files: dict[str, Path] = {}
    for trail, written in _named(document.data, ()):
        if "\0" in written:  # no system has such a name: it is told that there is no such file
            continue
        path = (document.folder(trail) / written).resolve()
        name = _bare_name(path, files)
        files[name] = path
        _replace(located, trail, str(path))
        _replace(portable, trail, name)
    return located, portable, files


_RECORD: Trail = ("weather", "record")
_MAGIC = frozenset("*?[")


def _with_each_record(document: Document) -> Document:
    """Give the document with the files of a weather record one by one: a pattern stands for those it matches."""
    written = document.get(_RECORD)
    patterns = written if isinstance(written, list) else [written]
    if not any(isinstance(each, str) and _MAGIC.intersection(each) for each in patterns):
        return document
    changed = document.copied()
    folder = document.folder(_RECORD)
    changed.get(_RECORD[:1])["record"] = [name for each in patterns for name in _matching(folder, each)]
    return changed


def _matching(folder: Path, pattern: Any) -> list[Any]:
    """Give the files that a pattern matches in the order of their names; the pattern itself if there are none."""
    if not isinstance(pattern, str) or not _MAGIC.intersection(pattern) or (folder / pattern).is_file():
        return [pattern]
    return sorted(glob(pattern, root_dir=folder)) or [pattern]


def _named(value: Any, trail: Trail) -> Iterator[tuple[Trail, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            names_file = key == "observed" or (*trail, key) == _RECORD
            if names_file and isinstance(inner, str):
                yield (*trail, key), inner
            else:
                yield from _named(inner, (*trail, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            if trail == _RECORD and isinstance(inner, str):
                yield (*trail, index), inner
            else:
                yield from _named(inner, (*trail, index))


def _bare_name(path: Path, files: dict[str, Path]) -> str:
    """Give the file's own name, numbered if another file in use has it."""
    name, number = path.name, 1
    while files.get(name, path) != path:
        number += 1
        name = f"{path.stem}-{number}{path.suffix}"
    return name


def _replace(document: Document, trail: Trail, value: str) -> None:
    holder = document.get(trail[:-1])
    holder[trail[-1]] = value
