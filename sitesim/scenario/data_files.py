"""The data files that a scenario names, found from the file that names them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sitesim.scenario.document import Document, Trail


def find_data_files(document: Document) -> tuple[Document, Document, dict[str, Path]]:
    """Find the files that a scenario names.

    Returns the document with full paths, to be read; the document with bare file names, to be kept beside copies of the
    files; and those files by their bare names.
    """
    located, portable = document.copied(), document.copied()
    files: dict[str, Path] = {}
    for trail, written in _named(document.data, ()):
        path = (document.folder(trail) / written).resolve()
        name = _bare_name(path, files)
        files[name] = path
        _replace(located, trail, str(path))
        _replace(portable, trail, name)
    return located, portable, files


def _named(value: Any, trail: Trail) -> Iterator[tuple[Trail, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            names_file = key == "observed" or (*trail, key) == ("weather", "record")
            if names_file and isinstance(inner, str):
                yield (*trail, key), inner
            else:
                yield from _named(inner, (*trail, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
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
