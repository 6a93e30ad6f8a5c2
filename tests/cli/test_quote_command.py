"""`quote` as a user meets it."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_line import (
    HERE,
    done,
    refused,
    strict_json,
)
from small_sites import network_file


def test_quote_a_folder_and_a_file(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    of_file = done("quote", file, "--runs", 20, "--confidence", 70, "--out", "out", *HERE)
    assert "Hand-over dates for Two homes at 70 %" in of_file
    assert done("quote", "out", "--confidence", 70) == of_file
    assert "Not a guarantee." in of_file
    assert of_file.endswith("The page: out/quote.html\n")
    page = Path("out/quote.html")
    assert "Hand-over dates for Two homes at 70 %" in page.read_text(encoding="utf-8")
    page.unlink()
    assert "The page" not in done("quote", "out", "--no-page")
    assert not page.exists()


def test_a_quote_takes_the_confidence_of_the_scenario(played: Path) -> None:
    assert strict_json(done("quote", played, "--json"))["confidence"] == 0.8


def test_a_surer_quote_is_no_earlier(played: Path) -> None:
    half, sure = (strict_json(done("quote", played, "--json", "--confidence", share)) for share in (50, 90))
    for home, surer in zip(half["homes"], sure["homes"], strict=True):
        assert home["promised"] <= surer["promised"]
    assert half["all_homes"] < sure["all_homes"]


@pytest.mark.parametrize(
    ("written", "hint"), [("0.8", "; 0.8 of all is 80; write it like 80"), ("0.8 %", "from 1 to 99; write it like 80")]
)
def test_a_confidence_that_may_be_a_share_is_told_in_per_cent(played: Path, written: str, hint: str) -> None:
    assert hint in refused("quote", played, "--confidence", written)


def test_settings_are_not_for_runs_that_have_been_played(played: Path) -> None:
    assert "holds runs that have been played" in refused("quote", played, "--set", "supply.spacing=90 min")


def test_what_is_unusual_in_the_scenario_is_told_to_its_author_and_not_on_the_page(tmp_path: Path) -> None:
    told = done("quote", network_file(tmp_path), "--set", "site.horizon=4000 d", "--runs", 5, "--out", "out", *HERE)
    assert "4000 d is unusual" in told
    assert "is unusual" not in Path("out/quote.html").read_text(encoding="utf-8")
