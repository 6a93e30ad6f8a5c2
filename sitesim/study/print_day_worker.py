"""What a worker does for print days: plays the same runs of many plans. Loads nothing that a run does not need."""

from __future__ import annotations

import pickle
from collections.abc import Sequence
from typing import NamedTuple

from sitesim.ledger.print_days import PrintDays, print_days_of
from sitesim.ledger.rows import Load
from sitesim.plan import Plan
from sitesim.site import Stage, play
from sitesim.study.worker import leave_interrupts_to_the_parent


class Block(NamedTuple):
    """Some runs of one of the plans."""

    plan: int
    runs: tuple[int, ...]


class PlayedBlock(NamedTuple):
    """The print days of each run of a block, and the delivery records of those runs, where they are kept."""

    rows: list[PrintDays]
    loads: list[tuple[int, Load]]


class PrintDayWorker:
    """Plays runs of several plans under one seed.

    Parameters: ``keep_loads``, whether the delivery records of all runs are kept.
    """

    def __init__(self, plans: Sequence[Plan], seed: int, keep_loads: bool) -> None:
        self._plans = plans
        self._seed = seed
        self._keep_loads = keep_loads
        self._stages: dict[int, Stage] = {}

    def play_block(self, block: Block) -> PlayedBlock:
        """Play the runs of a block."""
        stage = self._stages.get(block.plan)
        if stage is None:
            stage = self._stages[block.plan] = Stage(self._plans[block.plan])
        site_shift = stage.shift(("site",))
        rows, loads = [], []
        for run in block.runs:
            played = play(stage, self._seed, run)
            rows.append(print_days_of(stage.plan, run, played.ledger, played.finished, stage.unit_shifts, site_shift))
            if self._keep_loads:
                loads += [(run, load) for load in played.ledger.loads]
        return PlayedBlock(rows, loads)


_worker: PrintDayWorker | None = None


def set_up(pickled_plans: bytes, seed: int, keep_loads: bool) -> None:
    """Prepare a worker process."""
    global _worker
    leave_interrupts_to_the_parent()
    _worker = PrintDayWorker(pickle.loads(pickled_plans), seed, keep_loads)


def play_block(block: Block) -> PlayedBlock:
    """Play a block of runs in a prepared worker process."""
    assert _worker is not None, "the worker process was not set up"
    return _worker.play_block(block)
