"""A record in another unit than it is read in is suspected; the record itself never is.

Kind of the tests: metamorphic. The record of Seattle is written anew in other units and read as if in the usual ones.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pvlib
import pytest
from pvlib import iotools

from sitesim.weather import WeatherRecordError, make_hourly, read_daily, read_hourly

SEATTLE = Path(__file__).parents[2] / "scenarios" / "weather" / "seattle-daily-2012-2015.csv"
RAIN, HIGH, LOW, WIND = 1, 2, 3, 4
Change = Callable[[float], float]


def as_mph(value: float) -> float:
    return value / 0.44704


def as_kmh(value: float) -> float:
    return 3.6 * value


def as_knots(value: float) -> float:
    return value * 3600.0 / 1852.0


def as_fahrenheit(value: float) -> float:
    return 32.0 + 1.8 * value


def as_inches(value: float) -> float:
    return value / 25.4


def daily(folder: Path, **changes: Change) -> Path:
    """Write the record with columns changed, named like ``c4``."""
    lines = SEATTLE.read_text(encoding="utf-8").splitlines()
    for number, line in enumerate(lines):
        if line[:2] == "20":
            cells = line.split(",")
            for column, change in changes.items():
                cells[int(column[1:])] = f"{change(float(cells[int(column[1:])])):.2f}"
            lines[number] = ",".join(cells)
    path = folder / "seattle.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def hourly(folder: Path, rain: Change = float, warmth: Change = float, wind: Change = float) -> Path:
    """Write the hours of a year of the record."""
    hours = make_hourly(read_daily(SEATTLE), latitude=47.45)
    lines = ["time,temperature_c,wind_mean_m_s,precipitation_mm"]
    for day in range(366):
        stamp = SEATTLE.read_text(encoding="utf-8").splitlines()[5 + day][:10]
        lines += [
            f"{stamp} {hour:02}:00,{warmth(float(hours.temperature[day, hour])):.2f},"
            f"{wind(float(hours.wind[day, hour])):.2f},{rain(float(hours.rain[day, hour])):.3f}"
            for hour in range(24)
        ]
    path = folder / "hours.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def told_of(error: WeatherRecordError) -> str:
    return "\n".join(fault.message for fault in error.faults)


def test_the_record_itself_is_believed(tmp_path: Path) -> None:
    assert read_daily(SEATTLE, latitude=47.45).doubts == ()
    assert read_hourly(hourly(tmp_path), latitude=47.45).doubts == ()


@pytest.mark.parametrize(
    ("change", "right"), [(as_mph, "as mph 3.2"), (as_kmh, "as km/h it would be 3.2 m/s"), (as_knots, "as knot 3.2")]
)
def test_wind_in_another_unit_is_a_caution(tmp_path: Path, change: Change, right: str) -> None:
    (doubt,) = read_daily(daily(tmp_path, c4=change)).doubts
    assert doubt.startswith("seattle.csv: wind_mean_m_s: a mean of ")
    assert right in doubt
    assert doubt.endswith("Check weather.columns.wind.unit.")


def test_hours_of_wind_in_another_unit_are_suspected_with_what_they_would_be(tmp_path: Path) -> None:
    """In mph and knots no hour of the year passes 40 m/s: the mean alone tells that they are none."""
    rights = {as_mph: "as mph 3.4", as_kmh: "as km/h it would be 3.4 m/s", as_knots: "as knot 3.4"}
    for change in (as_mph, as_knots):
        (doubt,) = read_hourly(hourly(tmp_path, wind=change)).doubts
        assert doubt.startswith("hours.csv: wind_mean_m_s: a mean of ")
        assert rights[change] in doubt
    # In km/h a few do: the unit is named with their lines.
    with pytest.raises(WeatherRecordError) as caught:
        read_hourly(hourly(tmp_path, wind=as_kmh))
    assert rights[as_kmh] in told_of(caught.value)
    assert "is not believed as mean wind of an hour" in told_of(caught.value)


def test_a_storm_in_miles_an_hour_is_refused_with_its_lines(tmp_path: Path) -> None:
    def stormy(value: float) -> float:
        return as_mph(1.25 * value)

    with pytest.raises(WeatherRecordError) as caught:
        read_hourly(hourly(tmp_path, wind=stormy))
    assert "as mph 4.3" in told_of(caught.value)
    assert "is not believed as mean wind of an hour" in told_of(caught.value)


def test_degrees_fahrenheit_are_refused(tmp_path: Path) -> None:
    with pytest.raises(WeatherRecordError) as caught:
        read_daily(daily(tmp_path, c2=as_fahrenheit, c3=as_fahrenheit))
    assert "read as degF it would be 12.3 °C" in told_of(caught.value)
    with pytest.raises(WeatherRecordError) as caught:
        read_hourly(hourly(tmp_path, warmth=as_fahrenheit))
    assert "read as degF it would be" in told_of(caught.value)


def test_degrees_fahrenheit_of_a_cold_place_are_known_by_its_summer(tmp_path: Path) -> None:
    """Means of -2 °C over a year, which is 28 °F, with a summer as warm as in the middle of Alaska."""

    def inland(value: float) -> float:
        return as_fahrenheit(-2.0 + 1.6 * (value - 12.3))

    with pytest.raises(WeatherRecordError) as caught:
        read_daily(daily(tmp_path, c2=inland, c3=inland))
    assert "the warmest twelfth of all values has a mean of" in told_of(caught.value)
    assert "read as degF it would be" in told_of(caught.value)


def test_inches_of_rain_are_a_caution(tmp_path: Path) -> None:
    (doubt,) = read_daily(daily(tmp_path, c1=as_inches)).doubts
    assert "44 mm a year is a desert; read as inch it would be 1,106 mm" in doubt
    (doubt,) = read_hourly(hourly(tmp_path, rain=as_inches)).doubts
    assert "is a desert; read as inch it would be" in doubt


def test_inches_of_a_wet_place_are_known_by_how_little_falls_each_time(tmp_path: Path) -> None:
    """Three times the rain of Seattle in inches is more than a desert's in millimetres."""
    (doubt,) = read_daily(daily(tmp_path, c1=lambda value: as_inches(3.0 * value))).doubts
    assert "wet days a year is hardly any each; read as inch it would be 3,3" in doubt
    (doubt,) = read_hourly(hourly(tmp_path, rain=lambda value: as_inches(3.0 * value))).doubts
    assert "wet hours a year is hardly any each" in doubt


def gauged(folder: Path, share: float = 1.0, unit: Change = float, digits: int = 2) -> Path:
    """Write the hours of a year as a gauge sees them, so many times as windy: below 1.5 m/s it notices nothing."""

    def noticed(value: float) -> float:
        return round(unit(share * value if share * value >= 1.5 else 0.0), digits)

    return hourly(folder, wind=noticed)


def test_a_calm_place_in_miles_an_hour_is_known_by_what_its_gauge_does_not_notice(tmp_path: Path) -> None:
    """With 2 m/s its mean is no windier in mph than that of other places in m/s."""
    for change, right in ((as_mph, "as mph 1.9"), (as_knots, "as knot 1.9")):
        (doubt,) = read_hourly(gauged(tmp_path, 0.66, change)).doubts
        assert "between calm and " in doubt
        assert right in doubt
    assert read_hourly(gauged(tmp_path, 0.66)).doubts == ()
    assert read_hourly(gauged(tmp_path)).doubts == ()


def test_whole_numbers_of_a_windy_place_are_doubted_and_of_another_are_not(tmp_path: Path) -> None:
    """Whole metres a second are common; where they would be windy, knots are likelier."""

    def whole(factor: float) -> Change:
        return lambda value: float(round(factor * value))

    (doubt,) = read_hourly(hourly(tmp_path, wind=whole(1.5))).doubts
    assert "all values are whole numbers, as they are in knots or mph" in doubt
    assert read_hourly(hourly(tmp_path, wind=whole(1.0))).doubts == ()


@pytest.mark.parametrize("file", ["723170TYA.CSV", "703165TY.csv"])
def test_observed_winds_are_not_doubted_and_are_in_miles_an_hour(tmp_path: Path, file: str) -> None:
    """Kind: back-test, on typical years of pvlib, observed at Greensboro and, windy, at Sand Point."""
    observed, _ = iotools.read_tmy3(Path(pvlib.__file__).parent / "data" / file, map_variables=True)

    def doubts_of(path: Path) -> str:
        try:
            return "\n".join(read_hourly(path).doubts)
        except WeatherRecordError as error:  # some hours of Sand Point are beyond what is believed in mph
            return told_of(error)

    for factor, right in ((1.0, None), (1.0 / 0.44704, "as mph"), (3600.0 / 1852.0, "as knot")):
        lines = ["time,temperature_c,wind_mean_m_s,precipitation_mm"]
        start = datetime(2021, 1, 1)
        lines += [
            f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},10,{factor * wind:.2f},{0.3 if hour % 8 == 0 else 0}"
            for hour, wind in enumerate(observed["wind_speed"])
        ]
        path = tmp_path / "observed.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        told = doubts_of(path)
        assert ("wind" not in told) if right is None else (right in told), told
