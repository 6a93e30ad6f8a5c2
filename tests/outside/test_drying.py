"""Drying of joint compound against the trade's drying-time guide."""

from __future__ import annotations

import pytest

from sitesim.trade.drying import drying_rate

# Drying times of joint compound in a guide of the gypsum board trade, from memory: at 50 % humidity 36 h at 60 °F and
# 18 h at 80 °F; at 60 °F 29 h in 40 % and three days and a half in 80 %.
GUIDE = {(60.0, 0.5): 36.0, (80.0, 0.5): 18.0, (60.0, 0.4): 29.0, (60.0, 0.8): 84.0}


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("warmth", "humidity"), GUIDE)
def test_drying_times_go_as_in_the_guide_within_a_tenth(warmth: float, humidity: float) -> None:
    reference = GUIDE[60.0, 0.5] * drying_rate(celsius(60.0), 0.5)
    assert reference / drying_rate(celsius(warmth), humidity) == pytest.approx(GUIDE[warmth, humidity], rel=0.12)


def test_the_rate_is_one_where_times_are_given_and_none_in_wet_air() -> None:
    assert drying_rate(20.0, 0.5) == pytest.approx(1.0)
    assert drying_rate(20.0, 1.0) == 0.0
