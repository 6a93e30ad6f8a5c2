"""What the README says of using the package without its commands."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_sites import SCENARIOS


def test_the_lines_of_the_readme_play_and_read_a_study(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    readme = (SCENARIOS.parent / "README.md").read_text(encoding="utf-8")
    (code,) = [block for block in readme.split("```") if block.startswith("python\n")]
    assert "runs=300" in code
    (tmp_path / "scenarios").symlink_to(SCENARIOS)
    monkeypatch.chdir(tmp_path)
    exec(code.removeprefix("python\n").replace("runs=300", "runs=4"), {"__name__": "__main__"})
    told = capsys.readouterr().out
    assert told.startswith("2027-")
    assert "weather" in told
    assert [line.split()[0] for line in told.splitlines()[-15:]] == [f"{row}{n}" for row in "ABCDE" for n in (1, 2, 3)]
