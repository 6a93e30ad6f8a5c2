"""What has been played of a deliveries study that is not done yet, so that nothing of it is lost by an interruption."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

from sitesim.ledger.print_days import PrintDays, in_columns
from sitesim.plan import Plan, digest_of
from sitesim.study.folder import StudyFolder
from sitesim.study.runner import code_digest, versions


class KeptPrintDays:
    """Rows of plans of which every run has been played, each plan's in a file under the name of all that made them.

    Parameters: ``path`` of the study's folder; ``seed`` of its runs.
    """

    PLACE = "played"
    """The folder, within that of the study, in which they are kept."""

    def __init__(self, path: Path, seed: int) -> None:
        self.path = path
        self._folder = StudyFolder(path / self.PLACE)
        self._made_by = f"{code_digest()} {sorted(versions().items())} {seed}"

    def find(self, plan: Plan, runs: Sequence[int]) -> list[PrintDays] | None:
        """Give the rows of these runs of a plan; None if they are not here, or not to be read."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        try:
            columns = pq.read_table(self._place(plan, runs)).to_pydict()
            return [PrintDays(*row) for row in zip(*(columns[name] for name in PrintDays._fields), strict=True)]
        except (OSError, KeyError, pa.ArrowException):  # missing, or half written by a machine that stopped
            return None

    def keep(self, plan: Plan, runs: Sequence[int], rows: Sequence[PrintDays]) -> None:
        """Keep the rows of these runs of a plan."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        sink = pa.BufferOutputStream()
        pq.write_table(pa.table(in_columns(rows)), sink, compression="zstd")
        self._folder.write_bytes(self._place(plan, runs), sink.getvalue().to_pybytes())

    def run_count(self) -> int:
        """Count the runs that are kept, of all plans together."""
        import pyarrow.parquet as pq

        return sum(pq.read_metadata(file).num_rows for file in self._folder.path.glob("*.parquet"))

    def clear(self) -> None:
        """Throw away what was kept, once the study is done and has its own table."""
        for file in self._folder.path.glob("*.parquet"):
            file.unlink()
        if self._folder.path.exists():
            self._folder.path.rmdir()

    def _place(self, plan: Plan, runs: Sequence[int]) -> Path:
        name = hashlib.sha256(f"{self._made_by} {list(runs)} {digest_of(plan)}".encode()).hexdigest()[:32]
        return self._folder.path / f"{name}.parquet"
