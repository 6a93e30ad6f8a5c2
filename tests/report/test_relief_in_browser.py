"""The page of a relief study in a browser without a network: it fits, complains of nothing, and says what the data say.

Skipped where no Chromium is installed, unless SITESIM_REQUIRE_BROWSER=1 says that there must be one.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from test_page_in_browser import Opened, browser

from sitesim.report.relief_page import write_relief_page
from sitesim.scenario import load
from sitesim.scenario.reliefs import usual_reliefs
from sitesim.study import StudySettings
from sitesim.study.relieving import ReliefAsked, play_reliefs

__all__ = ["browser"]

LINE = """\
name: "Reed <b>line & Co"
site: {start: 2027-03-01, horizon: 300 d, buildings: {A: {homes: [A1, A2, A3, A4, A5, A6]}}}
calendar: {site: {days: mon-fri, hours: ["07:00-15:00"]}}
crews: {boarders: {rate: 100, waiting: 0}, painters: {rate: 50, waiting: 0}}
costs: {overhead: 1000}
finishing:
  tasks: {boards: {crew: boarders, time: [3, 4, 6]}, paint: {crew: painters, time: [1, 1, 2]}}
  sequences: {only: {boards: , paint: [boards]}}
"""


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a line of two gangs, both of which are asked for, with the Saturdays and the pairs."""
    room = tmp_path_factory.mktemp("relief")
    (room / "line.yaml").write_text(LINE)
    scenario = load(room / "line.yaml")
    settings = StudySettings(runs=12, workers=1, engine="here", block=12)
    return write_relief_page(play_reliefs(scenario, usual_reliefs(scenario), ReliefAsked(), settings, room / "out"))


@pytest.fixture(scope="module")
def opened(browser: Any, written: Path) -> Iterator[Callable[[int], Opened]]:
    """Give the page at a width; it is opened once at each."""
    known: dict[int, Opened] = {}

    def page(width: int) -> Opened:
        if width not in known:
            known[width] = Opened(browser, written, width)
        return known[width]

    yield page
    for one in known.values():
        one.context.close()


@pytest.fixture(scope="module")
def data(written: Path) -> Any:
    """The figures for programs that lie beside the page."""
    return json.loads((written.parent / "relief.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("width", [1280, 390])
def test_it_opens_without_network_or_complaint_and_fits(opened: Callable[[int], Opened], width: int) -> None:
    page = opened(width)
    assert page.faults == []
    assert [url for url in page.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    wide = page.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide[0] <= wide[1]


def test_the_answer_is_that_of_the_data(opened: Callable[[int], Opened], data: Any) -> None:
    page = opened(1280).page
    assert page.locator(".answer").inner_text() == data["answer"]
    assert page.locator("h1 b, h1 i").count() == 0, "a name stays text"


def test_the_figures_of_the_table_are_those_of_the_data(opened: Callable[[int], Opened], data: Any) -> None:
    page = opened(1280).page
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    rows = page.locator("#worth tbody tr")
    told = {}
    for place in range(rows.count()):
        cells = rows.nth(place).locator("th, td")
        told[cells.nth(0).inner_text().splitlines()[0]] = [
            cells.nth(column).inner_text().splitlines()[0] for column in (1, 3, 4)
        ]
    assert told.keys() == {one["name"] for one in data["reliefs"]}
    for one in data["reliefs"]:
        at_4_in_5, mean, cost = told[one["name"]]
        assert number(at_4_in_5) == one["won_p80"]["shift"]
        assert number(mean) == pytest.approx(one["won"]["mean"], abs=0.051)
        assert number(cost) == pytest.approx(one["cost"]["mean"], rel=0.006, abs=0.5)


def number(text: str) -> float:
    """Read a number as the page writes it."""
    return float(text.replace("−", "-").replace("$", "").replace(",", "").replace("USD", "").strip())


def test_the_chart_has_a_mark_for_each_that_it_shows(opened: Callable[[int], Opened]) -> None:
    page = opened(1280)
    texts = " ".join(page.chart_texts("worth"))
    assert "Second boarders gang" in texts
    assert page.page.locator("#worth .scatterlayer .point").count() >= 2


def test_on_a_phone_each_figure_stands_beside_the_head_of_its_column(opened: Callable[[int], Opened]) -> None:
    page = opened(390).page
    cell = page.locator("#worth tbody td").first
    assert cell.get_attribute("data-head") == "Won at 4 in 5"
    assert "Won at 4 in 5" in cell.evaluate("one => getComputedStyle(one, '::before').content")
    table = page.locator("#worth .folds").first
    assert table.evaluate("one => one.scrollWidth <= one.clientWidth")
