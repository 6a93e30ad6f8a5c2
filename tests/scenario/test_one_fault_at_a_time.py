"""One thing that is wrong is told once: what hangs on it is not told besides."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, changed, lines_of

ALONE = [
    "weather.limits.printing=5",
    "weather.limits=5",
    "weather.limits.lift.gust=20",
    "weather=5",
    "crews.roof=5",
    "crews.roof.rate=[1]",
    "inspections.inspectors.final=5",
    "inspections.inspectors.final.notice=x",
    "inspections.points.beam=5",
    "finishing.tasks.foam=5",
    "finishing.tasks.foam.time=[1, 2]",
    "finishing.sequences.boards_first=5",
    "wall.tasks.cage=5",
    "wall.tasks.cage.time=[2, 1, 3]",
    "wall.points.0=5",
    "relocation.tasks.tent_up=5",
    "calendar.shell=5",
    "site.buildings.B=5",
    "breakdowns.0.time=x",
    "supply=5",
    "supply.notice=30 h",
]


@pytest.mark.parametrize("setting", ALONE)
def test_one_wrong_value_is_one_line(setting: str) -> None:
    (line,) = lines_of(DEMO, setting)
    assert f"  {setting.split('=')[0]}: " in line


def test_two_wrong_values_of_one_key_take_nothing_else_with_them(tmp_path: Path) -> None:
    """A range of which both ends have a wrong unit: the limits are still there for the tasks that name them."""
    lines = lines_of(changed(tmp_path, ("[5 degC, 32 degC]", "[5 C, 32 C]")))
    assert [line.split("  ", 1)[1] for line in lines] == [
        "weather.limits.printing.temperature: 32 C: C is not a unit of the right kind; write it like 5 degC",
        "weather.limits.printing.temperature: 5 C: C is not a unit of the right kind; write it like 5 degC",
    ]


@pytest.mark.parametrize("other", ["weather.limits.lift.gust=20", "weather.limits.lift=5", "weather.limits.printing=5"])
def test_a_name_that_is_nowhere_is_still_told_beside_another_fault(other: str) -> None:
    lines = lines_of(DEMO, other, "printer.limits=printng")
    assert len(lines) == 2
    assert any("there are no limits printng in weather.limits: did you mean printing?" in line for line in lines)


def test_an_inspector_who_is_nowhere_is_still_told_beside_one_who_is_wrong() -> None:
    lines = lines_of(DEMO, "inspections.inspectors.final=5", "inspections.points.beam.by=specal")
    assert len(lines) == 2
    assert any("there is no inspector specal: did you mean special?" in line for line in lines)
