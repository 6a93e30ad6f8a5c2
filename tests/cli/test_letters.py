"""What is printed where the encoding of the output lacks letters."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import HERE
from small_sites import network_file


@pytest.mark.parametrize(("encoding", "either_side"), [("ascii", "(+/- "), ("cp1252", "(± "), ("utf-8", "(± ")])
def test_an_encoding_without_some_letters_gets_plain_ones(tmp_path: Path, encoding: str, either_side: str) -> None:
    command = [sys.executable, "-m", "sitesim", "run", str(network_file(tmp_path)), "--runs", "25", *HERE]
    ended = subprocess.run(command, capture_output=True, env=os.environ | {"PYTHONIOENCODING": encoding}, check=False)
    assert ended.returncode == 0, ended.stderr
    told = ended.stdout.decode(encoding)
    assert either_side in told
    assert "Who waited, and for what?" in told
    assert ("───" in told) == (encoding == "utf-8")


def test_a_fault_is_told_in_plain_letters_too(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "sitesim", "check", str(network_file(tmp_path)), "--set", "site.latitude=“north”"]
    env = os.environ | {"PYTHONIOENCODING": "latin-1"}
    ended = subprocess.run(command, capture_output=True, env=env, check=False)
    assert ended.returncode == 2
    told = ended.stderr.decode("latin-1")
    assert '"north"' in told
    assert "\\u" not in told
