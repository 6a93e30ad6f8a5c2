"""What is wrong about weather and its limits: named, with what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, changed, faults_of

from sitesim.scenario import load


def weather_faults(folder: Path, *sets: str) -> list[str]:
    """Give what is wrong once settings are laid over the scenario to start from, without where they stand."""
    return [fault.message for fault in faults_of(changed(folder), *sets)]


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        ("weather.draw=often", "often should be blocks, years, or a year of the record like 2013"),
        ("weather.draw=2016", "the record has no whole year 2016; it has 2012, 2013, 2014, 2015"),
        (
            "weather.gust_factor=breezy",
            "breezy is no gust factor; write a number like 1.5, or one of hour_open_country,",
        ),
        ("weather.time_zone=Europe/Londn", "Europe/Londn is not a time zone; did you mean Europe/London?"),
        ("weather.clock=utc", "times in utc need the site's time zone: weather.time_zone, like America/Los_Angeles"),
        (
            "weather.columns.wind={name: wind_mean_m_s, unit: degC}",
            "column wind_mean_m_s: degC is not a unit of the right",
        ),
        ("weather.columns.wind=breeze", "no column breeze for wind; the file has date, precipitation_mm,"),
        ("weather.limits.lift.height=1 m", "1 m is too little, it should be at least 2 m"),
        ("weather.limits.roof.after_rain=900 h", "900 h is too much, it should be at most 720 h"),
        ("weather.limits.roof.humidity=120 %", "120 % is too much, it should be at most 1 (100 %)"),
        (
            "site.latitude=-47.4",
            "-47.4° is south of the equator, but in the weather record July is warmer than January;",
        ),
    ],
)
def test_what_is_wrong_about_weather_is_named(tmp_path: Path, setting: str, message: str) -> None:
    (found,) = weather_faults(tmp_path, setting)
    assert found.startswith(message)


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        # The record's hottest hour has 35.6 °C; the indoor heater adds nothing above its 15 °C.
        ("weather.limits.indoors.temperature=[40 degC, 60 degC]", "40.0 °C or more; the nearest has 35.6 °C or more"),
        # Its coldest has -7.1 °C, which the heater of 10 °C lifts to 2.9.
        ("weather.limits.indoors.temperature=[-50 degC, 2 degC]", "2.0 °C or less; the nearest has 2.9 °C or less"),
        (
            "weather.limits.roof.frost={over: 1 h, below: 40 degC}",
            "a mean of 40.0 °C before; the nearest has a mean of 35.6 °C",
        ),
    ],
)
def test_a_limit_that_no_hour_meets_is_named_with_the_nearest_value(tmp_path: Path, setting: str, message: str) -> None:
    (found,) = weather_faults(tmp_path, setting)
    assert found.startswith(f"no hour of the record is within {message}")


def test_limits_that_no_hour_meets_together_name_the_one_that_shuts_most(tmp_path: Path) -> None:
    (found,) = weather_faults(
        tmp_path, "weather.limits.roof={temperature: [30 degC, 60 degC], humidity: 10 %, gust: 11 m/s}"
    )
    assert found.startswith("no hour of the record is within a humidity of 10 %")
    together = "weather.limits.roof={temperature: [33 degC, 60 degC], after_rain: 700 h}"
    (found,) = weather_faults(tmp_path / "more", together)
    assert found.startswith("each limit is met in some hours, but no hour of the record meets all of them; without ")


def test_a_limit_under_which_nothing_is_done_is_not_looked_at(tmp_path: Path) -> None:
    idle = "    idle: {temperature: [50 degC, 60 degC]}\n    lift: {gust: 9 m/s}"
    scenario = load(changed(tmp_path, ("    lift: {gust: 9 m/s}", idle)))
    assert "idle" in scenario.plan().climate.limits
    assert "idle" not in scenario.plan().kinds_of_work


def test_a_limit_that_no_hour_meets_is_told_where_it_is_set(tmp_path: Path) -> None:
    hot = "temperature: [60 degC, 70 degC]"
    (tmp_path / "first.yaml").write_text(f"extends: {DEMO}\nweather:\n  limits:\n    roof:\n      {hot}\n")
    second = tmp_path / "second.yaml"
    second.write_text(
        "extends: first.yaml\n"
        "weather:\n"
        "  limits:\n"
        "    foam: {temperature: {low: 60 degC, high: 70 degC}}\n"
        "    printing:\n"
        f"      {hot}\n"
        "    coating: {humidity: 1 %}\n"
    )
    found = faults_of(second, "weather.limits.tent.temperature=[60 degC, 70 degC]")
    assert [(fault.file.split("/")[-1].split(" ")[0], fault.line, fault.path) for fault in found] == [
        ("--set", 0, "weather.limits.tent.temperature"),
        ("first.yaml", 5, "weather.limits.roof.temperature"),
        ("second.yaml", 4, "weather.limits.foam.temperature.low"),
        ("second.yaml", 6, "weather.limits.printing.temperature"),
        ("second.yaml", 7, "weather.limits.coating.humidity"),
    ]


def test_limits_that_no_hour_meets_together_are_told_at_the_one_that_shuts_most(tmp_path: Path) -> None:
    file = tmp_path / "variant.yaml"
    warm = "temperature: [34 degC, 60 degC]"
    file.write_text(f"extends: {DEMO}\nweather:\n  limits:\n    tent:\n      rain: 0.1 mm/h\n      {warm}\n")
    (told,) = faults_of(file, "weather.limits.tent.gust=1.2 mph")
    assert "each limit is met in some hours, but no hour of the record meets all of them" in told.message
    assert (Path(told.file).name, told.line, told.path) == ("variant.yaml", 6, "weather.limits.tent.temperature")
