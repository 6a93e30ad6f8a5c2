"""Hourly weather files as other readers read them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pvlib
import pytest
from pvlib import iotools

from sitesim.plan.climate import HourlyRecord
from sitesim.weather import read_epw

# EPW: read a second time by pandas, by the names and places of the format's own description (EnergyPlus, Auxiliary
# Programs, "EnergyPlus Weather File (EPW) Data Dictionary"), from memory; and by pvlib, whose package holds a typical
# year of Greensboro, North Carolina (National Solar Radiation Data Base, TMY3, station 723170, in the public domain).

EPW_FIELDS = [
    "year",
    "month",
    "day",
    "hour",
    "minute",
    "flags",
    "dry_bulb",
    "dew_point",
    "relative_humidity",
    "pressure",
    "extraterrestrial_horizontal",
    "extraterrestrial_direct",
    "infrared",
    "global_horizontal",
    "direct_normal",
    "diffuse_horizontal",
    "global_light",
    "direct_light",
    "diffuse_light",
    "zenith_light",
    "wind_direction",
    "wind_speed",
    "total_sky_cover",
    "opaque_sky_cover",
    "visibility",
    "ceiling_height",
    "present_weather",
    "present_weather_codes",
    "precipitable_water",
    "aerosol",
    "snow_depth",
    "days_since_snow",
    "albedo",
    "liquid_precipitation_depth",
    "liquid_precipitation_quantity",
]


def test_an_epw_file_says_the_same_to_another_reader(tmp_path: Path, hourly: HourlyRecord) -> None:
    import pandas as pd

    path = tmp_path / "seattle.epw"
    rows = ["LOCATION,Seattle,WA,USA,made of the daily record,000000,47.45,-122.31,-8.0,130.0", *["-"] * 7]
    assert hourly.humidity is not None
    for day in range(366):  # 2012
        when = date.fromordinal(int(hourly.days[day]))
        for hour in range(24):
            fields: list[object] = [0] * len(EPW_FIELDS)
            fields[:6] = [when.year, when.month, when.day, hour + 1, 60, "?9?9?9"]
            fields[EPW_FIELDS.index("dry_bulb")] = hourly.temperature[day, hour]
            fields[EPW_FIELDS.index("relative_humidity")] = round(100 * hourly.humidity[day, hour])
            fields[EPW_FIELDS.index("wind_speed")] = hourly.wind[day, hour]
            fields[EPW_FIELDS.index("liquid_precipitation_depth")] = hourly.rain[day, hour]
            rows.append(",".join(map(str, fields)))
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    other = pd.read_csv(path, skiprows=8, header=None, names=EPW_FIELDS)
    record = read_epw(path)
    assert record.first_day == date(int(other["year"][0]), int(other["month"][0]), int(other["day"][0]))
    for field, values in (
        ("dry_bulb", record.temperature),
        ("wind_speed", record.wind),
        ("liquid_precipitation_depth", record.precipitation),
    ):
        assert values.ravel().tolist() == other[field].tolist()
    assert record.humidity is not None
    assert record.humidity.ravel() == pytest.approx(other["relative_humidity"].to_numpy() / 100, abs=1e-12)


def test_a_typical_year_of_an_open_package_says_the_same_to_pvlib(tmp_path: Path) -> None:
    typical, place = iotools.read_tmy3(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV", map_variables=True)
    path = tmp_path / "greensboro.epw"
    rows = [f"LOCATION,Greensboro,{place['State']},USA,TMY3,723170,{place['latitude']},{place['longitude']},-5.0,273.0"]
    rows += ["-"] * 7
    for date_written, time, air, humidity, wind, rain in zip(
        *(
            typical[column]
            for column in (
                "Date (MM/DD/YYYY)",
                "Time (HH:MM)",
                "temp_air",
                "relative_humidity",
                "wind_speed",
                "Lprecip depth (mm)",
            )
        ),
        strict=True,
    ):
        month, day, year = date_written.split("/")
        fields: list[object] = [0] * len(EPW_FIELDS)
        fields[:6] = [int(year), int(month), int(day), int(time[:2]), 60, "?9?9?9"]
        for field, value in (("dry_bulb", air), ("relative_humidity", humidity), ("wind_speed", wind)):
            fields[EPW_FIELDS.index(field)] = value
        # Depths stand in tenths of a millimetre there: 3, 5, 8, 10 are one to four hundredths of an inch.
        fields[EPW_FIELDS.index("liquid_precipitation_depth")] = rain / 10
        rows.append(",".join(map(str, fields)))
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    other, read_place = iotools.read_epw(path)
    record = read_epw(path)
    assert len(other) == record.temperature.size == 8760
    assert len(set(other["year"])) > 1, "a typical year is made of months of several years"
    assert record.latitude == read_place["latitude"]
    assert record.temperature.ravel().tolist() == other["temp_air"].tolist()
    assert record.wind.ravel().tolist() == other["wind_speed"].tolist()
    assert record.precipitation.ravel().tolist() == other["liquid_precipitation_depth"].tolist()
    assert record.humidity is not None
    assert record.humidity.ravel() == pytest.approx(other["relative_humidity"].to_numpy() / 100, abs=1e-12)
