"""When gantry and tent are asked for and taken down, for each method."""

from __future__ import annotations

from itertools import product

import pytest

from sitesim.policies import GantryMoves, Relocation, SetUpOrder, TakeDown

WALLS, BEAM, CURE = TakeDown.WALLS, TakeDown.BEAM, TakeDown.CURE
STRENGTH, ROOF = TakeDown.STRENGTH, TakeDown.ROOF


def test_a_gantry_set_by_crane_comes_before_its_tent_and_goes_after_it() -> None:
    method = Relocation(SetUpOrder.GANTRY_FIRST, CURE, CURE)
    assert method.asked_for() == ("printer", "tent")
    assert method.leave_after(CURE) == ("tent", "printer")


def test_a_gantry_assembled_inside_comes_after_its_tent_and_goes_before_it() -> None:
    method = Relocation(SetUpOrder.TENT_FIRST, CURE, CURE)
    assert method.asked_for() == ("tent", "printer")
    assert method.leave_after(CURE) == ("printer", "tent")


@pytest.mark.parametrize(
    ("gantry", "tent", "event", "leaving"),
    [
        (WALLS, CURE, WALLS, ("printer",)),
        (WALLS, CURE, BEAM, ()),
        (WALLS, CURE, CURE, ("tent",)),
        (CURE, BEAM, WALLS, ()),
        (CURE, BEAM, BEAM, ("tent",)),
        (CURE, BEAM, CURE, ("printer",)),
    ],
)
@pytest.mark.parametrize("order", SetUpOrder)
def test_each_leaves_after_its_own_event(
    order: SetUpOrder, gantry: TakeDown, tent: TakeDown, event: TakeDown, leaving: tuple[str, ...]
) -> None:
    assert Relocation(order, gantry, tent).leave_after(event) == leaving


@pytest.mark.parametrize(("order", "gantry", "tent"), list(product(SetUpOrder, TakeDown, TakeDown)))
def test_each_leaves_exactly_once(order: SetUpOrder, gantry: TakeDown, tent: TakeDown) -> None:
    method = Relocation(order, gantry, tent)
    left = [thing for event in TakeDown for thing in method.leave_after(event)]
    assert sorted(left) == ["printer", "tent"]


def test_on_rails_a_gantry_does_not_wait_for_its_tent() -> None:
    rails = Relocation(SetUpOrder.GANTRY_FIRST, CURE, CURE, GantryMoves.RAILS)
    assert rails.leave_after(CURE) == ("printer", "tent")
    assert not rails.tent_goes_first
    assert Relocation(SetUpOrder.GANTRY_FIRST, CURE, CURE, GantryMoves.CRANE).leave_after(CURE) == ("tent", "printer")


@pytest.mark.parametrize(
    ("moves", "first", "again", "on", "for_good"),
    [
        (
            GantryMoves.TAKEN_DOWN,
            ("ballast", "gantry_up"),
            ("gantry_travel", "ballast", "gantry_up"),
            ("gantry_down", "ballast_off"),
            ("gantry_down", "ballast_off"),
        ),
        (
            GantryMoves.CRANE,
            ("ballast", "gantry_up"),
            ("gantry_travel", "gantry_on"),
            ("gantry_off",),
            ("gantry_down", "ballast_off"),
        ),
        (
            GantryMoves.RAILS,
            ("ballast", "gantry_up"),
            ("gantry_travel", "gantry_on"),
            ("gantry_off",),
            ("gantry_off", "gantry_down", "ballast_off"),
        ),
    ],
)
def test_the_steps_of_each_way_to_move(
    moves: GantryMoves,
    first: tuple[str, ...],
    again: tuple[str, ...],
    on: tuple[str, ...],
    for_good: tuple[str, ...],
) -> None:
    method = Relocation(SetUpOrder.GANTRY_FIRST, CURE, CURE, moves)
    assert (method.coming("printer", again=False), method.coming("printer", again=True)) == (first, again)
    assert (method.going("printer", again=True), method.going("printer", again=False)) == (on, for_good)
    assert (method.coming("tent", again=False), method.going("tent", again=True)) == (("tent_up",), ("tent_down",))
    assert method.coming("tent", again=True) == ("tent_travel", "tent_up")
    assert set(method.may_come("printer")) == {*first, *again}
    assert set(method.may_go("printer")) == {*on, *for_good}


@pytest.mark.parametrize(
    ("gantry", "tent", "stands"),
    [
        (WALLS, WALLS, False),
        (WALLS, BEAM, True),
        (CURE, BEAM, False),
        (STRENGTH, STRENGTH, False),
        (STRENGTH, WALLS, False),
        (STRENGTH, BEAM, True),  # whichever comes first
        (BEAM, STRENGTH, True),
        (CURE, STRENGTH, False),  # it waits for the tent
        (CURE, ROOF, True),
    ],
)
def test_whether_the_tent_may_stand_over_a_gantry_that_a_crane_lifts_out(
    gantry: TakeDown, tent: TakeDown, stands: bool
) -> None:
    assert Relocation(SetUpOrder.GANTRY_FIRST, gantry, tent).tent_stands_over_gantry is stands


def test_a_gantry_assembled_inside_leaves_under_its_tent_or_after_it() -> None:
    assert Relocation(SetUpOrder.TENT_FIRST, CURE, CURE).tent_stands_over_gantry
    assert Relocation(SetUpOrder.TENT_FIRST, CURE, STRENGTH).tent_stands_over_gantry
    assert not Relocation(SetUpOrder.TENT_FIRST, CURE, WALLS).tent_stands_over_gantry
