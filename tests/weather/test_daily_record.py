from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from sitesim.weather.record import WeatherRecordError, anniversary, read_daily

HEADER = "date,precipitation_mm,temperature_max_c,temperature_min_c,wind_mean_m_s"


def rows(first: date, days: int) -> list[str]:
    return [f"{first + timedelta(days=day)},1.0,10.0,5.0,3.0" for day in range(days)]


def written(folder: Path, lines: list[str]) -> Path:
    path = folder / "place.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def fault(folder: Path, lines: list[str]) -> WeatherRecordError:
    with pytest.raises(WeatherRecordError) as caught:
        read_daily(written(folder, lines))
    return caught.value


def test_reads_what_the_file_says(tmp_path: Path) -> None:
    lines = ["# Somewhere, public domain.", "# Second line.", HEADER, *rows(date(2021, 1, 1), 364)]
    record = read_daily(written(tmp_path, [*lines, "2021-12-31,12.5,8.5,-1.5,4.25"]))
    assert (record.name, record.origin) == ("place", "Somewhere, public domain. Second line.")
    assert record.first_day == date(2021, 1, 1)
    assert record.days[-1] == date(2021, 12, 31).toordinal()
    last = (record.precipitation[-1], record.high[-1], record.low[-1], record.wind[-1])
    assert last == (12.5, 8.5, -1.5, 4.25)


def test_columns_may_have_other_names_and_another_order(tmp_path: Path) -> None:
    days = [f"3.0,x,{line}" for line in rows(date(2021, 1, 1), 365)]
    path = written(tmp_path, ["AWND,NOTE,DATE,PRCP,TMAX,TMIN,unused", *days])
    names = {"date": "DATE", "precipitation": "PRCP", "high": "TMAX", "low": "TMIN", "wind": "AWND"}
    record = read_daily(path, names)
    assert (record.high[0], record.low[0], record.wind[0]) == (10.0, 5.0, 3.0)


def test_an_unknown_quantity_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="unknown quantities snow"):
        read_daily(written(tmp_path, [HEADER]), {"snow": "SNOW"})


def test_a_missing_column_is_named(tmp_path: Path) -> None:
    found = fault(tmp_path, ["# Origin", HEADER.replace("wind_mean_m_s", "wind"), *rows(date(2021, 1, 1), 365)])
    assert found.line == 2
    assert str(found).startswith(f"{tmp_path / 'place.csv'}:2: no column wind_mean_m_s; the file has date,")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("2021-01-03,trace,10,5,3", "precipitation_mm: 'trace' is not a number"),
        ("2021-01-03,,10,5,3", "precipitation_mm: '' is not a number"),
        ("2021-01-03,1,nan,5,3", "temperature_max_c: 'nan' is not a number"),
        ("2021-01-03,1,10,5,inf", "wind_mean_m_s: 'inf' is not a number"),
        ("3 January,1,10,5,3", "'3 January' is not a date"),
        ("2021-01-03,1,10,5", "only 4 values, 5 are needed"),
        ("2021-01-03,1,10,10.1,3", "the lowest temperature, 10.1 °C, is above the highest, 10.0 °C"),
        ("2021-01-03,1,75,50,3", "temperatures of 50.0 to 75.0 °C are not believed"),
        ("2021-01-03,1,10,-99,3", "temperatures of -99.0 to 10.0 °C are not believed"),
        (
            "2021-01-03,1,10,5,468.7",
            "a mean wind of 468.7 m/s is not believed",
        ),  # 1048 mph stood in a real record
        ("2021-01-03,1,10,5,-1", "a mean wind of -1.0 m/s is not believed"),
        ("2021-01-03,-9,10,5,3", "-9.0 mm of rain in a day is not believed"),
        ("2021-01-04,1,10,5,3", "2021-01-04 follows 2021-01-02, 2021-01-03 is missing"),
        ("2021-01-02,1,10,5,3", "2021-01-02 follows 2021-01-02, 2021-01-03 is missing"),
    ],
)
def test_a_fault_is_named_with_its_line(tmp_path: Path, row: str, message: str) -> None:
    found = fault(tmp_path, ["# Origin", "", HEADER, *rows(date(2021, 1, 1), 2), row])
    assert found.line == 6
    assert found.message.startswith(message)


@pytest.mark.parametrize(
    ("first", "days", "years"),
    [
        (date(2021, 1, 1), 365, 1),
        (date(2020, 1, 1), 365, 0),  # a leap year has 366
        (date(2020, 1, 1), 366, 1),
        (date(2012, 1, 1), 1461, 4),
        (date(2012, 1, 1), 1460, 3),
        (date(2019, 3, 1), 366, 1),  # with 29 February 2020
        (date(2019, 3, 1), 365, 0),
        (date(2020, 2, 29), 366, 1),  # to 28 February 2021
        (date(2020, 2, 29), 365, 0),
    ],
)
def test_whole_years_are_counted_by_the_calendar(tmp_path: Path, first: date, days: int, years: int) -> None:
    path = written(tmp_path, [HEADER, *rows(first, days)])
    if years:
        assert read_daily(path).whole_years == years
    else:
        with pytest.raises(WeatherRecordError, match=f"{days} days are less than one whole year"):
            read_daily(path)


def test_an_empty_file_has_no_columns_and_a_bare_header_no_days(tmp_path: Path) -> None:
    assert "no column" in fault(tmp_path, ["# only a word"]).message
    assert "the file has no days" in fault(tmp_path, [HEADER]).message


def test_the_anniversary_of_a_leap_day_is_a_day_of_every_year() -> None:
    assert anniversary(date(2020, 2, 29), 1) == date(2021, 3, 1)
    assert anniversary(date(2020, 2, 29), 4) == date(2024, 2, 29)
    assert anniversary(date(2020, 3, 1), 1) == date(2021, 3, 1)
