from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from sitesim.weather import RecordForm, WeatherRecordError, hourly_record, read_epw, read_record
from sitesim.weather.civil_clock import CivilClock

HEADER = [
    "LOCATION,Sandpiper Point,WA,USA,made for a test,000000,47.5,-122.3,-8.0,20.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,made for a test",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
]


def row(
    moment: datetime, hour: int, temperature: float = 10.0, humidity: int = 75, wind: float = 3.0, rain: float = 0.2
) -> str:
    """Write one line of the open format: 35 fields, the hour from 1 to 24 named by its end."""
    fields = [moment.year, moment.month, moment.day, hour, 60, "?9?9?9", temperature, 5.8, humidity, 101325]
    fields += [
        0,
        0,
        315,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        180,
        wind,
        5,
        5,
        16.0,
        77777,
        9,
        999999999,
        110,
        0.06,
        0,
        88,
        0.2,
        rain,
        1,
    ]
    assert len(fields) == 35
    return ",".join(str(field) for field in fields)


DATE_ON = row(datetime(2021, 1, 1), 4)[len("2021") :]
"""A line without its year."""


def year_of_rows(
    year_of: Callable[[int], int] = lambda month: 2021, **values: Callable[[int], float | int]
) -> list[str]:
    rows = []
    for hour in range(365 * 24):
        moment = datetime(2021, 1, 1) + timedelta(hours=hour)
        shown = moment.replace(year=year_of(moment.month))
        rows.append(row(shown, moment.hour + 1, **{name: value(hour) for name, value in values.items()}))
    return rows


def written(folder: Path, lines: list[str]) -> Path:
    path = folder / "sandpiper.epw"
    path.write_text("\r\n".join(lines) + "\r\n", encoding="utf-8")
    return path


def test_reads_the_four_quantities_at_their_places(tmp_path: Path) -> None:
    rows = year_of_rows()
    rows[24 * 40 + 7] = row(datetime(2021, 2, 10), 8, -1.5, 91, 7.2, 3.4)  # the hour from 07:00 to 08:00
    record = read_epw(written(tmp_path, HEADER + rows))
    assert (len(record), record.whole_years, record.latitude) == (365, 1, 47.5)
    assert record.origin == "EPW file of Sandpiper Point, USA, source made for a test."
    at = (40, 7)
    assert (record.temperature[at], record.wind[at], record.precipitation[at]) == (-1.5, 7.2, 3.4)
    assert record.humidity is not None
    assert record.humidity[at] == 0.91
    hourly = hourly_record(record, None, 1.5)
    assert (hourly.years, hourly.rain[at], hourly.temperature[at]) == (1, 3.4, -1.5)


def test_nines_are_gaps_each_quantity_its_own(tmp_path: Path) -> None:
    rows = year_of_rows(
        temperature=lambda hour: 99.9 if hour in (50, 51) else 10.0 + hour % 2,
        humidity=lambda hour: 999 if hour == 60 else 99,  # 99 % is no code
        wind=lambda hour: 999 if hour == 70 else 9.0,
        rain=lambda hour: 999 if hour == 80 else 0.0,
    )
    record = read_epw(written(tmp_path, HEADER + rows))
    (told,) = [remark for remark in record.remarks if remark.startswith("Missing")]
    assert "temperature in 2, humidity in 1, wind in 1, rain in 1 (0.023 % at most)" in told
    assert np.isfinite(record.temperature).all()


def test_rain_that_is_missing_throughout_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WeatherRecordError, match="rain is missing in 100 % of the record; more than 10 % is refused"):
        read_epw(written(tmp_path, HEADER + year_of_rows(rain=lambda hour: 999)))


def test_a_typical_year_of_months_of_different_years_is_laid_on_one(tmp_path: Path) -> None:
    years = {month: 1985 + (5 * month) % 12 for month in range(1, 13)}
    rows = year_of_rows(lambda month: years[month], temperature=lambda hour: round(hour / 400, 2))
    record = read_epw(written(tmp_path, HEADER + rows))
    assert (record.whole_years, record.first_day.month, record.first_day.day) == (1, 1, 1)
    assert record.remarks[0].startswith("A typical year, made of months of 1985 to 1996")
    assert record.temperature[364, 23] == 21.9


def test_summer_moves_by_its_hour_where_the_zone_is_known(tmp_path: Path) -> None:
    rows = year_of_rows(temperature=lambda hour: 20.0 if hour % 24 == 12 else 10.0)
    path = written(tmp_path, HEADER + rows)
    moved = read_epw(path, clock=CivilClock(zone=ZoneInfo("America/Los_Angeles")))
    assert (moved.temperature[15].argmax(), moved.temperature[180].argmax()) == (12, 13)
    unmoved = read_epw(path)
    assert unmoved.temperature[180].argmax() == 12
    assert any("standard time all year" in remark for remark in unmoved.remarks)


@pytest.mark.parametrize(
    ("line", "row_there", "message"),
    [
        (9, "2021,1,1,0,60", "9: only 5 values, 34 are needed"),
        (12, row(datetime(2021, 1, 1), 25), "12: 2021-01-01 hour 25 is no hour of a year"),
        (
            12,
            "9" * 20 + DATE_ON,
            "12: '99999999999999999999, 1, 1, 4' is not a year, a month, a day and an hour, such as",
        ),
        (12, "9" * 5000 + DATE_ON, "12: '999999999999999999999999, 1, 1, 4' is not a year"),
        (12, "\N{SUPERSCRIPT TWO}" + DATE_ON, "12: '\N{SUPERSCRIPT TWO}, 1, 1, 4' is not a year"),
        (12, "\N{ARABIC-INDIC DIGIT TWO}021" + DATE_ON, "12: '\N{ARABIC-INDIC DIGIT TWO}021, 1, 1, 4' is not a year"),
        (12, "1799" + DATE_ON, "12: '1799, 1, 1, 4': the year 1799 is not believed; it should be one from 1800 to"),
        (12, row(datetime(2021, 1, 1), 4, wind=45.0), "12: wind speed (22nd column) 45.0 is read as 45 m/s"),
    ],
)
def test_a_fault_is_named_with_its_line(tmp_path: Path, line: int, row_there: str, message: str) -> None:
    lines = HEADER + year_of_rows()
    lines[line - 1] = row_there
    with pytest.raises(WeatherRecordError) as caught:
        read_epw(written(tmp_path, lines))
    assert f"sandpiper.epw:{message}" in str(caught.value)


@pytest.mark.parametrize("written_latitude", ["nan", "-inf", "475", "north"])
def test_a_latitude_that_is_none_is_not_taken(tmp_path: Path, written_latitude: str) -> None:
    header = [HEADER[0].replace("47.5", written_latitude), *HEADER[1:]]
    assert read_epw(written(tmp_path, header + year_of_rows())).latitude is None


def test_a_first_line_that_is_no_row_of_cells_is_a_fault(tmp_path: Path) -> None:
    lines = ['LOCATION,"' + 200_000 * "x", *HEADER[1:], *year_of_rows()]
    with pytest.raises(WeatherRecordError, match=r"sandpiper\.epw:1: an EPW file begins with LOCATION"):
        read_epw(written(tmp_path, lines))


def test_another_file_is_told_what_an_epw_file_begins_with(tmp_path: Path) -> None:
    with pytest.raises(WeatherRecordError, match="an EPW file begins with LOCATION"):
        read_record(written(tmp_path, ["date,wind", "2021-01-01,3"]), RecordForm())
