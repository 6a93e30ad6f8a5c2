"""Parts that are rounded so that they add up; the examples of seats are the usual ones of the method, from memory."""

from __future__ import annotations

from random import Random

import pytest

from sitesim.report.rounding import adding_up


@pytest.mark.parametrize(
    ("parts", "rounded"),
    [
        ([], []),
        ([0.0], [0]),
        ([1.4, 1.4, 1.2], [2, 1, 1]),  # 4 in all: the first of the two with most behind the point
        ([4.7, 1.6, 1.58, 1.2, 0.61, 0.31], [5, 2, 1, 1, 1, 0]),  # 10 seats by 100,000 votes: Hare's method
        ([0.5, 0.5], [1, 0]),
        ([60.0, 7.5, 15.0, 206.25, 75.0], [60, 8, 15, 206, 75]),
    ],
)
def test_by_hand(parts: list[float], rounded: list[int]) -> None:
    assert adding_up(parts) == rounded


def test_they_add_up_and_none_is_a_whole_off() -> None:
    dice = Random(1)
    for _ in range(200):
        parts = [dice.uniform(0.0, 90.0) for _ in range(dice.randint(1, 12))]
        rounded = adding_up(parts)
        assert sum(rounded) == round(sum(parts))
        assert all(abs(whole - part) < 1.0 for whole, part in zip(rounded, parts, strict=True))
