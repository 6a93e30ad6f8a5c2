"""Commands in processes of their own: signals, pipes and terminals."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest
from command_line import (
    HERE,
    Start,
    done,
    needs_signals,
    wait_for,
)
from small_sites import low_walls_file, network_file

from sitesim.study import StudyFolder


@pytest.fixture
def long_study(tmp_path: Path) -> tuple[object, ...]:
    """A command that takes some seconds on two worker processes."""
    return "run", low_walls_file(tmp_path), "--runs", 200, "--workers", 2, "--out", tmp_path / "out"


@needs_signals
def test_ctrl_c_keeps_what_is_done_and_the_same_command_goes_on(
    start: Start, tmp_path: Path, long_study: tuple[object, ...]
) -> None:
    study = start(*long_study, start_new_session=True)
    wait_for(StudyFolder(tmp_path / "out").run_count)
    os.killpg(study.pid, signal.SIGINT)  # as a terminal does: to the command and its workers
    stdout, stderr = study.communicate(timeout=120)
    assert study.returncode == 130
    assert stdout == ""
    found = re.fullmatch(
        r"\nInterrupted: (\d+) runs are kept in \S+/out\. The same command goes on from there\.\n", stderr
    )
    assert found, stderr
    assert 25 <= int(found[1]) < 200
    assert len(pd.read_parquet(tmp_path / "out/runs")) == int(found[1])

    again = start(*long_study)
    _, stderr = again.communicate(timeout=120)
    assert (again.returncode, stderr) == (0, "")
    done("run", long_study[1], "--runs", 200, "--out", "undisturbed", *HERE)
    digests = [
        json.loads((tmp_path / of / "manifest.json").read_text())["tables_digest"] for of in ("out", "undisturbed")
    ]
    assert digests[0] == digests[1]


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks the system for the children of a process")
def test_workers_end_with_the_command_that_was_killed(
    start: Start, tmp_path: Path, long_study: tuple[object, ...]
) -> None:
    study = start(*long_study, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    wait_for(StudyFolder(tmp_path / "out").run_count)
    workers = Path(f"/proc/{study.pid}/task/{study.pid}/children").read_text().split()
    assert len(workers) >= 2
    study.kill()
    study.wait()
    wait_for(lambda: not any(is_alive(worker) for worker in workers), seconds=20)


def is_alive(process: str) -> bool:
    """Tell whether a process is there and not merely waiting to be taken note of."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


def test_a_pipe_silences_the_progress(start: Start, tmp_path: Path) -> None:
    study = start("run", network_file(tmp_path), "--runs", 5, *HERE)
    stdout, stderr = study.communicate(timeout=120)
    assert (study.returncode, stderr) == (0, "")
    assert stdout.startswith("Four in five runs finish by")
    assert "\x1b" not in stdout, "no colours in a pipe"


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo terminal")
@pytest.mark.parametrize(("option", "shown"), [((), True), (("--quiet",), False), (("--json",), False)])
def test_a_terminal_shows_the_progress_unless_silenced(
    start: Start, tmp_path: Path, option: tuple[str, ...], shown: bool
) -> None:
    terminal, end = os.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "120"}
    study = start("run", network_file(tmp_path), "--runs", 100, *option, *HERE, stderr=end, env=environment)
    os.close(end)
    study.communicate(timeout=120)
    told = b""
    try:
        while piece := os.read(terminal, 65536):
            told += piece
    except OSError:  # what the other end's closing looks like here
        pass
    finally:
        os.close(terminal)
    assert study.returncode == 0
    assert (b"P80 so far" in told) is shown
    assert bool(told) is shown


@pytest.mark.skipif(os.name == "nt", reason="needs a shell")
def test_a_reader_that_goes_away_leaves_no_traceback(tmp_path: Path) -> None:
    command = f"{sys.executable} -m sitesim schema | head -n 1"
    found = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert found.stdout == "{\n"
    assert found.stderr == ""
