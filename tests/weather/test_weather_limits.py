from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import exp, inf, nan
from statistics import fmean

import numpy as np
import pytest

from sitesim.plan.climate import Evaporation, Frost, HourlyRecord, Limits, Shelter, SoakedGround
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
        rain=draw.uniform(-3.0, 0.5, shape).clip(min=0.0).round(2),
        humidity=draw.uniform(0.1, 1.0, shape).round(4),
    )


def still_year(temperature: float = 10.0, wind: float = 0.0, rain: float = 0.0) -> HourlyRecord:
    hours = np.ones((DAYS, 24))
    days = np.arange(DAYS, dtype=np.int64) + 738_000
    return HourlyRecord("still", "", days, 1, temperature * hours, wind * hours, rain * hours, 0.5 * hours)


TENT = Shelter(keeps_rain_off=True, wind_share=0.25, rated_gust=24.0, rise=12.0, set_point=15.0)
HOUSE_WRAP = Shelter(keeps_rain_off=False, wind_share=0.5, rated_gust=20.0)
KINDS = {
    "anything": Limits("anything"),
    "printing": Limits("printing", temperature_low=5.0, temperature_high=32.0, gust=9.0, wind=4.0, rain=0.0),
    "print in tent": Limits("print in tent", 5.0, 32.0, gust=5.5, wind=4.0, rain=0.0, shelter=TENT),
    "wrapped": Limits("wrapped", temperature_low=2.0, gust=12.0, wind=9.0, rain=1.0, shelter=HOUSE_WRAP),
    "lift": Limits("lift", gust=8.94),
    "roof": Limits("roof", gust=11.2, rain=0.0),
    "deck": Limits("deck", gust=15.0, rain=0.2, after_rain=3, before_rain=2),
    "paint": Limits("paint", after_rain=1),
    "trench": Limits("trench", rain=0.4, soaked=SoakedGround(3.0, 48), frost=Frost(24, 12.0)),
    "finish": Limits("finish", temperature_low=3.0, humidity=0.7, evaporation=Evaporation(0.5)),
    "warm finish": Limits("warm finish", humidity=0.4, evaporation=Evaporation(0.2, 25.0), shelter=TENT),
    "high lift": Limits("high lift", gust=11.0, wind=6.0, gust_aloft=1.2, wind_aloft=1.4),
}


def by_hand(limits: Limits, year: HourlyRecord) -> list[str]:
    """Look at each hour by itself, with the hours around it, in plain numbers."""
    temperature, wind, rain, humidity = (
        values.ravel().tolist() for values in (year.temperature, year.wind, year.rain, year.humidity)
    )
    wet = [fallen > (limits.rain if limits.rain < inf else 0.0) for fallen in rain]

    def around(hour: int) -> str:
        if limits.after_rain and any(wet[max(0, hour - limits.after_rain) : hour + 1]):
            return "after rain"
        if limits.before_rain and any(wet[hour : hour + limits.before_rain + 1]):
            return "before rain"
        soaked = limits.soaked
        if soaked and sum(rain[max(0, hour - soaked.within + 1) : hour + 1]) > soaked.rain + 1e-9:
            return "soaked ground"
        return ""

    def frozen(hour: int) -> bool:
        frost = limits.frost
        return frost is not None and fmean(temperature[max(0, hour - frost.over + 1) : hour + 1]) < frost.below

    return [
        binding_by_hand(limits, *of_hour, around(hour), frozen(hour))
        for hour, of_hour in enumerate(zip(temperature, wind, rain, humidity, strict=True))
    ]


def binding_by_hand(
    limits: Limits, temperature: float, wind: float, rain: float, humidity: float, around: str, frozen: bool
) -> str:
    shelter = limits.shelter
    outside = temperature
    if shelter:
        if wind * GUST_FACTOR > shelter.rated_gust:
            return "rated gust"
        rain = 0.0 if shelter.keeps_rain_off else rain
        around = "" if shelter.keeps_rain_off else around
        if temperature < shelter.set_point:
            temperature = min(shelter.set_point, temperature + shelter.rise)
        wind = wind * shelter.wind_share
    if wind * GUST_FACTOR * limits.gust_aloft > limits.gust:
        return "gust"
    if wind * limits.wind_aloft > limits.wind:
        return "wind"
    if rain > limits.rain:
        return "rain"
    if around:
        return around
    if temperature < limits.temperature_low:
        return "temperature low"
    if temperature > limits.temperature_high:
        return "temperature high"
    if frozen:
        return "frost"
    inside = min(1.0, humidity * tetens(outside) / tetens(temperature))
    if round(inside, 4) > limits.humidity:
        return "humidity"
    evaporation = limits.evaporation
    if evaporation:
        concrete = temperature if evaporation.concrete is None else evaporation.concrete
        rate = 5e-6 * ((concrete + 18) ** 2.5 - round(inside, 4) * (temperature + 18) ** 2.5) * (3.6 * wind + 4)
        return "evaporation" if round(max(rate, 0.0), 3) > evaporation.most else "open"
    return "open"


def tetens(temperature: float) -> float:
    return 0.6108 * exp(17.27 * temperature / (temperature + 237.3))


@pytest.mark.parametrize("kind", KINDS)
def test_every_hour_agrees_with_a_loop_over_hours(kind: str) -> None:
    year, limits = rough_year(), KINDS[kind]
    wanted = by_hand(limits, year)
    binding = first_binding(limits, year, GUST_FACTOR)
    assert binding.dtype == np.int8
    assert [BINDING_NAMES[code] for code in binding.ravel()] == wanted
    assert (open_hours(limits, year, GUST_FACTOR).ravel() == [name == "open" for name in wanted]).all()


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


def year_with(**hours: dict[int, float]) -> HourlyRecord:
    """Make a still, dry, mild year with other values in some of its hours, counted from its first."""
    tables = {"temperature": 10.0, "wind": 0.0, "rain": 0.0}
    made = {}
    for quantity, usual in tables.items():
        flat = np.full(DAYS * 24, usual)
        for hour, value in hours.get(quantity, {}).items():
            flat[hour] = value
        made[quantity] = flat.reshape(DAYS, 24)
    return HourlyRecord("made", "", np.arange(DAYS, dtype=np.int64) + 738_000, 1, **made)


def shut_hours(limits: Limits, year: HourlyRecord) -> dict[str, list[int]]:
    """Give the hours that each limit shuts."""
    codes = first_binding(limits, year, GUST_FACTOR).ravel()
    return {BINDING_NAMES[code]: np.flatnonzero(codes == code).tolist() for code in set(codes.tolist()) - {0}}


def test_a_wet_deck_stays_shut_after_rain_and_before_it() -> None:
    deck = Limits("deck", rain=0.0, after_rain=3, before_rain=1)
    shut = shut_hours(deck, year_with(rain={100: 2.0, 102: 0.01}))
    assert shut == {"rain": [100, 102], "after rain": [101, 103, 104, 105], "before rain": [99]}


def test_rain_within_the_limit_needs_no_drying() -> None:
    outside = Limits("outside", rain=1.0, after_rain=2)
    shut = shut_hours(outside, year_with(rain={50: 1.0, 100: 1.2}))
    assert shut == {"rain": [100], "after rain": [101, 102]}


def test_the_ground_stays_wet_for_as_long_as_the_rain_is_remembered() -> None:
    ground = Limits("trench", soaked=SoakedGround(10.0, 24))
    assert shut_hours(ground, year_with(rain={100: 6.0, 110: 5.0})) == {"soaked ground": list(range(110, 124))}
    assert shut_hours(ground, year_with(rain={100: 6.0, 110: 4.0})) == {}  # 10 mm is still within the limit


def test_the_ground_freezes_when_the_mean_of_the_days_before_falls_below_the_limit() -> None:
    # 10 °C, then 72 h at -10 °C: the mean of 48 h is 0 after 24 of them and below from the 25th on, and rises to 0
    # again 24 h after the cold has gone.
    cold = dict.fromkeys(range(1000, 1072), -10.0)
    shut = shut_hours(Limits("trench", frost=Frost(48)), year_with(temperature=cold))
    assert shut == {"frost": list(range(1024, 1095))}


def test_a_rule_that_looks_back_goes_with_the_day_of_the_record() -> None:
    # Rain in the last hour of day 10 wets the morning of day 11, whatever day is drawn before it.
    year = year_with(rain={11 * 24 - 1: 5.0})
    sky = Sky(year, GUST_FACTOR, {"deck": Limits("deck", rain=0.0, after_rain=4)})
    drawn = sky.hours("deck", np.array([200, 11, 300])).reshape(3, 24)
    assert np.flatnonzero(~drawn[1]).tolist() == [0, 1, 2, 3]
    assert drawn[0].all()
    assert drawn[2].all()


def test_recorded_gusts_count_as_they_are() -> None:
    year = year_with(wind={5: 8.0, 6: 8.0})
    gust = GUST_FACTOR * year.wind
    gust[0, 6] = 9.0
    recorded = replace(year, gust=gust)
    assert shut_hours(Limits("lift", gust=10.0), recorded) == {"gust": [5]}
    assert Sky(recorded, GUST_FACTOR, {}).highest_gust(0) == 12.0


def test_a_limit_of_humidity_needs_a_record_of_it() -> None:
    bare = replace(still_year(), humidity=None)
    with pytest.raises(ValueError, match="drying: the record still has no humidity"):
        open_hours(Limits("drying", humidity=0.8), bare, GUST_FACTOR)


def test_the_sky_reckons_only_the_kinds_that_are_asked_for() -> None:
    # A kind that needs what the record has not does no harm while nobody does it.
    sky = Sky(replace(rough_year(), humidity=None), GUST_FACTOR, {"finish": KINDS["finish"], "lift": KINDS["lift"]})
    assert len(sky.hours("lift", np.arange(3))) == 72
    with pytest.raises(ValueError, match="has no humidity"):
        sky.hours("finish", np.arange(3))
