"""How a print day is expected to use its concrete: by hand, and as a day goes that nothing disturbs.

Times are recomputed from the stated rules: no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rigs import play_plan, printing_plan, ready_mix

from sitesim.plan import Plan, PlannedStop, PrintDay, Wall
from sitesim.policies import Course, FixedSpacing, LoadSizes

MORNING, FIRST_LOAD = 6.0, 7.125
ONE_LOAD = ready_mix(ordering=FixedSpacing(LoadSizes(9.0, 0.5, 9.0), 2.0, 7.0))


def rules_of(plan: Plan, **changes: object) -> PrintDay:
    assert plan.print_day is not None
    changed: PrintDay = replace(plan.print_day, **changes)  # type: ignore[arg-type]  # the names are checked by replace
    return changed


def wall_of(hours: tuple[float, ...], stops: dict[int, float] | None = None) -> Wall:
    planned = {layer: (PlannedStop("lintels", time),) for layer, time in (stops or {}).items()}
    return Wall(hours, tuple(1.25 * time for time in hours), planned, (len(hours),), len(hours))


def test_a_course_is_read_between_its_points() -> None:
    course = Course((7.0, 9.0, 9.5, 10.5), (1.0, 3.0, 3.0, 4.0))
    assert course.used_up(0.0) == 7.0  # what is used before the first layer is used at its beginning
    assert course.used_up(1.0) == 7.0
    assert course.used_up(2.0) == 8.0
    assert course.used_up(3.5) == 10.0
    assert course.used_up(4.0) == course.used_up(99.0) == 10.5


def test_what_lasts_to_a_stop_is_used_up_when_printing_goes_on() -> None:
    assert Course((7.0, 9.0, 9.5, 10.5), (1.0, 3.0, 3.0, 4.0)).used_up(3.0) == 9.5


def test_a_day_by_hand() -> None:
    # Aligned at seven, concrete at 7:07:30, primed a quarter of an hour later; 0.23 m³ besides the layers. The first
    # layer of 30 min takes an hour; a stop of 15 min after the second.
    plan = printing_plan()
    course = rules_of(plan).course(wall_of((0.5, 0.5, 0.5), {2: 0.25}), 0, 0.0, 3, MORNING, FIRST_LOAD)
    assert course.instants == (7.375, 8.375, 8.875, 9.125, 9.625)
    assert course.used == pytest.approx((0.23, 0.855, 1.48, 1.48, 2.105), abs=1e-5)


def test_what_is_laid_already_is_not_laid_again() -> None:
    # Half of the first layer, 0.3125 m³: half an hour at half speed.
    plan = printing_plan()
    course = rules_of(plan).course(wall_of((0.5, 0.5)), 0, 0.3125, 2, MORNING, FIRST_LOAD)
    assert course.instants == (7.375, 7.875, 8.375)
    assert course.used[-1] == pytest.approx(0.23 + 0.3125 + 0.625, abs=1e-5)


def test_what_the_morning_brings_comes_before_the_first_layer() -> None:
    plan = printing_plan()
    rules = rules_of(plan, slump_check=0.25, planned_joint_time=0.5, planned_joint_concrete=0.0625)
    wall = wall_of((0.5, 0.5))
    assert rules.course(wall, 0, 0.0, 1, MORNING, FIRST_LOAD).instants[0] == 7.625
    later = rules.course(wall, 1, 0.0, 2, MORNING, FIRST_LOAD)  # joint till half past seven
    assert later.instants[0] == 8.0
    assert later.used[0] == pytest.approx(0.23 + 0.0625, abs=1e-5)


hours = st.sampled_from([0.125, 0.25, 0.3125, 0.5])


@given(
    layers=st.lists(hours, min_size=1, max_size=8),
    stop=st.integers(1, 8),
    interval=st.sampled_from([0.0, 0.25, 0.375, 0.5]),
    slump=st.sampled_from([0.0, 0.125]),
    meal=st.sampled_from([0.0, 0.5]),
)
def test_an_undisturbed_day_goes_as_expected(
    layers: list[float], stop: int, interval: float, slump: float, meal: float
) -> None:
    wall = wall_of(tuple(layers), {stop: 0.25} if stop < len(layers) else {})
    plan = printing_plan(buildings=1, layers=len(layers), day_ends=(len(layers),), supply=ONE_LOAD)
    rules = rules_of(
        plan, shortest_interval=interval, slump_check=slump, meal_after=2.25 if meal else 1e9, meal=meal,
        working_life=24.0, open_time=24.0,
    )  # fmt: skip
    (building,) = plan.buildings
    assert building.shell is not None
    plan = replace(plan, print_day=rules, buildings=(replace(building, shell=replace(building.shell, wall=wall)),))
    played = play_plan(plan, keep_diary=True)
    course = rules.course(wall, 0, 0.0, wall.layers, 174.0, 175.125)
    laid = rules.day_extra
    for layer, volume in zip(played.ledger.layers or (), wall.volume, strict=True):
        # Just short of all that the layer uses: what lasts just to its end lasts to the next.
        laid += volume
        assert course.used_up(laid - 1e-4) == pytest.approx(layer.end, abs=0.002)
    assert course.used[-1] == laid == rules.day_need(wall, 0, 0.0, wall.layers)
