"""The page in a browser without a network: it draws, says nothing on the console, and fits a phone.

Skipped where no Chromium is installed, unless SITESIM_REQUIRE_BROWSER=1 says that there must be one.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from page_parts import whole_page
from small_study import GANG, small_study
from small_weather import told

from sitesim.report.weather_page import build_weather_page

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
STUDIES = {
    "printed": {},
    "bare": {"units": "metric", "printed": False, "homes": False, "weather": False},
    "unfinished": {"unfinished": 10},
    "never": {"runs": 3, "unfinished": 3},
    "single": {"runs": 1},
}


def no_browser(reason: str) -> None:
    """Skip, or fail where a browser is required."""
    if os.environ.get("SITESIM_REQUIRE_BROWSER") == "1":
        pytest.fail(f"SITESIM_REQUIRE_BROWSER=1, but {reason}")
    pytest.skip(reason)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        no_browser("playwright is not installed")
    names = ("chromium", "chromium-browser", "google-chrome")
    installed = next((found for name in names if (found := shutil.which(name))), None)
    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
        if installed is None and not Path(own).exists():
            no_browser("no Chromium is installed")
        browser = playwright.chromium.launch(executable_path=installed or own, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    room = tmp_path_factory.mktemp("pages")
    found = {}
    for name, case in STUDIES.items():
        study = small_study(**case)
        found[name] = room / f"{name}.html"
        found[name].write_text(whole_page(study), encoding="utf-8")
    found["weather"] = room / "weather.html"
    found["weather"].write_text(build_weather_page(told("us")), encoding="utf-8")
    return found


class Opened:
    """A page opened without a network, and what went wrong on it."""

    def __init__(self, browser: Any, file: Path, width: int) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, offline=True)
        self.page = self.context.new_page()
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", lambda message: self.faults.append(message.text))
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(file.as_uri())
        self.page.wait_for_function(
            "[...document.querySelectorAll('.plot')].every(one => one.closest('[hidden]') || one.querySelector('svg'))"
        )

    def chart_texts(self, section: str) -> list[str]:
        return [text for text in self.page.locator(f"#{section} svg text").all_text_contents() if text]


@pytest.fixture(scope="module")
def pages(browser: Any, files: dict[str, Path]) -> Iterator[Callable[[str, int], Opened]]:
    """Give pages by name and width; each is opened once, for that takes a second or more."""
    known: dict[tuple[str, int], Opened] = {}

    def opened(name: str, width: int) -> Opened:
        if (name, width) not in known:
            known[name, width] = Opened(browser, files[name], width)
        return known[name, width]

    yield opened
    for page in known.values():
        page.context.close()


@pytest.fixture
def opened(pages: Callable[[str, int], Opened], request: pytest.FixtureRequest) -> Opened:
    return pages(*request.param)


@pytest.mark.parametrize(
    "opened", [("printed", 1280), ("weather", 1280), *((name, 390) for name in (*STUDIES, "weather"))], indirect=True
)
def test_it_opens_without_network_or_complaint_and_fits(opened: Opened) -> None:
    assert opened.faults == []
    assert [url for url in opened.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    width = opened.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert width[0] <= width[1]


WIDE = """[...document.querySelectorAll('.wide')].map(one => [
    one.scrollWidth > one.clientWidth + 1, getComputedStyle(one, '::before').content.includes('Scroll sideways')])"""


@pytest.mark.parametrize("opened", [("printed", 390)], indirect=True)
def test_tables_that_scroll_on_a_phone_say_so_and_no_others_do(opened: Opened) -> None:
    folded = opened.page.locator("details:not([open]):has(.wide)")
    assert folded.count() > 0
    opened.page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    opened.page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert folded.count() == 0
    found = opened.page.evaluate(WIDE)
    assert [True, True] in found
    assert [False, False] in found
    assert all(scrolls is told for scrolls, told in found)


@pytest.mark.parametrize("opened", [("printed", 390)], indirect=True)
def test_no_title_of_an_axis_of_what_held_the_date_is_cut_off(opened: Opened) -> None:
    ends = opened.page.evaluate(
        "(() => { const plot = document.querySelector('#held .plot'), box = plot.getBoundingClientRect(),"
        " title = plot.querySelector('.xtitle').getBoundingClientRect();"
        " return [title.left - box.left, box.right - title.right]; })()"
    )
    assert min(ends) >= 0


@pytest.mark.parametrize("opened", [("printed", 1280)], indirect=True)
def test_the_charts_say_their_words(opened: Opened) -> None:
    curve = " ".join(opened.chart_texts("when"))
    for words in ("P80, 4 in 5", "Jul 9, 2027", "plain plan: Jun 8, 2027", "100 %"):
        assert words in curve
    assert {"A printer", "A tent", "A", "A1"} <= set(opened.chart_texts("where"))
    assert "printing and" in " ".join(opened.chart_texts("held"))
    # the gang's name is broken into lines, and its marks are letters
    waiting = "".join(opened.chart_texts("waiting")).replace(" ", "")
    assert GANG.replace(" ", "") in waiting
    assert opened.page.locator("#where .trace.bars .point path").count() >= 8


@pytest.mark.parametrize("opened", [("printed", 1280)], indirect=True)
def test_no_label_of_the_curve_is_cut_off(opened: Opened) -> None:
    inside = opened.page.evaluate(
        """() => [...document.querySelectorAll('#when .annotation')].every(label => {
            const own = label.getBoundingClientRect(), plot = label.closest('.plot').getBoundingClientRect();
            return own.left >= plot.left && own.right <= plot.right && own.top >= plot.top && own.bottom <= plot.bottom;
        })"""
    )
    assert inside
    assert opened.page.locator("#when .annotation").count() == 4


@pytest.mark.parametrize("opened", [("printed", 390)], indirect=True)
def test_a_word_of_the_legend_hides_its_bars(opened: Opened) -> None:
    def bars() -> int:
        return int(opened.page.locator("#where .trace.bars").count())

    before = bars()
    button = opened.page.get_by_role("button", name="printing", exact=True)
    button.click()
    opened.page.wait_for_function("document.querySelectorAll('#where .trace.bars').length < " + str(before))
    assert button.get_attribute("aria-pressed") == "false"
    button.click()
    opened.page.wait_for_function("document.querySelectorAll('#where .trace.bars').length == " + str(before))
    assert opened.faults == []


@pytest.mark.parametrize("opened", [("printed", 390)], indirect=True)
def test_another_run_is_drawn_when_it_is_chosen(opened: Opened) -> None:
    drawn = opened.page.locator("#trades .plot svg.main-svg").first
    panels = opened.page.locator("#trades [data-panel]")
    assert [panels.nth(place).is_visible() for place in (0, 1)] == [False, True]
    assert {GANG, "printer", "tent", "shell", "A"} <= {text.strip() for text in opened.chart_texts("trades")}
    assert opened.page.locator("#trades [data-panel]:not([hidden]) svg").count() > 0
    assert opened.page.locator("#trades [data-panel][hidden] svg").count() == 0  # not drawn until it is shown
    opened.page.locator("#trades").get_by_role("button", name="P50, 1 in 2").click()
    drawn.wait_for(state="visible")
    assert [panels.nth(place).is_visible() for place in (0, 1)] == [True, False]
    width = drawn.evaluate("plot => plot.getBoundingClientRect().width")
    assert width > 600, "it takes the room that it has"
    opened.page.locator("#trades").get_by_role("button", name="P80, 4 in 5").click()
    assert opened.faults == []


@pytest.mark.parametrize("opened", [("printed", 1280), ("printed", 390)], indirect=True)
def test_no_name_of_a_trade_is_cut_off(opened: Opened) -> None:
    inside = opened.page.evaluate(
        """() => [...document.querySelectorAll('#trades [data-panel]:not([hidden]) .annotation-text-g')].map(label => {
            const own = label.getBoundingClientRect();
            const plot = label.closest('.plot').getBoundingClientRect();
            return own.left >= plot.left && own.right <= plot.right && own.top >= plot.top && own.bottom <= plot.bottom;
        })"""
    )
    assert len(inside) >= 4
    assert all(inside)


@pytest.mark.parametrize("opened", [("printed", 1280)], indirect=True)
def test_the_name_of_a_trade_goes_with_its_line(opened: Opened) -> None:
    shown = opened.page.locator("#trades [data-panel]:not([hidden])")
    names = shown.locator(".annotation-text-g")
    button, before = shown.locator(".legend button").first, names.count()
    called = button.text_content() or ""
    button.click()
    opened.page.wait_for_function(
        "n => document.querySelectorAll('#trades [data-panel]:not([hidden]) .annotation-text-g').length === n",
        arg=before - 1,
    )
    assert called.strip() not in [text.strip() for text in names.all_text_contents()]
    button.click()
    opened.page.wait_for_function(
        "n => document.querySelectorAll('#trades [data-panel]:not([hidden]) .annotation-text-g').length === n",
        arg=before,
    )
    assert opened.faults == []


@pytest.mark.parametrize("opened", [("printed", 1280)], indirect=True)
def test_the_weeks_have_a_row_for_each_gang_and_a_word_to_point_at(opened: Opened) -> None:
    texts = "".join(opened.chart_texts("weeks")).replace(" ", "")
    assert "shell" in texts
    assert GANG.replace(" ", "") in texts
    columns = opened.page.locator("#weeks .trace.bars").last.locator(".point path")
    assert columns.count() == 4
    columns.first.scroll_into_view_if_needed()
    box = columns.first.bounding_box()
    opened.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    opened.page.wait_for_function("document.querySelector('#weeks .hoverlayer text')")
    assert "week from Mar 1" in " ".join(opened.page.locator("#weeks .hoverlayer text").all_text_contents())


@pytest.mark.parametrize("opened", [("unfinished", 390)], indirect=True)
def test_the_curve_of_unfinished_runs_marks_only_what_has_a_date(opened: Opened) -> None:
    texts = " ".join(opened.chart_texts("when"))
    assert "P50, 1 in 2" in texts
    assert "P80" not in texts


@pytest.mark.parametrize("opened", [("never", 390)], indirect=True)
def test_without_a_finish_there_is_no_curve(opened: Opened) -> None:
    assert opened.page.locator("#when svg").count() == 0
    assert opened.page.locator("#where svg").count() > 0


@pytest.mark.parametrize("opened", [("weather", 1280), ("weather", 390)], indirect=True)
def test_the_weather_page_draws_its_charts(opened: Opened) -> None:
    heat = opened.chart_texts("workable")
    assert heat.count("160") == 12, "an hour count stands in every field of the tent"
    assert {"flat roof", "<tent>", "80", "152"} <= set(heat)
    assert "flat" in " ".join(opened.chart_texts("lost"))
    assert {"in the record", "as drawn", "Nov", "Oct"} <= set(opened.chart_texts("drawn"))
    assert opened.page.locator("#workable .modebar-btn").count() == 0
