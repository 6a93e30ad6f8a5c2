"""A study's folder: immutable parquet blocks, the manifest, and the digest that two studies can be compared by."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitesim.errors import UserError
from sitesim.ledger import COLUMNS, KINDS, OF_STANDING_RUNS, SORTED_BY
from sitesim.study.worker import Columns

if TYPE_CHECKING:
    import pandas as pd

_IN_BLOCKS = tuple(table for table in COLUMNS if table not in OF_STANDING_RUNS)
"""The tables of which every block has a file."""

_SAID_BY_EVERY_MANIFEST = ("scenario_digest", "seed", "versions")

NO_RUN_KEPT = "no run is kept here yet; play the scenario, it goes on from what is kept"
"""What is said of a folder of runs in which there are none, since the first were interrupted."""


class StudyFolderError(UserError):
    """A folder that cannot be used: it holds something else, or not yet what is asked for."""


class StudyFolder:
    """The files of one study. A block of runs, once written, is never changed."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @property
    def manifest_path(self) -> Path:
        """The manifest's place."""
        return self.path / "manifest.json"

    def manifest(self) -> dict[str, Any]:
        """Read the manifest; raises StudyFolderError if there is none, or it says nothing of a study."""
        try:
            found = _read_json(self.manifest_path)
        except FileNotFoundError:
            raise StudyFolderError(f"{self.path}: no manifest.json here, so this is not a folder of runs") from None
        missing = [key for key in _SAID_BY_EVERY_MANIFEST if key not in found]
        if missing:
            raise StudyFolderError(f"{self.manifest_path}: does not say {' and '.join(missing)}, as that of runs does")
        return found

    def summary(self) -> dict[str, Any]:
        """Read the summary of a complete study; raises StudyFolderError if there is none, or it is not complete."""
        place = self.path / "summary.json"
        if not self.manifest().get("complete") or not place.exists():
            raise StudyFolderError(
                f"{self.path}: the study is not complete; run it again, it goes on from what is kept"
            )
        return _read_json(place)

    def write_json(self, name: str, content: Mapping[str, Any]) -> None:
        """Write a JSON file whole or not at all."""
        text = json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
        self.write_bytes(self.path / name, text.encode())

    def write_bytes(self, place: Path, content: bytes) -> None:
        """Write a file whole or not at all: beside its place, to the disk, then renamed."""
        place.parent.mkdir(parents=True, exist_ok=True)
        beside = place.with_name(f".{place.name}.part")
        with beside.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(place)

    def blocks(self) -> dict[int, int]:
        """Give the blocks of which every table is there, as first run and the run after the last.

        Tables of which there is no block at all are not asked for: folders of older versions hold fewer.
        Of two that begin with the same run the longer counts: a study was extended, and killed while doing so.
        """
        found: dict[int, int] = {}
        kept = [table for table in _IN_BLOCKS if (self.path / table).is_dir()]
        for file in (self.path / "runs").glob("block-*.parquet"):
            if all((self.path / table / file.name).exists() for table in kept):
                _, first, stop = file.stem.split("-")
                found[int(first)] = max(found.get(int(first), 0), int(stop))
        return found

    def run_count(self) -> int:
        """Count the runs of the complete blocks."""
        return sum(stop - first for first, stop in self.blocks().items())

    def write_block(self, runs: range, tables: Columns) -> None:
        """Write one block of every table, ``runs`` last; a shorter block that it contains is removed then."""
        name = _block_name(runs.start, runs.stop)
        for table in sorted(tables, key=lambda table: table == "runs"):
            self._write_table(self.path / table / name, table, tables[table])
        for table in tables:
            for file in (self.path / table).glob(f"block-{runs.start:07d}-*.parquet"):
                if file.name != name:
                    file.unlink()

    def write_standing(self, tables: Columns) -> None:
        """Write the tables of the runs that stand for the quantiles."""
        for table, columns in tables.items():
            self._write_table(self.path / f"{table}.parquet", table, columns)

    def has(self, table: str) -> bool:
        """Tell whether a table is there; folders of older versions hold fewer."""
        return bool(self._files_of(table))

    def table(self, name: str, runs: int | None = None) -> pd.DataFrame:
        """Read a whole table, sorted; only the first ``runs`` runs if a number is given.

        Raises StudyFolderError if the table is missing, or a file of it is damaged.
        """
        import pandas as pd

        files = self._files_of(name)
        if not files:
            raise StudyFolderError(f"{self.path}: the table {name} is missing")
        frame = pd.concat([_read_table(file) for file in files], ignore_index=True)
        if runs is not None:
            frame = frame[frame["run"] < runs]
        return frame.sort_values(list(SORTED_BY[name]), kind="stable", ignore_index=True)

    def digest(self, runs: int) -> str:
        """Digest the tables of the first ``runs`` runs: of their sorted columns, whatever the files they lie in."""
        import numpy as np

        digest = hashlib.sha256()
        for name in _IN_BLOCKS:
            frame = self.table(name, runs)
            for column in COLUMNS[name]:
                digest.update(f"{name}.{column}:{len(frame)};".encode())
                values = frame[column]
                if KINDS[name][column] is str:
                    digest.update("\x1f".join(values.tolist()).encode())
                else:
                    digest.update(np.ascontiguousarray(values.to_numpy()).tobytes())
        return digest.hexdigest()

    def _files_of(self, table: str) -> list[Path]:
        if table in _IN_BLOCKS:
            files = [self.path / table / _block_name(*block) for block in sorted(self.blocks().items())]
            return files if (self.path / table).is_dir() else []
        file = self.path / f"{table}.parquet"
        return [file] if file.exists() else []

    def _write_table(self, place: Path, table: str, columns: dict[str, list[Any]]) -> None:
        import pyarrow as pa
        import pyarrow.parquet as pq

        arrow_types = {str: pa.string(), int: pa.int64(), bool: pa.bool_(), float: pa.float64()}
        schema = pa.schema([(name, arrow_types[kind]) for name, kind in KINDS[table].items()])
        sink = pa.BufferOutputStream()
        pq.write_table(pa.table(columns, schema=schema), sink, compression="zstd")
        self.write_bytes(place, sink.getvalue().to_pybytes())


def _block_name(first: int, stop: int) -> str:
    return f"block-{first:07d}-{stop:07d}.parquet"


def _read_json(file: Path) -> dict[str, Any]:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except ValueError as error:
        raise StudyFolderError(f"{file}: cannot be read as JSON ({error})") from None
    if not isinstance(found, dict):
        raise StudyFolderError(f"{file}: should hold names with their values, between {{ and }}")
    return found


def _read_table(file: Path) -> pd.DataFrame:
    import pandas as pd

    try:
        return pd.read_parquet(file)
    except (OSError, ValueError) as error:  # pyarrow's own errors are among these
        raise StudyFolderError(
            f"{file}: is damaged ({error}); remove it and run the study again: it goes on from what is kept"
        ) from None
