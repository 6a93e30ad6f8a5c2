"""The page as text: whole, escaped, and honest about what is missing."""

from __future__ import annotations

import html
import re
from html.parser import HTMLParser

import pytest
from page_parts import figures_of, page_of, whole_page
from small_study import GANG, REASON, SCENARIO, small_study

from sitesim.report.markup import Html, element, table

VOID = {"meta", "link", "br"}


class Balance(HTMLParser):
    """Follows a page and remembers what is open."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_everything_that_is_opened_is_closed() -> None:
    reader = Balance()
    reader.feed(page_of(small_study()))
    assert reader.open == []
    assert {"header", "main", "section", "table", "figure", "footer", "nav"} <= reader.tags
    assert not {"b", "i", "x", "one"} & reader.tags  # these stand in names


def test_text_of_the_user_stays_text() -> None:
    study = small_study(unfinished=2)
    page = page_of(study)
    assert "alert(1)" not in page.replace(html.escape(SCENARIO), "")
    for text in (SCENARIO, GANG, REASON, "Gangs share <one> fortune."):
        assert text not in page
        assert html.escape(text) in page


def test_no_name_can_end_the_script_that_holds_a_figure() -> None:
    study = small_study()
    study.summary["time"][0]["resource"] = "</script><script>alert(2)</script>"
    page = whole_page(study)
    assert "<script>alert" not in page


def test_it_answers_the_questions() -> None:
    page = page_of(small_study())
    assert re.findall(r"<h2>(.*?)</h2>", page) == [
        "When will it be finished?",
        "When is each milestone reached?",
        "How do the trades go through the buildings?",
        "Who was where?",
        "Who waited, and for what?",
        "What did each gang do, week by week?",
        "What held the date?",
        "Where did the concrete go?",
        "What does it cost?",
        "What does a day cost, and whose day is it?",
        "What is assumed?",
        "How sure are these figures?",
        "Cautions",
    ]
    # the 32nd of 40 runs ends on day 100 + 31, which is 130 days after 1 March 2027; the plain plan on the 100th day
    assert "Four in five runs finish by Jul 9, 2027" in page
    assert "It ends on Jun 8, 2027; 1 of 40 runs finishes by then" in page
    assert "4 in 5" in page
    assert "10.5 yd³" in page  # 8 m³
    assert "50.0 %" in page  # nozzle share
    assert "4 years long" in page
    assert "Few years are few" in page
    assert "The seed is 7" in page
    assert "<li>Walls of 67 layers &amp; one gang.</li>" in page


def test_a_long_record_is_not_called_short() -> None:
    study = small_study()
    study.summary["weather"]["years"] = 30
    assert "Few years" not in page_of(study)


def test_metric_pages_are_metric() -> None:
    page = page_of(small_study(units="metric"))
    assert "9 July 2027" in page
    assert "8.0 m³" in page
    assert "EUR" in page
    assert "yd³" not in page
    assert "$" not in page


def test_what_is_not_there_is_left_out() -> None:
    page = page_of(small_study(printed=False, homes=False, weather=False))
    assert "No walls are printed in this scenario." in page
    assert "Which home is handed over when?" not in page
    assert "No weather record" in page
    assert "nan" not in page.lower().replace("finance", "")
    assert "None" not in page.replace("None of them", "")


def test_unfinished_runs_are_counted_and_explained() -> None:
    page = page_of(small_study(unfinished=10))
    assert "10 of 40 runs did not come to an end." in page
    assert f"{html.escape(REASON)} (10 runs)" in page
    assert "There is no date by which four in five runs finish; half of the runs finish by Jun 27, 2027" in page
    assert "no date" in page


def test_no_run_that_ends_gives_a_page_all_the_same() -> None:
    page = page_of(small_study(runs=3, unfinished=3))
    assert "None of 3 runs comes to an end, so there is no date" in page
    assert "Who was where?" in page


def test_a_single_run_has_no_errors_to_show() -> None:
    page = page_of(small_study(runs=1))
    assert "1 run: too few to say how sure that is" in page
    assert "±" not in re.sub(r"What stands after ±.*?</li>", "", page)


def test_the_curve_is_the_share_of_runs_by_date() -> None:
    curve = figures_of(small_study(unfinished=4))["when"][0]["data"][0]
    told = dict(zip(curve["x"], curve["y"], strict=True))
    assert told["2027-06-08"] == pytest.approx(100 / 40)  # run 0, on the 100th day
    assert told["2027-07-09"] == pytest.approx(100 * 32 / 40)
    assert max(curve["y"]) == pytest.approx(90.0)  # four of forty never end


def test_the_site_chart_has_a_bar_where_somebody_was() -> None:
    figure = figures_of(small_study())["where"][0]
    bars = {trace["name"]: trace for trace in figure["data"]}
    assert bars["printing"]["base"] == ["2027-03-04T07:00:00"]  # hour 79 is seven o'clock on the fourth day
    assert bars["printing"]["x"] == [9 * 3_600_000.0]
    assert "waiting for concrete: 1.5 h" in bars["printing"]["hovertext"][0]
    assert "had to wait for A: raising the tent" in bars["printing"]["hovertext"][0]
    assert len(bars["setting up, moving, taking down"]["x"]) == 3
    assert bars["printer or tent stands here"]["x"][0] == (420 - 7) * 3_600_000.0
    assert figure["layout"]["yaxis"]["ticktext"] == ["A printer", "A tent", "A", "A1"]
    assert {"waiting for the inspector", "ordered, on its way", "curing, drying"} <= bars.keys()


def test_waiting_bars_add_up_to_the_idle_hours() -> None:
    study = small_study()
    figure = figures_of(study)["waiting"][0]
    for place, row in enumerate(study.summary["time"]):
        assert sum(trace["x"][place] for trace in figure["data"]) == pytest.approx(row["idle_hours"])


def test_held_bars_add_up_to_the_days() -> None:
    study = small_study()
    working, nights = figures_of(study)["held"][0]["data"]
    assert working["name"] == "hours on shift"  # inspections and curing that are waited for are in it
    for place, row in enumerate(study.summary["held"]):
        assert working["x"][place] + nights["x"][place] == pytest.approx(row["days"]["value"])
        assert nights["error_x"]["array"][place] == pytest.approx((row["days"]["high"] - row["days"]["low"]) / 2)


def test_markup_escapes_what_it_did_not_make() -> None:
    assert element("p", "a<b", title='"x"', hidden=True, class_=False) == '<p title="&quot;x&quot;" hidden>a&lt;b</p>'
    assert element("p", Html("<i>x</i>"), data_role="y") == '<p data-role="y"><i>x</i></p>'
    assert '<th scope="row">a &amp; b</th><td class="number">1</td>' in table("c", ["", "n"], [["a & b", "1"]], (1,))
