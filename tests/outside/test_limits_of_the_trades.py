"""Weather limits against the trades' own texts, and the hours that they cost."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest
from weather_terms import MILE_AN_HOUR

from sitesim.plan.climate import HourlyRecord
from sitesim.scenario import load
from sitesim.study.weathering import study_weather
from sitesim.weather import Limits, first_binding, open_hours

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"

# Lost hours by cause must not be summed twice: invariant.


def test_hours_lost_to_seattle_weather_add_up(hourly: HourlyRecord) -> None:
    roof = Limits("roof", temperature_low=2.0, gust=25 * MILE_AN_HOUR, rain=0.0)
    lost = np.count_nonzero(~open_hours(roof, hourly, 1.5))
    by_cause = np.bincount(first_binding(roof, hourly, 1.5).ravel())
    assert by_cause[1:].sum() == lost
    alone = [
        np.count_nonzero(~open_hours(one, hourly, 1.5))
        for one in (
            Limits("cold", temperature_low=2.0),
            Limits("wind", gust=25 * MILE_AN_HOUR),
            Limits("rain", rain=0.0),
        )
    ]
    assert max(alone) < lost < sum(alone)


# Lost hours by cause must not be summed twice: invariant, over everything that the command tells.


@pytest.mark.parametrize("draw", ["blocks", "years", "2014"])
def test_working_hours_are_workable_or_lost_to_one_thing(draw: str) -> None:
    told = study_weather(load(DEMO, [f"weather.draw={draw}"]), 20, 1)
    assert len(told["kinds"]) == 10
    for kind in told["kinds"]:
        lost = np.sum(list(kind["lost_hours"].values()), axis=0)
        assert np.array(kind["workable_hours"]) + lost == pytest.approx(kind["shift_hours"], abs=1e-9)
    # 2027-28, Monday to Friday without the public holidays of Washington State, eight hours: counted on a calendar.
    roof = next(kind for kind in told["kinds"] if kind["kind"] == "roof")
    assert roof["shift_hours"][:3] == [8 * 23, 8 * 22, 8 * 20]  # Memorial Day is on 31 May


def test_weather_lengthens_a_site_by_about_a_fifth() -> None:
    # UK weather lengthens projects by about 21 % on average (Ballesteros-Pérez 2018): a roof in the open in a wet and
    # windy place should lose between a tenth and a third of its hours. Plausibility, wide on purpose.
    told = study_weather(load(DEMO), 100, 1)
    roof = next(kind for kind in told["kinds"] if kind["kind"] == "roof")
    assert 0.1 < 1.0 - sum(roof["workable_hours"]) / sum(roof["shift_hours"]) < 0.33


# The limits that come along are no laxer than what the trades' own texts ask for.


def fahrenheit(degrees: float) -> float:
    return (degrees - 32.0) / 1.8


@pytest.fixture(scope="module")
def limits() -> Mapping[str, Limits]:
    return load(DEMO).plan().climate.limits


def test_concrete_is_not_printed_below_40_fahrenheit_and_kept_at_55(limits: Mapping[str, Limits]) -> None:
    # ACI 306R: cold weather is below 40 °F in the protection period; sections under 0.3 m are kept at 55 °F or more.
    printing = limits["printing"]
    assert printing.temperature_low >= fahrenheit(40.0)
    assert printing.shelter is not None
    assert printing.shelter.set_point >= fahrenheit(55.0)


def test_joint_treatment_and_paint_are_at_50_to_95_fahrenheit(limits: Mapping[str, Limits]) -> None:
    # ASTM C840: 50 °F or more for joint treatment, texture and paint, at most 95 °F with temporary heat.
    drying = limits["drying"]
    assert fahrenheit(50.0) <= drying.temperature_low < drying.temperature_high <= fahrenheit(95.0)
    assert drying.shelter is not None
    assert drying.shelter.set_point >= fahrenheit(50.0)


def test_spray_foam_is_out_of_the_wind_and_dry(limits: Mapping[str, Limits], hourly: HourlyRecord) -> None:
    # UFGS 07 57 00: wind screens above 10 mph, a dry substrate. Foam indoors meets neither wind nor rain.
    foam = limits["foam"]
    assert foam.shelter is not None
    assert foam.shelter.wind_share * hourly.wind.max() <= 10 * MILE_AN_HOUR
    assert foam.shelter.keeps_rain_off


def test_a_roof_is_left_below_the_roofers_gust(limits: Mapping[str, Limits]) -> None:
    # UK roofing trade guidance: a mean of 23 mph or a gust of 35.
    assert limits["roof"].gust <= 35 * MILE_AN_HOUR
    assert limits["roof"].rain == 0.0


def test_a_tent_is_acted_on_at_60_and_80_per_cent_and_left_at_38_mph(limits: Mapping[str, Limits]) -> None:
    # Common practice, no source: at 60 % of the rated wind the work stops, at 80 % sides come down; US practice leaves
    # a temporary tent at 38 mph.
    shelter = limits["printing"].shelter
    assert shelter is not None
    assert shelter.rated_gust == pytest.approx(0.6 * 38 * MILE_AN_HOUR)
    assert shelter.sides is not None
    assert shelter.sides.down_gust == pytest.approx(0.8 * 38 * MILE_AN_HOUR)
    assert shelter.sides.up_gust == shelter.rated_gust
    usual = load(DEMO, ["tent.sides={time: 90 min}", "tent.stops_at=60 %"]).plan().printing_shelter
    assert usual == shelter, "what is usual is what the demo writes out"
    assert limits["tent"].gust < shelter.rated_gust
