from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from sitesim.weather import Column, WeatherRecordError, read_daily
from sitesim.weather.record import RecordFault, anniversary

HEADER = "date,precipitation_mm,temperature_max_c,temperature_min_c,wind_mean_m_s"


def rows(first: date, days: int) -> list[str]:
    return [f"{first + timedelta(days=day)},1.0,10.0,5.0,3.0" for day in range(days)]


def written(folder: Path, lines: list[str]) -> Path:
    path = folder / "place.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def faults(folder: Path, lines: list[str], latitude: float | None = None) -> list[RecordFault]:
    with pytest.raises(WeatherRecordError) as caught:
        read_daily(written(folder, lines), latitude=latitude)
    return caught.value.faults


def fault(folder: Path, lines: list[str], latitude: float | None = None) -> RecordFault:
    found = faults(folder, lines, latitude)
    assert len(found) == 1, found
    return found[0]


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
    record = read_daily(path, {quantity: Column(name, named=True) for quantity, name in names.items()})
    assert (record.high[0], record.low[0], record.wind[0]) == (10.0, 5.0, 3.0)


def test_an_unknown_quantity_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="unknown quantities snow"):
        read_daily(written(tmp_path, [HEADER]), {"snow": Column("SNOW")})


def test_missing_columns_are_named_with_the_nearest_that_are_there(tmp_path: Path) -> None:
    header = HEADER.replace("wind_mean_m_s", "wind_mean").replace("precipitation_mm", "PRCP")
    found = faults(tmp_path, ["# Origin", header, *rows(date(2021, 1, 1), 365)])
    assert [fault.line for fault in found] == [2, 2]
    assert found[0].message.startswith("no column precipitation_mm for precipitation; the file has date, PRCP,")
    assert found[1].message.startswith("no column wind_mean_m_s for wind; is it wind_mean? the file has date,")
    assert found[1].message.endswith("name it in weather.columns.wind")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("2021-01-03,some,10,5,3", "precipitation_mm: 'some' is not a number"),
        ("2021-01-03,1,10,5,inf", "wind_mean_m_s: 'inf' is not a number"),
        ("3 January,1,10,5,3", "'3 January' is not a date"),
        ("0001-01-03,1,10,5,3", "'0001-01-03': the year 1 is not believed; it should be one from 1800 to 2200"),
        ("9999-01-03,1,10,5,3", "'9999-01-03': the year 9999 is not believed"),
        ("2021-01-03,1,10,5", "only 4 values, 5 are needed"),
        ("2021-01-03,1,10,10.1,3", "the lowest temperature, 10.1 °C, is above the highest, 10 °C"),
        ("2021-01-03,1,75,50,3", "temperature_max_c 75 is read as 75 °C, which is not believed as temperature"),
        ("2021-01-03,1,10,-99,3", "temperature_min_c -99 is read as -99 °C, which is not believed"),
        ("2021-01-03,1,10,5,468.7", "wind_mean_m_s 468.7 is read as 468.7 m/s, which is not believed"),  # 1048 mph
        ("2021-01-03,1,10,5,40", "wind_mean_m_s 40 is read as 40 m/s, which is not believed as mean wind of a day"),
        ("2021-01-03,1,10,5,-1", "wind_mean_m_s -1 is read as -1 m/s"),
        ("2021-01-03,-9,10,5,3", "precipitation_mm -9 is read as -9 mm"),
        ("2021-01-02,1,10,5,3", "2021-01-02 is there twice, first on line 5"),
    ],
)
def test_a_fault_is_named_with_its_line(tmp_path: Path, row: str, message: str) -> None:
    found = fault(tmp_path, ["# Origin", "", HEADER, *rows(date(2021, 1, 1), 2), row])
    assert found.line == 6
    assert found.message.startswith(message)


def test_all_faults_are_told_at_once_and_very_many_are_counted(tmp_path: Path) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 365)]
    for line in (40, 20, 300):
        lines[line - 1] = lines[line - 1].replace(",3.0", ",windy")
    assert [fault.line for fault in faults(tmp_path, lines)] == [20, 40, 300]
    many = faults(tmp_path, [line.replace(",3.0", ",windy") for line in lines])
    assert len(many) == 11
    assert many[-1].message.startswith("and 355 more")


@pytest.mark.parametrize(
    ("latitude", "day", "is_told"),
    [
        (47.4, 200, True),
        (47.4, 15, False),
        (-47.4, 15, True),
        (-47.4, 200, False),
        (10.0, 200, False),
        (None, 200, False),
    ],
)
def test_a_summer_day_at_minus_twenty_is_not_believed_away_from_the_tropics(
    tmp_path: Path, latitude: float | None, day: int, is_told: bool
) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 365)]
    lines[day] = lines[day].replace("10.0,5.0", "10.0,-20.0")
    if is_told:
        found = fault(tmp_path, lines, latitude)
        assert found.line == day + 1
        month = "July" if day == 200 else "January"
        assert found.message == f"-20 °C in {month} at a latitude of {latitude:g}° is not believed"
    else:
        assert read_daily(written(tmp_path, lines), latitude=latitude).low.min() == -20.0


# Gaps


def test_missing_days_and_values_are_counted_and_filled_from_the_nearest_day(tmp_path: Path) -> None:
    lines = [
        HEADER,
        *(f"{line[:10]},{day / 100:.2f},10.0,5.0,3.0" for day, line in enumerate(rows(date(2021, 1, 1), 365))),
    ]
    lines[11] = lines[11].replace("0.10,10.0,5.0,3.0", ",10.0,5.0,NaN")  # 11 January
    del lines[101:104]  # 11, 12, 13 April
    record = read_daily(written(tmp_path, lines))
    assert len(record) == 365
    assert record.precipitation[8:13].tolist() == [0.08, 0.09, 0.09, 0.11, 0.12]
    # Of three days the first and second come nearest to the day before, the third to the day after.
    assert record.precipitation[99:105].tolist() == [0.99, 0.99, 0.99, 1.03, 1.03, 1.04]
    assert record.remarks == (
        "Missing of 365 days, and filled: rain in 4, the highest temperature in 3, the lowest temperature in 3, wind "
        "in 4 (1.1 % at most). Gaps are filled with the values of the nearest day that has them, the earlier of two.",
    )


def test_a_day_that_lacks_its_high_takes_both_extremes_from_another_day(tmp_path: Path) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 365)]
    lines[100] = lines[100].replace("10.0,5.0", ",18.0")
    record = read_daily(written(tmp_path, lines))
    assert (record.high[99], record.low[99]) == (10.0, 5.0)


def test_gaps_past_a_tenth_are_refused(tmp_path: Path) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 730)]
    bare = [line.replace(",3.0", ",") if place % 9 == 0 else line for place, line in enumerate(lines)]
    found = fault(tmp_path, [HEADER, *bare[1:]])
    assert found.message == "wind is missing in 11 % of the record; more than 10 % is refused"
    kept = [line.replace(",3.0", ",") if place % 11 == 0 else line for place, line in enumerate(lines)]
    assert read_daily(written(tmp_path, [HEADER, *kept[1:]])).whole_years == 2


def test_a_record_without_a_season_is_refused(tmp_path: Path) -> None:
    lines = [line for line in rows(date(2021, 1, 1), 3 * 365) if line[5:7] != "07"]
    found = faults(tmp_path, [HEADER, *lines])
    assert {fault.message for fault in found} >= {"wind is missing in most of every July; that season cannot be played"}


def test_a_date_written_wrong_by_a_century_makes_no_room_for_it(tmp_path: Path) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 400)]
    lines[-1] = lines[-1].replace("2022", "2122")
    found = fault(tmp_path, lines)
    assert "days are missing, most of them between 2022-02-03 and 2122-02-04" in found.message


def test_a_trace_of_rain_is_none_and_nines_are_gaps(tmp_path: Path) -> None:
    lines = [HEADER, *rows(date(2021, 1, 1), 365)]
    lines[5] = lines[5].replace(",1.0,", ",T,")
    lines[6] = lines[6].replace(",3.0", ",-9999")
    record = read_daily(written(tmp_path, lines))
    assert record.precipitation[4] == 0.0
    assert record.remarks == (
        "Missing of 365 days, and filled: wind in 1 (0.27 % at most). Gaps are filled with the values of the nearest "
        "day that has them, the earlier of two.",
    )


# Units


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        (
            "10.0,5.0",
            "55.0,45.0",
            "temperature_max_c: a mean of 50.0 °C is warmer than anywhere; read as degF it would be",
        ),
        (
            ",3.0",
            ",16.2",
            "wind_mean_m_s: a mean of 16.2 m/s is windier than anywhere; read as km/h it would be 4.5 m/s",
        ),
        (",1.0,", ",35.0,", "precipitation_mm: 12,784 mm a year is wetter than anywhere; read as 0.1 mm it would be"),
    ],
)
def test_a_unit_that_cannot_be_is_named(tmp_path: Path, before: str, after: str, message: str) -> None:
    lines = [line.replace(before, after) for line in rows(date(2021, 1, 1), 365)]
    found = fault(tmp_path, [HEADER, *lines])
    assert found.line == 1
    assert found.message.startswith(message)


@pytest.mark.parametrize(
    ("before", "after", "doubt"),
    [
        (
            ",3.0",
            ",10.8",
            "wind_mean_m_s: a mean of 10.8 m/s is very windy; read as km/h it would be 3.0 m/s, as mph 4.8",
        ),
        (
            ",3.0",
            ",0.83",
            "wind_mean_m_s: a mean of 0.83 m/s is hardly any wind; if the column is in m/s already, it is 3.0",
        ),
        (",1.0,", ",0.04,", "precipitation_mm: 15 mm a year is a desert; read as inch it would be 371 mm"),
        (
            "10.0,5.0",
            "-12.0,-15.0",
            "temperature_max_c: a mean of -13.5 °C is very cold; if the column is in °C already",
        ),
    ],
)
def test_a_unit_that_may_be_wrong_is_doubted(tmp_path: Path, before: str, after: str, doubt: str) -> None:
    record = read_daily(
        written(tmp_path, [HEADER, *(line.replace(before, after) for line in rows(date(2021, 1, 1), 365))])
    )
    assert len(record.doubts) == 1
    assert record.doubts[0].startswith(f"place.csv: {doubt}")


def test_a_whole_column_not_believed_is_one_fault_of_its_unit(tmp_path: Path) -> None:
    lines = [line.replace("10.0,5.0", "68.0,50.0") for line in rows(date(2021, 1, 1), 365)]
    found = fault(tmp_path, [HEADER, *lines])
    assert found.message.startswith(
        "temperature_max_c: a mean of 59.0 °C is warmer than anywhere; read as degF it would"
    )
    summers = [line.replace("10.0,5.0", "62.0,5.0") for line in rows(date(2021, 1, 1), 365)]
    found = fault(tmp_path, [HEADER, *summers])
    assert found.message.startswith("temperature_max_c: the warmest twelfth of all values has a mean of 62.0 °C")
    winters = [line.replace("10.0,5.0", "41.0,5.0") for line in rows(date(2021, 1, 1), 365)]
    found = fault(tmp_path, [HEADER, *winters], latitude=47.0)
    assert found.message.startswith("temperature_max_c: 90 of 365 values are not believed, such as on line 2")
    assert found.message.endswith("Is it in another unit? Name it in weather.columns.high.unit")


def test_columns_are_converted(tmp_path: Path) -> None:
    # 50 °F = 10 °C, 41 °F = 5 °C; 10 mph = 4.4704 m/s; 0.04 in = 1.016 mm, exact by definition.
    fahrenheit = {"factor": 1 / 1.8, "offset": -32 / 1.8}
    columns = {
        "high": Column("TMAX", **fahrenheit),
        "low": Column("TMIN", **fahrenheit),
        "wind": Column("AWND", factor=0.44704),
        "precipitation": Column("PRCP", factor=25.4),
    }
    lines = ["date,PRCP,TMAX,TMIN,AWND", *(f"{line[:10]},0.04,50,41,10" for line in rows(date(2021, 1, 1), 365))]
    record = read_daily(written(tmp_path, lines), columns)
    assert (record.high[7], record.low[7]) == pytest.approx((10.0, 5.0))
    assert (record.wind[7], record.precipitation[7]) == pytest.approx((4.4704, 1.016))


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
        with pytest.raises(WeatherRecordError, match=f"{days} days from {first} are less than one whole year"):
            read_daily(path)


def test_an_empty_file_has_no_columns_and_a_bare_header_no_days(tmp_path: Path) -> None:
    assert "no line of column names" in fault(tmp_path, ["# only a word"]).message
    assert "the file has no days" in fault(tmp_path, [HEADER]).message


def test_the_anniversary_of_a_leap_day_is_a_day_of_every_year() -> None:
    assert anniversary(date(2020, 2, 29), 1) == date(2021, 3, 1)
    assert anniversary(date(2020, 2, 29), 4) == date(2024, 2, 29)
    assert anniversary(date(2020, 3, 1), 1) == date(2021, 3, 1)
