"""The page of a quote: what the terminal says is on it, in its order; it needs neither scripts nor charts."""

from __future__ import annotations

import re
from dataclasses import replace

from page_parts import rows_of
from test_quoted import QUOTE, QUOTED

from sitesim.report.quote_page import quote_page


def text_of(page: str) -> str:
    return re.sub(r"<[^>]+>", " ", re.sub(r"<(script|style)>.*?</\1>", "", page, flags=re.DOTALL))


def test_each_home_has_its_date_the_chances_of_earlier_ones_and_the_date_if_all_are_to_be_met() -> None:
    rows = rows_of(quote_page(QUOTED))
    assert rows == [
        ["Home", "At 80 %", "A week earlier", "2 weeks earlier", "4 weeks earlier", "Its own at 86 %"],
        ["A1", "Sep 7, 2027 | Sep 3 – Sep 10", "50 % | Aug 31", "20 % | Aug 24", "0 % | Aug 10", "Sep 9, 2027"],
        ["A2", "Sep 14, 2027 | open", "55 % | Sep 7", "25 % | Aug 31", "under 1 % | Aug 17", "Sep 17, 2027"],
    ]


def test_it_says_first_the_one_date_and_that_it_is_no_guarantee() -> None:
    told = text_of(quote_page(QUOTED))
    parts = (
        "Hand-over dates for Two rows at 80 %",
        "all 2 homes handed over by Sep 16, 2027",
        "Not a guarantee.",
        "A1",
    )
    places = [told.index(part) for part in parts]
    assert places == sorted(places)
    assert "all of the dates at 80 % are met together is 72 %" in told
    assert "Mix life falls with heat [fib 2010]." in told
    assert "Relieve the hose first." in told


def test_it_is_small_and_names_are_no_markup() -> None:
    page = quote_page(replace(QUOTED, scenario="<b>Two</b> & more"))
    assert len(page) < 50_000
    assert "&lt;b&gt;Two&lt;/b&gt; &amp; more" in page
    assert "<b>Two" not in page


def test_where_the_runs_do_not_reach_there_is_no_column_of_dates_for_all() -> None:
    page = quote_page(replace(QUOTED, quote=replace(QUOTE, each_needs=None, dates_together=(None, None))))
    assert rows_of(page)[0][-1] == "4 weeks earlier"
    assert "more --runs may tell it" in page
