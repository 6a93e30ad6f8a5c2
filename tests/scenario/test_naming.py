"""What a word means among things that are named in words."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from sitesim.scenario.naming import meant_by


@dataclass(frozen=True)
class Thing:
    name: str


THINGS = [Thing(name) for name in ("Windier", "Wind and rain", "Windows four weeks late", "Second tent", "Tent lost")]


@pytest.mark.parametrize(
    ("word", "names"),
    [
        ("wind", ["Wind and rain"]),  # a word of its own before a part of one
        ("Windows", ["Windows four weeks late"]),
        ("window", ["Windows four weeks late"]),
        ("win", ["Windier", "Wind and rain", "Windows four weeks late"]),
        (" TENT ", ["Second tent", "Tent lost"]),
        ("second tent", ["Second tent"]),
        ("four weeks", ["Windows four weeks late"]),
        ("crane", []),
    ],
)
def test_a_word_means_a_whole_name_a_word_of_one_or_a_part_of_a_word(word: str, names: list[str]) -> None:
    assert [one.name for one in meant_by(word, THINGS)] == names
