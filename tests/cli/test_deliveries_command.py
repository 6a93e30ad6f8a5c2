"""`deliveries` as a user meets it."""

from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
import pytest
from command_line import (
    HERE,
    ROOT,
    done,
    strict_json,
    words,
)
from small_sites import network_file

FEW_WAYS = ("--load", "3, 4 yd^3", "--spacing", "120 min", "--spacing", "150, 180 min", "--runs", "3", *HERE)


def test_deliveries_set_ways_and_supplies_side_by_side() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    text = words(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--out", "found"))
    assert re.match(r"(Order ready-mix in loads of|Mix on site:)", text)
    assert "The cheapest of 6 ways" in text
    assert "truck standby, an hour" in text
    assert {file.name for file in Path("found").iterdir()} == {
        "against.yaml",
        "deliveries.html",
        "manifest.json",
        "print_days.parquet",
        "scenario.yaml",
        "seattle-daily-2012-2015.csv",
        "summary.json",
    }
    assert len(pd.read_parquet("found/print_days.parquet")) == 3 * 7  # six ways and the mixer
    again = words(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--out", "found"))
    assert again == text


def test_deliveries_take_the_scenarios_in_either_order() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    one = strict_json(done("deliveries", demo, "--against", mixed, *FEW_WAYS, "--json"))
    other = strict_json(done("deliveries", mixed, "--against", demo, *FEW_WAYS, "--json"))
    assert one == other


def test_the_order_for_one_day_is_printed() -> None:
    demo = ROOT / "scenarios" / "tern-quay.yaml"
    day = ("--building", "B", "--from-layer", "16", "--date", "2027-05-04", "--weather", "dry")
    text = words(done("deliveries", demo, *day, *FEW_WAYS))
    assert re.match(r"Row B, layers 16–30: (two|three) loads of \S+( and \S+)? yd³ at the gate at 07:00, ", text)
    for said in (
        "Place the order by 15:00 on Monday, May 3.",
        "to be used by",
        "Go or no go at 05:30",
        "Never add water",
    ):
        assert said in text
    assert Path("outputs/tern-quay-deliveries-B-16/deliveries.html").exists()


def test_settings_of_the_supply_are_for_the_first_scenario_alone() -> None:
    demo, mixed = ROOT / "scenarios" / "tern-quay.yaml", ROOT / "scenarios" / "tern-quay-site-mixing.yaml"
    sets = ("--set", "supply.haul=80 min", "--set", "costs.blend=100 /m^3")
    found = strict_json(done("deliveries", demo, "--against", mixed, *FEW_WAYS, *sets, "--json"))
    assert found["turning"]["travel"]["now"] == pytest.approx(80 / 60, abs=1e-3)
    assert found["turning"]["blend"]["now"] == 100.0


def test_a_comparison_says_that_it_plays_as_often_as_a_folder_holds(tmp_path: Path) -> None:
    one = network_file(tmp_path)
    other = network_file(tmp_path, ("name: Two homes", "name: The same again"), name="same.yaml")
    assert "held" not in done("compare", one, other, "--runs", 6, *HERE)
    text = words(done("compare", one, other, "--runs", 4, *HERE))
    assert text.startswith("A folder held 6 runs already, so each scenario is played as often. ")
