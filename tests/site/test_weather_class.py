"""A forecast's class of weather, read off the record near a date."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from rigs import printing_plan

from sitesim.chance import Luck
from sitesim.plan import DROP, Plan, one_print_day
from sitesim.scenario import load
from sitesim.site import Stage, play
from sitesim.site.skies import RunHours
from sitesim.site.weather_class import (
    DaysNear,
    WeatherClass,
    days_near,
    life_on_a_warm_day,
    runs_of_class,
)
from sitesim.trade.working_life import working_life

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"


@pytest.fixture(scope="module")
def day() -> Plan:
    return one_print_day(load(DEMO).plan(), "B", 16, date(2027, 5, 4))


@pytest.fixture(scope="module")
def stage(day: Plan) -> Stage:
    return Stage(day)


@pytest.fixture(scope="module")
def near(stage: Stage) -> DaysNear:
    found = days_near(stage)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("8 to 17 degC, dry", WeatherClass((8.0, 17.0), rain="dry")),
        ("50-68 F, calm", WeatherClass((10.0, 20.0), wind="calm")),
        ("-3 to 4 °C", WeatherClass((-3.0, 4.0))),
        ("hot, dry, windy", WeatherClass(None, "hot", "dry", "windy")),
    ],
)
def test_a_class_is_read_as_people_write_it(text: str, expected: WeatherClass) -> None:
    assert WeatherClass.parse(text) == expected


@pytest.mark.parametrize("text", ["nice", "dry, wet", "17 to 8 degC", "8 to 17", "8 to 17 C, 9 to 18 C", ""])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"class of weather|low is above"):
        WeatherClass.parse(text)


def test_the_days_near_are_those_within_the_window_in_every_year(day: Plan, near: DaysNear) -> None:
    # Four years; 15 days to either side of the date make 31 days in each, every one of them once.
    assert len(near.rows) == 4 * 31
    record = day.climate.record
    assert record is not None
    for row in near.rows:
        on = date.fromordinal(int(record.days[row]))
        assert abs((on - date(on.year, 5, 4)).days) <= 15


def test_the_thirds_hold_a_third_each_and_the_words_split_the_days(near: DaysNear) -> None:
    counts = {word: near.count(WeatherClass(warmth=word)) for word in ("cold", "mild", "hot")}
    assert sum(counts.values()) == len(set(near.rows))
    assert all(abs(count - len(near.rows) / 3) <= 4 for count in counts.values())  # ties lie on the edges
    for one, other in (("dry", "wet"), ("calm", "windy")):
        kind = "rain" if one == "dry" else "wind"
        both = near.count(WeatherClass(**{kind: one})) + near.count(WeatherClass(**{kind: other}))
        assert both == len(set(near.rows))


def test_runs_of_a_class_are_just_those_whose_day_belongs_to_it(stage: Stage, near: DaysNear) -> None:
    of = WeatherClass((8.0, 17.0), rain="dry")
    found = runs_of_class(stage, 1, near, of, 40)
    assert len(found) == 40
    for run in range(found[-1] + 1):
        weather = RunHours(stage, Luck(1, run)).weather_of(0)
        assert weather is not None
        belongs = abs(weather.low - 8.0) <= 3.0 and abs(weather.high - 17.0) <= 3.0 and weather.rain < 1.0
        assert belongs == (run in found)


def test_the_share_of_runs_is_the_share_of_days(stage: Stage, near: DaysNear) -> None:
    of = WeatherClass(warmth="hot")
    share = near.count(of) / len(near.rows)
    among = runs_of_class(stage, 1, near, of, 300)[-1] + 1
    assert abs(300 / among - share) < 4 * np.sqrt(share * (1 - share) / among)  # four standard errors


def test_where_no_weather_holds_there_are_no_days() -> None:
    assert days_near(Stage(printing_plan())) is None


def test_concrete_lives_as_long_as_on_a_warm_day_of_the_class(day: Plan, stage: Stage, near: DaysNear) -> None:
    rules = day.print_day
    assert rules is not None
    hot, any_day = WeatherClass(warmth="hot"), WeatherClass()
    afternoon = 15.0
    assert life_on_a_warm_day(stage, near, hot, afternoon) <= life_on_a_warm_day(stage, near, any_day, afternoon)
    record = day.climate.record
    assert record is not None
    warm = float(np.quantile([record.temperature[row, 15] for row in near.rows], 0.9))
    expected = working_life(rules.working_life, max(warm + rules.warmth, rules.least_warmth))
    assert life_on_a_warm_day(stage, near, any_day, afternoon) == pytest.approx(expected)
    cold = replace(day, print_day=replace(rules, life_falls_with_heat=False))
    assert life_on_a_warm_day(Stage(cold), near, hot, afternoon) == rules.working_life


@pytest.mark.parametrize("first", [1, 16, 31, 42, 53])
def test_a_day_that_lays_its_last_layer_has_reached_it_whatever_is_held_elsewhere(first: int) -> None:
    plan = one_print_day(load(DEMO).plan(), "B", first, date(2027, 5, 6))
    shell = plan.buildings[0].shell
    assert shell is not None
    need = shell.wall.day_need(first - 1, shell.wall.layers)
    stage = Stage(plan)
    reached = 0
    for run in range(12):
        played = play(stage, 1, run)
        assert played.finished == (played.ledger.concrete.in_place >= need - DROP)
        reached += played.finished
    assert reached > 0
