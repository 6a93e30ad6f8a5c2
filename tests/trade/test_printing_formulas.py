"""Bead, fresh concrete and working life: the relations that must hold, and what is refused."""

from __future__ import annotations

import pytest

from sitesim.trade import bead, fresh, working_life

STEADY = fresh.LinearGrowth(initial=6000.0, rate=0.0)


def test_a_layer_takes_as_long_as_its_concrete_lasts() -> None:
    path, speed, height, width = 84.0, 0.15, 0.02, 0.06
    volume = bead.layer_volume(path, height, width)
    flow = bead.nozzle_flow(speed, height, width)
    assert bead.emptying_time(volume, flow) == pytest.approx(bead.nozzle_time(path, speed))


def test_waste_and_travel_come_on_top() -> None:
    # Recomputed: 90 m x 20 mm x 50 mm = 0.09 m³; 90 m at 0.1 m/s = 900 s.
    assert bead.layer_volume(90.0, 0.02, 0.05, waste=0.10) == pytest.approx(0.099)
    assert bead.nozzle_time(90.0, 0.1, travel_share=0.20) == pytest.approx(0.30)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: bead.nozzle_flow(0.0, 0.02, 0.06), "speed: 0.0 is not above 0"),
        (lambda: bead.layer_volume(10.0, 0.02, 0.06, -0.1), "waste: -0.1 is below 0"),
        (lambda: bead.nozzle_time(10.0, 0.1, -1.0), "travel_share: -1.0 is below 0"),
        (lambda: bead.emptying_time(1.0, 0.0), "flow: 0.0 is not above 0"),
        (lambda: bead.hose_contents(30.0, float("nan")), "bore: nan is not above 0"),
        (lambda: fresh.shortest_layer_interval(0.02, 2100.0, 0.0), "build_up: 0.0 is not above 0"),
        (lambda: fresh.LinearGrowth(0.0, 1.0), "initial: 0.0 is not above 0"),
        (lambda: fresh.LinearGrowth(1.0, -1.0), "rate: -1.0 is below 0"),
        (lambda: fresh.bond_left(-0.1), "wait: -0.1 is below 0"),
        (lambda: fresh.layers_to_failure(0.0, 0.1, 0.1, 2100.0, STEADY, STEADY), "layer_height: 0.0"),
        (lambda: working_life.working_life(0.0, 20.0), "life_at_20: 0.0 is not above 0"),
        (lambda: working_life.published_limit("forever"), "'forever' is not known; known are c94_older"),
    ],
)
def test_impossible_inputs_are_refused_by_name(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()


def test_yield_stress_grows_with_rest() -> None:
    # Recomputed: 300 Pa + 0.5 Pa/s x 600 s.
    assert fresh.yield_stress(initial=300.0, build_up=0.5, rest=1.0 / 6.0) == pytest.approx(600.0)


def test_layers_at_the_shortest_interval_rise_at_the_steady_rate() -> None:
    interval = fresh.shortest_layer_interval(0.025, 2150.0, 0.8)
    assert 0.025 / interval == pytest.approx(fresh.steady_rise(2150.0, 0.8))


def test_the_wall_buckles_lower_when_it_is_thin() -> None:
    # Height goes with thickness to the power of two thirds.
    thick, thin = (fresh.self_buckling_height(1e5, width, 2100.0) for width in (0.08, 0.01))
    assert thick / thin == pytest.approx(4.0)


def test_without_growth_a_wall_is_crushed_under_its_own_weight() -> None:
    # Recomputed: 6000 Pa / (2000 kg/m³ x 9.81 m/s²) = 0.3058 m; the sixteenth layer of 20 mm passes it.
    stiff = fresh.LinearGrowth(initial=1e9, rate=0.0)
    assert fresh.layers_to_failure(0.02, 0.06, 0.1, 2000.0, STEADY, stiff) == 16


def test_without_growth_a_soft_wall_buckles() -> None:
    # Recomputed: (7.8373 x 1e5 x 0.05²/12/(2100 x 9.81))^⅓ = 0.1994 m; the tenth layer of 20 mm passes it.
    strong, soft = fresh.LinearGrowth(1e9, 0.0), fresh.LinearGrowth(1e5, 0.0)
    assert fresh.layers_to_failure(0.02, 0.05, 0.1, 2100.0, strong, soft) == 10


def test_bond_falls_with_the_wait_and_then_stays() -> None:
    kept = [fresh.bond_left(hours) for hours in (0.0, 0.5, 2.0, 3.0, 4.5, 24.0)]
    assert kept == sorted(kept, reverse=True)
    assert kept[0] == 1.0
    assert kept[-1] == kept[-2]
    # Recomputed: a quarter of the way to a loss of 56.6 %.
    assert kept[1] == pytest.approx(1.0 - 0.566 / 4.0)


def test_cold_never_lengthens_working_life() -> None:
    assert working_life.working_life(1.5, 20.0) == 1.5
    assert working_life.working_life(1.5, 5.0) == 1.5


def test_heat_shortens_working_life_steadily() -> None:
    lives = [working_life.working_life(1.5, degrees) for degrees in (21.0, 25.0, 30.0, 35.0)]
    assert lives == sorted(lives, reverse=True)
    assert lives[0] < 1.5
