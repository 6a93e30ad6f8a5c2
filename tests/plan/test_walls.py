"""A wall's days, and volumes in whole drops."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rigs import printing_plan

from sitesim.plan import DROP, PlannedStop, Wall, in_drops

STEEL = PlannedStop("joint steel", 0.25)
LINTEL = PlannedStop("lintels", 1.0)
WALL = Wall(
    nozzle_hours=(0.25, 0.5, 0.75, 1.0, 0.5, 0.25),
    volume=(1.0, 1.5, 2.0, 2.5, 1.25, 0.75),
    stops={2: (STEEL,), 4: (STEEL, LINTEL)},
    day_ends=(4, 6),
    layers_a_day=3,
)


@pytest.mark.parametrize(("done", "target"), [(0, 3), (1, 4), (2, 4), (3, 4), (4, 6), (5, 6)])
def test_a_day_ends_at_a_named_layer_or_at_the_most_it_prints(done: int, target: int) -> None:
    assert WALL.day_target(done) == target


def test_a_day_needs_the_concrete_and_the_hours_of_its_layers() -> None:
    assert WALL.layers == 6
    assert WALL.day_need(1, 4) == 6.0
    assert WALL.day_hours(1, 4) == 2.25 + 1.5  # the stops after layers 2 and 4
    assert WALL.day_hours(2, 3) == 0.75
    assert WALL.day_need(3, 3) == WALL.day_hours(3, 3) == 0.0


@given(st.floats(0.0, 1000.0))
def test_volumes_are_rounded_to_the_nearest_drop(volume: float) -> None:
    assert (Fraction(in_drops(volume)) / Fraction(DROP)).denominator == 1
    assert abs(Fraction(in_drops(volume)) - Fraction(volume)) <= Fraction(DROP) / 2


@given(st.lists(st.floats(0.0, 50.0), max_size=100))
def test_sums_of_drops_are_exact(volumes: list[float]) -> None:
    drops = [in_drops(volume) for volume in volumes]
    assert Fraction(sum(drops)) == sum(map(Fraction, drops), Fraction(0))


def test_a_drop_is_about_a_cubic_centimetre() -> None:
    assert pytest.approx(1e-6, rel=0.05) == DROP


def test_a_print_day_needs_concrete_that_is_not_in_the_wall() -> None:
    rules = printing_plan().print_day
    assert rules is not None
    assert rules.day_extra == in_drops(0.14) + in_drops(0.03) + in_drops(0.06)
