"""The order for one day, as it is read out over the telephone, and what to watch."""

from __future__ import annotations

from typing import Any

from test_delivery_page import estimate, summary, way

from sitesim.report import delivery_choice, delivery_order, delivery_watch, delivery_words
from sitesim.report.delivery_page import delivery_page
from sitesim.report.words import Style

_YARD = 0.9144**3
US = Style(True, "USD")


def a_load(number: int, due: float, **more: Any) -> dict[str, Any]:
    found = {
        "number": number,
        "volume_m3": 3.0 * _YARD,
        "due": due,
        "batched": due - 1.25,
        "use_by": due + 3.75,
        "call_at": None,
        "wanted": None,
        "as_old_as": None,
        "stirred": None,
        "stirred_use_by": None,
        "begun": due,
        "empty": due + 2.25,
        "empty_late": due + 2.5,
        "lasts": None,
        "lasts_late": None,
    }
    return found | more


def of_day(loads: list[dict[str, Any]], ordering: str = "fixed", **more: Any) -> dict[str, Any]:
    chance = {"value": 0.25, "low": 0.2, "high": 0.3}
    names = ("no_go", "reaches_target", "short_of_concrete", "unplanned_joint", "concrete_rejected", "load_called_off")
    day = {
        "building": "B",
        "called": "Row",
        "from_layer": 16,
        "to_layer": 30,
        "date": "2027-05-04",
        "weather": None,
        "loads": loads,
        "calls": None,
        "holding": None,
        "top_up": False,
        "order_by": "2027-05-03T15:00",
        "call_off_price": 150.0,
        "call_off_notice": 0.0,
        "morning_call_adjusts": True,
        "open_time": 65 / 60,
        "joint_time": 0.75,
        "crew_begins": 6.0,
        "go_before": 0.5,
        "ends": {name: {"value": 15.0, "low": 14.0, "high": 16.0} for name in ("P50", "P80")},
        "chances": dict.fromkeys(names, chance),
        "means": {"standby_hours": estimate(1.0, 0.1)},
    }
    spacing = 2.0 if ordering == "fixed" else 0.0
    only = way(3.0, spacing, 1000.0, is_best=True, is_tied=True, is_flat=True)
    found = {"ordering": ordering, "ways": [only], "best": {"load": 3 * _YARD, "spacing": spacing, "trucks": 3}}
    return summary(None) | found | {"flat_spacings": [spacing, spacing], "day": day | more}


def on_call() -> dict[str, Any]:
    sure = {"value": 0.9, "low": 0.8, "high": 0.95}
    calls = [a_load(2, 9.0, call_at=7.5, wanted=sure), a_load(3, 11.0, call_at=9.5, wanted=sure)]
    return of_day([a_load(1, 7.0), *calls], "will-call", calls={"lead": 1.5, "lasts": 2.0})


def test_loads_at_a_spacing_are_all_ordered_and_may_be_held_back() -> None:
    of = of_day([a_load(1, 7.0), a_load(2, 9.0)])
    lines = delivery_order.order_lines(US, of)
    assert "Two loads of 3 yd³, 6 yd³ in all, of the printing mix agreed, from 2 trucks." in lines
    assert "Load 2: 3 yd³, at the gate 09:00, batched 07:45, to be used by 12:45." in lines
    assert any("The last load may be called off until it is batched, 07:45, for $150." in line for line in lines)
    assert any(line.startswith("Trucks empty at the pace of the printer;") for line in lines)
    watched = delivery_watch.watch_lines(US, of)
    assert any(
        "Load 1 is empty at about 09:15 (9 in 10 by 09:30); load 2 is batched at 07:45" in line for line in watched
    )


def test_the_plants_notice_is_told_with_the_go() -> None:
    loads = [a_load(1, 7.0), a_load(2, 9.0)]
    go = "Go or no go at 05:30, before the first batch at 05:45."
    adjusted = "Say with the go which of them come if fewer layers than these are left to print."
    noticed = "The last load may be called off until 60 min before it is batched, 06:45, for $150."
    assert f"{go} {adjusted} {noticed}" in delivery_order.order_lines(US, of_day(loads, call_off_notice=1.0))
    confirmed = of_day(loads, call_off_notice=1.0, morning_call_adjusts=False)
    assert f"{go} {noticed}" in delivery_order.order_lines(US, confirmed)


def test_on_call_one_load_is_ordered_and_the_others_are_likely_calls() -> None:
    of = on_call()
    lines = delivery_order.order_lines(US, of)
    assert lines[1] == "One load of 3 yd³ now, of the printing mix agreed; no other load is ordered yet."
    assert lines[2].endswith("each 90 min before it is to be at the gate, from 3 trucks; 9 yd³ in all are likely.")
    assert sum(line.startswith("Load ") for line in lines) == 1
    assert any(
        line.startswith("Likely call for load 2: about 07:30, 3 yd³, to be at the gate about 09:00") for line in lines
    )
    assert any("The load ordered may be called off until it is batched, 05:45, for $150." in line for line in lines)
    assert not any("last load may" in line for line in lines)
    assert not any("hold it back" in line for line in delivery_watch.watch_lines(US, of))
    assert delivery_choice.answer(of) == (
        "Row B, layers 16–30: one load of 3 yd³ at the gate at 07:00; then likely 3 yd³ at about 09:00 and 3 yd³ at "
        "about 11:00, called for on the day."
    )
    page = delivery_page(of)
    assert "likely call at 07:30" in page
    assert "by need" not in page


def test_loads_on_call_and_by_the_days_need_are_named_apart() -> None:
    for ordering, said in (
        ("will-call", "3 yd³ as called for from 3 trucks"),
        ("days-need", "3 yd³ by the day's need"),
    ):
        of = of_day([a_load(1, 7.0)], ordering)
        assert delivery_words.way(US, of["ways"][0], of).startswith(said)


def test_with_a_holding_hopper_trucks_empty_into_it_and_the_watch_is_on_the_hopper() -> None:
    rare = {"value": 0.1, "low": 0.05, "high": 0.2}
    loads = [
        a_load(1, 7.0, empty=7.25, lasts=9.5, lasts_late=10.0),
        a_load(2, 9.0, empty=9.25, lasts=11.5, lasts_late=12.0, as_old_as=1, use_by=10.75),
        a_load(3, 11.0, empty=11.25, lasts=13.5, lasts_late=14.0, stirred=rare, stirred_use_by=10.75),
    ]
    holding = {"volume_m3": 3 * _YARD, "hours": 0.25, "let_in_at_m3": 0.3 * _YARD, "not_stirred_m3": 0.33 * _YARD}
    of = of_day(loads, holding=holding)
    lines = delivery_order.order_lines(US, of)
    assert any(
        line.startswith(
            "Trucks empty into the holding hopper, 3 yd³ in about 15 min, once no more than 0.3 yd³ is left"
        )
        for line in lines
    )
    assert not any("pace of the printer" in line for line in lines)
    assert any("to be used by 10:45, as old as what is left of load 1 in the hopper." in line for line in lines)
    assert any("when load 3 has been let in" in line and "to be used by 10:45: on 10 in 100" in line for line in lines)
    watched = delivery_watch.watch_lines(US, of)
    assert any(
        line.startswith("Load 1 is in the hopper at about 07:15 and gone from it at about 09:30 (9 in 10 by 10:00)")
        for line in watched
    )
    assert "Gone from the hopper, about" in delivery_page(of)
