"""Words and formats; the written forms are stated here, from the way people write dates and money."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from sitesim.plan import Cause, Kind
from sitesim.report.colours import CAUSE_LOOKS, OUTSIDE_LOOKS, gang_look
from sitesim.report.words import (
    HELD_BY,
    OUTSIDE_THE_CREWS,
    WAITED_FOR,
    Style,
    activity_label,
    chance_of,
    chance_range,
    hours,
    interval,
    item_label,
    mean,
    percent,
    print_days_as_one,
    several,
    significant,
    task_label,
    together,
)

US, METRIC = Style(True, "USD"), Style(False, "EUR")


def test_dates_are_written_as_people_write_them() -> None:
    day = date(2027, 11, 15)
    assert US.long_date(day) == US.short_date(day) == "Nov 15, 2027"
    assert METRIC.long_date("2027-11-15") == "15 November 2027"
    assert METRIC.short_date(day) == "15 Nov 2027"
    assert (US.day_and_month(day), METRIC.day_and_month(day)) == ("Nov 15", "15 Nov")
    assert US.moment(datetime(2027, 3, 4, 7, 5)) == "Mar 4, 07:05"
    assert US.long_date(None) == METRIC.short_date(None) == "no date"


def test_money_is_written_to_four_digits() -> None:
    assert US.money(8000.0) == "$8,000"
    assert METRIC.money(8000.0) == "8,000 EUR"
    assert US.money(2_205_967.5) == "$2,206,000"
    assert US.money(244.6) == "$245"
    assert US.money(-1500.0) == "-$1,500"
    assert US.money(0.0) == US.money(-0.4) == "$0"
    assert US.money(None) == "–"
    assert US.mean_money({"value": 2_205_967.5, "low": 2_189_499.4, "high": 2_222_435.7}) == "$2,206,000 ± $16,000"
    assert US.mean_money({"value": 500.0, "low": None, "high": None}) == "$500"


def test_a_cubic_metre_is_a_yard_and_a_third() -> None:
    # 1 yd = 0.9144 m exactly (international yard, 1959), so 1 m³ = 1.30795 yd³
    assert US.volume(1000.0) == "1,308.0 yd³"
    assert METRIC.volume(1000.0) == "1,000.0 m³"
    assert METRIC.mean_volume({"value": 10.0, "low": 9.5, "high": 10.5}) == "10.0 ± 0.5 m³"


def test_a_mean_carries_its_error_and_enough_digits_to_show_it() -> None:
    assert mean({"value": 56.013, "low": 55.157, "high": 56.869}) == "56.0 ± 0.9"
    assert mean({"value": 0.0931, "low": 0.0846, "high": 0.1016}) == "0.093 ± 0.009"
    assert mean({"value": 5.0, "low": 5.0, "high": 5.0}) == "5.0"
    assert mean({"value": 5.0, "low": None, "high": None}) == "5.0"
    assert mean({"value": None, "low": None, "high": None}) == "–"


@pytest.mark.parametrize(
    ("share", "runs", "written"),
    [
        (0.0, 300, "none of 300 runs"),
        (1 / 300, 300, "1 of 300 runs"),
        (0.03, 300, "3 in 100 runs"),
        (0.03, 10000, "3 in 100 runs"),
        (299 / 300, 300, "299 of 300 runs"),
        (1.0, 300, "all 300 runs"),
        (0.25, 8, "2 of 8 runs"),
        (1.0, 1, "the only run"),
        (0.0, 1, "none of 1 run"),
    ],
)
def test_a_chance_is_counted_where_a_hundred_would_hide_it(share: float, runs: int, written: str) -> None:
    assert chance_of(share, runs) == written


def test_the_interval_of_a_chance_is_rounded_outwards() -> None:
    assert chance_range({"value": 0.03, "low": 0.0155, "high": 0.0562}) == "1 to 6 in 100"
    assert chance_range({"value": 0.03, "low": None, "high": 0.1}) == ""


def test_an_open_interval_says_only_what_is_known() -> None:
    known = {"date": "2027-11-18", "low": "2027-11-16", "high": "2027-11-22"}
    assert interval(US, known) == "Nov 16 – Nov 22"
    assert interval(US, {**known, "high": None}) == "from Nov 16"
    assert interval(US, {**known, "low": None}) == "until Nov 22"
    assert interval(US, {**known, "low": None, "high": None}) == ""
    assert interval(US, {**known, "date": None}) == ""


@pytest.mark.parametrize(
    ("task", "label"),
    [
        ("gantry_up", "setting up the printer"),
        ("tent_up inspection", "inspection after raising the tent"),
        ("services_rough rework", "rework after services rough"),
        ("beam + 5 wd", "5 working days after beam"),
        ("beam + 1 wd", "1 working day after beam"),
        ("foam + 24 h", "24 hours after foam"),
        ("tape + 3 d", "3 days after tape"),
        ("utility meter", "utility meter"),
        ("boards + nails", "boards + nails"),
    ],
)
def test_tasks_are_named_in_words(task: str, label: str) -> None:
    assert task_label(task) == label


def test_activities_are_named_with_their_place() -> None:
    assert activity_label("B/tent_down") == "B: striking the tent"
    assert activity_label("loose_end") == "loose end"


def test_items_and_lists() -> None:
    assert item_label("gang night_shift") == "night shift gang"
    assert item_label("ready-mix") == "ready-mix"
    assert together(["a", "b", "c"]) == "a, b and c"
    assert together([]) == ""
    assert (several(1, "run"), several(2, "run"), several(1000, "run")) == ("1 run", "2 runs", "1,000 runs")
    assert (hours(3.04), hours(1040.2)) == ("3.0 h", "1,040 h")
    assert (percent(0.0), percent(0.001), percent(0.25)) == ("0 %", "under 1 %", "25 %")
    assert significant(123456.0, 2) == 120000.0


def test_print_days_are_told_together() -> None:
    rows = [{"task": "cage", "days": 2.5}, {"task": "print day 1", "days": 1.0}, {"task": "print day 12", "days": 2.0}]
    assert print_days_as_one(rows) == [("print days", 3.0), ("cage", 2.5)]


def test_every_cause_has_its_words_and_its_look() -> None:
    assert set(WAITED_FOR) == set(HELD_BY) == set(CAUSE_LOOKS) == set(Cause)
    assert len(set(CAUSE_LOOKS.values())) == len(Cause)
    assert WAITED_FOR[Cause.PREDECESSOR] == "the work before it"
    assert HELD_BY[Cause.PREDECESSOR] == "the work itself"
    assert HELD_BY[Cause.PRINTER] == "printing and moving the printer"


def test_thirty_gangs_can_be_told_apart() -> None:
    assert len({gang_look(place) for place in range(30)}) == 30
    assert gang_look(30) == gang_look(0)
    assert set(OUTSIDE_THE_CREWS) == set(OUTSIDE_LOOKS) == {Kind.INSPECTION, Kind.CURE, Kind.DELIVERY, Kind.WORK}


def test_a_volume_that_would_round_to_nothing_is_said_to_be_less_than_a_hundredth() -> None:
    assert METRIC.fine_volume(0.0) == "0.00 m³"
    assert METRIC.fine_volume(0.0049) == "under 0.01 m³"
    assert METRIC.fine_volume(0.005) == "0.01 m³"
    assert US.fine_volume(0.005) == "0.01 yd³"
