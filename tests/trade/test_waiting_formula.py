"""Waiting behind others: limits and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitesim.trade.waiting import mean_wait_behind_others, wait_behind_others

shares = st.floats(0.0, 0.95)
ranks = st.floats(1e-12, 1.0 - 1e-12)


def test_by_hand() -> None:
    # ρ = 0.5, s = 15 min: half wait not at all; at the rank 0.75 half of those who wait: 15 ln 2 ÷ 0.5 = 20.79 min.
    assert wait_behind_others(0.5, 0.5, 0.25) == 0.0
    assert wait_behind_others(0.75, 0.5, 0.25) == pytest.approx(0.25 * math.log(2.0) / 0.5)
    assert mean_wait_behind_others(0.5, 0.25) == 0.25


def test_nobody_waits_where_there_is_nobody_else() -> None:
    assert wait_behind_others(1.0 - 1e-16, 0.0, 0.25) == mean_wait_behind_others(0.0, 0.25) == 0.0


@given(ranks, ranks, shares)
def test_a_higher_rank_never_waits_less(one: float, other: float, busy: float) -> None:
    low, high = sorted((one, other))
    assert 0.0 <= wait_behind_others(low, busy, 0.25) <= wait_behind_others(high, busy, 0.25) < math.inf


@given(ranks, shares, shares)
def test_a_busier_server_never_makes_the_same_rank_wait_less(rank: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert wait_behind_others(rank, low, 0.25) <= wait_behind_others(rank, high, 0.25) * (1.0 + 1e-12) + 1e-12


@pytest.mark.parametrize(
    ("busy", "service", "message"),
    [
        (1.0, 0.25, "busy_share: 1.0"),
        (-0.1, 0.25, "busy_share: -0.1"),
        (math.nan, 0.25, "busy_share: nan"),
        (0.5, -1.0, "service: -1.0"),
    ],
)
def test_what_cannot_be_is_refused(busy: float, service: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        wait_behind_others(0.5, busy, service)
    with pytest.raises(ValueError, match=message):
        mean_wait_behind_others(busy, service)
