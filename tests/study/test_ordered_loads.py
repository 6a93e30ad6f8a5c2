"""The loads of one print day: which are ordered, which are calls, and how a holding hopper changes their age."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from test_planning_deliveries import DAY

from sitesim.ledger.rows import Flow, Load
from sitesim.plan import HoldingHopper
from sitesim.scenario import load
from sitesim.study.day_order import plan_day
from sitesim.study.ordered_loads import fates_in_hopper, let_in_at
from sitesim.study.runner import StudySettings
from sitesim.study.ways import Grid

SCENARIOS = Path(__file__).parents[2] / "scenarios"
FEW = StudySettings(runs=30, engine="here")
_YARD = 0.9144**3


def day_of(name: str, grid: Grid, *sets: str) -> dict[str, Any]:
    day: dict[str, Any] = plan_day(load(SCENARIOS / name, sets), sets, grid, DAY, FEW)[0]["day"]
    return day


def a_load(number: int, batched: float, ended: float) -> Load:
    return Load("A", 0, number, 2.0, ended, batched, batched, ended, ended, ended, 2.0, 0.0, 0.0, 0.0, "placed")


def test_a_load_is_gone_when_as_much_has_left_as_came_with_it_and_before_it() -> None:
    # 2 m³ at 7 h, drawn at 1 m³/h; 2 m³ more at 8.5 h, when 0.5 m³ is left, which count as old as that. The first load
    # is gone at 9 h, the second, after an hour's stop from 9.5 to 10.5 h, at 12 h.
    flows = [
        Flow(7.0, 7.0, 2.0, 6.0, 11.0),
        Flow(7.0, 8.5, -1.5, 6.0, 11.0),
        Flow(8.5, 8.5, 2.0, 6.0, 11.0),
        Flow(8.5, 9.5, -1.0, 6.0, 11.0),
        Flow(10.5, 12.0, -1.5, 6.0, 11.0),
    ]
    loads = [a_load(1, 6.0, 7.0), a_load(2, 7.5, 8.5)]
    found = fates_in_hopper(flows, loads)
    assert list(found) == [1, 2]
    assert [fate.lasts for fate in found.values()] == pytest.approx([9.0, 12.0])
    assert [fate.oldest for fate in found.values()] == [1, 1]


def test_no_more_may_be_left_than_lets_the_load_fit() -> None:
    holding = HoldingHopper(capacity=3.0, rate=6.0, refill_at=1.0)
    assert [let_in_at(holding, volume) for volume in (1.5, 2.5, 3.5)] == [1.0, 0.5, 0.0]


def test_a_load_that_is_stirred_into_older_concrete_is_to_be_used_as_soon_as_that() -> None:
    # A load of 2 yd³ is let in on 1 yd³ and the pump's own 0.33 yd³; in the ten minutes that it takes to empty, the
    # printer draws a quarter of a yd³. So more than its own hopper is left, and the second load takes the first's age.
    more_left = "supply.holding_hopper.refill_at=1 yd^3", "supply.holding_hopper.life=1.2"
    day = day_of("tern-quay-holding-hopper.yaml", Grid(("2 yd^3",), ("75 min",), (8,)), *more_left)
    first, second = day["loads"][:2]
    assert first["use_by"] - first["batched"] == pytest.approx(1.2 * 5.0)  # five hours, and a fifth more in the hopper
    assert (first["as_old_as"], second["as_old_as"]) == (None, 1)
    assert second["use_by"] == first["use_by"]
    assert day["holding"]["let_in_at_m3"] == pytest.approx(1 * _YARD, abs=1e-6)
    assert day["holding"]["hours"] == pytest.approx(20 / 60 * 2 / 4, abs=1e-3)


def test_a_load_that_is_stirred_in_on_some_days_says_on_how_many() -> None:
    more_left = ("supply.holding_hopper.refill_at=1 yd^3",)
    loads = day_of("tern-quay-holding-hopper.yaml", Grid(("2 yd^3",), ("90 min",), (3,)), *more_left)["loads"]
    some = [(before, one) for before, one in pairwise(loads) if one["stirred"] is not None]
    assert some
    for before, one in some:
        assert one["as_old_as"] is None
        assert 0.0 < one["stirred"]["value"] < 0.5
        assert one["stirred_use_by"] == before["use_by"] < one["use_by"]


def test_a_load_let_into_an_empty_hopper_keeps_its_own_age() -> None:
    day = day_of("tern-quay-holding-hopper.yaml", Grid(("3 yd^3",), ("135 min",), (3,)))
    assert day["holding"]["let_in_at_m3"] == 0.0
    for before, one in pairwise(day["loads"]):
        assert (one["as_old_as"], one["stirred"]) == (None, None)
        assert one["use_by"] > before["use_by"] + 1.0  # batched two hours later, in warmer air
    for one in day["loads"]:
        assert one["empty"] - one["begun"] < 0.251  # 3 of 4 yd³ in 15 of 20 min: its truck goes at once
        assert one["lasts"] > one["empty"] + 0.25  # the printer draws on for long
        assert one["lasts"] <= one["lasts_late"]


def test_without_a_hopper_nothing_is_told_of_one() -> None:
    day = day_of("tern-quay.yaml", Grid(("3 yd^3",), ("135 min",), (3,)))
    assert day["holding"] is None
    assert all(one["lasts"] is None and one["as_old_as"] is None and one["stirred"] is None for one in day["loads"])


def test_of_loads_on_call_the_first_alone_is_ordered() -> None:
    day = day_of("tern-quay-will-call.yaml", Grid(("3 yd^3",)))
    first, *calls = day["loads"]
    assert first["call_at"] is None
    assert (first["due"], first["wanted"]) == (7.0, None)
    assert len(calls) >= 2
    for one in calls:
        assert one["due"] - one["call_at"] == pytest.approx(100 / 60, abs=1e-3)  # whole ticks of the clock
        assert one["wanted"]["value"] >= 0.5
    assert day["calls"] == {"lead": pytest.approx(100 / 60, abs=1e-3), "lasts": pytest.approx(140 / 60, abs=1e-3)}


def test_a_load_that_tops_a_day_up_is_not_ordered_beforehand() -> None:
    top_up = "supply.top_up=true", "supply.lead=100 min"
    grid = Grid(("3 yd^3",), ("135 min",), (3,))
    plain, topped = day_of("tern-quay.yaml", grid), day_of("tern-quay.yaml", grid, *top_up)
    on_order = [one for one in topped["loads"] if one["call_at"] is None]
    assert topped["top_up"]
    assert [(one["volume_m3"], one["due"]) for one in on_order] == [
        (one["volume_m3"], one["due"]) for one in plain["loads"]
    ]
