"""A made-up stress study whose figures can be reckoned by hand: run r finishes r weeks after the first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pandas as pd
from rigs import MONDAY, WEEKDAYS, bare_plan

from sitesim.answers.stress import months_apart, rank, start_month
from sitesim.answers.variants import PlayedVariant, as_planned
from sitesim.answers.weather_cost import MonthOfWeather, WeatherCost
from sitesim.study.basis import Basis
from sitesim.study.stressing import StressStudy, WeatherAnswers, YearOfRecord

PLAN = bare_plan((), (), (), days=600, calendar=WEEKDAYS)
WEEK = 7 * 24.0
FRIDAY = 4 * 24.0 + 15.0
MARKED = 'Roofers <b>& "sons"</b> away'


def variant(
    name: str, weeks: float, runs: int, days: dict[str, float], never: int = 0, start: int = 0
) -> PlayedVariant:
    """Make runs up that end so many weeks late; the last ``never`` do not end, all begin ``start`` days later."""
    ends = [FRIDAY + WEEK * (20 + run + weeks) if run < runs - never else math.inf for run in range(runs)]
    table = pd.DataFrame({"run": range(runs), "finish_hours": ends, "finished": [not math.isinf(end) for end in ends]})
    rows = [
        {"run": run, "cause": cause, "activity": "A/x", "days": length + 0.01 * (run % 3), "off_shift_days": length / 2}
        for run in range(runs - never)
        for cause, length in days.items()
    ]
    held = pd.DataFrame(rows, columns=["run", "cause", "activity", "days", "off_shift_days"])
    return PlayedVariant(name, replace(PLAN, start=MONDAY + timedelta(days=start)), table, held)


def small_weather_answers(months: int) -> WeatherAnswers:
    """Make up what weather costs: in March half a day and 1,000.4, in April one and a half and 2,000.4."""
    march = WeatherCost(days=0.52, waiting=600.2, overhead=300.1, heating=100.1)
    april = WeatherCost(days=1.52, waiting=1200.2, overhead=600.1, heating=200.1)
    planned = march + april
    return WeatherAnswers(
        by_month=(MonthOfWeather(date(2027, 3, 1), march), MonthOfWeather(date(2027, 4, 1), april)),
        planned=planned,
        by_start=(planned, *(None if month == 2 else april for month in range(1, months))),
        years=(YearOfRecord(2012, date(2027, 9, 1)), YearOfRecord(2013, date(2027, 9, 20)), YearOfRecord(2014, None)),
        worst=2014,
        runs_a_year=10,
    )


def small_stress(runs: int = 30, never: bool = False, months: int = 3, asked: date | None = None) -> StressStudy:
    """Make a study up: windows four weeks late, roofers two, both together, one that cannot be told, one that helps."""
    usual = {"predecessor": 60.0, "weather": 12.0}
    planned = variant("planned", 0, runs, usual)
    stressed: Sequence[PlayedVariant] = [
        variant("Windows four weeks late", 4, runs, {**usual, "material": 28.0}),
        variant(MARKED, 2, runs, {**usual, "crew": 14.0}),
        variant("Both of them", 5, runs, {**usual, "material": 35.0}),
        variant("Nothing to speak of", 0, runs, usual),
        variant("No weather at all", -1, runs, {"predecessor": 60.0}),
        variant("Start two weeks later", 0, runs, usual, start=14),
    ]
    if never:
        stressed = [*stressed, variant("The end", 0, runs, usual, never=runs // 2)]
    told = as_planned(planned, asked)
    parts = {"Both of them": ("Windows four weeks late", MARKED)}
    later = [variant("start", month, runs, {"weather": 12.0 + month}, start=28 * month) for month in range(1, months)]
    return StressStudy(
        planned=replace(told, name="Reed Bank <i>& Co"),
        shifts=rank(planned, stressed, told.asked, parts),
        weather=small_weather_answers(months) if months else WeatherAnswers(),
        doubted=(("Start two weeks later", "it is <late> anyway"),),
        months=tuple(start_month(one) for one in [planned, *later]) if months else (),
        months_apart=months_apart([planned, *later]),
        basis=Basis(
            left_out=(("Plant closed", "no concrete comes from a <plant>"),),
            played=(("Windows four weeks late", ("Windows delivery: ordered after walls, 33 wd & more.",)),),
            units="metric",
            currency="EUR",
            seed=7,
            assumptions=("Gangs share <one> fortune.",),
            cautions=("Limits defer to the engineer & the code.",),
            folder=Path("outputs/reed-bank-stress"),
        ),
    )


def with_basis(study: StressStudy, **changed: Any) -> StressStudy:
    """Change what the figures of a study stand on."""
    return replace(study, basis=replace(study.basis, **changed))
