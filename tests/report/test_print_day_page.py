"""The page of a print day as a text: what is in it, and that names cannot break it."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from print_days import DAY, replayed_day

from sitesim.report.print_day_page import build_print_day_page
from sitesim.study.replaying import Replayed


def figure_of(page: str) -> dict[str, Any]:
    (found,) = re.findall(r'<script type="application/json">(.*?)</script>', page, re.DOTALL)
    figure: dict[str, Any] = json.loads(found)
    return figure


def bars(page: str) -> dict[str, dict[str, Any]]:
    return {trace["name"]: trace for trace in figure_of(page)["data"] if trace["type"] == "bar"}


@pytest.fixture(scope="module", params=["trucks", "mixer", "joint", "holding"])
def page(request: pytest.FixtureRequest) -> str:
    return build_print_day_page(replayed_day(request.param), DAY)


def test_it_says_the_day_and_its_tables(page: str) -> None:
    for said in (
        "Monday",
        "· day 8",
        "the whole day",
        "batched in all",
        "<caption>By the minute",
    ):
        assert said in page
    assert re.search(r"A, layers \d+ to [12]0 planned; shell crew of 6", page)
    assert "Limits defer to the engineer." in page
    assert "What is assumed" not in page


def test_it_asks_for_nothing_from_elsewhere(page: str) -> None:
    without_library = re.sub(r"<script>.*?</script>", "", page, flags=re.DOTALL)
    assert not re.search(r"(src|href)=\"(?!#|data:)", without_library)


def test_the_chart_shares_one_axis_of_time(page: str) -> None:
    figure = figure_of(page)
    assert {trace.get("xaxis", "x") for trace in figure["data"]} == {"x"}
    assert figure["layout"]["xaxis"]["range"][0] < "2027-03-08T06:00"
    domains = [figure["layout"][f"yaxis{place}"]["domain"] for place in ("", 2, 3, 4)]
    assert domains[0][1] == 1.0
    assert all(upper[0] > lower[1] for upper, lower in pairwise(domains))
    assert domains[-1][0] == pytest.approx(0.0, abs=1e-9)


def test_trucks_are_drawn_load_by_load() -> None:
    drawn = bars(build_print_day_page(replayed_day("trucks"), DAY))
    assert {"truck on its way", "truck at the gate: tests, waiting", "truck discharging", "of it paid standby"} <= set(
        drawn
    )
    assert drawn["truck discharging"]["y"] == [0, 1]
    laid = drawn["laying a layer, with its number"]
    assert [text for text in laid["text"] if text] == [str(layer) for layer in range(1, 11)]
    assert laid["base"][0].startswith("2027-03-08T07:22:30")


def test_batches_are_drawn_instead_of_trucks() -> None:
    page = build_print_day_page(replayed_day("mixer"), DAY)
    drawn = bars(page)
    assert not any("truck" in name for name in drawn)
    assert len(drawn["a batch, from first water into the hopper"]["x"]) >= 15
    assert "Batches mixed on site" in page
    assert "Delivery tickets" not in page


def test_unplanned_joints_are_marked() -> None:
    figure = figure_of(build_print_day_page(replayed_day("joint"), DAY))
    (mark,) = figure["layout"]["shapes"]
    assert mark["x0"].startswith("2027-03-08T11:07:30")
    assert "unplanned joint" in [note["text"] for note in figure["layout"]["annotations"]]


def test_causes_have_a_pattern_or_a_colour_of_their_own() -> None:
    drawn = bars(build_print_day_page(replayed_day("joint"), DAY))
    looks = [(bar["marker"]["color"], bar["marker"].get("pattern", {}).get("shape")) for bar in drawn.values()]
    assert len(set(looks)) == len(looks)


def test_the_limit_is_the_working_life() -> None:
    (limit,) = [
        trace
        for trace in figure_of(build_print_day_page(replayed_day("trucks"), DAY))["data"]
        if trace["name"] == "end of its working life"
    ]
    assert set(limit["y"]) == {5.0}


def test_a_day_without_printing_has_no_page() -> None:
    assert build_print_day_page(replayed_day("trucks"), 2) == ""


def test_names_cannot_break_the_page() -> None:
    found = replayed_day("trucks")
    name = 'Reed </script> <b>& "Co"'
    page = build_print_day_page(Replayed(replace(found.plan, name=name), found.played), DAY)
    assert "Reed &lt;/script&gt; &lt;b&gt;" in page
    assert "Reed </script>" not in page
