"""What a weather record says, in words, in the terminal and on its page."""

from __future__ import annotations

import json
import re
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from small_weather import told

from sitesim.report.colours import WEATHER_LOOKS
from sitesim.report.weather_page import build_weather_page, write_weather_page
from sitesim.report.weather_terminal import weather_report
from sitesim.report.weather_words import LOST_TO, answer, few_years, kept_and_lost, record_line
from sitesim.study.sides_down import SIDES_DOWN
from sitesim.weather import BINDING_NAMES


def printed(of: dict[str, Any], width: int = 100) -> str:
    console = Console(file=StringIO(), width=width, highlight=False, markup=False)
    console.print(weather_report(of))
    assert isinstance(console.file, StringIO)
    return console.file.getvalue()


def flat(text: str) -> str:
    return " ".join(text.split())


def test_every_limit_has_words_and_a_look() -> None:
    named = [name for name in BINDING_NAMES if name != "open"]
    assert list(LOST_TO) == list(WEATHER_LOOKS) == [*named, SIDES_DOWN]
    assert len(set(WEATHER_LOOKS.values())) == len(WEATHER_LOOKS)


def test_the_answer_names_the_work_that_loses_most_and_when() -> None:
    # 160 × 12 = 1920 hours, of which 1752 are workable: 9 % are lost; 50 % in November, 5 % in December.
    assert answer(told()) == (
        "Reed Bank & Co: the weather takes most from “flat roof”: 9 % of the working hours over twelve months, 50 % in "
        "November, 5 % in December."
    )
    assert "nothing waits for the weather" in answer(told(kinds=[]))


def test_the_record_and_its_drawing_in_a_line() -> None:
    assert record_line(told()) == (
        "Record mill: 3 years by the hour, 1 January 2019 to 31 December 2021. Runs draw it in blocks of 10 days from "
        "up to 15 days on either side of the date; here as the first 40 runs of seed 3 do."
    )
    years = told("us", drawn={"how": "years", "years": [2019, 2020, 2021]})
    assert "Jan 1, 2019 to Dec 31, 2021. Runs draw it as whole years, 2019 to 2021;" in record_line(years)
    assert "as 2020, again and again" in record_line(told(drawn={"how": "years", "years": [2020]}))


def test_few_years_are_a_warning_and_many_are_none() -> None:
    assert few_years(told()).startswith("3 years are few: a winter or storm rarer than once in 3 years")
    assert few_years(told(record={**told()["record"], "years": 1})).startswith("One year is very few")
    assert few_years(told(record={**told()["record"], "few": False})) == ""


def test_what_drawing_loses_is_the_spread_of_the_month_that_loses_most() -> None:
    assert kept_and_lost(told())[1] == (
        "Lost: whole wet or dry months, for blocks of different years mix. From year to year the rain of November "
        "spreads by 51 mm in the record, by 25 mm as drawn."
    )
    assert "by 2.00 inches in the record, by 1.00 inches as drawn" in kept_and_lost(told("us"))[1]
    years = told(drawn={"how": "years", "years": [2019, 2020, 2021]})
    assert "no other year than those of the record can come" in kept_and_lost(years)[1]
    assert kept_and_lost(told(drawn={"how": "years", "years": [2020]}))[1].startswith("Every year is 2020 again")
    alone = told()
    alone["rain"]["record"]["monthly_mm"]["spread"] = None
    assert kept_and_lost(alone)[1].startswith("One year has no spread")


def test_days_that_come_again_are_told_where_blocks_are_drawn() -> None:
    assert kept_and_lost(told())[2].startswith("Of twelve months as drawn 32 days are days of the record that had come")
    assert len(kept_and_lost(told(days_drawn_again=0.2))) == 2
    assert len(kept_and_lost(told(drawn={"how": "years", "years": [2019, 2020, 2021]}))) == 2


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_terminal_tells_hours_causes_days_record_and_warnings(units: str) -> None:
    text = printed(told(units))
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 98
    lines = [flat(line) for line in text.splitlines()]
    assert "hours of site " + " ".join(["160"] * 12) in lines
    assert "flat roof 80 " + " ".join(["152"] * 11) + " 91 %" in lines
    assert "flat roof: gusts 30 " + " ".join(["8"] * 11) + " 118" in lines
    assert "flat roof: drying after rain 50 " + " ".join(["–"] * 11) + " 50" in lines
    assert "<tent>: nothing " + " ".join(["–"] * 13) in lines
    assert "flat roof 9.5 " + " ".join(["0.5"] * 11) + " 15" in lines
    assert "flat roof 168 ± 20 160 ± 15" in lines
    whole = flat(text)
    assert "wind: a mean of 8.0 m/s is very windy." in whole
    assert "Limits that no step of the site is held to: painting." in whole
    assert "An hour shut by several is charged to the first of: gusts past the tent's limit, gusts," in whole
    if units == "us":
        assert "40.0 inches a year on 150 days" in whole
        assert "50 °F on average, 14 °F to 86 °F" in whole
        assert "10.0 mph on average, windiest hour 40 mph, highest gust 60 mph (recorded)" in whole
        assert "record, mean " + " ".join(["4.0"] * 12) + " 48.0" in lines
    else:
        assert "1,016 mm a year on 150 days" in whole
        assert "10 °C on average, -10 °C to 30 °C" in whole
        assert "record, mean " + " ".join(["102"] * 12) + " 1,219" in lines


LONG = "photovoltaic_underlayment waterproofing"


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("width", [50, 60, 80, 100])
def test_nothing_is_cut_or_broken_in_a_narrow_terminal(width: int, units: str) -> None:
    of = told(units)
    of["kinds"][0]["kind"] = LONG
    text = printed(of, width)
    assert max(len(line.rstrip()) for line in text.splitlines()) <= min(width, 98)
    assert "…" not in text
    written = text[text.index("When can work go on?") :].split()
    tables = 4  # workable hours, what they are lost to, days, rain
    assert written.count("waterproofing") + written.count("waterproofing:") >= tables
    assert written.count("photovoltaic") >= tables
    for month in ("Nov", "Dec", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct"):
        assert written.count(month) == tables  # once in each table of months, in whatever part
    for figure in ("160", "152", "9.5"):
        assert figure in written
    assert ("1,219" if units == "metric" else "48.0") in written


def test_months_that_do_not_fit_go_on_beneath() -> None:
    of = told()
    of["kinds"][0]["kind"] = LONG
    text = printed(of, 80)
    table = text[text.index("When can work go on?") : text.index("What are hours lost to?")]
    lines = [flat(line) for line in table.splitlines()]
    assert lines[0] == "When can work go on? (mean workable hours, November 2027 to October 2028)"
    first = lines.index("Kind of work Nov Dec Jan Feb Mar Apr")
    second = lines.index("Kind of work May Jun Jul Aug Sep Oct Of all")
    assert f"hours of site {' '.join(['160'] * 6)}" in lines[first:second]
    assert f"hours of site {' '.join(['160'] * 6)}" in lines[second:]
    assert f"{LONG.replace('_', ' ')} 80 {' '.join(['152'] * 5)}" in lines[first:second]
    assert f"{LONG.replace('_', ' ')} {' '.join(['152'] * 6)} 91 %" in lines[second:]
    assert "Kind of work Nov Dec Jan Feb Mar Apr May Jun Jul Aug Sep Oct Of all" in flat(printed(told(), 80))


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_page_says_the_same_and_escapes_names(units: str) -> None:
    page = build_weather_page(told(units))
    assert "<tent>" not in page.split("<script>")[0]
    assert "&lt;tent&gt;" in page
    assert "Reed Bank &amp; Co" in page
    for question in ("When can work go on?", "What are hours lost to?", "What is in the record?", "Cautions"):
        assert f"<h2>{question}</h2>" in page
    assert "wind: a mean of 8.0 m/s is very windy." in page
    assert "http://" not in re.sub(r"<script>.*?</script>", "", page, flags=re.DOTALL)


def charts(page: str) -> list[dict[str, Any]]:
    written = re.findall(r'<script type="application/json">(.*?)</script>', page, re.DOTALL)
    return [json.loads(found) for found in written]


def test_the_heat_map_shows_the_share_and_says_the_hours() -> None:
    heat, lost, rain = charts(build_weather_page(told()))
    assert heat["data"][0]["z"][0][:2] == [0.5, 0.95]
    assert heat["data"][0]["text"][0][:2] == ["80", "152"]
    assert [trace["name"] for trace in lost["data"]] == ["gusts", "drying after rain"]
    assert [trace["x"] for trace in lost["data"]] == [[118.0, 0], [50.0, 0]]
    assert rain["data"][0]["error_y"]["array"][0] == rain["data"][0]["error_y"]["arrayminus"][0] == 50.8


def test_lines_of_spread_do_not_reach_below_no_rain() -> None:
    dry = told()
    dry["rain"]["record"]["monthly_mm"]["mean"][0] = 20.0
    rain = charts(build_weather_page(dry))[2]
    assert (rain["data"][0]["error_y"]["array"][0], rain["data"][0]["error_y"]["arrayminus"][0]) == (50.8, 20.0)


def test_a_month_without_working_hours_is_empty_on_the_map() -> None:
    closed = told()
    closed["kinds"][0]["shift_hours"][4] = closed["kinds"][0]["workable_hours"][4] = 0.0
    assert charts(build_weather_page(closed))[0]["data"][0]["z"][0][4] is None


def test_without_limits_the_page_tells_the_record_alone() -> None:
    page = build_weather_page(told(kinds=[], limits={}))
    assert "No step of the site is held to weather limits." in page
    assert "What is in the record?" in page
    assert "nothing waits for the weather" in printed(told(kinds=[], limits={}))


def test_page_and_figures_are_written_side_by_side(tmp_path: Path) -> None:
    page = write_weather_page(told(), tmp_path / "new" / "folder")
    assert page.name == "weather.html"
    assert json.loads((page.parent / "weather.json").read_text(encoding="utf-8")) == told()
