"""When gantry and tent are asked for and taken down, for each method."""

from __future__ import annotations

from itertools import product

import pytest

from sitesim.policies import Relocation, SetUpOrder, TakeDown

WALLS, BEAM, CURE = TakeDown.WALLS, TakeDown.BEAM, TakeDown.CURE


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
