"""Records whose times are strange and right, or look right and are not: clocks, ends of hours, leap days."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from math import cos, pi
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from sitesim.weather import WeatherRecordError, read_daily, read_epw, read_hourly
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.record import HourlyObservations

HEADER = "time,temperature_c,wind_mean_m_s,precipitation_mm"


def warmth(civil: datetime) -> float:
    """A year of days that are warmest at three in the afternoon of civil time, without scatter."""
    return 10.0 + 5.0 * cos(2.0 * pi * (civil.hour + civil.minute / 60.0 - 15.0) / 24.0)


def written(folder: Path, moments: list[datetime], told: Callable[[datetime], str], warm: list[float]) -> Path:
    path = folder / "place.csv"
    rows = [f"{told(moment)},{value:.3f},3.0,0.1" for moment, value in zip(moments, warm, strict=True)]
    path.write_text("\n".join([HEADER, *rows]) + "\n", encoding="utf-8")
    return path


def minutes(moment: datetime) -> str:
    return moment.isoformat(" ", "minutes")


def a_year(first: datetime, hours: int = 365 * 24) -> list[datetime]:
    return [first + timedelta(hours=hour) for hour in range(hours)]


def of_utc(folder: Path, zone: ZoneInfo, **clock: str) -> HourlyObservations:
    """Write a year in UTC whose days are warmest at three in the afternoon of a zone's civil time."""
    moments = a_year(datetime(2021, 1, 1))
    warm = [warmth(moment.replace(tzinfo=UTC).astimezone(zone)) for moment in moments]
    path = written(folder, moments, minutes, warm)
    return read_hourly(path, clock=CivilClock(clock.get("kind", "utc"), zone))


@pytest.mark.parametrize(
    "name",
    ["America/Los_Angeles", "Europe/London", "Australia/Sydney", "Asia/Kolkata", "America/Santiago", "Pacific/Auckland",
     "America/St_Johns", "Asia/Kathmandu", "Pacific/Honolulu"],
)  # fmt: skip
def test_utc_comes_to_the_civil_hours_of_any_zone(tmp_path: Path, name: str) -> None:
    """Half hours, quarter hours, the southern summer, clocks that change at midnight."""
    record = of_utc(tmp_path, ZoneInfo(name))
    assert record.whole_years == 1
    assert record.doubts == ()
    course = record.temperature.mean(axis=0)
    assert int(course.argmax()) in (14, 15)
    # No day is moved by an hour, but for the one in spring that repeats an hour and what is filled at the ends.
    off = np.abs(record.temperature - course).max(axis=1) > 0.7
    assert off.sum() <= 1


def test_utc_that_is_taken_for_civil_time_is_doubted_by_its_warmest_hour(tmp_path: Path) -> None:
    zone = ZoneInfo("America/Los_Angeles")
    doubts = of_utc(tmp_path, zone, kind="civil").doubts
    assert any("a mean day is warmest from 22:00 to 23:00, which is not believed" in doubt for doubt in doubts)
    assert any("Check weather.clock and weather.time_zone." in doubt for doubt in doubts)


def test_standard_time_that_is_taken_for_civil_time_is_doubted_by_an_hour_that_spring_leaves_out(
    tmp_path: Path,
) -> None:
    zone = ZoneInfo("America/Los_Angeles")
    moments = a_year(datetime(2021, 1, 1))
    path = written(tmp_path, moments, minutes, [warmth(moment) for moment in moments])
    (doubt,) = read_hourly(path, clock=CivilClock("civil", zone)).doubts
    assert doubt.startswith(
        "The record has 2021-03-14 02:00, an hour that civil time of America/Los_Angeles leaves out:"
    )
    assert read_hourly(path, clock=CivilClock("standard", zone)).doubts == ()
    assert read_hourly(path).doubts == ()  # whose civil time is not known


def test_a_polar_night_without_a_course_is_not_doubted(tmp_path: Path) -> None:
    moments = a_year(datetime(2021, 1, 1))
    path = written(tmp_path, moments, minutes, [-5.0 + 0.5 * cos(2.0 * pi * moment.hour / 24.0) for moment in moments])
    assert read_hourly(path).doubts == ()


def test_an_hour_that_no_day_has_is_filled_without_a_word_of_warning(tmp_path: Path) -> None:
    moments = [moment for moment in a_year(datetime(2021, 1, 1)) if moment.hour != 5]
    record = read_hourly(written(tmp_path, moments, minutes, [warmth(moment) for moment in moments]))
    assert record.doubts == ()
    assert not np.isnan(record.temperature).any()


def test_midnight_may_be_the_end_of_a_day(tmp_path: Path) -> None:
    """Records of hours by their ends write 24:00 for the last of a day, as typical years do."""

    def by_its_end(moment: datetime) -> str:
        end = moment + timedelta(hours=1)
        return minutes(end) if end.hour else f"{moment:%Y-%m-%d} 24:00"

    moments = a_year(datetime(2021, 1, 1))
    record = read_hourly(written(tmp_path, moments, by_its_end, [float(m.hour) for m in moments]), at_end=True)
    assert record.first_day == date(2021, 1, 1)
    assert len(record) == 365
    assert (record.temperature == np.arange(24.0)).all()
    assert not any("hour_stamp" in doubt for doubt in record.doubts)
    (doubt,) = (each for each in read_hourly(tmp_path / "place.csv").doubts if "hour_stamp" in each)
    assert doubt == (
        "place.csv: the first hour is 01:00 and the last 00:00, as where times are the ends of hours. Check "
        "weather.hour_stamp."
    )


def test_the_end_of_the_last_year_of_all_is_a_fault_of_its_line(tmp_path: Path) -> None:
    path = tmp_path / "place.csv"
    path.write_text(f"{HEADER}\n9999-12-31 24:00,10.0,3.0,0.1\n", encoding="utf-8")
    with pytest.raises(WeatherRecordError, match="'9999-12-31 24:00' is not a time"):
        read_hourly(path)


def test_readings_between_the_hours_are_not_taken_for_the_ends_of_hours(tmp_path: Path) -> None:
    """A file from 01:53 to 00:53 lies in the same hours either way."""
    moments = a_year(datetime(2021, 1, 1, 1, 53), 366 * 24)
    record = read_hourly(written(tmp_path, moments, minutes, [warmth(moment) for moment in moments]))
    assert record.doubts == ()


@pytest.mark.parametrize(("minute", "at_end", "hour"), [(0, True, 0), (53, True, 1), (53, False, 1), (0, False, 1)])
def test_a_reading_belongs_to_the_hour_that_it_lies_in(tmp_path: Path, minute: int, at_end: bool, hour: int) -> None:
    """What is read at 01:53 is of the hour from one o'clock, whether 01:53 ends or begins what it says."""
    moments = a_year(datetime(2021, 1, 1), 366 * 24)
    path = written(
        tmp_path,
        moments,
        lambda moment: minutes(moment.replace(minute=minute)),
        [30.0 if moment.hour == 1 else 10.0 for moment in moments],
    )
    record = read_hourly(path, at_end=at_end)
    assert (record.temperature[1:360, hour] == 30.0).all()
    assert np.count_nonzero(record.temperature[1:360] == 30.0) == 359


def epw(folder: Path, moments: list[datetime], name: str = "place.epw") -> Path:
    lines = ["LOCATION,Here,ST,USA,TMY3,1,47.4,-122.3,-8.0,100.0", *["-"] * 7]
    for begin in moments:
        fields: list[object] = [0] * 35
        fields[:5] = [begin.year, begin.month, begin.day, begin.hour + 1, 60]
        fields[6], fields[8], fields[21], fields[33] = begin.hour, 50, 3.0, 0.1
        lines.append(",".join(map(str, fields)))
    path = folder / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_hour_1_of_an_epw_file_is_the_hour_from_midnight(tmp_path: Path) -> None:
    record = read_epw(epw(tmp_path, a_year(datetime(2021, 1, 1))))
    assert (record.temperature == np.arange(24.0)).all()


def test_a_year_from_july_to_june_is_not_a_typical_one(tmp_path: Path) -> None:
    record = read_epw(epw(tmp_path, a_year(datetime(2018, 7, 1))))
    assert (record.first_day, record.whole_years) == (date(2018, 7, 1), 1)
    assert not any("typical" in remark for remark in record.remarks)


def test_a_typical_year_may_be_made_of_years_that_follow_one_another(tmp_path: Path) -> None:
    """Half of it of one year, half of the next: its months go on and a year is left out between them."""
    moments = [m.replace(year=2018 if m.month < 7 else 2019) for m in a_year(datetime(2018, 1, 1))]
    record = read_epw(epw(tmp_path, moments))
    assert (record.first_day, record.whole_years) == (date(2001, 1, 1), 1)
    assert record.remarks[0].startswith("A typical year, made of months of 2018 to 2019")


def test_a_leap_day_of_an_actual_year_is_kept_and_that_of_a_typical_one_is_not(tmp_path: Path) -> None:
    actual = read_epw(epw(tmp_path, a_year(datetime(2020, 1, 1), 366 * 24)))
    assert len(actual) == 366
    moments = [m.replace(year=2020 if m.month < 7 else 2016) for m in a_year(datetime(2020, 1, 1), 366 * 24)]
    assert len(read_epw(epw(tmp_path, moments, "typical.epw"))) == 365


@pytest.mark.parametrize(
    ("first", "days", "last"),
    [
        (date(2011, 3, 1), 365, "2012-02-29"),  # a year from March that a leap day makes longer
        (date(2012, 2, 29), 365, "2013-02-28"),
        (date(2021, 1, 1), 364, "2021-12-31"),
    ],
)
def test_a_record_a_day_too_short_says_to_which_day_it_would_go(
    tmp_path: Path, first: date, days: int, last: str
) -> None:
    def read(count: int) -> int:
        rows = [f"{first + timedelta(days=day)},1.0,12.0,5.0,3.0" for day in range(count)]
        path = tmp_path / "days.csv"
        header = "date,precipitation_mm,temperature_max_c,temperature_min_c,wind_mean_m_s"
        path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
        return read_daily(path).whole_years

    if (first + timedelta(days=days)).isoformat() > last:  # long enough after all
        assert read(days) == 1
        return
    with pytest.raises(WeatherRecordError, match=f"{days} days from {first} are less than one whole year, .* {last}"):
        read(days)
    assert read(days + 1) == 1
