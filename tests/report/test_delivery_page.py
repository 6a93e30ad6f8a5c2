"""A plan of deliveries in words and on its page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from sitesim.report import delivery_choice, delivery_words
from sitesim.report.delivery_page import delivery_page
from sitesim.report.words import Style

_YARD = 0.9144**3


def estimate(value: float, half: float = 10.0) -> dict[str, float | None]:
    return {"value": value, "low": value - half, "high": value + half}


def way(load: float, spacing: float, cost: float, **marks: bool) -> dict[str, Any]:
    means = dict.fromkeys((*delivery_words.FIGURES, "in_place_m3", "batched_m3"), estimate(2.0, 0.1))
    return {
        "load": load * _YARD,
        "spacing": spacing,
        "trucks": 3,
        "cost": estimate(cost),
        "items": {"ready-mix": cost / 2, "truck standby": cost / 2},
        "means": means,
        "unfinished": estimate(0.0, 0.0),
        "against_best": estimate(cost - 1000.0),
        "is_best": False,
        "is_tied": False,
        "is_flat": False,
        **marks,
    }


def turning(at: float | None, always: str | None = None) -> dict[str, Any]:
    found = None if at is None else {"load": 3 * _YARD, "spacing": 2.0, "trucks": 3}
    return {"now": 130.0, "always": always, "at": at, "low": at and at - 8, "high": at and at + 8, "way": found}


def tried(*differences: float) -> dict[str, Any]:
    factors = (0.6, 1.0, 1.5)
    rows = [
        {
            "factor": factor,
            "way": {"load": 3 * _YARD, "spacing": 2.0, "trucks": 3},
            "ready_mix": estimate(1000.0),
            "site_mix": estimate(1000.0 - value),
            "difference": estimate(value),
        }
        for factor, value in zip(factors, differences, strict=True)
    ]
    turns = [{"factor": 1.2, "between": [1.0, 1.5], "low": 1.0, "high": 1.5}] if differences[-1] > 0 else []
    return {"now": 1.0, "tried": rows, "turning": turns}


def summary(difference: float | None = -50.0, units: str = "us") -> dict[str, Any]:
    ways = [
        way(2.0, 2.0, 1100.0),
        way(3.0, 2.0, 1000.0, is_best=True, is_tied=True, is_flat=True),
        way(3.0, 2.5, 1010.0, is_flat=True),
        way(3.0, 3.0, 1200.0),
    ]
    found: dict[str, Any] = {
        "scenario": "Tern <Quay>",
        "units": units,
        "currency": "USD",
        "runs": 100,
        "seed": 1,
        "flat_share": 0.02,
        "ordering": "fixed",
        "own": {"load": 2.0 * _YARD, "spacing": 2.0, "trucks": 3},
        "ways": ways,
        "impossible": [{"load": "2 yd^3", "spacing": "75 min", "trucks": 3, "reason": "is closer than trucks come"}],
        "best": {"load": 3.0 * _YARD, "spacing": 2.0, "trucks": 3},
        "flat_spacings": [2.0, 2.5],
        "at_edge": ["largest load"],
        "prices": {},
        "overhead_a_day": 2000.0,
        "buildings": ["A", "B"],
        "description": [],
        "assumptions": ["one thing is assumed"],
        "cautions": ["mind the hose"],
        "against": None,
        "turning": None,
        "day": None,
    }
    if difference is not None:
        site = way(0.0, 0.0, 1000.0 - difference)
        found["against"] = {**site, "scenario": "on site", "difference": estimate(difference), "batch": 0.25}
        found["turning"] = {
            "standby": turning(175.0),
            "blend": turning(None, "ready-mix"),
            "day": {"now": 2000.0, "at": 958.0, "low": 700.0, "high": 1300.0, "later": estimate(8.0)},
            "travel": tried(-9.0, -5.0, 8.0),
            "print_rate": tried(-30.0, -20.0, -15.0),
        }
    return found


def test_the_answer_says_what_to_order_how_flat_it_is_and_what_would_change_it() -> None:
    # 1,000 per m³ are 764.6 per yd³, 50 are 38.2, and 10 are 7.6.
    assert delivery_choice.answer(summary()) == (
        "Order ready-mix in loads of 3 yd³, 120 min apart, from 3 trucks: $765 ± $8 per yd³ in place ($1,000 per m³); "
        "120–150 min apart costs the same within 2 %. Mixing on site costs $38 ± $8 more; the two change places at "
        "$175 an hour of truck standby (now $130). Counted are the print days alone: ready-mix ends them 8.0 working "
        "days later, so where a day of the site is worth more than $958 (site overhead alone is $2,000) mixing on site "
        "is the cheaper; `sitesim compare` sets the finish beside it."
    )


def test_where_the_cheaper_supply_is_also_the_sooner_no_worth_of_a_day_turns_the_answer() -> None:
    found = summary()
    found["turning"]["day"] |= {"at": None, "low": None, "high": None}
    assert delivery_choice.answer(found).endswith("alone: `sitesim compare` sets the finish of the site beside it.")
    rows = {row[0]: row[1:] for row in delivery_choice.change_rows(Style(True, "USD"), found)}
    assert rows["a working day of the site (overhead)"][2].startswith("no worth of a day")


def test_the_answer_may_be_to_mix_on_site_or_that_it_cannot_be_told() -> None:
    assert delivery_choice.answer(summary(60.0)).startswith(
        "Mix on site: $719 ± $8 per yd³ in place, $46 ± $8 less than"
    )
    assert "cannot tell it from mixing on site" in delivery_choice.answer(summary(5.0))
    alone = delivery_choice.answer(summary(None))
    assert alone.endswith("120–150 min apart costs the same within 2 %.")


def test_metric_pages_speak_of_cubic_metres() -> None:
    text = delivery_choice.answer(summary(units="metric"))
    assert "loads of 2.29 m³" in text
    assert "$1,000 ± $10 per m³ in place;" in text
    assert "yd" not in text


def test_each_quantity_tells_where_the_two_change_places() -> None:
    rows = {row[0]: row[1:] for row in delivery_choice.change_rows(Style(True, "USD"), summary())}
    assert rows["truck standby, an hour"][1] == "$175 ($167 to $183)"
    assert rows["dry blend, per m³ of concrete"][2].startswith("no price")
    assert rows["haul, one way"][:2] == ("60 min", "about 72 min (60 min to 90 min)")
    assert "ready-mix is cheaper from" in rows["rate at which the nozzle lays, per hour"][2]


def test_no_rate_of_standby_may_mean_either_supply() -> None:
    told_of = summary()
    for always, said in (
        ("ready-mix", "no rate: ready-mix stays cheaper"),
        ("mixing on site", "no rate: ready-mix is dearer even where trucks wait for nothing"),
    ):
        told_of["turning"]["standby"] = turning(None, always)
        row = next(delivery_choice.change_rows(Style(True, "USD"), told_of))
        assert row[2] == "–"
        assert row[3].startswith(said)


def test_the_page_has_maps_with_values_in_their_cells_and_the_best_marked() -> None:
    page = delivery_page(summary())
    assert "Tern &lt;Quay&gt;" in page
    cells = re.findall(r"<td([^>]*)>([^<]*)</td>", page[page.index("Cost per yd³ in place<") :])
    best = [text for attributes, text in cells if 'class="best"' in attributes]
    assert best[0] == "765"
    assert any('class="flat"' in attributes and text == "772" for attributes, text in cells)
    assert any('class="own"' in attributes and text == "841" for attributes, text in cells)
    assert any('class="cannot"' in attributes for attributes, _ in cells)
    for said in ("is closer than trucks come", "one thing is assumed", "mind the hose", "largest load"):
        assert said in page


def test_the_page_asks_for_nothing_from_outside() -> None:
    page = delivery_page(summary())
    body = page[: page.index("<script>")]
    assert not re.findall(r"(?:src|href)=\"(?!#|data:)", body)
    assert "default-src 'none'" in page


def test_a_spacing_that_was_played_alone_is_not_called_flat() -> None:
    alone = summary(None)
    alone["ways"] = [one for one in alone["ways"] if one["is_best"] or one["load"] < 2.0]
    alone["flat_spacings"] = [2.0, 2.0]
    assert delivery_choice.answer(alone).endswith("per yd³ in place ($1,000 per m³).")


def test_limits_are_rounded_down_and_times_to_the_minute() -> None:
    assert delivery_words.earlier_clock(10.74) == "10:40"
    assert delivery_words.earlier_clock(10.75) == "10:45"
    assert delivery_words.clock(5.7398) == "05:44"
    assert delivery_words.clock(25.5) == "01:30 next day"


@pytest.mark.parametrize("width", [390, 1280])
def test_it_opens_in_a_browser_without_complaint_and_fits(width: int, tmp_path: Path) -> None:
    from test_page_in_browser import FLAGS, no_browser

    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        no_browser("playwright is not installed")
    import shutil

    installed = next((path for name in ("chromium", "google-chrome") if (path := shutil.which(name))), None)
    if installed is None:
        no_browser("no Chromium is installed")
    file = tmp_path / "deliveries.html"
    file.write_text(delivery_page(summary()), encoding="utf-8")
    faults: list[str] = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=installed, args=FLAGS)
        page = browser.new_context(viewport={"width": width, "height": 900}, offline=True).new_page()
        page.on("console", lambda message: faults.append(message.text))
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(file.as_uri())
        page.wait_for_function("[...document.querySelectorAll('.plot')].every(plot => plot.querySelector('svg'))")
        assert page.locator(".plot svg.main-svg").count() >= 4
        wide = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        browser.close()
    assert faults == []
    assert wide[0] <= wide[1]
