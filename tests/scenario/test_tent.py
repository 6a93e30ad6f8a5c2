"""What a scenario says of its tent in much wind: in the plan, said back, and refused where it contradicts itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, changed, lines_of

from sitesim.plan import Sides
from sitesim.scenario import load

SIDES = "sides: {down_at: 80 %, time: 90 min}"


def test_sides_come_down_and_go_up_at_shares_of_the_rated_gust(tmp_path: Path) -> None:
    scenario = load(changed(tmp_path, (SIDES, "sides: {down_at: 75 %, up_below: 50 %, time: 90 min}")))
    shelter = scenario.plan().printing_shelter
    assert shelter is not None
    assert shelter.rated_gust == pytest.approx(0.6 * 17.0)
    assert shelter.sides == Sides(down_gust=0.75 * 17.0, up_gust=0.5 * 17.0, time=1.5, hours="print")
    told = "\n".join(scenario.assumptions())
    for words in (
        "before gusts pass 12.8 m/s (75 % of what it is rated for)",
        "90 min each time",
        "with gusts up to 8.5 m/s",
        "no work under the tent goes on and it is not heated",
    ):
        assert words in told, words


def test_they_go_up_where_the_work_may_go_on_unless_it_is_said(tmp_path: Path) -> None:
    shelter = load(changed(tmp_path)).plan().printing_shelter
    assert shelter is not None
    assert shelter.sides is not None
    assert shelter.sides.up_gust == shelter.rated_gust


def test_a_tent_without_sides_has_none(tmp_path: Path) -> None:
    scenario = load(changed(tmp_path, (f"  {SIDES}", "  #")))
    shelter = scenario.plan().printing_shelter
    assert shelter is not None
    assert shelter.sides is None
    assert "sides" not in "\n".join(scenario.assumptions())


@pytest.mark.parametrize(
    ("sides", "fault"),
    [
        (
            "sides: {down_at: 50 %, time: 90 min}",
            "tent.sides.down_at: 50% is below 60% of the rated gust, at which the work stops; "
            "the sides come down there or above",
        ),
        (
            "sides: {down_at: 70 %, up_below: 80 %, time: 90 min}",
            "tent.sides.up_below: 80% is above 70% of the rated gust, at which they come down",
        ),
    ],
)
def test_shares_that_contradict_each_other_are_refused(tmp_path: Path, sides: str, fault: str) -> None:
    assert [line.split("  ", 1)[1] for line in lines_of(changed(tmp_path, (SIDES, sides)))] == [fault]


def test_a_tent_that_is_raised_in_any_wind_is_a_caution(tmp_path: Path) -> None:
    step = "tent_up: {crew: rig, crane: true, time: [1, 1.5, 2.5], limits: tent}"
    (tmp_path / "in_calm").mkdir()
    told = "\n".join(load(changed(tmp_path / "in_calm")).cautions())
    assert "calm only" not in told
    told = "\n".join(load(changed(tmp_path, (step, step.replace(", limits: tent", "")))).cautions())
    assert "A tent is raised in calm only: relocation.tasks.tent_up has no limits on wind" in told
    assert "tent_down" not in told


def test_storms_past_the_rated_gust_are_a_caution_with_how_often_they_come(tmp_path: Path) -> None:
    scenario = load(DEMO)
    climate = scenario.plan().climate
    assert climate.record is not None
    gusts = 1.5 * climate.record.wind / 0.44704
    hours, days = int((gusts > 38).sum()), int((gusts > 38).any(axis=1).sum())
    assert hours > days > 1
    (told,) = (line for line in scenario.cautions() if "rated for" in line)
    assert told.startswith(f"In {hours} hours on {days} days of the record's 4 years gusts pass the 38 mph")
    assert f"up to {gusts.max():.0f} mph: before such a storm it has to be struck" in told
    assert told in scenario.weather_cautions()
    strong = load(DEMO, ["tent.rated_gust=90 mph"])
    assert not any("rated for" in line for line in strong.cautions())


def test_a_tent_whose_sides_nobody_lets_down_is_a_caution_where_storms_come(tmp_path: Path) -> None:
    without = load(DEMO, ["tent.sides=null"])
    assert any(
        line.startswith("Nobody lets the tent's sides down before a storm") and "80 % of the 38 mph" in line
        for line in without.cautions()
    )
    assert not any("Nobody lets" in line for line in load(DEMO).cautions())
    calm = load(DEMO, ["tent.sides=null", "tent.rated_gust=90 mph"])
    assert not any("Nobody lets" in line for line in calm.cautions())


def test_every_variant_of_the_demo_acts_before_a_storm() -> None:
    for path in sorted(DEMO.parent.glob("*.yaml")):
        scenario = load(path)
        shelter = scenario.plan().printing_shelter
        assert shelter is not None, path.stem
        assert shelter.sides is not None, path.stem
        assert not any("Nobody lets" in line for line in scenario.cautions()), path.stem
