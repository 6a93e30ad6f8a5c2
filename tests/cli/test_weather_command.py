"""`weather` as a user meets it."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_line import (
    ROOT,
    done,
    refused,
    strict_json,
    words,
)

DEMO = ROOT / "scenarios" / "tern-quay.yaml"


def test_weather_tells_and_writes_its_page() -> None:
    text = done("weather", DEMO, "--runs", "5")
    assert "the weather takes most from" in words(text)
    assert "4 years are few" in words(text)
    assert text.rstrip().endswith("The page: outputs/tern-quay-weather/weather.html")
    folder = Path("outputs/tern-quay-weather")
    assert sorted(file.name for file in folder.iterdir()) == ["weather.html", "weather.json"]


def test_weather_as_json_is_what_lies_beside_the_page() -> None:
    data = strict_json(done("weather", DEMO, "--runs", "5", "--out", "here", "--json", "--set", "weather.draw=2013"))
    assert data == strict_json(Path("here/weather.json").read_text(encoding="utf-8"))
    assert data["drawn"] == {"how": "years", "years": [2013]}
    for kind in data["kinds"]:
        lost = sum(map(sum, kind["lost_hours"].values()))
        assert sum(kind["workable_hours"]) + lost == pytest.approx(sum(kind["shift_hours"]), abs=1e-6)


def test_weather_is_the_same_twice_and_another_under_another_seed() -> None:
    texts = [done("weather", DEMO, "--runs", "5", "--quiet", "--seed", seed) for seed in (1, 1, 2)]
    assert texts[0] == texts[1] != texts[2]
    assert "The page" not in texts[0]


def test_weather_refuses_what_is_wrong() -> None:
    assert "weather.draw: the record has no whole year 2011; it has 2012," in refused(
        "weather", DEMO, "--set", "weather.draw=2011"
    )
    assert "did you mean indoors?" in refused("weather", DEMO, "--set", "weather.indors.rise=3 delta_degC")
