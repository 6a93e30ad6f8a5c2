"""A quote as it is read: dates, chances, what it assumes, and that it is no guarantee."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace
from datetime import date

import pytest
from rich.console import Console

from sitesim.answers.quote import HomeQuote, Quote
from sitesim.answers.statistics import Estimate
from sitesim.report.quoted import as_data, quote_report
from sitesim.study.quoting import Kept, Quoted


def share(value: float) -> Estimate:
    return Estimate(value, value - 0.05, value + 0.05, 100)


HOMES = (
    HomeQuote(
        building="A",
        home="A1",
        promised=date(2027, 9, 7),
        low=date(2027, 9, 3),
        high=date(2027, 9, 10),
        met=share(0.81),
        met_if_earlier=(share(0.5), share(0.2), share(0.0)),
    ),
    HomeQuote(
        building="A",
        home="A2",
        promised=date(2027, 9, 14),
        low=date(2027, 9, 10),
        high=None,
        met=share(0.8),
        met_if_earlier=(share(0.55), share(0.25), share(0.001)),
    ),
)
QUOTE = Quote(
    confidence=0.8,
    runs=1200,
    unfinished=0,
    homes=HOMES,
    all_homes=date(2027, 9, 16),
    all_low=None,
    all_high=None,
    together=share(0.72),
    each_needs=0.86,
    dates_together=(date(2027, 9, 9), date(2027, 9, 17)),
)
QUOTED = Quoted("Two rows", "us", QUOTE, ("Mix life falls with heat [fib 2010].",), ("Relieve the hose first.",))


def read(quoted: Quoted) -> str:
    console = Console(width=100, file=io.StringIO(), markup=False, highlight=False)
    console.print(quote_report(quoted))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def line_with(text: str, words: str) -> str:
    (found,) = [line for line in text.splitlines() if words in line]
    return found


def test_the_heading_names_site_and_confidence() -> None:
    assert read(QUOTED).splitlines()[0] == "Hand-over dates for Two rows at 80 %"


def test_each_home_has_its_dates_and_chances() -> None:
    cells = [cell.strip() for cell in line_with(read(QUOTED), "A1").split("  ") if cell.strip()]
    assert cells == ["A1", "Sep 7, 2027", "Sep 3 – Sep 10", "50 %", "20 %", "0 %", "Sep 9, 2027"]


def test_an_interval_without_an_end_is_said_to_be_open() -> None:
    assert "open" in line_with(read(QUOTED), "A2 ")


def test_a_small_chance_is_not_rounded_to_nothing() -> None:
    assert "under 1 %" in line_with(read(QUOTED), "A2 ")


def test_the_site_as_a_whole() -> None:
    text = " ".join(read(QUOTED).split())
    assert "One date for the whole site: all 2 homes handed over by Sep 16, 2027 at 80 %." in text
    assert "the chance that all of the dates at 80 % are met together is 72 % (67 % to 77 %)." in text
    assert "For all of them to be met at 80 %, each needs its own date at 86 %" in text
    assert "From 1,200 runs" in text


def test_metric_sites_write_the_day_first() -> None:
    text = read(replace(QUOTED, units="metric"))
    assert "7 Sep 2027" in line_with(text, "A1")
    assert "16 September 2027" in text


def test_dates_that_are_promised_already_come_with_their_chance() -> None:
    promised = (Kept("", date(2027, 9, 15), share(0.75)), Kept("A2", date(2027, 9, 10), share(0.5)))
    quoted = replace(QUOTED, promised=promised)
    told = " ".join(read(quoted).split())
    assert (
        "Promised already: the whole site by Sep 15, 2027, met at 75 % (70 % to 80 %); A2 by Sep 10, 2027, met at 50 % "
        "(45 % to 55 %)." in told
    )
    assert [one["place"] for one in as_data(quoted)["promised_already"]] == ["site", "A2"]
    assert "Promised already" not in read(QUOTED)


def test_it_says_that_it_is_no_guarantee_and_what_it_assumes() -> None:
    text = read(QUOTED)
    assert "Not a guarantee." in text
    assert "· Mix life falls with heat [fib 2010]." in text
    assert "· Relieve the hose first." in text


def test_it_says_where_all_together_cannot_be_reached() -> None:
    text = read(replace(QUOTED, quote=replace(QUOTE, each_needs=None, dates_together=(None, None))))
    assert "each needs a later date than" in text
    assert "own at" not in text


def test_it_counts_runs_that_never_end() -> None:
    text = " ".join(read(replace(QUOTED, quote=replace(QUOTE, unfinished=3))).split())
    assert "3 runs of 1,200 did not come to an end and count as late." in text


def test_a_home_without_a_date_has_none() -> None:
    homes = (replace(HOMES[0], promised=None, low=None, high=None), HOMES[1])
    quote = replace(QUOTE, homes=homes, all_homes=None, dates_together=(None, date(2027, 9, 17)))
    text = read(replace(QUOTED, quote=quote))
    assert "no date" in line_with(text, "A1")
    assert "There is no date by which 80 % of the runs hand over 2 homes." in text


def test_buildings_without_homes_are_called_by_their_names() -> None:
    homes = tuple(replace(home, home="") for home in HOMES[:1])
    text = read(replace(QUOTED, quote=replace(QUOTE, homes=homes, dates_together=(date(2027, 9, 9),))))
    assert line_with(text, "Sep 3 –").split()[0] == "A"
    assert "all 1 building handed over" in " ".join(text.split())


@pytest.mark.parametrize("word", ["safe", "strong enough", "may lift", "may enter", "guaranteed"])
def test_words_that_must_never_appear(word: str) -> None:
    assert word not in read(QUOTED).lower()


def test_as_data_for_programs() -> None:
    data = as_data(QUOTED)
    assert data["guarantee"] is False
    assert data["homes"][0] == {
        "building": "A",
        "home": "A1",
        "promised": "2027-09-07",
        "low": "2027-09-03",
        "high": "2027-09-10",
        "met": {"value": 0.81, "low": pytest.approx(0.76), "high": pytest.approx(0.86)},
        "met_if_earlier": {
            "7 days": {"value": 0.5, "low": pytest.approx(0.45), "high": pytest.approx(0.55)},
            "14 days": {"value": 0.2, "low": pytest.approx(0.15), "high": pytest.approx(0.25)},
            "28 days": {"value": 0.0, "low": pytest.approx(-0.05), "high": pytest.approx(0.05)},
        },
    }
    assert data["homes"][1]["high"] is None
    assert data["dates_if_all_are_to_be_met"][1] == {"building": "A", "home": "A2", "promised": "2027-09-17"}
    assert (data["all_homes"], data["each_needs"]) == ("2027-09-16", 0.86)


def test_data_is_json_whatever_is_open() -> None:
    quote = replace(QUOTE, together=Estimate(0.5, -math.inf, math.inf, 1), all_homes=None, each_needs=None)
    data = as_data(replace(QUOTED, quote=quote))
    assert json.loads(json.dumps(data, allow_nan=False))["chance_that_all_are_met"] == {
        "value": 0.5,
        "low": None,
        "high": None,
    }
