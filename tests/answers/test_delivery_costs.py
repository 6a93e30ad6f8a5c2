"""What the print days cost, reckoned by hand."""

from __future__ import annotations

import numpy as np
import pytest
from rigs import printing_plan, ready_mix, site_mix

from sitesim.answers.delivery_costs import Prices, cost_of, items_of_cost
from sitesim.ledger.print_days import COLUMNS


def figures(**values: float) -> dict[str, np.ndarray]:  # type: ignore[type-arg]
    """Make the columns of one run; what is not named is nothing."""
    return {name: np.array([values.get(name, 0.0)]) for name in COLUMNS}


def test_ready_mix_by_hand() -> None:
    prices = Prices(
        mix=200.0, short_load=50.0, standby=130.0, disposal=60.0, cancellation=100.0, holding=140.0, hire=400.0
    )
    run = figures(
        batched_m3=30.0,
        refused_m3=2.5,
        rejected_m3=4.0,
        returned_m3=1.5,
        short_m3=10.0,
        standby_hours=8.0,
        loads_called_off=2,
        crew_cost=9000.0,
        print_days=3,
        day_hours=26.0,
        campaign_days=6,
    )
    items = {item: float(amount[0]) for item, amount in items_of_cost(run, prices).items()}
    assert items == {
        "ready-mix": 5500.0,  # 27.5 m³ at 200; the refused load is the producer's
        "short loads": 500.0,
        "truck standby": 1040.0,
        "loads called off": 200.0,
        "holding hopper": 840.0,
        "disposal": 180.0,  # 4.0 − 2.5 + 1.5 m³ at 60
        "crew on print days": 9000.0,
        "printer and tent on print days": 1200.0,
    }
    assert cost_of(run, prices)[0] == 18460.0


def test_mixing_on_site_by_hand() -> None:
    prices = Prices(disposal=60.0, blend=260.0, hands=62.0, mixer=300.0)
    run = figures(batched_m3=30.0, rejected_m3=1.0, day_hours=26.0, campaign_days=5, crew_cost=9000.0, print_days=3)
    items = {item: float(amount[0]) for item, amount in items_of_cost(run, prices).items()}
    assert items == {
        "dry blend": 7800.0,
        "mixing hands": 1612.0,
        "mixer": 1500.0,
        "disposal": 60.0,
        "crew on print days": 9000.0,
    }
    assert cost_of(run, prices)[0] == 19972.0


def test_prices_are_those_of_the_plan() -> None:
    ready = Prices.of(printing_plan(supply=ready_mix()))
    assert (ready.mix, ready.standby, ready.blend) == (200.0, 130.0, 0.0)
    mixed = Prices.of(printing_plan(supply=site_mix()))
    assert (mixed.mix, mixed.blend, mixed.hands, mixed.mixer) == (0.0, 260.0, 62.0, 300.0)


def test_no_print_day_costs_nothing() -> None:
    assert cost_of(figures(), Prices(mix=200.0))[0] == pytest.approx(0.0)
