"""When a stress does not apply, or may change little, and why."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import SCENARIOS, plain_network
from stressed import laid_over

from sitesim.scenario import Scenario, load


@pytest.mark.parametrize(
    ("change", "why_not"),
    [
        ("delivery_late: {of: windows, by: 20 wd}", "the scenario has no delivery of windows"),
        ("later: {supply.gate: 30 min}", "the scenario says nothing of supply"),
        ("plant_closed: {at: 20 %, lasts: 5 d}", "no concrete comes from a plant in the scenario"),
        ("printer_down: {lasts: 14 d}", "nothing is printed in the scenario"),
        ("tent_lost: {lasts: 21 d}", "the scenario has no tent"),
        ("weather: {wind: 1.25}", "the scenario plays no weather"),
        ("worst_year: true", "the scenario plays no weather"),
        ("slower_learning: 50 %", "nobody learns in the scenario"),
        ("gang_missing: {gang: busiest, at: 40 %, lasts: 14 d}", "the scenario has no gangs"),
        ("factors: {inspections.points.*.fails: 2}", "the scenario says nothing of inspections"),
        (
            "factors: {finishing.tasks.pant.time: 2}",
            "the scenario says nothing of finishing.tasks.pant; did you mean paint?",
        ),
    ],
)
def test_it_is_told_why_it_does_not_apply(tmp_path: Path, change: str, why_not: str) -> None:
    scenario = plain_network(tmp_path, "{paint: {time: [1, 2, 3]}}", "{paint: }")
    (one,) = laid_over(scenario, tmp_path, f"stresses:\n  - name: It\n    {change}\n")
    assert one.scenario is None
    assert one.why_not == why_not


OUTSIDE = "lies outside the plan: the work goes from 1 March 2027 to 17 September 2027 (plain plan)"
"""Two hundred days from the start."""


def test_what_is_over_before_the_site_begins_does_not_apply(demo: Scenario, tmp_path: Path) -> None:
    gang, plant, straddles = laid_over(
        demo,
        tmp_path,
        """\
stresses:
  - {name: Gang, gang_missing: {gang: roof, starts: 2027-02-15, lasts: 14 d}}
  - {name: Plant, plant_closed: {on: [2027-02-26]}}
  - {name: Straddles, gang_missing: {gang: roof, starts: 2027-02-16, lasts: 14 d}}
""",
    )
    assert (gang.scenario, gang.why_not) == (None, f"15 February 2027 to 28 February 2027 {OUTSIDE}")
    assert (plant.scenario, plant.why_not) == (None, f"26 February 2027 {OUTSIDE}")
    assert straddles.scenario is not None
    assert straddles.doubts == ()


def test_what_comes_after_the_plain_plan_is_played_with_a_doubt(demo: Scenario, tmp_path: Path) -> None:
    gang, plant, on_the_last_day = laid_over(
        demo,
        tmp_path,
        """\
stresses:
  - {name: Gang, gang_missing: {gang: roof, starts: 2027-09-18, lasts: 7 d}}
  - {name: Plant, plant_closed: {on: [2028-01-03]}, values: {supply.trucks: 4}}
  - {name: On the last day, plant_closed: {on: [2028-01-03, 2027-09-17]}}
""",
    )
    assert gang.scenario is not None
    assert gang.doubts == (f"18 September 2027 to 24 September 2027 {OUTSIDE}; only a later run can feel it",)
    assert plant.doubts == (f"3 January 2028 {OUTSIDE}; only a later run can feel it",)
    assert on_the_last_day.doubts == ()


def test_a_gang_that_is_not_there_does_not_apply(demo: Scenario, tmp_path: Path) -> None:
    (one,) = laid_over(demo, tmp_path, "stresses: [{name: It, gang_missing: {gang: roofers, week: 3, lasts: 7 d}}]")
    assert one.why_not == "there is no gang roofers: did you mean roof?"


def test_the_gate_of_a_plant_means_nothing_where_concrete_is_mixed_on_site(tmp_path: Path) -> None:
    scenario = load(SCENARIOS / "tern-quay-site-mixing.yaml")
    late, closed = laid_over(
        scenario,
        tmp_path,
        "stresses: [{name: Late, later: {supply.gate: 30 min}}, {name: Closed, plant_closed: {week: 3, lasts: 5 d}}]",
    )
    assert late.why_not == "the scenario says nothing of supply.gate"
    assert closed.why_not == "no concrete comes from a plant in the scenario"


def test_a_stress_under_which_the_scenario_does_not_fit_together_does_not_apply(demo: Scenario, tmp_path: Path) -> None:
    """Two trucks cannot come round every 135 minutes: the fault lies in the scenario's spacing, not in the list."""
    (one,) = laid_over(demo, tmp_path, "stresses: [{name: One truck less, values: {supply.trucks: 2}}]")
    assert one.scenario is None
    assert one.why_not.startswith(
        "the scenario does not fit together under it: supply.spacing: 135 min is closer than 2"
    )
