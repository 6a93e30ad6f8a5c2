"""`compare` as a user meets it."""

from __future__ import annotations

import re
from pathlib import Path

from command_line import (
    HERE,
    done,
    strict_json,
    words,
)
from small_sites import network_file


def test_scenarios_that_differ_in_name_only_cannot_be_told_apart(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    other = network_file(tmp_path, ("name: Two homes", "name: The same again"), name="same.yaml")
    text = words(done("compare", one, other, "--runs", 10, *HERE))
    assert "The same again: finish dates cannot be told apart from those of Two homes" in text
    assert "costs cannot be told apart (difference $0 to $0)" in text
    assert "0 % / 100 % / 0 %" in text
    data = strict_json(done("compare", one, other, "--runs", 10, "--json", *HERE))
    assert data[1]["against_the_first"]["finish_days"] | {"n": 0} == {
        "mean": 0.0,
        "low": 0.0,
        "high": 0.0,
        "n": 0,
        "distinguishable": False,
        "unpaired_infinite": 0,
        "only_a_infinite": 0,
        "only_b_infinite": 0,
    }


def test_a_slower_gang_is_told_apart_from_the_first(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    slow = network_file(tmp_path, ("name: Two", "name: Slow"), ("[2, 4, 9]", "[12, 14, 19]"), name="slow.yaml")
    text = words(done("compare", one, slow, "--runs", 20, *HERE))
    assert re.search(r"Slow homes: [\d.]+ calendar days later on average", text)
    assert re.search(r"about \$[\d,]+ dearer", text)


def test_square_brackets_in_a_name_are_no_markup(tmp_path: Path) -> None:
    one = network_file(tmp_path, ("name: Two homes", 'name: "Two [red]homes"'))
    other = network_file(tmp_path, ("name: Two homes", 'name: "Other [b]"'), name="other.yaml")
    assert "Other [b]: " in done("compare", one, other, "--runs", 5, *HERE)
    assert "Two [red]homes" in done("quote", one, "--runs", 5, *HERE)
    assert "Two [red]homes" in done("check", one)
