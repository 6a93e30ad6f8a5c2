"""`quote` as a user meets it."""

from __future__ import annotations

from pathlib import Path

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


def test_settings_are_not_for_runs_that_have_been_played(played: Path) -> None:
    assert "holds runs that have been played" in refused("quote", played, "--set", "supply.spacing=90 min")
