from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from sitesim.weather import Column, RecordForm, WeatherRecordError, keep_hourly, read_hourly, read_record
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.record import DailyRecord, HourlyObservations, RecordFault

HEADER = "time,temperature_c,wind_mean_m_s,precipitation_mm"
YEAR = 365 * 24
SEATTLE_TIME = ZoneInfo("America/Los_Angeles")


def lines_of(
    hours: int = YEAR,
    first: datetime = datetime(2021, 1, 1),
    value: Callable[[int], str] = lambda hour: "10.0,3.0,0.1",
    stamp: Callable[[datetime], str] = lambda moment: moment.isoformat(" ", "minutes"),
) -> list[str]:
    return [HEADER, *(f"{stamp(first + timedelta(hours=hour))},{value(hour)}" for hour in range(hours))]


def written(folder: Path, lines: list[str]) -> Path:
    path = folder / "place.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def read(folder: Path, lines: list[str], clock: CivilClock | None = None, at_end: bool = False) -> HourlyObservations:
    return read_hourly(written(folder, lines), clock=clock, at_end=at_end)


def faults(folder: Path, lines: list[str], clock: CivilClock | None = None) -> list[RecordFault]:
    with pytest.raises(WeatherRecordError) as caught:
        read(folder, lines, clock)
    return caught.value.faults


def counting(hour: int) -> str:
    """Give a temperature that says which hour it is: 0.01 °C an hour, from -20 °C."""
    return f"{-20 + hour / 200:.3f},3.0,0.1"


def test_reads_what_the_file_says(tmp_path: Path) -> None:
    lines = ["# Somewhere.", *lines_of(value=counting)]
    lines[10] = "2021-01-01T08:00,-1.5,4.25,12.5"
    record = read(tmp_path, lines)
    assert (record.name, record.origin, len(record), record.whole_years) == ("place", "Somewhere.", 365, 1)
    assert (record.temperature[0, 8], record.wind[0, 8], record.precipitation[0, 8]) == (-1.5, 4.25, 12.5)
    assert record.temperature[200, 13] == pytest.approx(-20 + (200 * 24 + 13) / 200, abs=0.0006)
    assert record.humidity is None
    assert record.gust is None
    assert record.remarks == record.doubts == ()


def test_an_hour_may_be_named_by_its_end(tmp_path: Path) -> None:
    lines = lines_of(first=datetime(2021, 1, 1, 1), value=counting)
    record = read(tmp_path, lines, at_end=True)
    assert record.first_day.isoformat() == "2021-01-01"
    assert (record.temperature[0, 0], record.temperature[0, 1]) == (-20.0, pytest.approx(-19.995))


def test_columns_and_the_file_itself_tell_hours_from_days(tmp_path: Path) -> None:
    daily = ["date,precipitation_mm,temperature_max_c,temperature_min_c,wind_mean_m_s"]
    daily += [f"{datetime(2021, 1, 1) + timedelta(days=day):%Y-%m-%d},1,10,5,3" for day in range(365)]
    assert isinstance(read_record(written(tmp_path, daily), RecordForm()), DailyRecord)
    assert isinstance(read_record(written(tmp_path, lines_of()), RecordForm()), HourlyObservations)
    renamed = [HEADER.replace("time", "time_hour"), *lines_of()[1:]]
    with pytest.raises(WeatherRecordError, match="neither days nor hours: no column date for date"):
        read_record(written(tmp_path, renamed), RecordForm())
    form = RecordForm({"time": Column("time_hour", named=True)})
    assert isinstance(read_record(written(tmp_path, renamed), form), HourlyObservations)


# What is wrong


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            "2021-01-01 08:00,10,468.7,0",
            "wind_mean_m_s 468.7 is read as 468.7 m/s, which is not believed as mean wind of",
        ),
        ("2021-01-01 08:00,10,40,0", "wind_mean_m_s 40 is read as 40 m/s"),
        ("2021-01-01 08:00,10,3,500", "precipitation_mm 500 is read as 500 mm"),
        ("2021-01-01 08:00,-70,3,0", "temperature_c -70 is read as -70 °C"),
        ("2021-01-01 08:00,mild,3,0", "temperature_c: 'mild' is not a number"),
        ("8 o'clock,10,3,0", '"8 o\'clock" is not a time'),
        ("2021-01-01 08:00,10,3", "only 3 values, 4 are needed"),
        ("1799-12-31 23:00,10,3,0", "'1799-12-31 23:00': the year 1799 is not believed; it should be one from 1800 to"),
        ("9999-12-31 23:00,10,3,0", "'9999-12-31 23:00': the year 9999 is not believed"),
        ("2021-01-01 07:10,10,3,0", "the hour 2021-01-01 07:00 is there already, on line 9; one line an hour"),
    ],
)
def test_a_fault_is_named_with_its_line(tmp_path: Path, row: str, message: str) -> None:
    lines = lines_of()
    lines[9] = row
    (found,) = faults(tmp_path, lines)
    assert found.line == 10
    assert found.message.startswith(message)


@pytest.mark.parametrize("line", [1, 10])
def test_a_line_that_is_no_row_of_cells_is_a_fault(tmp_path: Path, line: int) -> None:
    lines = lines_of()
    lines[line - 1] += ',"' + 200_000 * "x"  # past what a cell may hold
    (found,) = faults(tmp_path, lines)
    assert found.line == line
    assert "cannot be read" in found.message
    assert found.message.endswith("it should be values with commas between them")


def test_less_than_a_year_is_refused(tmp_path: Path) -> None:
    (found,) = faults(tmp_path, lines_of(YEAR - 24))
    assert found.message == "364 days from 2021-01-01 are less than one whole year, which would go to 2021-12-31"


def test_gusts_and_humidity_are_taken_where_they_are(tmp_path: Path) -> None:
    lines = [f"{line},{'' if place % 4 else '6.5'},80" for place, line in enumerate(lines_of()[1:])]
    record = read(tmp_path, [f"{HEADER},gust_m_s,humidity_percent", *lines])
    assert record.humidity is not None
    assert np.unique(record.humidity).tolist() == [0.8]
    assert record.remarks == (
        "Gusts are recorded in 25 % of hours; in the others they are reckoned from the mean wind.",
    )
    hourly = keep_hourly(record, 1.5)
    assert hourly.gust is not None
    assert hourly.gust[0, :5].tolist() == [6.5, 4.5, 4.5, 4.5, 6.5]


def test_a_gust_is_never_below_its_mean(tmp_path: Path) -> None:
    lines = [f"{line},2.0" for line in lines_of()[1:]]
    hourly = keep_hourly(read(tmp_path, [f"{HEADER},gust_m_s", *lines]), 1.5)
    assert hourly.gust is not None
    assert (hourly.gust == 3.0).all()


def test_humidity_as_a_share_is_named(tmp_path: Path) -> None:
    lines = [f"{line},0.8" for line in lines_of()[1:]]
    (found,) = faults(tmp_path, [f"{HEADER},humidity_percent", *lines])
    assert found.message.startswith("humidity_percent: no value is above 1 %; the column may hold shares from 0 to 1")


def test_hours_are_kept_as_they_are(tmp_path: Path) -> None:
    # A wind of 25 mph in a file is the 25 mph of a limit, to the last bit.
    path = written(tmp_path, lines_of(value=lambda hour: f"{32 + hour % 60},{hour % 30},0.01"))
    mile_an_hour = 0.44704
    columns = {"wind": Column("wind_mean_m_s", factor=mile_an_hour), "precipitation": Column("precipitation_mm", 25.4)}
    hourly = keep_hourly(
        read_hourly(path, {**columns, "temperature": Column("temperature_c", 1 / 1.8, -32 / 1.8)}), 1.5
    )
    assert hourly.wind[1, 1] == 25 * mile_an_hour
    assert hourly.rain[5, 5] == 0.01 * 25.4
    assert hourly.humidity is not None


# Gaps


def test_short_gaps_are_bridged_in_line_and_long_ones_by_the_day_before(tmp_path: Path) -> None:
    lines = lines_of(value=lambda hour: f"{hour % 24}.0,3.0,0.{(hour // 24) % 10}")
    for gone in (*range(24 * 10 + 5, 24 * 10 + 8), *range(24 * 20 + 4, 24 * 20 + 12)):
        lines[gone + 1] = ""
    record = read(tmp_path, lines)
    # Three hours in line between 4 and 8; eight hours from the same hours of the day before.
    assert record.temperature[10, 4:9].tolist() == [4.0, 5.0, 6.0, 7.0, 8.0]
    assert record.temperature[20, 3:13].tolist() == list(range(3, 13))
    assert record.precipitation[10, 4:9].tolist() == [0.0, 0.9, 0.9, 0.9, 0.0], "rain is never drawn in line"
    assert record.precipitation[20, 3:13].tolist() == [0.0, *[0.9] * 8, 0.0]
    (told,) = record.remarks
    assert told.startswith(
        "Missing of 8,760 hours, and filled: rain in 11, temperature in 11, wind in 11 (0.13 % at most). Gaps are "
        "filled up to 3 hours in line between their neighbours (not rain), longer gaps and rain with the same hour"
    )


def test_gaps_past_a_tenth_are_refused(tmp_path: Path) -> None:
    lines = lines_of(value=lambda hour: "10.0,,0.1" if hour % 9 == 0 else "10.0,3.0,0.1")
    assert [fault.message for fault in faults(tmp_path, lines)] == [
        "wind is missing in 11 % of the record; more than 10 % is refused"
    ]


# Civil time


def civil_lines(zone: ZoneInfo, year: int) -> tuple[list[str], list[str]]:
    """Write a year by the hour of UTC, as civil time and as UTC; the temperature counts the hours."""
    first = datetime(year, 1, 1, tzinfo=zone)
    civil, utc = [HEADER], [HEADER]
    for hour in range(YEAR):
        instant = first.astimezone(ZoneInfo("UTC")) + timedelta(hours=hour)
        civil.append(f"{instant.astimezone(zone):%Y-%m-%d %H:%M},{counting(hour)}")
        utc.append(f"{instant:%Y-%m-%d %H:%M},{counting(hour)}")
    return civil, utc


@pytest.mark.parametrize("zone", [SEATTLE_TIME, None])
def test_spring_repeats_an_hour_and_autumn_drops_one(tmp_path: Path, zone: ZoneInfo | None) -> None:
    # In Seattle clocks went forward at 02:00 on 14 March 2021 and back at 02:00 on 7 November.
    civil, _ = civil_lines(SEATTLE_TIME, 2021)
    assert len(civil) == YEAR + 1
    record = read(tmp_path, civil, CivilClock("civil", zone))
    spring = (datetime(2021, 3, 14) - datetime(2021, 1, 1)).days
    autumn = (datetime(2021, 11, 7) - datetime(2021, 1, 1)).days
    counted = np.rint((record.temperature + 20) * 200).astype(int)
    assert counted[spring, :5].tolist() == [spring * 24 + hour for hour in (0, 1, 1, 2, 3)]
    assert counted[autumn, :4].tolist() == [autumn * 24 + hour for hour in (-1, 0, 2, 3)]
    assert counted[-1, -1] == YEAR - 1
    assert record.remarks == (
        "Daylight saving: hours that spring leaves out and that repeat the hour before: 1; second copies in autumn "
        "that are dropped: 1.",
    )


def test_utc_and_standard_time_come_out_as_civil_time(tmp_path: Path) -> None:
    civil, utc = civil_lines(SEATTLE_TIME, 2021)
    wanted = read(tmp_path, civil, CivilClock("civil", SEATTLE_TIME))
    found = read(tmp_path, utc, CivilClock("utc", SEATTLE_TIME))
    assert (found.temperature == wanted.temperature).all()
    standard = lines_of(value=counting)  # an hour each, all year, from midnight of standard time
    assert (read(tmp_path, standard, CivilClock("standard", SEATTLE_TIME)).temperature == wanted.temperature).all()
    with_offset = [HEADER, *(line.replace(",", "+00:00,", 1) for line in utc[1:])]
    assert (read(tmp_path, with_offset, CivilClock("civil", SEATTLE_TIME)).temperature == wanted.temperature).all()


def test_times_with_an_offset_ask_for_a_zone(tmp_path: Path) -> None:
    _, utc = civil_lines(SEATTLE_TIME, 2021)
    found = faults(tmp_path, [HEADER, *(line.replace(",", "Z,", 1) for line in utc[1:])])
    assert found[0].line == 2
    assert "is not civil time; name the site's time zone in weather.time_zone" in found[0].message


@pytest.mark.parametrize("clock", [CivilClock("utc", SEATTLE_TIME), CivilClock("standard", SEATTLE_TIME), CivilClock()])
@pytest.mark.parametrize("at_end", [False, True])
@pytest.mark.parametrize("written_time", ["0001-01-01 00:00", "9999-12-31 23:00"])
def test_a_time_at_either_end_of_all_years_is_a_fault(
    tmp_path: Path, clock: CivilClock, at_end: bool, written_time: str
) -> None:
    lines = lines_of()
    lines[9] = f"{written_time},10,3,0"
    with pytest.raises(WeatherRecordError) as caught:
        read(tmp_path, lines, clock, at_end)
    (found,) = caught.value.faults
    assert found.line == 10
    assert found.message.startswith(f"'{written_time}': the year {int(written_time[:4])} is not believed")


def test_the_first_and_the_last_year_that_are_believed_are_read(tmp_path: Path) -> None:
    for year in (1800, 2200):  # both have 365 days
        assert read(tmp_path, lines_of(first=datetime(year, 1, 1))).first_day.year == year


def test_a_second_copy_on_a_weekday_is_a_fault(tmp_path: Path) -> None:
    lines = lines_of()
    lines[500] = lines[499]
    (found,) = faults(tmp_path, lines)
    assert "is there already" in found.message
