from __future__ import annotations

from collections import Counter
from math import inf, nan

import numpy as np
import pytest

from sitesim.plan.climate import HourlyRecord, Limits, Shelter
from sitesim.weather.limits import BINDING_NAMES, Sky, first_binding, open_hours, temperature_at_work

DAYS, GUST_FACTOR = 365, 1.5


def rough_year() -> HourlyRecord:
    draw = np.random.default_rng(20)
    shape = (DAYS, 24)
    return HourlyRecord(
        name="rough",
        origin="drawn for a test",
        days=np.arange(DAYS, dtype=np.int64) + 738_000,
        years=1,
        temperature=draw.uniform(-15.0, 45.0, shape).round(2),
        wind=draw.uniform(0.0, 20.0, shape).round(2),
        rain=draw.uniform(-3.0, 3.0, shape).clip(min=0.0).round(2),
    )


def still_year(temperature: float = 10.0, wind: float = 0.0, rain: float = 0.0) -> HourlyRecord:
    hours = np.ones((DAYS, 24))
    days = np.arange(DAYS, dtype=np.int64) + 738_000
    return HourlyRecord("still", "", days, 1, temperature * hours, wind * hours, rain * hours)


TENT = Shelter(keeps_rain_off=True, wind_share=0.25, rated_gust=24.0, rise=12.0, set_point=15.0)
HOUSE_WRAP = Shelter(keeps_rain_off=False, wind_share=0.5, rated_gust=20.0)
KINDS = {
    "anything": Limits("anything"),
    "printing": Limits("printing", temperature_low=5.0, temperature_high=32.0, gust=9.0, wind=4.0, rain=0.0),
    "print in tent": Limits("print in tent", 5.0, 32.0, gust=5.5, wind=4.0, rain=0.0, shelter=TENT),
    "wrapped": Limits("wrapped", temperature_low=2.0, gust=12.0, wind=9.0, rain=1.0, shelter=HOUSE_WRAP),
    "lift": Limits("lift", gust=8.94),
    "roof": Limits("roof", gust=11.2, rain=0.0),
}


def binding_by_hand(limits: Limits, temperature: float, wind: float, rain: float) -> str:
    shelter = limits.shelter
    if shelter:
        if wind * GUST_FACTOR > shelter.rated_gust:
            return "rated gust"
        rain = 0.0 if shelter.keeps_rain_off else rain
        if temperature < shelter.set_point:
            temperature = min(shelter.set_point, temperature + shelter.rise)
        wind = wind * shelter.wind_share
    if wind * GUST_FACTOR > limits.gust:
        return "gust"
    if wind > limits.wind:
        return "wind"
    if rain > limits.rain:
        return "rain"
    if temperature < limits.temperature_low:
        return "temperature low"
    return "temperature high" if temperature > limits.temperature_high else "open"


@pytest.mark.parametrize("kind", KINDS)
def test_every_hour_agrees_with_a_loop_over_hours(kind: str) -> None:
    year, limits = rough_year(), KINDS[kind]
    by_hand = [
        binding_by_hand(limits, *hour)
        for hour in zip(
            year.temperature.ravel().tolist(),
            year.wind.ravel().tolist(),
            year.rain.ravel().tolist(),
            strict=True,
        )
    ]
    binding = first_binding(limits, year, GUST_FACTOR)
    assert binding.dtype == np.int8
    assert [BINDING_NAMES[code] for code in binding.ravel()] == by_hand
    assert (open_hours(limits, year, GUST_FACTOR).ravel() == [name == "open" for name in by_hand]).all()


def test_every_limit_shuts_some_hour_of_the_loop() -> None:
    seen: Counter[str] = Counter()
    for limits in KINDS.values():
        seen.update(BINDING_NAMES[code] for code in first_binding(limits, rough_year(), GUST_FACTOR).ravel())
    assert set(seen) == set(BINDING_NAMES)


@pytest.mark.parametrize("kind", KINDS)
def test_hours_lost_by_cause_add_up_to_the_hours_lost(kind: str) -> None:
    year = rough_year()
    lost = np.count_nonzero(~open_hours(KINDS[kind], year, GUST_FACTOR))
    binding = first_binding(KINDS[kind], year, GUST_FACTOR)
    assert sum(np.count_nonzero(binding == code) for code in range(1, len(BINDING_NAMES))) == lost


def test_a_value_equal_to_its_limit_is_within_it() -> None:
    limits = Limits("edge", temperature_low=5.0, temperature_high=5.0, gust=6.0, wind=4.0, rain=1.0)
    assert open_hours(limits, still_year(5.0, 4.0, 1.0), GUST_FACTOR).all()
    for passed in (still_year(4.99, 4.0, 1.0), still_year(5.01, 4.0, 1.0), still_year(5.0, 4.01, 1.0)):
        assert not open_hours(limits, passed, GUST_FACTOR).any()
    assert not open_hours(limits, still_year(5.0, 4.0, 1.01), GUST_FACTOR).any()


def test_dry_means_no_rain_at_all() -> None:
    dry = Limits("roof", rain=0.0)
    assert open_hours(dry, still_year(rain=0.0), GUST_FACTOR).all()
    assert not open_hours(dry, still_year(rain=0.01), GUST_FACTOR).any()


def test_a_heater_lifts_by_its_rise_and_not_above_its_set_point() -> None:
    def inside(outside: float) -> float:
        limits = Limits("print", shelter=Shelter(rise=12.0, set_point=15.0))
        return float(temperature_at_work(limits, still_year(outside))[0, 0])

    assert [inside(outside) for outside in (-10.0, 3.0, 10.0, 15.0, 20.0)] == [2.0, 15.0, 15.0, 15.0, 20.0]


def test_a_heater_set_to_the_lowest_temperature_reaches_it() -> None:
    forty_fahrenheit = (40.0 - 32.0) / 1.8
    limits = Limits("print", temperature_low=forty_fahrenheit, shelter=Shelter(rise=50.0, set_point=forty_fahrenheit))
    for hundredths in range(-1000, 400, 7):
        assert open_hours(limits, still_year(hundredths / 100.0), GUST_FACTOR).all()


def test_a_better_shelter_never_shuts_an_hour() -> None:
    year = rough_year()
    bare = open_hours(KINDS["printing"], year, GUST_FACTOR)
    tent = Shelter(keeps_rain_off=True, wind_share=0.5, rise=5.0, set_point=20.0)
    sheltered = open_hours(Limits("printing", 5.0, 32.0, gust=9.0, wind=4.0, rain=0.0, shelter=tent), year, GUST_FACTOR)
    assert np.count_nonzero(sheltered) > np.count_nonzero(bare)
    assert not (bare & ~sheltered).any()


def test_the_sky_gives_flat_hours_in_the_order_of_the_days() -> None:
    year = rough_year()
    sky = Sky(year, GUST_FACTOR, {kind: KINDS[kind] for kind in ("lift", "roof")})
    days = np.array([7, 3, 3, 364])
    expected = np.concatenate([open_hours(KINDS["roof"], year, GUST_FACTOR)[day] for day in days])
    assert (sky.hours("roof", days) == expected).all()
    assert (sky.temperature(days) == np.concatenate([year.temperature[day] for day in days])).all()


def test_the_sky_names_the_kinds_it_knows() -> None:
    sky = Sky(rough_year(), GUST_FACTOR, {"lift": KINDS["lift"]})
    with pytest.raises(KeyError, match="no limits for 'roof'; there are limits for lift"):
        sky.hours("roof", np.array([0]))
    with pytest.raises(ValueError, match="the limits of 'lift' stand under 'roof'"):
        Sky(rough_year(), GUST_FACTOR, {"roof": KINDS["lift"]})


def test_values_that_cannot_be_are_refused_when_made() -> None:
    for wrong in (
        {"gust": -1.0},
        {"wind": nan},
        {"rain": -0.1},
        {"temperature_low": 9.0, "temperature_high": 8.0},
    ):
        with pytest.raises(ValueError, match="should be"):
            Limits("work", **wrong)
    for awry in ({"wind_share": 1.1}, {"rated_gust": nan}, {"rise": -1.0}, {"rise": inf}, {"set_point": nan}):
        with pytest.raises(ValueError, match="should be"):
            Shelter(**awry)
    with pytest.raises(ValueError, match=r"gust factor 0\.9"):
        open_hours(KINDS["lift"], still_year(), 0.9)


def test_an_hourly_record_refuses_holes_and_broken_years() -> None:
    year = still_year()
    hours = year.wind
    with pytest.raises(ValueError, match="do not follow one another"):
        HourlyRecord("gap", "", np.where(np.arange(DAYS) < 9, year.days, year.days + 1), 1, hours, hours, hours)
    with pytest.raises(ValueError, match="364 days are not 1 whole years"):
        HourlyRecord("short", "", year.days[:-1], 1, hours[:-1], hours[:-1], hours[:-1])
    with pytest.raises(ValueError, match="rain has shape"):
        HourlyRecord("flat", "", year.days, 1, hours, hours, hours.ravel())
    with pytest.raises(ValueError, match="wind has hours without a number"):
        HourlyRecord("hole", "", year.days, 1, hours, hours * nan, hours)
