"""Plays a study: so many runs, or until the P80 date is known well enough; what is done is never done again."""

from __future__ import annotations

import hashlib
import itertools
import platform
import re
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Future, wait
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from importlib.metadata import version
from math import inf
from pathlib import Path
from typing import Any

from sitesim import __version__
from sitesim.errors import UserError
from sitesim.plan import Plan
from sitesim.study.engines import ENGINES, open_engine, usable_cores
from sitesim.study.folder import StudyFolder, StudyFolderError
from sitesim.study.worker import Columns, PlanWorker

BLOCK = 25
"""Runs in a block: about the work of half a second, so that little is lost when a study is interrupted."""

CHECKPOINTS = (100, 200, 400, 800, 1600, 3200, 6400, 12800)
"""The only numbers of runs at which a study may stop by itself: looking at every run would bias the answer."""

Progress = Callable[[int, int, list[float]], None]
"""Told after each block: runs done, runs wanted, and the finishes [h] so far in no particular order."""


class Interrupted(Exception):
    """The study was interrupted; ``kept`` runs are in the folder."""

    def __init__(self, kept: int, folder: Path, why: str = "") -> None:
        super().__init__(f"{why}{kept} runs are kept in {folder}")
        self.kept = kept
        self.folder = folder


@dataclass(frozen=True, slots=True)
class StudySettings:
    """How a study is played.

    Parameters: ``runs``; ``until`` [h], if set the half-width within which the P80 date has to be known, ``runs`` then
    being ignored; ``loads_of``, the number of first runs whose delivery records are kept; ``block``, runs played at
    once. Raises UserError for an engine that is not one of `ENGINES`.
    """

    runs: int = 300
    seed: int = 1
    workers: int = 0
    engine: str = "processes"
    until: float | None = None
    loads_of: int = 25
    block: int = BLOCK

    def __post_init__(self) -> None:
        if self.engine not in ENGINES:
            raise UserError(f"engine {self.engine!r} is not known; there are {', '.join(ENGINES)}")

    @property
    def worker_count(self) -> int:
        """The number of worker processes: as asked for, or one a core."""
        return self.workers or usable_cores()


@dataclass(frozen=True, slots=True)
class Study:
    """A study that has been played: its folder and its number of runs."""

    folder: StudyFolder
    runs: int


def parse_until(text: str) -> float:
    """Read how well the P80 date has to be known, such as ``1d`` or ``12h``; returns hours.

    Raises UserError for anything else.
    """
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*([dh])\s*", text)
    if found is None or float(found[1]) <= 0:
        raise UserError(f"--until {text}: not a time; write days or hours, such as 1d or 12h")
    return float(found[1]) * (24.0 if found[2] == "d" else 1.0)


def free_folder(stem: str, scenario_digest: str, settings: StudySettings) -> Path:
    """Name the folder under ``outputs`` for a study: the one that holds it already, or the first that is free."""
    identity = _identity(scenario_digest, settings)
    for number in itertools.count(1):
        path = Path("outputs") / (stem if number == 1 else f"{stem}-{number}")
        folder = StudyFolder(path)
        if not folder.manifest_path.exists():
            if not path.exists() or not any(path.iterdir()):
                return path
        elif _differences(folder, identity) == []:
            return path
    raise AssertionError("counting never ends")


def run_study(
    plan: Plan,
    scenario_digest: str,
    settings: StudySettings,
    path: Path,
    progress: Progress | None = None,
) -> Study:
    """Play a study into a folder, going on from the blocks that are there.

    The manifest tells when its runs were begun and how long all that were played have taken, by whatever commands.
    Raises StudyFolderError if the folder holds another study, Interrupted on a keyboard interrupt or when a worker
    process is killed.
    """
    folder = claim(path, scenario_digest, settings)
    before, kept, clock = folder.manifest(), folder.run_count(), time.perf_counter()
    try:
        runs = _play_blocks(plan, settings, folder, progress)
    except Interrupted:
        folder.write_json("manifest.json", before | _so_long(before, clock))
        raise
    told = {
        **_identity(scenario_digest, settings),
        "scenario": plan.name,
        "runs": runs,
        "complete": True,
        "started": before.get("started", _now()),
        "seconds": before.get("seconds", 0.0),
        "workers": before.get("workers", settings.worker_count),
        "engine": before.get("engine", settings.engine),
    }
    if folder.run_count() > kept:
        told |= {**_so_long(before, clock), "workers": settings.worker_count, "engine": settings.engine}
    folder.write_json("manifest.json", told | {"tables_digest": folder.digest(runs)})
    return Study(folder, runs)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _so_long(before: Mapping[str, Any], clock: float) -> dict[str, float]:
    """Add the time [s] since a reading of the clock to what is told of the runs played before."""
    return {"seconds": round(before.get("seconds", 0.0) + time.perf_counter() - clock, 3)}


def claim(path: Path, scenario_digest: str, settings: StudySettings) -> StudyFolder:
    """Take a folder for a study, or find it taken for this one; raises StudyFolderError if it holds something else."""
    folder = StudyFolder(path)
    identity = _identity(scenario_digest, settings)
    if folder.manifest_path.exists():
        for name in _differences(folder, identity):
            raise StudyFolderError(
                f"{path}: holds runs with another {name.replace('_', ' ')}; "
                "choose another folder with --out, or remove this one"
            )
    elif path.exists() and any(path.iterdir()):
        raise StudyFolderError(f"{path}: is not empty and holds no runs; choose another folder with --out")
    else:
        folder.write_json("manifest.json", {**identity, "complete": False, "started": _now()})
    return folder


def keep_standing_runs(plan: Plan, seed: int, folder: StudyFolder, runs: tuple[int, ...]) -> None:
    """Play the runs that stand for the quantiles again and keep what is kept of them alone."""
    folder.write_standing(PlanWorker(plan, seed, 0).play_standing(runs))


@cache
def code_digest() -> str:
    """Digest the package's own source: a study that is half played is not gone on with by other code."""
    digest = hashlib.sha256()
    package = Path(__file__).parents[1]
    for file in sorted(package.rglob("*.py")):
        digest.update(file.relative_to(package).as_posix().encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()


def versions() -> dict[str, str]:
    """Give the versions of what makes a plan and plays it: with others the same scenario may give other runs."""
    return {
        "sitesim": __version__,
        "python": platform.python_version(),
        **{name: version(name) for name in ("simpy", "numpy", "scipy", "holidays", "pint")},
    }


def _identity(scenario_digest: str, settings: StudySettings) -> dict[str, Any]:
    """Give what two studies must share to be the same study."""
    return {
        "scenario_digest": scenario_digest,
        "seed": settings.seed,
        "loads_of": settings.loads_of,
        "block": settings.block,
        "versions": versions(),
        "code_digest": code_digest(),
    }


def _differences(folder: StudyFolder, identity: dict[str, Any]) -> list[str]:
    """Name what a folder's study does not share with this one."""
    found = folder.manifest()
    return [name for name, value in identity.items() if found.get(name) != value]


def _play_blocks(plan: Plan, settings: StudySettings, folder: StudyFolder, progress: Progress | None) -> int:
    """Play what is missing; returns the number of runs that the study has."""
    finishes = _Finishes(folder)
    engine = open_engine(
        plan,
        settings.seed,
        settings.loads_of,
        settings.engine,
        settings.worker_count,
        _blocks_to_come(folder, settings),
    )
    in_hand: dict[Future[Columns], range] = {}
    wanted = 0
    try:
        for wanted in _stages(settings, finishes.count):
            missing = _missing(folder, wanted, settings.block)
            while True:
                if progress is not None:
                    progress(min(finishes.count, wanted), wanted, finishes.upto(wanted))
                while missing and len(in_hand) < engine.blocks_ahead:
                    runs = missing.pop(0)
                    in_hand[engine.executor.submit(engine.play_block, runs)] = runs
                if not in_hand:
                    break
                done, _ = wait(in_hand, return_when=FIRST_COMPLETED)
                for future in done:
                    runs = in_hand.pop(future)
                    tables = future.result()
                    folder.write_block(runs, tables)
                    finishes.add(runs.start, tables["runs"]["finish_hours"])
            if settings.until is not None and _known(finishes.upto(wanted), settings.until):
                break
        return wanted
    except KeyboardInterrupt:
        raise Interrupted(folder.run_count(), folder.path) from None
    except BrokenExecutor:
        why = "a worker process was ended from outside, perhaps for want of memory; "
        raise Interrupted(folder.run_count(), folder.path, why) from None
    finally:
        engine.executor.shutdown(wait=True, cancel_futures=True)


def _blocks_to_come(folder: StudyFolder, settings: StudySettings) -> float:
    """Count the blocks that are still to be played, as far as that is known."""
    return inf if settings.until is not None else len(_missing(folder, settings.runs, settings.block))


def _stages(settings: StudySettings, done: int) -> Iterator[int]:
    """Give the numbers of runs to reach in turn; never fewer than there are."""
    if settings.until is None:
        yield max(settings.runs, done)
    else:
        yield from CHECKPOINTS


def _missing(folder: StudyFolder, wanted: int, block: int) -> list[range]:
    """List the blocks that are not whole yet."""
    done = folder.blocks()
    blocks = [range(first, min(first + block, wanted)) for first in range(0, wanted, block)]
    return [runs for runs in blocks if done.get(runs.start, 0) < runs.stop]


def _known(finishes: list[float], half_width: float) -> bool:
    from sitesim.answers.statistics import precise_enough

    return precise_enough(finishes, 0.8, half_width)


class _Finishes:
    """The finishes [h] of the runs so far, by block."""

    def __init__(self, folder: StudyFolder) -> None:
        self._of_run: dict[int, float] = {}
        if folder.blocks():
            table = folder.table("runs")
            self._of_run = dict(zip(table["run"].tolist(), table["finish_hours"].tolist(), strict=True))

    def add(self, first: int, finishes: list[float]) -> None:
        self._of_run |= {first + i: finish for i, finish in enumerate(finishes)}

    @property
    def count(self) -> int:
        return len(self._of_run)

    def upto(self, wanted: int) -> list[float]:
        """Give the finishes of the first ``wanted`` runs, in run order, as far as they are known."""
        return [self._of_run[run] for run in sorted(self._of_run) if run < wanted]
