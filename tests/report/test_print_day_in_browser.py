"""The page of a print day in a browser without a network: it draws, says nothing on the console, and fits a phone.

Skipped where no Chromium is installed, unless SITESIM_REQUIRE_BROWSER=1 says that there must be one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from print_days import DAY, WAYS, replayed_day
from test_page_in_browser import Opened, browser

from sitesim.report.print_day_page import build_print_day_page

__all__ = ["browser"]

SECTION = "day-A"


@pytest.fixture(scope="module")
def opened(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str, int], Opened]]:
    """Give pages by way of supply and width; each is opened once."""
    room, known = tmp_path_factory.mktemp("days"), dict[tuple[str, int], Opened]()

    def page(way: str, width: int) -> Opened:
        if (way, width) not in known:
            file: Path = room / f"{way}.html"
            file.write_text(build_print_day_page(replayed_day(way, "us"), DAY), encoding="utf-8")
            known[way, width] = Opened(browser, file, width)
        return known[way, width]

    yield page
    for one in known.values():
        one.context.close()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("width", [1200, 400])
def test_it_opens_without_network_or_complaint_and_fits(
    opened: Callable[[str, int], Opened], way: str, width: int
) -> None:
    page = opened(way, width)
    assert page.faults == []
    assert [url for url in page.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    wide = page.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide[0] <= wide[1]


def test_the_chart_says_its_words(opened: Callable[[str, int], Opened]) -> None:
    texts = opened("joint", 1200).chart_texts(SECTION)
    for words in ("Printer", "Trucks", "Concrete at the pump, yd³", "unplanned joint", "load 1", "08:00", "align", "3"):
        assert words in texts


def test_the_numbers_of_the_layers_stand_in_their_bars(opened: Callable[[str, int], Opened]) -> None:
    shown = opened("trucks", 1200).page.locator(f"#{SECTION} .bartext").all_text_contents()
    assert {str(layer) for layer in range(1, 11)} <= set(shown)


def test_the_first_title_is_not_cut_off(opened: Callable[[str, int], Opened]) -> None:
    inside = opened("joint", 1200).page.evaluate(
        """() => [...document.querySelectorAll('.annotation')].every(label => {
            const own = label.getBoundingClientRect(), plot = label.closest('.plot').getBoundingClientRect();
            return own.left >= plot.left && own.right <= plot.right && own.top >= plot.top && own.bottom <= plot.bottom;
        })"""
    )
    assert inside


def test_a_phone_scrolls_the_chart_instead_of_shrinking_it(opened: Callable[[str, int], Opened]) -> None:
    wide = opened("trucks", 400).page.evaluate("document.querySelector('.roomy > .plot').getBoundingClientRect().width")
    assert wide >= 700


def test_the_line_of_a_legend_hides_and_comes_back(opened: Callable[[str, int], Opened]) -> None:
    page = opened("trucks", 400)
    lines = f"#{SECTION} .scatterlayer .trace"
    before = page.page.locator(lines).count()
    button = page.page.get_by_role("button", name="age at the nozzle", exact=True)
    button.click()
    page.page.wait_for_function(f"document.querySelectorAll('{lines}').length < {before}")
    button.click()
    page.page.wait_for_function(f"document.querySelectorAll('{lines}').length == {before}")
    assert page.faults == []
