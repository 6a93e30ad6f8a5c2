"""The section weather in the numbers of the plan, and said back in words."""

from __future__ import annotations

import shutil
from datetime import date, datetime, timedelta
from math import inf
from pathlib import Path

import numpy as np
import pytest
from cases import changed, lines_of
from ruamel.yaml import YAML

from sitesim.plan import Evaporation, Frost, Limits, SoakedGround
from sitesim.scenario import Scenario, load
from sitesim.scenario.planning.climate import record_form, replayed_years
from sitesim.scenario.sections.weather import Weather
from sitesim.weather import DailyRecord

ROOF = "roof: {gust: 11 m/s, rain: dry}"


def with_roof(folder: Path, limits: str, *sets: str) -> Scenario:
    return load(changed(folder, (ROOF, f"roof: {{{limits}}}")), sets)


def roof(folder: Path, limits: str, *sets: str) -> Limits:
    return with_roof(folder, limits, *sets).plan().climate.limits["roof"]


def years_of_weather(years: int) -> DailyRecord:
    days = (date(2000 + years, 1, 1) - date(2000, 1, 1)).days
    ones = np.ones(days)
    return DailyRecord(
        name="long", origin="", first_day=date(2000, 1, 1), precipitation=ones, high=9 * ones, low=ones, wind=ones
    )


def test_what_is_left_out_asks_nothing(tmp_path: Path) -> None:
    limits = roof(tmp_path, "gust: 11 m/s")
    assert limits == Limits("roof", gust=11.0)
    assert (limits.humidity, limits.gust_aloft, limits.wind_aloft) == (inf, 1.0, 1.0)


def test_every_limit_in_the_units_of_the_plan(tmp_path: Path) -> None:
    limits = roof(
        tmp_path,
        "rain: dry, after_rain: 150 min, before_rain: 1 h, ground: {rain: 1 inch, within: 2 d}, humidity: 85 %, "
        "frost: {over: 7 d, below: 30 degF}, evaporation: {most: 0.2 lb/ft^2/h, concrete: 77 degF}",
    )
    assert (limits.after_rain, limits.before_rain) == (3, 1), "hours are whole, and begun ones count"
    assert limits.soaked is not None
    assert (limits.soaked.rain, limits.soaked.within) == (pytest.approx(25.4), 48)
    assert limits.frost is not None
    assert (limits.frost.over, limits.frost.below) == (168, pytest.approx(-10 / 9))
    assert limits.humidity == pytest.approx(0.85)
    assert limits.evaporation is not None
    assert limits.evaporation.most == pytest.approx(0.2 * 0.45359237 / 0.3048**2)
    assert limits.evaporation.concrete == pytest.approx(25.0)


def test_a_single_value_stands_for_the_section(tmp_path: Path) -> None:
    limits = roof(tmp_path, "frost: 5 d, ground: 20 mm, evaporation: 1 kg/m^2/h")
    assert (limits.frost, limits.soaked) == (Frost(120, 0.0), SoakedGround(20.0, 48))
    assert limits.evaporation == Evaporation(1.0, None)


def test_a_height_scales_the_wind_by_terrain_and_station(tmp_path: Path) -> None:
    # ASCE 7-10: exponents 1/6.5 of the mean and 1/9.5 of the gust over open country; 2 to these powers.
    limits = roof(tmp_path, "gust: 11 m/s, height: 20 m")
    assert (limits.wind_aloft, limits.gust_aloft) == (1.1125, 1.0757)
    at_station = roof(tmp_path / "low", "gust: 11 m/s, height: 20 m", "weather.station_height=20 m")
    assert (at_station.wind_aloft, at_station.gust_aloft) == (1.0, 1.0)
    in_town = roof(tmp_path / "town", "gust: 11 m/s, height: 20 m", "weather.terrain=town")
    assert in_town.wind_aloft == 1.1892


def test_a_gust_factor_may_be_a_name(tmp_path: Path) -> None:
    for written, factor in (("1.4", 1.4), ("hour_in_land", 1.75), ("hour open country", 1.53)):
        scenario = load(changed(tmp_path / written.replace(" ", "")), [f"weather.gust_factor={written}"])
        assert scenario.plan().climate.gust_factor == factor


def test_years_are_replayed_from_twenty_on_unless_said_otherwise() -> None:
    plain = Weather(record=Path("x"))
    assert replayed_years(plain, years_of_weather(19)) == ()
    assert replayed_years(plain, years_of_weather(20)) == tuple(range(20))
    assert replayed_years(Weather(record=Path("x"), draw="blocks"), years_of_weather(20)) == ()
    assert replayed_years(Weather(record=Path("x"), draw="years"), years_of_weather(3)) == (0, 1, 2)
    assert replayed_years(Weather(record=Path("x"), draw=2001), years_of_weather(3)) == (1,)


def test_columns_have_their_units_converted(tmp_path: Path) -> None:
    scenario = load(changed(tmp_path), ["weather.columns={wind: {name: wind_mean_m_s, unit: knot}}"])
    assert scenario.model.weather is not None
    column = record_form(scenario.model, scenario.model.weather).columns["wind"]
    assert (column.name, column.named) == ("wind_mean_m_s", True)
    assert column.factor == pytest.approx(1852 / 3600)
    slow = load(changed(tmp_path / "slow"), ["weather.columns={wind: {name: wind_mean_m_s, unit: km/h}}"])
    assert "a mean of 0.90 m/s is hardly any wind" in slow.cautions()[0]


def test_an_hourly_record_needs_no_latitude(tmp_path: Path) -> None:
    hours = (datetime(2021, 1, 1) + timedelta(hours=hour) for hour in range(365 * 24))
    rows = [f"{hour:%Y-%m-%d %H:%M},{8 + hour.month % 12},3,0.1" for hour in hours]
    path = changed(
        tmp_path,
        ("record: seattle-daily-2012-2015.csv ", "record: hours.csv"),
        ("  latitude: 47.4       # of the weather station\n", ""),
    )
    (tmp_path / "hours.csv").write_text("\n".join(["time,temperature_c,wind_mean_m_s,precipitation_mm", *rows]))
    scenario = load(path, ["weather.limits.roof={gust: 11 m/s}"])
    record = scenario.plan().climate.record
    assert record is not None
    assert (record.years, record.wind[0, 0], record.rain[9, 9]) == (1, 3.0, 0.1)
    told = " ".join(scenario.assumptions())
    assert "hours within a day are made up" not in told


def test_limits_are_said_back_in_the_units_of_the_page(tmp_path: Path) -> None:
    limits = (
        "rain: dry, after_rain: 3 h, before_rain: 1 h, ground: {rain: 1 inch, within: 48 h}, frost: 7 d, gust: 25 mph, "
        "height: 20 m, humidity: 85 %, evaporation: 0.2 lb/ft^2/h"
    )
    metric = with_roof(tmp_path, limits).limits_in_words()["roof"]
    assert metric == (
        "gusts up to 11.2 m/s, dry, at 20 m above ground, not within 3 h after rain, not within 1 h before rain, at "
        "most 25 mm of rain in 48 h before, no frost in the ground (a mean below 0 °C over 7 days), humidity up "
        "to 85 %, evaporation up to 0.98 kg/m²/h, in the open"
    )
    us = with_roof(tmp_path / "us", limits, "units=us").limits_in_words()["roof"]
    assert us == (
        "gusts up to 25 mph, dry, at 66 ft above ground, not within 3 h after rain, not within 1 h before rain, at "
        "most 1.00 inches of rain in 48 h before, no frost in the ground (a mean below 32 °F over 7 days), humidity up "
        "to 85 %, evaporation up to 0.20 lb/ft²/h, in the open"
    )


def test_what_looks_beyond_the_hour_is_an_assumption(tmp_path: Path) -> None:
    limits = "after_rain: 3 h, before_rain: 1 h, frost: 7 d, evaporation: 1 kg/m^2/h"
    told = " ".join(with_roof(tmp_path, limits).assumptions())
    for words in (
        "reckoned on the record's own sequence of hours",
        "Rain to come is known as long ahead as a limit asks",
        "The ground counts as frozen by a mean of the air temperature alone",
        "The record has no humidity",
        "by the formula of ACI 305R",
    ):
        assert words in told
    plain = " ".join(with_roof(tmp_path / "plain", "gust: 11 m/s").assumptions())
    for words in ("sequence of hours", "Rain to come", "frozen", "no humidity", "ACI 305R"):
        assert words not in plain


def test_how_years_are_drawn_is_said(tmp_path: Path) -> None:
    years = load(changed(tmp_path), ["weather.draw=years"])
    assert "whole years in the order of the record" in " ".join(years.assumptions())
    one = load(changed(tmp_path / "one"), ["weather.draw=2013"])
    assert "Every year of a run has the weather of 2013" in " ".join(one.assumptions())
    assert "Weather is that of 2013, again and again." in one.description()


def test_the_weather_of_the_readme_can_be_read() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (block,) = [part.split("```")[0] for part in readme.split("```yaml\n") if part.startswith("weather:")]
    written = YAML(typ="safe").load(block)["weather"]
    weather = Weather.model_validate(written, context={"day_hours": 8.0})
    assert (weather.clock, weather.time_zone, weather.draw) == ("utc", "America/Los_Angeles", "years")
    assert {name for name, entry in weather.limits.items() if entry.height is not None} == {"lift"}
    assert weather.limits["trench"].ground is not None
    assert weather.limits["slab"].evaporation is not None


def _by_year(folder: Path) -> None:
    """Cut the record beside a scenario into a file a year."""
    lines = (folder / "seattle-daily-2012-2015.csv").read_text().splitlines()
    header = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    for year in range(2012, 2016):
        rows = [line for line in lines if line.startswith(str(year))]
        (folder / f"sea-{year}.csv").write_text("\n".join([*lines[: header + 1], *rows]) + "\n")


def test_a_record_may_be_several_files_by_name_or_by_pattern(tmp_path: Path) -> None:
    path = changed(tmp_path)
    _by_year(tmp_path)
    text = path.read_text()
    names = [f"sea-{year}.csv" for year in range(2012, 2016)]
    whole = load(path)
    found = []
    for written in (f"[{', '.join(names)}]", '"sea-*.csv"'):
        path.write_text(text.replace("record: seattle-daily-2012-2015.csv ", f"record: {written} "))
        found.append(load(path))
    listed, matched = found
    record, of_parts = whole.plan().climate.record, listed.plan().climate.record
    assert record is not None
    assert of_parts is not None
    assert np.array_equal(record.temperature, of_parts.temperature)
    assert np.array_equal(record.wind, of_parts.wind)
    assert list(listed.data_files()) == list(matched.data_files()) == names
    assert listed.digest == matched.digest != whole.digest
    assert "Weather: sea-2012 to sea-2015, 4 years from 1 January 2012" in "\n".join(listed.description())
    # Kept as played, with its files beside it, it is the same scenario.
    folder = tmp_path / "run"
    folder.mkdir()
    (folder / "scenario.yaml").write_text(matched.resolved_yaml())
    for name, file in matched.data_files().items():
        shutil.copyfile(file, folder / name)
    assert load(folder / "scenario.yaml").digest == matched.digest
    # Every byte of every file is in the digest.
    last = tmp_path / names[-1]
    last.write_text(last.read_text().replace("2015-12-31,", "2015-12-31,1"))
    assert load(path).digest != matched.digest


def test_a_pattern_that_matches_nothing_and_a_file_that_is_not_there_are_named(tmp_path: Path) -> None:
    path = changed(tmp_path, ("record: seattle-daily-2012-2015.csv ", 'record: ["sea-*.csv", other.csv] '))
    found = [line.split("  ", 1)[1] for line in lines_of(path)]
    assert found == ["weather.record: there is no file other.csv", "weather.record: there is no file sea-*.csv"]
    path.write_text(path.read_text().replace('["sea-*.csv", other.csv]', "[]"))
    assert [line.split("  ", 1)[1] for line in lines_of(path)] == ["weather.record: should name a file, or several"]


def test_a_missing_file_is_named_with_its_folder_and_a_folder_is_called_one(tmp_path: Path) -> None:
    (tmp_path / "years").mkdir()
    written = 'record: [years, years/a.csv, "years/*.csv"] '
    path = changed(tmp_path, ("record: seattle-daily-2012-2015.csv ", written))
    assert [line.split("  ", 1)[1] for line in lines_of(path)] == [
        "weather.record: there is no file years/*.csv",
        "weather.record: there is no file years/a.csv",
        "weather.record: years is a folder; name the files in it, like years/*.csv",
    ]


def test_faults_in_several_files_have_their_file_and_line(tmp_path: Path) -> None:
    path = changed(tmp_path, ("record: seattle-daily-2012-2015.csv ", 'record: "sea-*.csv" '))
    _by_year(tmp_path)
    for year in (2013, 2015):
        file = tmp_path / f"sea-{year}.csv"
        file.write_text(file.read_text().replace(f"{year}-01-03,", f"{year}-01-3,"))
    assert [line.split("  ")[0] for line in lines_of(path)] == ["sea-2013.csv:8", "sea-2015.csv:8"]


def test_layers_may_be_kept_wet_above_a_limit_of_evaporation(tmp_path: Path) -> None:
    before = "printing: {temperature: [5 degC, 32 degC], shelter: tent}"
    limit = "evaporation: {most: 1 kg/m^2/h, measures: 3 min}"
    scenario = load(changed(tmp_path, (before, before.replace("shelter: tent", f"shelter: tent, {limit}"))))
    assert scenario.plan().climate.limits["printing"].evaporation == Evaporation(1.0, None, round(0.05 * 4096) / 4096)
    assert "evaporation up to 1.00 kg/m²/h, above it 3 min a layer to keep it wet" in "\n".join(scenario.description())
    assert "other work under these limits goes on too" in "\n".join(scenario.assumptions())
    (tmp_path / "roof").mkdir()
    path = changed(tmp_path / "roof", (ROOF, f"roof: {{{limit}}}"))
    assert [line.split("  ", 1)[1] for line in lines_of(path)] == [
        "weather.limits.roof.evaporation.measures: layers are kept wet in printing alone; roof is not in printer.limits"
    ]
