"""Where blocks of runs are played: behind one interface, that of `concurrent.futures.Executor`."""

from __future__ import annotations

import multiprocessing
import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, ParamSpec, TypeVar

from sitesim.plan import Plan
from sitesim.study.worker import Columns, PlanWorker, play_block, set_up

Arguments = ParamSpec("Arguments")
Result = TypeVar("Result")

ENGINES = ("processes", "here")
"""``processes``: one worker process a core; ``here``: in this process, one block after the other."""


class HereExecutor(Executor):
    """Does the work at once, in this process."""

    def submit(  # type: ignore[override]  # the stub's positional-only form cannot be spelled with ParamSpec
        self, function: Callable[Arguments, Result], *args: Arguments.args, **kwargs: Arguments.kwargs
    ) -> Future[Result]:
        """Call the function and give a future that is already done."""
        future: Future[Result] = Future()
        try:
            future.set_result(function(*args, **kwargs))
        except Exception as error:  # whatever it is, the future hands it to who asks for the result
            future.set_exception(error)
        return future


class WorkerPool(ProcessPoolExecutor):
    """Worker processes that never hear Ctrl-C, not even while they start: it is for the process that started them."""

    def submit(  # type: ignore[override]  # as above
        self, function: Callable[Arguments, Result], *args: Arguments.args, **kwargs: Arguments.kwargs
    ) -> Future[Result]:
        """Hand work to a worker process, which is started for it if need be."""
        with _interrupts_held_back():
            return super().submit(function, *args, **kwargs)


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """Let a Ctrl-C wait for a moment; a process started meanwhile inherits that it waits, for good.

    An interrupt in the middle of starting a process would leave one that nobody knows of.
    """
    if threading.current_thread() is not threading.main_thread() or not hasattr(signal, "pthread_sigmask"):
        yield
        return
    pressed: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, frame: pressed.append(number))
    mask = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, mask)
        signal.signal(signal.SIGINT, signal.SIG_DFL if handler is None else handler)
        if pressed:
            signal.raise_signal(signal.SIGINT)


def usable_cores() -> int:
    """Count the processor cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@dataclass(frozen=True, slots=True)
class Engine:
    """An executor, the function that plays a block of runs in it, and how many blocks to hand it ahead."""

    executor: Executor
    play_block: Callable[[range], Columns]
    blocks_ahead: int


def open_engine(plan: Plan, seed: int, loads_of: int, engine: str, workers: int, blocks: float) -> Engine:
    """Open one of the `ENGINES`; a single block is played in this process, for starting another takes as long.

    Parameters: ``workers``, how many processes; ``loads_of``, the number of first runs whose delivery records are kept;
    ``blocks``, how many there are to be played.
    """
    if is_here(engine, workers) or blocks <= 1:
        return Engine(HereExecutor(), PlanWorker(plan, seed, loads_of).play_block, blocks_ahead=1)
    pool = open_pool(workers, set_up, (pickle.dumps(plan), seed, loads_of))
    return Engine(pool, play_block, blocks_ahead=2 * workers)


def is_here(engine: str, workers: int) -> bool:
    """Tell whether runs are played in this process: because that is asked for, or one worker would do it all."""
    return engine == "here" or workers == 1


def open_pool(workers: int, initializer: Callable[..., None], arguments: tuple[Any, ...]) -> WorkerPool:
    """Open a pool of worker processes, each prepared by a call of ``initializer``."""
    return WorkerPool(workers, multiprocessing.get_context("spawn"), initializer=initializer, initargs=arguments)
