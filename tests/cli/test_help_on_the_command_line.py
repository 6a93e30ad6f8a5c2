"""What every command says of itself."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from command_line import (
    COMMANDS,
    ROOT,
    done,
    words,
)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example_of_files_that_are_there(command: str) -> None:
    text = words(done(command, "--help"))
    assert f"Example: sitesim {command} " in text or text.rstrip().endswith(f"Example: sitesim {command}")
    example = text[text.index("Example: ") :]
    for file in re.findall(r"scenarios/\S+\.yaml", example):
        assert (ROOT / file).exists()


def test_help_names_every_command() -> None:
    text = done("--help")
    known = {"check", "run", "compare", "stress", "deliveries", "quote", "replay", "weather", "report", "new", "schema"}
    assert known <= set(COMMANDS)
    assert all(command in text for command in COMMANDS)


def test_help_loads_nothing_heavy() -> None:
    script = (
        "import sys; sys.argv = ['sitesim', '--help']\n"
        "from sitesim.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'numpy', 'scipy', 'pydantic', 'plotly', 'pyarrow', 'pint', 'simpy', 'ruamel.yaml'}\n"
        "print('LOADED', sorted(heavy & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert found.stdout.splitlines()[-1] == "LOADED []"
