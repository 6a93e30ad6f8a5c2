"""The commands as a user calls them, in this process or in one of their own, and what is expected of their output."""

from __future__ import annotations

import json
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from sitesim.cli import app

ROOT = Path(__file__).parents[1]
COMMANDS = [command.name or command.callback.__name__ for command in app.registered_commands if command.callback]
HERE = ("--engine", "here", "--workers", "1")
needs_signals = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a system with signals")
Start = Callable[..., "subprocess.Popen[str]"]
"""Starts a command in a process of its own."""


def sitesim(*arguments: object) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def done(*arguments: object) -> str:
    """Run a command that is to succeed without a word on standard error, and give what it prints."""
    result = sitesim(*arguments)
    assert result.exit_code == 0, result.stderr or result.exception
    assert result.stderr == ""
    return result.stdout


def refused(*arguments: object) -> str:
    """Run a command that is to refuse its input, and give what it says about it."""
    result = sitesim(*arguments)
    assert result.exit_code == 2, result.exception
    assert isinstance(result.exception, SystemExit), "a fault of the user's is no exception"
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    return result.stderr


def strict_json(text: str) -> Any:
    """Read JSON, refusing NaN and infinities, which are none."""

    def refuse(constant: str) -> None:
        raise AssertionError(f"{constant} is not JSON")

    return json.loads(text, parse_constant=refuse)


def words(text: str) -> str:
    """Take the line breaks out of a text."""
    return " ".join(text.split())


def wait_for(what: Callable[[], object], seconds: float = 60.0) -> None:
    """Wait until something is so, and fail when it takes too long [s]."""
    deadline = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(0.002)
