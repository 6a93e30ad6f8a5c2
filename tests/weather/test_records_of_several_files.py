"""Several files that are one record, laid end to end.

Kind of the tests: conservation (files cut from one record give that record again) and faults named at their lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from test_epw_files import HEADER as EPW_HEADER
from test_epw_files import year_of_rows

from sitesim.weather import RecordForm, WeatherRecordError, read_daily, read_epw, read_hourly, read_record
from sitesim.weather.civil_clock import CivilClock
from sitesim.weather.record import CivilDays, DailyRecord

SEATTLE = Path(__file__).parents[2] / "scenarios" / "weather" / "seattle-daily-2012-2015.csv"
PACIFIC = ZoneInfo("America/Los_Angeles")
BY_HOUR = "time,temperature_c,wind_mean_m_s,precipitation_mm"


def by_year(folder: Path) -> list[Path]:
    """Cut the Seattle record into a file a year."""
    lines = SEATTLE.read_text(encoding="utf-8").splitlines()
    header = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    files = []
    for year in range(2012, 2016):
        files.append(folder / f"sea-{year}.csv")
        rows = [line for line in lines[header + 1 :] if line.startswith(str(year))]
        files[-1].write_text("\n".join([*lines[: header + 1], *rows]) + "\n", encoding="utf-8")
    return files


def same(one: CivilDays, other: CivilDays, *quantities: str) -> bool:
    return one.first_day == other.first_day and all(
        np.array_equal(getattr(one, name), getattr(other, name)) for name in ("precipitation", *quantities)
    )


def hours(folder: Path, name: str, first: datetime, last: datetime) -> Path:
    """Write a file of hours from ``first`` up to ``last``, whose temperature counts the hours of the year 2021."""
    count = (last - first) // timedelta(hours=1)
    lines = [BY_HOUR]
    for hour in range(count):
        moment = first + timedelta(hours=hour)
        since = (moment - datetime(2021, 1, 1)) // timedelta(hours=1)
        lines.append(f"{moment.isoformat(' ', 'minutes')},{since % 97 / 10},3.0,0.1")
    path = folder / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def faults_of(files: Sequence[Path]) -> list[str]:
    with pytest.raises(WeatherRecordError) as caught:
        read_record(files, RecordForm())
    error = caught.value
    return [f"{(fault.path or error.path).name}:{fault.line}: {fault.message}" for fault in error.faults]


@pytest.mark.parametrize("order", [[0, 1, 2, 3], [2, 0, 3, 1]])
def test_a_daily_record_in_a_file_a_year_is_the_record(tmp_path: Path, order: list[int]) -> None:
    files = by_year(tmp_path)
    whole, joined = read_daily(SEATTLE), read_daily([files[place] for place in order])
    assert same(whole, joined, "high", "low", "wind")
    assert joined.whole_years == 4
    assert joined.name == "sea-2012 to sea-2015"
    assert joined.origin == whole.origin  # told once
    assert joined.remarks == ("One record of 4 files.", *whole.remarks)
    assert joined.doubts == whole.doubts


def test_files_in_utc_join_at_the_hour(tmp_path: Path) -> None:
    """A year of UTC ends in the afternoon of a civil day in the west, and the next one goes on there."""
    clock = CivilClock("utc", PACIFIC)
    first, middle, last = datetime(2021, 1, 1, 8), datetime(2022, 1, 1), datetime(2023, 1, 1, 8)
    whole = read_hourly(hours(tmp_path, "whole.csv", first, last), clock=clock)
    parts = [hours(tmp_path, "a.csv", first, middle), hours(tmp_path, "b.csv", middle, last)]
    joined = read_hourly(parts, clock=clock)
    assert same(whole, joined, "temperature", "wind")
    assert joined.whole_years == 2
    assert joined.remarks == ("One record of 2 files.", *whole.remarks)
    assert (
        "spring leaves out and that repeat the hour before: 2; second copies in autumn that are dropped: 2"
        in " ".join(joined.remarks)
    )


def epw(folder: Path, name: str, rows: list[str], latitude: str = "47.5") -> Path:
    path = folder / name
    header = [EPW_HEADER[0].replace(",47.5,", f",{latitude},"), *EPW_HEADER[1:]]
    path.write_text("\n".join([*header, *rows]) + "\n", encoding="utf-8")
    return path


def warm_rows(year: int, degrees: float, jumbled: bool = False) -> list[str]:
    """Make a year; ``jumbled`` of months of that year and the one two years later."""
    return year_of_rows(year_of=lambda month: year + 2 * (jumbled and month % 2), temperature=lambda _: degrees)


def test_epw_files_of_years_that_follow_are_one_record(tmp_path: Path) -> None:
    files = [epw(tmp_path, f"{year}.epw", warm_rows(year, year - 2000.0)) for year in (2022, 2021)]
    record = read_epw(files)
    assert (record.first_day, record.whole_years) == (date(2021, 1, 1), 2)
    assert (record.temperature[:365] == 21.0).all()
    assert (record.temperature[365:] == 22.0).all()
    assert record.remarks[0] == "One record of 2 files."
    assert sum("standard time" in remark for remark in record.remarks) == 1


def test_a_typical_year_is_one_year_of_a_mixed_record(tmp_path: Path) -> None:
    files = [
        epw(tmp_path, "typical.epw", warm_rows(1998, 10.0, jumbled=True)),
        epw(tmp_path, "2021.epw", warm_rows(2021, 21.0)),
    ]
    record = read_epw(files)
    assert (record.first_day, record.years) == (date(2021, 1, 1), (2021, 2022))
    assert (record.temperature[:365] == 21.0).all()
    assert (record.temperature[365:] == 10.0).all()
    told = "\n".join(record.remarks)
    assert "typical.epw: A typical year, made of months of 1998 to 2000" in told
    assert "It stands as the year 2022 of the record." in told


def test_typical_years_alone_follow_one_another(tmp_path: Path) -> None:
    files = [epw(tmp_path, f"{place}.epw", warm_rows(1998, place + 5.0, jumbled=True)) for place in range(3)]
    record = read_epw(files)
    assert record.years == (2001, 2002, 2003)
    assert [float(record.temperature[day, 0]) for day in (0, 365, 730)] == [5.0, 6.0, 7.0]


def test_files_that_overlap_are_refused_with_the_lines_of_both(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    lines = files[0].read_text(encoding="utf-8").splitlines()
    files[1].write_text(files[1].read_text(encoding="utf-8") + "\n".join(lines[-31:]) + "\n", encoding="utf-8")
    line = len(files[1].read_text(encoding="utf-8").splitlines()) - 30
    assert faults_of(files) == [
        f"sea-2013.csv:{line}: 2012-12-01 is there already, on line {len(lines) - 30} of sea-2012.csv; the files "
        "overlap in 31 days, up to 2012-12-31: leave one of them out, or cut it"
    ]


def test_the_same_file_twice_is_refused(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    (fault,) = faults_of([files[0], files[1], files[1]])
    assert "overlap in 365 days" in fault


def test_a_gap_between_files_is_told_with_the_lines_at_its_ends(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    lines = files[1].read_text(encoding="utf-8").splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith("2013"))
    files[1].write_text("\n".join([*lines[:first], *lines[first + 5 :]]) + "\n", encoding="utf-8")
    record = read_daily(files)
    end = len(files[0].read_text(encoding="utf-8").splitlines())
    assert (
        f"Between sea-2012.csv:{end} (2012-12-31) and sea-2013.csv:{first + 1} (2013-01-06) 5 days are missing."
        in record.remarks
    )
    assert any("Missing of 1,461 days, and filled" in remark for remark in record.remarks)
    assert len(record) == len(read_daily(SEATTLE))


def test_a_missing_year_is_refused_where_the_next_file_begins(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    lines = files[2].read_text(encoding="utf-8").splitlines()
    first = next(number for number, line in enumerate(lines, start=1) if line.startswith("2014"))
    (fault,) = faults_of([files[0], files[2], files[3]])
    assert fault == (
        f"sea-2014.csv:{first}: 365 of 1,461 days are missing, most of them between 2012-12-31 and 2014-01-01; more "
        "than 10 % is refused"
    )


def test_what_is_wrong_in_any_file_is_told_at_once(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    for file, year in ((files[0], 2012), (files[3], 2015)):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(f"{year}-03-04,", f"{year}-03-44,"), encoding="utf-8")
    found = faults_of(files)
    assert [fault.split(":")[0] for fault in found] == ["sea-2012.csv", "sea-2015.csv"]
    assert "'2012-03-44' is not a date" in found[0]
    assert "'2015-03-44' is not a date" in found[1]


def test_files_of_several_kinds_or_places_are_refused(tmp_path: Path) -> None:
    daily, hourly = by_year(tmp_path)[0], hours(tmp_path, "h.csv", datetime(2013, 1, 1), datetime(2014, 1, 1))
    assert faults_of([daily, hourly]) == [
        "h.csv:1: is by the hour, and sea-2012.csv by the day; the files of a record are of one kind"
    ]
    here, there = epw(tmp_path, "a.epw", warm_rows(2021, 9.0)), epw(tmp_path, "b.epw", warm_rows(2022, 9.0), "40.7")
    assert faults_of([here, there]) == [
        "b.epw:1: is of another place, 40.7°, -122.3°, than a.epw, 47.5°, -122.3°; a record is of one place"
    ]


def test_a_file_in_another_unit_than_the_others_is_doubted(tmp_path: Path) -> None:
    files = by_year(tmp_path)
    assert read_daily(files).doubts == ()
    lines = files[2].read_text(encoding="utf-8").splitlines()
    for number, line in enumerate(lines):
        if line.startswith("2014"):
            *cells, wind = line.split(",")[:5]
            lines[number] = ",".join([*cells, f"{float(wind) / 0.44704:.2f}"])
    files[2].write_text("\n".join(lines) + "\n", encoding="utf-8")
    record = read_daily(files)
    assert isinstance(record, DailyRecord)
    found = [doubt for doubt in record.doubts if "another unit than they" in doubt]
    assert len(found) == 1
    assert found[0].startswith("sea-2014.csv: a mean wind of 7.")
    assert all(doubt.startswith("sea-2014.csv: ") for doubt in record.doubts)
