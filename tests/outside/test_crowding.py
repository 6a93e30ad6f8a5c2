"""How much a crowd slows work, against what estimators allow for it."""

from __future__ import annotations

from pathlib import Path

from sitesim.scenario import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def test_a_second_trade_costs_what_the_mechanical_trade_allows_for_stacking() -> None:
    # Labour factors of the mechanical contractors' association for "stacking of trades": 10 % in minor, 20 % in
    # average, 30 % in severe cases. From memory; the factors are opinions of contractors, not measurements.
    sharing = load(SCENARIOS / "tern-quay-trades-apart.yaml").plan().sharing
    assert sharing is not None
    assert sharing.in_home is not None
    assert sharing.in_home.factor(1) == 1.0
    assert 1.10 <= sharing.in_home.factor(2) <= 1.30
    # With four trades in a small home it is no more than half as long again, of which nobody would be surprised.
    assert sharing.in_home.factor(4) <= 1.5
