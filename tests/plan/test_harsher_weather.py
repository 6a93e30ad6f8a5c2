"""Records made harsher, hour by hour against what a hand reckons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.plan import Climate, HourlyRecord
from sitesim.plan.harsher import colder, in_one_year, one_year, with_longer_rain, with_stronger_wind, years_of

FIRST = date(2015, 1, 1)


def record(years: int = 1, rain: dict[int, float] | None = None) -> HourlyRecord:
    """Make a record of whole years from 2015 on, dry but for the hours named."""
    days = date(FIRST.year + years, 1, 1).toordinal() - FIRST.toordinal()
    hours = np.zeros(days * 24)
    for hour, millimetres in (rain or {}).items():
        hours[hour] = millimetres
    ordinals = FIRST.toordinal() + np.arange(days)
    return HourlyRecord(
        name="made up",
        origin="",
        days=ordinals,
        years=years,
        temperature=np.round(np.linspace(-5.0, 30.0, days * 24), 2).reshape(days, 24),
        wind=np.round(np.linspace(0.0, 12.0, days * 24), 2).reshape(days, 24),
        rain=hours.reshape(days, 24),
    )


def wet(of: HourlyRecord) -> dict[int, float]:
    hours = of.rain.reshape(-1)
    return {int(hour): float(hours[hour]) for hour in np.flatnonzero(hours)}


def test_factors_of_one_change_nothing() -> None:
    one = record()
    assert with_longer_rain(one, 1.0) is one
    assert with_stronger_wind(one, 1.0) is one
    assert colder(one, 0.0) is one


def test_a_spell_lasts_half_again_as_long_at_its_mean_rate() -> None:
    """Four hours of 1, 2, 3, 2 mm become six: two more of 2 mm."""
    spell = {100: 1.0, 101: 2.0, 102: 3.0, 103: 2.0}
    assert wet(with_longer_rain(record(rain=spell), 1.5)) == {**spell, 104: 2.0, 105: 2.0}


def test_fractions_of_hours_are_carried_from_spell_to_spell() -> None:
    """Half an hour is owed after each single wet hour: every second one gets a whole one more."""
    spells = {10: 1.0, 20: 1.0, 30: 1.0, 40: 1.0}
    assert set(wet(with_longer_rain(record(rain=spells), 1.5))) == {10, 20, 21, 30, 40, 41}


def test_rain_runs_into_rain_and_not_over_it() -> None:
    spells = {10: 4.0, 11: 4.0, 12: 4.0, 13: 4.0, 15: 0.5}
    longer = wet(with_longer_rain(record(rain=spells), 2.0))
    assert longer == {10: 4.0, 11: 4.0, 12: 4.0, 13: 4.0, 14: 4.0, 15: 0.5, 16: 0.5}


def test_rain_at_the_end_of_the_record_stays_in_it() -> None:
    last = 365 * 24 - 1
    assert set(wet(with_longer_rain(record(rain={last - 1: 1.0, last: 1.0}), 3.0))) == {last - 1, last}


def test_shorter_rain_is_refused() -> None:
    with pytest.raises(ValueError, match="would be shorter"):
        with_longer_rain(record(), 0.5)


@given(st.lists(st.integers(0, 8000), min_size=1, max_size=40, unique=True), st.floats(1.0, 2.5, allow_nan=False))
def test_wet_hours_grow_by_the_factor_or_by_what_there_is_room_for(hours: list[int], factor: float) -> None:
    before = record(rain=dict.fromkeys(hours, 1.0))
    after = with_longer_rain(before, factor)
    assert (after.rain >= before.rain).all()
    assert len(hours) <= len(wet(after)) <= factor * len(hours) + 1e-6


def test_wind_and_air_are_whole_hundredths() -> None:
    one = record()
    windier, cold = with_stronger_wind(one, 1.25), colder(one, 3.0)
    np.testing.assert_allclose(windier.wind, 1.25 * one.wind, atol=0.005001)
    np.testing.assert_array_equal(np.rint(100 * windier.wind) / 100, windier.wind)
    np.testing.assert_allclose(cold.temperature, one.temperature - 3.0, atol=1e-9)
    assert cold.rain is one.rain


def test_a_year_is_taken_alone() -> None:
    three = record(years=3)
    assert {year: kept.stop - kept.start for year, kept in years_of(three).items()} == {2015: 365, 2016: 366, 2017: 365}
    middle = one_year(three, 2016)
    assert (middle.years, int(middle.days[0])) == (1, date(2016, 1, 1).toordinal())
    np.testing.assert_array_equal(middle.wind, three.wind[365 : 365 + 366])


def test_a_year_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="2018; it has 2015, 2016"):
        one_year(record(years=2), 2018)


def test_recorded_gusts_and_humidity_go_with_the_wind_and_the_year() -> None:
    plain = record(years=2)
    noted = replace(plain, gust=np.round(1.4 * plain.wind, 2), humidity=np.full(plain.wind.shape, 0.7))
    windier = with_stronger_wind(noted, 1.5)
    assert windier.gust is not None
    assert windier.gust[-1, -1] == pytest.approx(1.5 * 1.4 * 12.0)
    alone = one_year(noted, 2016)
    assert alone.gust is not None
    assert alone.humidity is not None
    assert len(alone.gust) == len(alone.humidity) == len(alone.wind) == 366


def test_one_year_is_replayed_as_it_was() -> None:
    blocks = Climate(record(years=2), {}, 1.5, 10, 15, 1.0)
    assert in_one_year(blocks, 2016).replayed == (0,)
    years = in_one_year(replace(blocks, replayed=(0, 1)), 2016)
    assert years.replayed == (0,)
    assert years.record is not None
    assert (years.record.years, date.fromordinal(int(years.record.days[0])).year) == (1, 2016)
    with pytest.raises(ValueError, match="no weather record"):
        in_one_year(replace(blocks, record=None), 2016)
