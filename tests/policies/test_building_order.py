"""In which order buildings are built."""

from __future__ import annotations

import pytest

from sitesim.policies import OrderBy, Plot, building_order, taking_turns

# On a line: A at 0, B at 50, C at 20, D at 28 m. From A the nearest is C (20), then D (8 on), then B (22 on).
PLOTS = (
    Plot("A", (0.0, 0.0), 30),
    Plot("B", (50.0, 0.0), 10),
    Plot("C", (20.0, 0.0), 20),
    Plot("D", (28.0, 0.0), 20),
)


@pytest.mark.parametrize(
    ("by", "order"),
    [
        (OrderBy.LISTED, ("A", "B", "C", "D")),
        (OrderBy.NEAREST, ("A", "C", "D", "B")),
        (OrderBy.PROMISED, ("B", "C", "D", "A")),
    ],
)
def test_the_order_follows_what_decides_it(by: OrderBy, order: tuple[str, ...]) -> None:
    assert building_order(by, PLOTS) == order


def test_plots_that_are_alike_keep_the_order_of_the_list() -> None:
    alike = tuple(Plot(name, (0.0, 0.0)) for name in "XYZ")
    assert building_order(OrderBy.NEAREST, alike) == ("X", "Y", "Z")
    assert building_order(OrderBy.PROMISED, alike) == ("X", "Y", "Z")


def test_a_distance_is_that_of_a_straight_line() -> None:
    assert Plot("A", (0.0, 0.0)).distance_to(Plot("B", (3.0, 4.0))) == 5.0
    assert Plot("A").distance_to(Plot("B", (3.0, 4.0))) == 0.0


def test_no_plots_have_no_order() -> None:
    assert building_order(OrderBy.NEAREST, ()) == ()


def test_fronts_take_turns() -> None:
    assert taking_turns([("A", "C", "E"), ("B",), ("D", "F")]) == ("A", "B", "D", "C", "F", "E")
    assert taking_turns([]) == ()
