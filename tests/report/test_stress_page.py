"""A stress study as it is read: sentence, terminal, page, data; and the page in a browser.

Kind of the tests: deterministic; the made-up figures are whole weeks, so that shifts are fives.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from page_parts import rows_of
from rich.console import Console
from small_stress import MARKED, small_stress, small_weather_answers, with_basis
from test_page_in_browser import Opened, browser  # noqa: F401  # the fixture

from sitesim.answers.stress import MonthsApart
from sitesim.report.stress_page import build_stress_page, write_stress_page
from sitesim.report.stress_terminal import stress_report
from sitesim.report.stress_words import answer, as_data, held_then, months_sentence, more_answers
from sitesim.study.stressing import StressStudy, WeatherAnswers


def read(study: StressStudy, width: int = 100) -> str:
    console = Console(width=width, file=io.StringIO(), markup=False, highlight=False)
    console.print(stress_report(study))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def words(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


def test_the_sentence_names_what_hurts_most_by_itself() -> None:
    assert (
        answer(small_stress())
        == f"Windows four weeks late +20.0 working days on average, {MARKED[0].lower()}{MARKED[1:]} +10.0."
    )


def test_nothing_hurts() -> None:
    study = small_stress()
    harmless = replace(study, shifts=tuple(one for one in study.shifts if one.name == "Nothing to speak of"))
    assert (
        answer(harmless)
        == "Nothing that is played here by itself puts the finish off by so much that the runs can tell."
    )


def test_headline_and_table_follow_the_mean_of_the_pairs() -> None:
    """Told by the mean with no shift at 4 in 5, and the other way round: only the first is named, as in the table."""
    study = small_stress()
    told, untold = (next(one for one in study.shifts if one.name == name) for name in (MARKED, "Nothing to speak of"))
    told = replace(told, mean=replace(told.mean, mean=3.6, low=1.2, high=6.0), p80=untold.p80)
    wide = replace(untold, p80=replace(untold.p80, shift=4.0, low=1.0, high=9.0, distinguishable=True))
    shown = replace(study, shifts=(told, wide))
    assert answer(shown) == f"{MARKED} +3.6 working days on average."
    assert more_answers(shown)[-1] == "Cannot be told apart from no change: nothing to speak of."
    assert "+3.6 ± 2.4" in read(shown)


def test_a_stress_without_an_end_is_said_so() -> None:
    assert answer(small_stress(never=True)).startswith(
        "The end leaves no date by which 4 in 5 runs finish, windows four weeks late +20.0 working days on average, "
    )


def test_what_a_scheduler_asks_next() -> None:
    lines = more_answers(small_stress(asked=date(2028, 1, 7)))
    # 30 runs a week apart from Friday 23 July 2027 on: the 24th ends on 31 December, the 25th on 7 January
    assert lines == [
        "As planned, four in five runs finish by 31 December 2027; 25 of 30 runs meet 7 January 2028.",
        "Together: both of them +25.0 working days on average.",
        "No weather at all: −5.0 working days on average.",
        # 0, 1 and 2 weeks longer in every run, from starts on 1 and 29 March and 26 April
        "Begun in March 2027 the work takes least, begun in April 2027 it takes most: 14.0 ± 0.0 days longer, run by "
        "run under the same weather.",
        "Cannot be told apart from no change: nothing to speak of.",
    ]


def months_that_differ_by(mean: float, half_width: float, pairs: int = 100) -> MonthsApart:
    apart = small_stress().months_apart
    assert apart is not None
    told = abs(mean) > half_width
    low, high = mean - half_width, mean + half_width
    longer = replace(apart.longer, mean=mean, low=low, high=high, n=pairs, distinguishable=told)
    return replace(apart, least=date(2027, 4, 5), most=date(2027, 10, 4), longer=longer, runs_to_tell=None)


def test_months_that_can_be_told_apart() -> None:
    assert months_sentence(months_that_differ_by(22.6, 6.3)) == (
        "Begun in April 2027 the work takes least, begun in October 2027 it takes most: 22.6 ± 6.3 days longer, run by "
        "run under the same weather."
    )


def test_months_that_cannot_be_told_apart_say_how_many_runs_would() -> None:
    assert months_sentence(replace(months_that_differ_by(3.0, 6.0), runs_to_tell=410)) == (
        "From which month of start the work takes least cannot be told: begun in October 2027 it takes 3.0 ± 6.0 days "
        "longer than begun in April 2027, run by run; about 410 runs of each would tell a difference of that size."
    )
    assert months_sentence(months_that_differ_by(0.0, 6.0)) == "The work takes the same from every month of start."
    assert months_sentence(None).startswith("Months of start cannot be compared")


def test_a_shift_whose_cause_cannot_be_told_says_so() -> None:
    shift = small_stress().shifts[0]
    assert held_then(replace(shift, held=())).endswith("; which cause moved cannot be told from these runs")


def test_a_start_that_is_moved_to_a_working_day_is_noted() -> None:
    study = small_stress()
    moved = replace(study.months[1], wanted=date(2027, 3, 28))
    shown = replace(study, months=(study.months[0], moved, study.months[2]))
    note = "Begun on the nearest working day, as the site does not work on the day itself: 29 Mar for 28 Mar."
    assert note in words(read(shown))
    assert note in words(build_stress_page(shown))
    assert "nearest working day" not in read(study)


def test_the_terminal_ranks_and_explains() -> None:
    text = read(small_stress(never=True))
    ranking = text[text.index("What hurts most?") : text.index("What held the date then?")]
    places = [ranking.index(name) for name in ("The end", "Both of them", "Windows four", "No weather at")]
    assert places == sorted(places)
    flat = words(text)
    for said in (
        "What if it goes wrong: Reed Bank",
        "+20 (+20 to +20)",
        "moved: ordered material +28.0",
        "Does not apply: Plant closed",
        "Mind: Start two weeks later: it is anyway.",  # what looks like a mark is taken out of the text
        "In which month should we start?",
        "Dates are chances, not guarantees.",
    ):
        assert said in flat
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 100


def ranking_of(study: StressStudy, width: int) -> str:
    text = read(study, width)
    return text[text.index("What hurts most?") : text.index("What held the date then?")]


@pytest.mark.parametrize("width", [60, 80, 100, 120])
def test_names_of_stresses_stay_whole_words_at_any_width(width: int) -> None:
    study = small_stress(never=True)
    ranking = ranking_of(study, width)
    written = set(ranking.split())
    for one in study.shifts:
        assert set(one.name.split()) <= written, one.name
    rows = ranking.splitlines()
    for one in study.shifts:  # no name takes more than two lines
        (first,) = [place for place, row in enumerate(rows) if one.name[:14] in row]
        assert set(one.name.split()) <= set(" ".join(rows[first : first + 2]).split()), one.name
    assert "…" not in ranking
    assert "+20 (+20 to +20)" in ranking  # and the figures that stay are not cut either
    assert "28 Jan 2028" in ranking
    assert max(map(len, rows)) <= min(width, 118)


@pytest.mark.parametrize(
    ("width", "heads", "left_out"),
    [
        (60, "At 4 in 5 4 in 5 by", "the shift at 1 in 2, the mean and the chance to meet the date asked for."),
        (80, "At 4 in 5 Mean 4 in 5 by 31 Dec 2027", "the shift at 1 in 2 and the interval of the mean."),
        (100, "At 4 in 5 At 1 in 2 Mean 4 in 5 by 31 Dec 2027", "the interval of the shift at 1 in 2."),
    ],
)
def test_columns_that_matter_least_give_way_and_are_named(width: int, heads: str, left_out: str) -> None:
    ranking = ranking_of(small_stress(), width)
    assert heads in [words(row) for row in ranking.splitlines()]
    assert words(ranking).endswith(f"Left out for want of width, and on the page: {left_out}")


def test_all_columns_are_there_where_names_are_short_or_the_terminal_is_wide() -> None:
    study = small_stress()
    assert "+20 (+20 to +20) +20 (+20 to +20) +20.0 ± 0.0" in words(ranking_of(study, 120))
    assert "Left out" not in ranking_of(study, 120)
    short = tuple(replace(one, name=one.name[:3], months_moved=False) for one in study.shifts)
    ranking = ranking_of(replace(study, shifts=short), 100)
    assert "+20 (+20 to +20) +20 (+20 to +20) +20.0 ± 0.0" in words(ranking)
    assert "Left out" not in ranking


@pytest.mark.parametrize("width", [80, 100])
def test_dates_of_the_months_of_start_stay_whole(width: int) -> None:
    study = small_stress()
    some_do_not_end = tuple(replace(one, unfinished=20) for one in study.months)
    text = read(replace(study, months=some_do_not_end), width)
    months = text[text.index("In which month") :]
    assert "Mar 2027 31 Dec 2027 26 Nov – 4 Feb 306 (20 runs" in words(months)
    assert {"not", "end)"} <= set(months.split())


def test_data_is_json(tmp_path: Path) -> None:
    data = json.loads(json.dumps(as_data(small_stress(never=True)), allow_nan=False))
    first = data["shifts"][0]
    assert (first["name"], first["finish_p80"], first["p80"]["shift"]) == ("The end", None, None)
    assert data["planned"]["asked"] == data["planned"]["finish_p80"]
    assert data["left_out"] == [{"name": "Plant closed", "why": "no concrete comes from a <plant>"}]
    assert [one["distinguishable"] for one in data["shifts"] if one["name"] == "Nothing to speak of"] == [False]


def test_the_page_has_its_heading_answer_and_sections() -> None:
    page = build_stress_page(small_stress())
    assert "<h1>What if it goes wrong</h1>" in page
    text = words(page[: page.index("<script>", page.index("</main>"))])
    for said in (
        "Windows four weeks late +20.0 working days on average",
        "What hurts most?",
        "What held the date then?",
        "In which month should we start?",
        "What was played?",
        "What is assumed?",
        "How sure are these figures?",
        "cannot be told apart from no change",
        "Start two weeks later (the move included)",
        "A stress is what it costs if it happens.",
        "Limits defer to the engineer &amp; the code.",
        "no concrete comes from a &lt;plant&gt;",
        "Was played, but may change little: Start two weeks later: it is &lt;late&gt; anyway.",
    ):
        assert said in text, said


def test_what_cannot_be_drawn_is_named_beneath_the_chart() -> None:
    assert "Not drawn, for there is no date at 4 in 5: The end." in build_stress_page(small_stress(never=True))
    assert "Not drawn" not in build_stress_page(small_stress())


def test_the_page_promises_nothing() -> None:
    page = build_stress_page(small_stress()).casefold()
    text = page[page.index("<body>") : page.index("</main>")]
    assert "guaranteed" not in text
    assert "safe" not in words(text)


def test_what_users_write_is_no_html() -> None:
    page = build_stress_page(small_stress())
    assert "<b>&" not in page
    assert "Reed Bank <i>" not in page


def test_page_and_data_are_written_into_the_folder(tmp_path: Path) -> None:
    study = with_basis(small_stress(), folder=tmp_path)
    assert write_stress_page(study) == tmp_path / "stress.html"
    assert json.loads((tmp_path / "stress.json").read_text())["seed"] == 7


STUDIES = {
    "all": small_stress(never=True, months=12),
    "bare": with_basis(replace(small_stress(months=0), shifts=(), doubted=()), left_out=(), played=()),
}


@pytest.fixture(scope="module", params=[("all", 1280), ("all", 390), ("bare", 390)])
def opened(
    browser: Any,  # noqa: F811  # the fixture
    request: pytest.FixtureRequest,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[tuple[str, Opened]]:
    name, width = request.param
    file = tmp_path_factory.mktemp("stress") / "stress.html"
    file.write_text(build_stress_page(STUDIES[name]), encoding="utf-8")
    page = Opened(browser, file, width)
    yield name, page
    page.context.close()


def test_it_opens_without_network_or_complaint_and_fits(opened: tuple[str, Opened]) -> None:
    _, page = opened
    assert page.faults == []
    assert [url for url in page.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    width = page.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert width[0] <= width[1]


def test_the_charts_say_their_words(opened: tuple[str, Opened]) -> None:
    name, page = opened
    if name == "bare":
        assert page.page.locator("svg").count() == 0
        return
    ranking = " ".join(page.chart_texts("worst"))
    assert "working days later" in ranking
    assert "Windows four weeks" in ranking
    months = " ".join(page.chart_texts("start"))
    for said in ("finish at 4 in 5", "days from start to finish at 4 in 5", "working days lost to weather, mean"):
        assert said in months
    assert page.page.locator("#worst .scatterlayer .point").count() >= 12


def test_no_label_lies_over_another(opened: tuple[str, Opened]) -> None:
    name, page = opened
    if name == "bare":
        return
    overlapping = page.page.evaluate(
        """() => [...document.querySelectorAll('.plot')].flatMap(plot => {
            const told = '.xtick text, .ytick text, .y2tick text, .y3tick text, .annotation';
            const labels = [...plot.querySelectorAll(told)];
            const boxes = labels.map(label => [label.textContent, label.getBoundingClientRect()]);
            return boxes.flatMap(([one, a], i) => boxes.slice(i + 1).filter(([other, b]) =>
                a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1)
                .map(([other]) => one + ' | ' + other));
        })"""
    )
    assert overlapping == []


def test_what_the_weather_costs_adds_up_on_the_page_as_it_is_written() -> None:
    page = build_stress_page(small_stress())
    assert "What does the weather cost, month by month?" in page
    rows = rows_of(page)
    # 0.52 and 1.52 working days are 2.04; 600.2 and 1200.2, 300.1 and 600.1, 100.1 and 200.1 are each a whole more.
    for cells in (
        ("Mar 2027", "0.5", "600 EUR", "300 EUR", "100 EUR", "1,000 EUR"),
        ("Apr 2027", "1.5", "1,200 EUR", "600 EUR", "200 EUR", "2,000 EUR"),
        ("All months", "2.0", "1,800 EUR", "900 EUR", "300 EUR", "3,000 EUR"),
    ):
        assert list(cells) in rows
    assert (
        "As planned, weather holds the finish for 2.0 working days on the mean of the runs and costs 3,001 EUR" in page
    )
    assert "April 2027 costs most: 1.5 of 2.0 working days and 2,000 EUR of 3,001 EUR." in page
    assert "The worst year on record for this site is 2014:" in page
    assert "on the mean of 10 runs of each year (2012: 1 Sep 2027; 2013: 20 Sep 2027; 2014: no date)." in page


def test_penalties_that_weather_brings_about_have_a_column_and_a_word() -> None:
    weather = small_weather_answers(3)
    march = replace(weather.by_month[0], cost=replace(weather.by_month[0].cost, penalties=50.0))
    planned = replace(weather.by_month[0].cost, penalties=50.0)
    page = build_stress_page(replace(small_stress(), weather=replace(weather, by_month=(march,), planned=planned)))
    assert "50 EUR of penalties for the days that it holds promised dates" in page
    assert "Penalties</th>" in page
    assert "Loads called off</th>" not in page


def test_a_study_without_weather_says_nothing_of_its_cost() -> None:
    page = build_stress_page(replace(small_stress(), weather=WeatherAnswers()))
    assert "What does the weather cost" not in page
    assert "What weather costs" not in page
