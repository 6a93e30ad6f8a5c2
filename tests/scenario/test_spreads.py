"""Durations with their spread, against the distributions that they name."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from sitesim.chance import Distribution, Fixed, Lognormal, Observed, Pert, Triangular
from sitesim.scenario.spreads import ClockTime, ElapsedTime, SomeClockTime, WorkingTime


def read(kind: Any, value: Any, day_hours: float = 8.0) -> Distribution:
    found: Distribution = TypeAdapter(kind).validate_python(value, context={"day_hours": day_hours})
    return found


def test_a_bare_number_of_a_task_is_working_days() -> None:
    assert read(WorkingTime, 2) == Fixed(16.0)
    assert read(WorkingTime, 2, day_hours=9.0) == Fixed(18.0)
    assert read(WorkingTime, "12 h") == Fixed(12.0)
    assert read(WorkingTime, "2 wd") == Fixed(16.0)


def test_three_values_are_a_beta_pert() -> None:
    found = read(WorkingTime, [1, 1.5, "3 wd"])
    assert found == Pert(8.0, 12.0, 24.0)
    assert found.mean == pytest.approx((8 + 4 * 12 + 24) / 6)


def test_three_equal_values_are_fixed() -> None:
    assert read(WorkingTime, [1, 1, 1]) == Fixed(8.0)


def test_two_quantiles_are_a_lognormal() -> None:
    tenth = read(ClockTime, {"p10": "8 min", "p90": "20 min"})
    assert isinstance(tenth, Lognormal)
    # lognormal by P10 8 and P90 20: median 12.649, mean 13.484 (recomputed)
    assert 60 * tenth.inverse(0.5) == pytest.approx(12.649, abs=1e-3)
    assert 60 * tenth.mean == pytest.approx(13.484, abs=1e-3)
    half = read(ClockTime, {"p50": "60 min", "p90": "72 min"})
    assert (half.inverse(0.5), half.inverse(0.9)) == (pytest.approx(1.0), pytest.approx(1.2))


def test_a_triangle_is_named() -> None:
    assert read(ClockTime, {"kind": "triangular", "low": "1 h", "likely": "2 h", "high": "6 h"}) == Triangular(1, 2, 6)
    assert read(ClockTime, {"low": "1 h", "likely": "2 h", "high": "6 h"}) == Pert(1, 2, 6)


def test_observed_values_come_in_a_list_or_a_file(tmp_path: Path) -> None:
    assert read(WorkingTime, {"observed": [2, "4 h"]}) == Observed((16.0, 4.0))
    assert read(ClockTime, {"observed": [30, 90], "unit": "min"}) == Observed((0.5, 1.5))
    file = tmp_path / "times.csv"
    file.write_text("# minutes from the site's diary\n30\n\n90 # a puncture\n2 h\n")
    assert read(ClockTime, {"observed": str(file), "unit": "min"}) == Observed((0.5, 1.5, 2.0))


@pytest.mark.parametrize(
    ("kind", "value", "message"),
    [
        (ClockTime, 45, "45 has no unit; write it like 45 min"),
        (ClockTime, "-5 min", "-5 min is too little, it should be at least 0 h"),
        (ClockTime, [1, 2, 3], "1 has no unit; write it like 45 min"),
        (WorkingTime, "2 weeks", "2 weeks would be 336 hours of work; write working days: 2 wd"),
        (ElapsedTime, "2 wd", "2 wd is working time, but this runs on day and night; write it like 3 d"),
        (SomeClockTime, "0 min", "0 min is too little, it should be at least 0.01 h, like 45 min"),
        (WorkingTime, {"p50": 0, "p90": 2}, "p50 0 should be more than 0"),
        (
            WorkingTime,
            {"kind": "square", "low": 1, "likely": 2, "high": 3},
            "square is not a kind of spread known here; known are triangular, pert",
        ),
        (WorkingTime, {"observed": []}, "observed should be a list of times or the name of a file with one a line"),
        (WorkingTime, None, "None is not a length of time; write it like [1.5, 2, 3.5]"),
    ],
)
def test_what_is_not_a_duration_is_refused_in_plain_words(kind: Any, value: Any, message: str) -> None:
    with pytest.raises(ValidationError) as error:
        read(kind, value)
    assert [detail["msg"] for detail in error.value.errors()] == [message]


def test_an_empty_file_of_observed_values_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "times.csv"
    file.write_text("# nothing yet\n")
    with pytest.raises(ValidationError, match="has no values; write one time a line"):
        read(WorkingTime, {"observed": str(file)})
