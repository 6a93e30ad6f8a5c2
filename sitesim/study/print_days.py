"""The same runs of several plans of print days, block by block on all cores."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass, field

from sitesim.errors import UserError
from sitesim.ledger.print_days import PrintDays
from sitesim.ledger.rows import Load
from sitesim.plan import Plan
from sitesim.study.engines import HereExecutor, is_here, open_pool
from sitesim.study.kept_print_days import KeptPrintDays
from sitesim.study.print_day_worker import Block, PlayedBlock, PrintDayWorker, play_block, set_up
from sitesim.study.runner import Interrupted, StudySettings

Told = Callable[[int, int], None]
"""Told after each block: runs of single plans done and wanted."""


@dataclass
class PlayedPrintDays:
    """The runs of one plan in order of their numbers, and their delivery records where they were kept."""

    rows: list[PrintDays] = field(default_factory=list)
    loads: list[tuple[int, Load]] = field(default_factory=list)


def play_print_days(
    plans: Sequence[Plan],
    runs: Sequence[Sequence[int]],
    settings: StudySettings,
    keep_loads: bool = False,
    told: Told | None = None,
    kept: KeptPrintDays | None = None,
) -> list[PlayedPrintDays]:
    """Play runs of each plan under the same seed, so that a run meets the same weather and breakdowns in all of them.

    Parameters: ``runs``, for each plan the numbers of its runs; ``kept``, where plans that are played whole are kept,
    and found again by the next attempt; their loads are not. Raises Interrupted on a keyboard interrupt or when a
    worker process is killed; where nothing is kept KeyboardInterrupt and UserError.
    """
    assert kept is None or not keep_loads
    played = [PlayedPrintDays() for _ in plans]
    if kept is not None:
        for plan, numbers, one in zip(plans, runs, played, strict=True):
            one.rows += kept.find(plan, numbers) or ()
    found = {index for index, one in enumerate(played) if one.rows}
    missing = [block for block in _blocks(runs, settings.block) if block.plan not in found]
    wanted, done = sum(map(len, runs)), sum(len(runs[index]) for index in found)
    executor, play, ahead = _open(plans, settings, keep_loads)
    in_hand: dict[Future[PlayedBlock], Block] = {}
    try:
        while missing or in_hand:
            if told is not None:
                told(done, wanted)
            while missing and len(in_hand) < ahead:
                block = missing.pop(0)
                in_hand[executor.submit(play, block)] = block
            for future in wait(in_hand, return_when=FIRST_COMPLETED).done:
                block = in_hand.pop(future)
                result = future.result()
                played[block.plan].rows += result.rows
                played[block.plan].loads += result.loads
                done += len(block.runs)
                if kept is not None and len(played[block.plan].rows) == len(runs[block.plan]):
                    kept.keep(plans[block.plan], runs[block.plan], sorted(played[block.plan].rows))
    except KeyboardInterrupt:
        if kept is None:
            raise
        raise Interrupted(kept.run_count(), kept.path) from None
    except BrokenExecutor:
        why = "a worker process was ended from outside, perhaps for want of memory"
        if kept is None:
            raise UserError(f"{why}; nothing is kept") from None
        raise Interrupted(kept.run_count(), kept.path, f"{why}; ") from None
    finally:
        executor.shutdown(wait=True, cancel_futures=True)
    for one in played:
        one.rows.sort(key=lambda row: row.run)
        one.loads.sort(key=lambda pair: (pair[0], pair[1].day, pair[1].number))
    return played


def _blocks(runs: Sequence[Sequence[int]], size: int) -> Iterator[Block]:
    for plan, numbers in enumerate(runs):
        for first in range(0, len(numbers), size):
            yield Block(plan, tuple(numbers[first : first + size]))


def _open(
    plans: Sequence[Plan], settings: StudySettings, keep_loads: bool
) -> tuple[Executor, Callable[[Block], PlayedBlock], int]:
    """Open the engine that the settings name: give it, the function to call, and how many blocks to hand it ahead."""
    workers = settings.worker_count
    if is_here(settings.engine, workers):
        return HereExecutor(), PrintDayWorker(plans, settings.seed, keep_loads).play_block, 1
    # Pickled together, so that the weather record that the plans share is sent and held once.
    pool = open_pool(workers, set_up, (pickle.dumps(tuple(plans)), settings.seed, keep_loads))
    return pool, play_block, 2 * workers
