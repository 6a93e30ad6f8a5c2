"""Texts that are YAML, but more than a scenario can be: refused in a line and at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, faults_of, lines_of, written

DOUBLED_AGAIN_AND_AGAIN = "\n".join(
    ["a: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    + [f"b{level}: &a{level} [{', '.join([f'*a{level - 1}'] * 10)}]" for level in range(1, 9)]
)
TOO_DEEP = "values lie in one another more than 40 deep"


@pytest.mark.parametrize("text", ["[" * 50 + "]" * 50, "[" * 5000 + "]" * 5000, "[" * 5000, "{a: " * 5000])
def test_values_in_values_in_values_are_refused(tmp_path: Path, text: str) -> None:
    assert lines_of(written(tmp_path, f"a: {text}\n")) == [f"site.yaml  {TOO_DEEP}"]


def test_aliases_of_aliases_are_refused(tmp_path: Path) -> None:
    path = written(tmp_path, DOUBLED_AGAIN_AND_AGAIN)
    assert lines_of(path) == ["site.yaml  with its aliases (*name) written out it has more than 200,000 values"]


@pytest.mark.parametrize("levels", [50, 5000])
def test_a_setting_may_not_be_as_deep_either(levels: int) -> None:
    (fault,) = faults_of(DEMO, f"site.start={'[' * levels}{']' * levels}")
    assert fault.path == "site.start"
    assert fault.message.endswith("is not a value that can be read")


def test_a_file_that_extends_one_that_is_too_deep_is_refused(tmp_path: Path) -> None:
    written(tmp_path, "a: " + "[" * 5000, "deep.yaml")
    assert lines_of(written(tmp_path, "extends: deep.yaml\n")) == [f"deep.yaml  {TOO_DEEP}"]


def test_a_cell_of_a_table_may_not_be_as_deep_either(tmp_path: Path) -> None:
    (tmp_path / "tasks.csv").write_text(f"task,time,crew\npaint,{'[' * 5000},gang\n")
    path = written(tmp_path, "site: {start: 2027-03-01, buildings: {A: }}\nfinishing: {tasks: tasks.csv}\n")
    assert any("is not a value that can be read" in line for line in lines_of(path))
