"""Amounts made greater or longer, in whatever form they are written."""

from __future__ import annotations

from typing import Any

import pytest

from sitesim.scenario.variants.amounts import longer, times
from sitesim.scenario.variants.draft import DoesNotApply


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (12, 18.0),
        ("60 min", "90 min"),
        ([0.5, "1 wd", 2], [0.75, "1.5 wd", 3.0]),
        (
            {"kind": "triangular", "low": 1, "likely": 2, "high": 4},
            {"kind": "triangular", "low": 1.5, "likely": 3.0, "high": 6.0},
        ),
        ({"observed": [2, 4], "unit": "wd"}, {"observed": [3.0, 6.0], "unit": "wd"}),
    ],
)
def test_half_again_as_much(value: Any, expected: Any) -> None:
    assert times(value, 1.5) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (2, "19 h"),
        ("30 min", "3.5 h"),
        ([0.5, "1 wd", "30 min"], ["7 h", "11 h", "3.5 h"]),
        ({"p50": "60 min", "p90": "72 min"}, {"p50": "4 h", "p90": "4.2 h"}),
        ({"observed": [2, 4], "unit": "h"}, {"observed": ["5 h", "7 h"]}),
    ],
)
def test_three_hours_more(value: Any, expected: Any) -> None:
    assert longer(value, 3.0, 8.0) == expected


def test_what_lies_in_a_file_is_not_changed() -> None:
    with pytest.raises(DoesNotApply):
        times({"observed": "times.csv"}, 1.5)
    with pytest.raises(DoesNotApply):
        longer({"observed": "times.csv"}, 1.0, 8.0)
