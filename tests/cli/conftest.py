"""What the tests of the commands stand on: a folder of their own, a study that was played, processes that are ended."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from command_line import HERE, Start, done
from small_sites import low_walls_file


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test stands in an empty folder of its own."""
    monkeypatch.chdir(tmp_path)


@pytest.fixture(scope="session")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with twelve runs of the demo with low walls."""
    folder = tmp_path_factory.mktemp("played")
    done("run", low_walls_file(folder), "--runs", 12, "--out", folder / "study", *HERE)
    return folder / "study"


@pytest.fixture
def start() -> Iterator[Start]:
    """Start commands that hear Ctrl-C, whoever started the tests; what is left of them after a test is ended."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # as behind an &, and what ignores it hands that on
        signal.signal(signal.SIGINT, signal.default_int_handler)
    started: list[subprocess.Popen[str]] = []

    def start_one(*arguments: object, **options: Any) -> subprocess.Popen[str]:
        piped = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
        command = [sys.executable, "-m", "sitesim", *map(str, arguments)]
        started.append(subprocess.Popen(command, **piped | options))
        return started[-1]

    yield start_one
    for process in started:
        process.kill()
        process.communicate()
