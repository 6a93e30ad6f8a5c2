"""Weather, calendars and tents drawn at random, for the sites made of them."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from random import Random

import numpy as np
from rigs import MONDAY, ROUND_THE_CLOCK

from sitesim.hours import WeekPattern
from sitesim.plan import Climate, Evaporation, HourlyRecord, Limits, Plan, Shelter, Sides


def rough_weather(seed: int, rough: float = 0.15) -> HourlyRecord:
    """Make one year of weather by hand: spells of wind and rain, cold nights.

    rough: share of the days that are stormy and wet.
    """
    dice = np.random.default_rng(seed)
    days = 365
    spell = np.repeat(dice.random(days // 3 + 1) < rough, 3)[:days]
    hour = np.arange(24)
    season = 10.0 - 12.0 * np.cos(2 * np.pi * (np.arange(days) + 60) / days)
    temperature = season[:, None] + 4.0 * np.sin((hour - 9) * np.pi / 12)[None, :]
    wind = np.where(spell[:, None], 9.0, 3.0) + dice.random((days, 24)) * 4.0
    rain = np.where(spell[:, None] & (dice.random((days, 24)) < 0.5), 2.0, 0.0)
    ordinals = np.arange(days) + MONDAY.replace(year=2025, month=1, day=1).toordinal()
    return HourlyRecord("by hand", "made for tests", ordinals, 1, np.round(temperature, 2), np.round(wind, 2), rain)


def draw_calendars(dice: Random) -> dict[str, WeekPattern]:
    holidays = frozenset(MONDAY.toordinal() + dice.randrange(2, 200) for _ in range(dice.randint(0, 8)))
    weekdays = dict.fromkeys(range(5), ((7.0, 15.0),))
    early = dict.fromkeys(range(dice.choice((5, 6))), ((6.0, 15.0),))
    with_lunch = dict.fromkeys(range(5), ((7.0, 12.0), (12.5, 17.5)))
    shell = dice.choice((WeekPattern(early, holidays),) * 3 + (WeekPattern(with_lunch, holidays), ROUND_THE_CLOCK))
    return {
        "site": WeekPattern(weekdays, holidays),
        "shell": shell,
        "long": WeekPattern(with_lunch, holidays),
        "plant": WeekPattern(dict.fromkeys(range(5), ((5.0, 12.0), (12.5, 18.0))), holidays),
    }


def draw_climate(dice: Random) -> Climate:
    limits = {
        "print": Limits("print", temperature_low=dice.choice((-40.0, 5.0)), gust=14.0),
        "lift": Limits("lift", gust=11.0),
        "dry": Limits("dry", rain=0.0, temperature_low=-5.0),
    }
    return Climate(rough_weather(dice.randrange(5)), limits, 1.5, 10, 15, dice.choice((1.0, 0.8)))


def with_tent_sides(dice: Random, plan: Plan) -> Plan:
    """Put a heated tent over the printing, now and then with sides that come down, and keep layers wet."""
    limits = plan.climate.limits.get("print")
    if limits is None or dice.random() < 0.3:
        return plan
    down = dice.choice((14.0, 16.0))
    sides = Sides(down, down * dice.choice((0.8, 1.0)), dice.choice((0.0, 1.0, 5.0)), dice.choice(("site", "shell")))
    shelter = Shelter(True, 0.4, dice.choice((inf, 25.0)), 8.0, 12.0, dice.choice((None, sides, sides)))
    evaporation = dice.choice((None, Evaporation(1.0, 25.0), Evaporation(0.6, 25.0, 0.125)))
    under = replace(limits, shelter=shelter, evaporation=evaporation)
    record = plan.climate.record
    assert record is not None
    record = replace(record, humidity=np.where(record.rain > 0.0, 0.95, 0.5))
    return replace(plan, climate=replace(plan.climate, record=record, limits={**plan.climate.limits, "print": under}))
