"""What all pages have in common."""

from __future__ import annotations

import pytest
from page_parts import whole_page
from small_stress import small_stress
from small_study import small_study
from small_weather import told
from test_delivery_page import summary

from sitesim.report.delivery_page import delivery_page
from sitesim.report.document import document
from sitesim.report.markup import Html, paragraph
from sitesim.report.stress_page import build_stress_page
from sitesim.report.weather_page import build_weather_page

PAGES = {
    "study": lambda: whole_page(small_study()),
    "stress": lambda: build_stress_page(small_stress()),
    "weather": lambda: build_weather_page(told()),
    "deliveries": lambda: delivery_page(summary()),
}


@pytest.mark.parametrize("page", PAGES)
def test_a_page_with_charts_says_what_to_read_where_scripts_do_not_run(page: str) -> None:
    text = PAGES[page]()
    assert "data-chart" in text
    assert text.count("<noscript>") == 1
    assert "The charts need scripts; the tables say the same without." in text


def test_a_section_without_a_body_is_left_out_and_not_listed() -> None:
    sections = [("told", "What is told?", paragraph("This.")), ("not", "What is not?", Html(""))]
    page = document("Title <1>", [paragraph("Head")], sections, has_charts=False)
    assert "<title>Title &lt;1&gt;</title>" in page
    assert '<a href="#told">What is told?</a>' in page
    assert '<section id="told"><h2>What is told?</h2><p>This.</p></section>' in page
    assert "What is not?" not in page
    assert "<noscript>" not in page
