"""A small site whose every cent is worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitesim.ledger import COLUMNS, Rows, RunClosing
from sitesim.plan import Plan
from sitesim.scenario import load
from sitesim.site import Stage, play

SITE = """\
name: Two homes
site: {start: 2027-03-01, horizon: 60 d, buildings: {A: {homes: [A1, A2]}}}
calendar:
  site: {days: mon-fri, hours: ["07:00-15:00"]}
  six: {days: mon-sat, hours: ["07:00-15:00"]}
crews:
  framers: {rate: 100, weekend: 150, calendar: six, mobilisation: 250.50}
  painters: {day: 333.33, mobilisation: 40, demobilisation: 59.99}
crane: {day: 700, mobilisation: 1000}
finishing:
  tasks:
    frame: {crew: framers, time: 4}
    lift: {per: building, crew: framers, crane: true, time: 4 h, split: false}
    paint: {crew: painters, time: 2, price: 50.55}
  sequences:
    only: {frame: [], lift: [frame], paint: [frame]}
costs: {overhead: 1234.56, crane_call: 120}
"""
# March 2027 begins on a Monday. The framers are in A1 from Monday 1 to Thursday 4, in A2 on Friday 5, Saturday 6,
# Monday 8 and Tuesday 9, and lift on Wednesday 10 until eleven. The painters are in A1 on Friday 5 and Monday 8, wait
# for A2 on Tuesday 9, and are there on Wednesday 10 and Thursday 11, the end: nine working days of the site.


def site(folder: Path, *changes: tuple[str, str]) -> Plan:
    text = SITE
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    file = folder / "site.yaml"
    file.write_text(text)
    return load(file).plan()


def closed(plan: Plan) -> dict[str, Rows]:
    stage = Stage(plan)
    played = play(stage, 1, 0)
    return RunClosing(plan, stage.unit_shifts, stage.shift(("site",))).tables(0, played.ledger, played.unfinished, True)


def lines(tables: dict[str, Rows]) -> dict[tuple[str, str, str], float]:
    return {(spent_on, cause, item): amount for _, spent_on, cause, item, amount in tables["cost_causes"]}


BY_HAND = {
    ("work", "", "gang framers"): 6800.00,  # 64 h in two homes and 4 h of lifting at 100
    ("weekend", "", "gang framers"): 400.00,  # the eight hours of Saturday cost 50 more
    ("mobilisation", "", "framers mobilisation"): 250.50,
    ("work", "", "gang painters"): 1333.32,  # five days at 333.33, a fifth of their hours spent waiting
    ("waiting", "predecessor", "gang painters"): 333.33,
    ("mobilisation", "", "painters mobilisation"): 99.99,
    ("hire", "", "crane hire"): 700.00,
    ("mobilisation", "", "crane mobilisation"): 1000.00,
    ("mobilisation", "", "crane calls"): 120.00,
    ("work", "", "task paint"): 101.10,
    # The last home waited four days for the framers, then for its frame and its paint: five days.
    ("overhead", "crew", "site overhead"): 4938.24,
    ("overhead", "predecessor", "site overhead"): 6172.80,
}


def test_every_cent_of_a_small_site(tmp_path: Path) -> None:
    tables = closed(site(tmp_path))
    assert lines(tables) == BY_HAND
    run = dict(zip(COLUMNS["runs"], tables["runs"][0], strict=True))
    assert run["finish_hours"] == 10 * 24.0 + 15.0
    assert run["cost"] == 22249.28
    assert round(100 * sum(BY_HAND.values())) == 2224928


def test_whose_day_it_is(tmp_path: Path) -> None:
    days = {cause: (days, amount) for _, cause, days, amount in closed(site(tmp_path))["cost_days"]}
    assert days == {
        "crew": (pytest.approx(4.0), 4938.24),
        "predecessor": (pytest.approx(5.0), 6506.13),
        "": (0.0, 10804.91),
    }


COSTS = "costs: {overhead: 1234.56, crane_call: 120}\n"


def promised(folder: Path, dates: str, days: str = "calendar") -> dict[tuple[str, str, str], float]:
    """Give the penalties and bonuses of the small site with dates promised."""
    plan = site(folder, (COSTS, f"{COSTS}promise: {{days: {days}, dates: {dates}}}\n"))
    found = lines(closed(plan))
    told = {key: amount for key, amount in found.items() if key[0] in ("penalty", "bonus")}
    assert {key: amount for key, amount in found.items() if key not in told} == BY_HAND
    return told


def test_penalties_go_by_calendar_days_and_to_what_held_the_hand_over(tmp_path: Path) -> None:
    # The site ends on Thursday 11: met on that day, a day late for Wednesday, six for Friday 5, weekend included.
    assert promised(tmp_path, "{site: {by: 2027-03-11, penalty: 700, bonus: 90}}") == {}
    # Four of the nine working days behind the hand-over are the framers', five those of the work itself.
    assert promised(tmp_path, "{site: {by: 2027-03-10, penalty: 700}}") == {
        ("penalty", "crew", "penalty site"): 311.11,
        ("penalty", "predecessor", "penalty site"): 388.89,
    }
    six = promised(tmp_path, "{A2: {by: 2027-03-05, penalty: 700}}")
    assert six == {
        ("penalty", "crew", "penalty A2"): 1866.67,
        ("penalty", "predecessor", "penalty A2"): 2333.33,
    }
    # Working days: Monday to Thursday.
    four = promised(tmp_path, "{A2: {by: 2027-03-05, penalty: 700}}", "working")
    assert sum(four.values()) == pytest.approx(2800.0)
    assert sum(promised(tmp_path, "{A2: {by: 2027-03-06, penalty: 700}}", "working").values()) == pytest.approx(2800.0)


def test_a_penalty_comes_to_no_more_than_its_most(tmp_path: Path) -> None:
    capped = promised(tmp_path, "{A2: {by: 2027-03-05, penalty: 700, most_penalty: 1800.45}}")
    assert round(100 * sum(capped.values())) == 180045
    assert capped["penalty", "crew", "penalty A2"] == 800.20


def test_a_bonus_is_earned_for_each_day_early(tmp_path: Path) -> None:
    # A1 is painted on Monday 8; its building has the lift and A2, until Thursday 11.
    assert promised(tmp_path, "{A1: {by: 2027-03-13, bonus: 90.25}, A: {by: 2027-03-13, bonus: 10}}") == {
        ("bonus", "", "bonus A1"): -451.25,
        ("bonus", "", "bonus A"): -20.0,
    }
    assert promised(tmp_path, "{A1: {by: 2027-03-13, bonus: 90.25, most_bonus: 400}}") == {
        ("bonus", "", "bonus A1"): -400.0
    }
    assert promised(tmp_path, "{A1: {by: 2027-03-14, bonus: 90.25}}", "working") == {("bonus", "", "bonus A1"): -361.0}


def test_a_gang_paid_by_the_day_for_days_with_work_alone(tmp_path: Path) -> None:
    found = lines(closed(site(tmp_path, ("day: 333.33,", "day: 333.33, waiting: 0,"))))
    changed = {("work", "", "gang painters"): 4 * 333.33, ("waiting", "predecessor", "gang painters"): None}
    assert found == {key: amount for key, amount in (BY_HAND | changed).items() if amount is not None}


def test_a_crane_that_stays_is_paid_in_between_and_called_by_nobody(tmp_path: Path) -> None:
    # Lifted before each home is painted: Friday 5 and Wednesday 10, seven to eleven: 124 h from first to last.
    plan = site(
        tmp_path,
        ("crane: {day: 700,", "crane: {day: 700, stays: true,"),
        ("    lift: {per: building, crew: framers,", "    lift: {crew: painters,"),
        ("paint: [frame]", "paint: [lift]"),
    )
    found = lines(closed(plan))
    of_crane = {key: amount for key, amount in found.items() if "crane" in key[2]}
    # 3,616.67 for 5 days and 4 hours; 8 h at work, the rest of Friday, Monday and Tuesday it waits for the framers.
    assert of_crane == {
        ("hire", "", "crane hire"): pytest.approx(3616.67 * 8 / 28, abs=0.005),
        ("hire", "predecessor", "crane hire"): pytest.approx(3616.67 * 20 / 28, abs=0.005),
        ("mobilisation", "", "crane mobilisation"): 1000.0,
    }
    assert round(100 * sum(amount for key, amount in of_crane.items() if key[0] == "hire")) == 361667


def test_waiting_on_a_weekend_costs_as_much_more_as_work(tmp_path: Path) -> None:
    # The painters work Saturdays, too, by the hour: A1 on Friday 5 and Saturday 6; they wait on Monday and Tuesday.
    plan = site(
        tmp_path,
        ("{day: 333.33,", "{rate: 80, waiting: 60, weekend: 100, calendar: six,"),
        ("frame: {crew: framers, time: 4}", "frame: {crew: framers, time: 4.5}"),
    )
    # Frames end on Friday 5 at eleven and on Wednesday 10 at fifteen. A1 is painted from then to Monday eleven: Friday
    # 4 h, Saturday 8 h, Monday 4 h. Then they wait until Thursday: 4 + 8 + 8 h, none of them on a weekend.
    found = {key: amount for key, amount in lines(closed(plan)).items() if key[2] == "gang painters"}
    assert found == {
        ("work", "", "gang painters"): 32 * 80.0,
        ("weekend", "", "gang painters"): 8 * 20.0,
        ("waiting", "predecessor", "gang painters"): 20 * 60.0,
    }
    later = site(
        tmp_path,
        ("{day: 333.33,", "{rate: 80, waiting: 60, weekend: 100, calendar: six,"),
        ("frame: {crew: framers, time: 4}", "frame: {crew: framers, time: 3}"),
        ("paint: {crew: painters, time: 2,", "paint: {crew: painters, time: 1,"),
    )
    # Frames end on Wednesday 3 and Saturday 6. A1 is painted on Thursday 4; on Friday and Saturday they wait for A2,
    # which is painted on Monday 8: Saturday's eight hours cost 60 · 100 / 80 = 75 each, 15 more.
    found = {key: amount for key, amount in lines(closed(later)).items() if key[2] == "gang painters"}
    assert found == {
        ("work", "", "gang painters"): 16 * 80.0,
        ("waiting", "predecessor", "gang painters"): 16 * 60.0,
        ("weekend", "predecessor", "gang painters"): 8 * 15.0,
    }
