"""Quantities as people write them, against the exact definitions of their units."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from sitesim.scenario import quantities
from sitesim.scenario.sections.printing import WorkingLife

INCH = 0.0254  # metres, exactly: international yard and pound agreement, 1959
FOOT, YARD, MILE = 12 * INCH, 36 * INCH, 5280 * 12 * INCH


def read(kind: Any, value: Any, day_hours: float = 8.0) -> Any:
    return TypeAdapter(kind).validate_python(value, context={"day_hours": day_hours})


@pytest.mark.parametrize(
    ("kind", "written", "number"),
    [
        (quantities.Length, "40 mm", 0.040),
        (quantities.Length, "8 ft", 8 * FOOT),
        (quantities.Length, "1.5 in", 1.5 * INCH),
        (quantities.Length, "2.68m", 2.68),
        (quantities.Volume, "10 yd^3", 10 * YARD**3),
        (quantities.Volume, "10 yd³", 10 * YARD**3),
        (quantities.Volume, "10 yd3", 10 * YARD**3),
        (quantities.Volume, "250 L", 0.25),
        (quantities.Speed, "250 mm/s", 0.25),
        (quantities.Wind, "20 mph", 20 * MILE / 3600),
        (quantities.Wind, "36 km/h", 10.0),
        (quantities.Temperature, "5 degC", 5.0),
        (quantities.Temperature, "41 degF", 5.0),
        (quantities.Temperature, "-4 °F", -20.0),
        (quantities.Temperature, "300 K", 26.85),
        (quantities.TemperatureRise, "12 delta_degC", 12.0),
        (quantities.TemperatureRise, "12 degC", 12.0),
        (quantities.TemperatureRise, "18 degF", 10.0),
        (quantities.TemperatureRise, "9 °F", 5.0),
        (quantities.Share, "15 %", 0.15),
        (quantities.Share, "15 percent", 0.15),
        (quantities.Share, 0.15, 0.15),
        (quantities.Density, "2100 kg/m^3", 2100.0),
        (quantities.BuildUp, "0.5 Pa/s", 0.5),
        (quantities.BuildUp, "30 Pa/min", 0.5),
        (quantities.Rain, "1 mm/h", 1.0),
        (quantities.Rain, "0.1 in/h", 2.54),
        (quantities.Rain, "dry", 0.0),
        (quantities.ClockHours, "45 min", 0.75),
        (quantities.ClockHours, "1 wd", 8.0),
        (quantities.ElapsedDays, "2 weeks", 14.0),
        (quantities.MoneyPerVolume, "205 /yd^3", 205 / YARD**3),
        (quantities.MoneyPerVolume, "260 /m^3", 260.0),
        (quantities.MoneyPerHour, "130 /h", 130.0),
        (quantities.MoneyPerHour, "1 /min", 60.0),
        (quantities.MoneyPerHour, 130, 130.0),
        (quantities.MoneyPerDay, "300 /d", 300.0),
        (quantities.StandbyFree, "7 min/yd^3", 7 / 60 / YARD**3),
        (quantities.TimeOfDay, "07:30", 7.5),
        (quantities.TimeOfDay, "24:00", 24.0),
        (WorkingLife, "300 min", 5.0),
        (WorkingLife, "bs_8500_agitated", 2.0),  # BS 8500-2: two hours in agitators
    ],
)
def test_a_quantity_is_read_in_the_unit_of_the_plan(kind: Any, written: Any, number: float) -> None:
    assert read(kind, written) == pytest.approx(number, rel=1e-12, abs=1e-12)


def test_a_working_day_has_the_hours_of_the_sites_calendar() -> None:
    assert read(quantities.ClockHours, "2 wd", day_hours=9.5) == 19.0


def test_times_are_rounded_to_the_clock() -> None:
    assert read(quantities.ClockHours, "10 min") == round(4096 / 6) / 4096


@pytest.mark.parametrize(
    ("kind", "written", "message"),
    [
        (quantities.Length, "40", "40.0 has no unit; write it like 40 mm"),
        (quantities.Length, 40, "40 has no unit; write it like 40 mm"),
        (quantities.Length, "40 s", "40 s: s is not a unit of the right kind; write it like 40 mm"),
        (quantities.Length, "forty mm", "'forty mm' is not a length; write it like 40 mm"),
        (quantities.Length, True, "True is not a length; write it like 40 mm"),
        (quantities.Length, None, "None is not a length; write it like 40 mm"),
        (quantities.Length, "3 wd", "3 wd: wd is not a unit of length; write it like 40 mm"),
        (quantities.Length, "1e300 km", "1e300 km is too much, it should be at most 1e+06 m"),
        (quantities.Share, "-1 %", "-1 % is too little, it should be at least 0"),
        (quantities.SomeShare, 0, "0 is too little, it should be more than 0"),
        (quantities.Temperature, 5, "5 has no unit; write it like 5 degC"),
        (quantities.TimeOfDay, "25:00", '25:00 is not a time of day; write it like "07:00"'),
        (quantities.CivilDate, "2027-13-01", "2027-13-01 is not a date; write it like 2027-03-01"),
        (quantities.CivilDate, "0001-01-01", "0001-01-01 is not a year in which this can be built"),
    ],
)
def test_what_is_not_that_quantity_is_refused_in_plain_words(kind: Any, written: Any, message: str) -> None:
    with pytest.raises(ValidationError) as error:
        read(kind, written)
    assert [detail["msg"] for detail in error.value.errors()] == [message]
