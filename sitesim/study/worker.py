"""What a worker does: gets a plan once, and plays blocks of runs of it. Loads nothing that a run does not need."""

from __future__ import annotations

import multiprocessing
import os
import pickle
import signal
import threading
from typing import Any

from sitesim.ledger import COLUMNS, OF_STANDING_RUNS, RunClosing
from sitesim.plan import Plan
from sitesim.site import Stage, play

Columns = dict[str, dict[str, list[Any]]]
"""Tables by name, each a list of values by column."""


class PlanWorker:
    """Plays runs of one plan.

    Parameters: ``seed`` of the study; ``loads_of``, the number of first runs whose delivery records are kept.
    """

    def __init__(self, plan: Plan, seed: int, loads_of: int) -> None:
        self._stage = Stage(plan)
        self._closing = RunClosing(plan, self._stage.unit_shifts, self._stage.shift(("site",)))
        self._seed = seed
        self._loads_of = loads_of

    def play_block(self, runs: range) -> Columns:
        """Play runs and give their rows of every table but those `OF_STANDING_RUNS`, column by column."""
        rows: dict[str, list[tuple[Any, ...]]] = {table: [] for table in COLUMNS if table not in OF_STANDING_RUNS}
        for run in runs:
            played = play(self._stage, self._seed, run)
            closed = self._closing.tables(run, played.ledger, played.unfinished, run < self._loads_of)
            for table, of_run in closed.items():
                rows[table].extend(of_run)
        return {table: in_columns(table, of_table) for table, of_table in rows.items()}

    def play_standing(self, runs: tuple[int, ...]) -> Columns:
        """Play runs again and give their rows of the tables `OF_STANDING_RUNS`, column by column."""
        rows: dict[str, list[tuple[Any, ...]]] = {table: [] for table in OF_STANDING_RUNS}
        for run in runs:
            for table, of_run in self._closing.standing_tables(run, play(self._stage, self._seed, run).ledger).items():
                rows[table].extend(of_run)
        return {table: in_columns(table, of_table) for table, of_table in rows.items()}


def in_columns(table: str, rows: list[tuple[Any, ...]]) -> dict[str, list[Any]]:
    """Turn rows of a table into its columns."""
    names = COLUMNS[table]
    if not rows:
        return {name: [] for name in names}
    return {name: list(values) for name, values in zip(names, zip(*rows, strict=True), strict=True)}


_worker: PlanWorker | None = None


def set_up(pickled_plan: bytes, seed: int, loads_of: int) -> None:
    """Prepare a worker process."""
    global _worker
    leave_interrupts_to_the_parent()
    _worker = PlanWorker(pickle.loads(pickled_plan), seed, loads_of)


def leave_interrupts_to_the_parent() -> None:
    """Let a worker process leave interrupts to the process that started it, and end when that one is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Wait for the end of the process that started this one: if it was killed, nobody else says that work is over."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def play_block(runs: range) -> Columns:
    """Play a block of runs in a prepared worker process."""
    assert _worker is not None, "the worker process was not set up"
    return _worker.play_block(runs)
