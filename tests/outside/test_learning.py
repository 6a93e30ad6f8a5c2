"""Learning against published tables of the unit curve."""

from __future__ import annotations

import pytest

from sitesim.trade.learning import cumulative, unit_factor


def test_the_hundred_and_twenty_fifth_unit() -> None:
    # Crawford, 85 %, first unit 100 h; published example as quoted: 32.23647 h.
    assert 100.0 * unit_factor(125, 0.85) == pytest.approx(32.23647, abs=5e-6)


def test_all_hundred_and_twenty_five_units() -> None:
    # The same example as quoted: 5201.085 h together.
    assert 100.0 * cumulative(125, 0.85) == pytest.approx(5201.085, abs=5e-4)


@pytest.mark.parametrize(("unit", "factor"), [(2, 0.9000), (4, 0.8100), (8, 0.7290), (16, 0.6561)])
def test_every_doubling_takes_a_tenth_off(unit: int, factor: float) -> None:
    # Definition of the 90 % curve, as quoted.
    assert unit_factor(unit, 0.90) == pytest.approx(factor, abs=1e-12)


def test_the_floor_holds_where_the_straight_line_is_no_longer_trusted() -> None:
    # Thomas et al. 1986, as quoted: a straight line on log scales is only marginally adequate over 65 data
    # sets.
    assert unit_factor(16, 0.90, floor=0.70) == 0.70
    assert unit_factor(4, 0.90, floor=0.70) == pytest.approx(0.81)
