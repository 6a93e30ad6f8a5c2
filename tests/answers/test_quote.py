"""Quotes of ten runs of two homes, reckoned by hand.

Home A1 is handed over on the 1st, 2nd, 3rd, 4th, 5th, 8th, 9th, 10th, 11th and 12th of March in runs 0 to 9, home A2 in
the opposite order; each at 15:00. The 1st of March 2027 is a Monday.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date

import pandas as pd
import pytest
from rigs import WEEKDAYS
from scipy.stats import binomtest

from sitesim.answers.dates import SiteDates
from sitesim.answers.quote import EARLIER, Quote, make_quote
from sitesim.ledger import HANDED_OVER

MARCH_1 = date(2027, 3, 1)
DAYS = (1, 2, 3, 4, 5, 8, 9, 10, 11, 12)
INF = math.inf


def march(day: int) -> date:
    return date(2027, 3, day)


def at_three(day: float) -> float:
    """Give 15:00 of a day of March as hours from the start."""
    return 24.0 * day - 9.0


def quote_of(days: Mapping[tuple[str, str], Sequence[float]], confidence: float = 0.8) -> Quote:
    milestones = pd.DataFrame(
        [
            (run, building, home, HANDED_OVER, at_three(day))
            for (building, home), of_home in days.items()
            for run, day in enumerate(of_home)
        ],
        columns=["run", "building", "home", "milestone", "hours"],
    )
    runs = milestones.groupby("run", as_index=False)["hours"].max()
    runs["finished"] = runs["hours"] < INF
    return make_quote(milestones, runs, SiteDates(MARCH_1, WEEKDAYS), confidence)


@pytest.fixture
def two_homes() -> Quote:
    return quote_of({("A", "A1"): DAYS, ("A", "A2"): DAYS[::-1]})


def test_each_home_is_promised_the_day_that_eight_in_ten_runs_meet(two_homes: Quote) -> None:
    assert [(home.building, home.home, home.promised) for home in two_homes.homes] == [
        ("A", "A1", march(10)),
        ("A", "A2", march(10)),
    ]
    assert two_homes.homes[0].met.value == 0.8


def test_the_chance_has_its_interval(two_homes: Quote) -> None:
    exact = binomtest(8, 10).proportion_ci()
    assert (two_homes.homes[0].met.low, two_homes.homes[0].met.high) == pytest.approx((exact.low, exact.high))


def test_the_date_has_its_interval_and_says_where_it_has_none(two_homes: Quote) -> None:
    """Of ten values the 5th bounds the P80 from below with 95 % (binomial, recomputed); none bounds it from above."""
    assert (two_homes.homes[0].low, two_homes.homes[0].high) == (march(5), None)


def test_promises_a_week_or_more_earlier(two_homes: Quote) -> None:
    """The 3rd of March is met by three runs in ten, February by none."""
    assert EARLIER == (7, 14, 28)
    assert [chance.value for chance in two_homes.homes[0].met_if_earlier] == [0.3, 0.0, 0.0]


def test_together_only_six_in_ten(two_homes: Quote) -> None:
    """A1 misses the 10th in runs 8 and 9, A2 in runs 0 and 1."""
    assert two_homes.together.value == 0.6


def test_what_each_needs_for_all_together(two_homes: Quote) -> None:
    """The worse of the two has rank 10 9 8 7 6 6 7 8 9 10 in runs 0 to 9: eight runs are within rank 9."""
    assert two_homes.each_needs == 0.9
    assert two_homes.dates_together == (march(11), march(11))


def test_the_whole_site(two_homes: Quote) -> None:
    """The later of the two homes: 12 11 10 9 8 8 9 10 11 12, of which the eighth is the 11th."""
    assert two_homes.all_homes == march(11)
    assert (two_homes.confidence, two_homes.runs, two_homes.unfinished) == (0.8, 10, 0)


def test_a_promise_is_rounded_up_to_a_working_day() -> None:
    """Five runs in ten are done by Saturday the 6th: the promise is Monday the 8th, which a sixth run meets too."""
    quote = quote_of({("A", "A1"): (1, 2, 3, 4, 6, 8, 9, 10, 11, 12)}, confidence=0.5)
    assert quote.homes[0].promised == march(8)
    assert quote.homes[0].met.value == 0.6


def test_a_promise_goes_over_holidays() -> None:
    closed = frozenset({march(8).toordinal()})
    dates = SiteDates(MARCH_1, type(WEEKDAYS)(WEEKDAYS.spans, closed))
    milestones = pd.DataFrame(
        {"run": [0], "building": "A", "home": "A1", "milestone": HANDED_OVER, "hours": [at_three(6)]}
    )
    quote = make_quote(milestones, pd.DataFrame({"finished": [True]}), dates, 0.8)
    assert quote.homes[0].promised == march(9)


def test_homes_that_go_together_need_no_more_than_their_own() -> None:
    quote = quote_of({("A", "A1"): DAYS, ("A", "A2"): DAYS})
    assert quote.each_needs == 0.8
    assert quote.together.value == 0.8


def test_a_home_alone_is_together_with_itself() -> None:
    quote = quote_of({("A", "A1"): DAYS})
    assert quote.together == quote.homes[0].met
    assert quote.each_needs == 0.8


def test_the_order_of_the_runs_is_that_of_their_numbers() -> None:
    """Rows may come in any order; the chance that both are met pairs them by run."""
    rows = [(run, home, day) for home, days in (("A1", DAYS), ("A2", DAYS[::-1])) for run, day in enumerate(days)]
    frame = pd.DataFrame(
        [(run, "A", home, HANDED_OVER, at_three(day)) for run, home, day in sorted(rows, key=lambda row: row[2])],
        columns=["run", "building", "home", "milestone", "hours"],
    )
    quote = make_quote(frame, pd.DataFrame({"finished": [True] * 10}), SiteDates(MARCH_1, WEEKDAYS), 0.8)
    assert quote.together.value == 0.6


def test_runs_that_never_end_are_late() -> None:
    quote = quote_of({("A", "A1"): (*DAYS[:9], INF), ("A", "A2"): (INF, *DAYS[8::-1])})
    assert quote.unfinished == 2
    assert quote.homes[0].promised == march(10)
    assert quote.homes[0].met.value == 0.8
    assert quote.each_needs == 0.9


def test_no_confidence_of_each_reaches_what_two_in_ten_runs_never_do() -> None:
    quote = quote_of({("A", "A1"): (*DAYS[:9], INF), ("A", "A2"): (INF, *DAYS[8::-1])}, confidence=0.9)
    assert quote.homes[0].promised == march(11)
    assert quote.each_needs is None
    assert quote.dates_together == (None, None)
    assert quote.all_homes is None


def test_a_home_without_a_date_is_promised_nothing_and_met_by_no_run() -> None:
    quote = quote_of({("A", "A1"): (*DAYS[:7], INF, INF, INF), ("A", "A2"): DAYS})
    home = quote.homes[0]
    assert (home.promised, home.high, home.met.value) == (None, None, 0.0)
    assert [chance.value for chance in home.met_if_earlier] == [0.0, 0.0, 0.0]
    assert quote.homes[1].promised == march(10)
    assert quote.together.value == 0.0


def test_buildings_are_quoted_where_there_are_no_homes() -> None:
    quote = quote_of({("A", ""): DAYS, ("B", ""): DAYS})
    assert [(home.building, home.home) for home in quote.homes] == [("A", ""), ("B", "")]


def test_buildings_are_left_out_where_there_are_homes() -> None:
    quote = quote_of({("A", "A1"): DAYS, ("A", ""): DAYS})
    assert [home.home for home in quote.homes] == ["A1"]


def test_other_milestones_are_no_hand_over() -> None:
    frame = pd.DataFrame({"run": [0], "building": "A", "home": "A1", "milestone": "dry-in", "hours": [24.0]})
    with pytest.raises(ValueError, match="hands over neither homes nor buildings"):
        make_quote(frame, pd.DataFrame({"finished": [True]}), SiteDates(MARCH_1, WEEKDAYS), 0.8)
