"""Fresh printed concrete: when the layer below carries the next one, and what a long wait costs the joint.

Strength and stiffness of resting concrete are taken to grow linearly with time, which holds for the first
hour or so of rest; beyond that they grow faster, so the answers err on the slow side.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass

from sitesim.trade.arguments import require_positive

GRAVITY = 9.81
"""Acceleration of free fall [m/s²]."""

SECONDS_PER_HOUR = 3600.0

BOND_AFTER_WAIT = ((0.0, 1.0), (2.0, 0.434), (4.5, 0.315))
"""Wait between two layers [h] and the share of the bond strength that is left.

Loss of 56.6 % after 2 h and 68.5 % after 4.5 h: Skibicki 2024. One mix, left uncovered: drying of the
surface is the cause (Keita et al. 2019), so a covered or wetted joint keeps more. A measure of
reasonableness, no design value.
"""

# Greenhill's constant for a uniform column, fixed below and free above, under its own weight.
_GREENHILL = 7.8373


@dataclass(frozen=True, slots=True)
class LinearGrowth:
    """A property of resting concrete that grows in a straight line.

    Parameters: initial, the value when deposited [Pa]; rate, its growth [Pa/h]. Raises ValueError if the
    initial value is not above 0 or the rate is negative.
    """

    initial: float
    rate: float

    def __post_init__(self) -> None:
        if not self.initial > 0.0:
            raise ValueError(f"initial: {self.initial} is not above 0")
        if not self.rate >= 0.0:
            raise ValueError(f"rate: {self.rate} is below 0")

    def at(self, age: float) -> float:
        """Return the value at an `age` since deposition [h], in Pa."""
        return self.initial + self.rate * age


def yield_stress(initial: float, build_up: float, rest: float) -> float:
    """Return the yield stress after a rest [Pa].

    Parameters: initial yield stress [Pa], build_up [Pa/s], rest [h]. Source: Roussel 2006, Cem. Concr. Res.
    36:1797, linear structural build-up.
    """
    return initial + build_up * rest * SECONDS_PER_HOUR


def shortest_layer_interval(layer_height: float, density: float, build_up: float) -> float:
    """Return the shortest interval in which one layer gains the strength to carry one more [h].

    Parameters: layer_height [m], density [kg/m³], build_up [Pa/s]. Raises ValueError if one is not above 0.
    Source: weight of a layer ρgH against √3 times the yield stress, with the build-up of Roussel 2006; the
    yield stress at deposition is left as a reserve.
    """
    require_positive(layer_height=layer_height, density=density, build_up=build_up)
    return density * GRAVITY * layer_height / (math.sqrt(3.0) * build_up) / SECONDS_PER_HOUR


def steady_rise(density: float, build_up: float) -> float:
    """Return the fastest steady rise of a wall that its lowest layer can follow [m/h].

    Parameters: density [kg/m³], build_up [Pa/s]. Raises ValueError if one is not above 0. Source: √3
    A/(ρg), from the same balance as `shortest_layer_interval`.
    """
    require_positive(density=density, build_up=build_up)
    return math.sqrt(3.0) * build_up / (density * GRAVITY) * SECONDS_PER_HOUR


def self_buckling_height(stiffness: float, thickness: float, density: float) -> float:
    """Return the height at which a free straight wall buckles under its own weight [m].

    Parameters: stiffness, Young's modulus [Pa]; thickness of the wall [m]; density [kg/m³]. Raises
    ValueError if one is not above 0. Source: Greenhill 1881, (7.8373 E I/(ρ g A))^⅓ with I/A =
    thickness²/12.
    """
    require_positive(stiffness=stiffness, thickness=thickness, density=density)
    inertia_per_area = thickness * thickness / 12.0
    return math.cbrt(_GREENHILL * stiffness * inertia_per_area / (density * GRAVITY))


def layers_to_failure(
    layer_height: float,
    thickness: float,
    layer_interval: float,
    density: float,
    strength: LinearGrowth,
    stiffness: LinearGrowth,
) -> int:
    """Return the number of layers at which a free straight wall falls, by crushing or by buckling.

    Crushing: the weight passes the compressive strength of the lowest layer at its age. Buckling: the
    height passes Greenhill's. Assumed: the whole wall is as stiff as its layer of middle age, and a wall of
    any length is free at its ends. It tells a faster print from a slower one; it is no design check.

    Parameters: layer_height [m], thickness [m], layer_interval [h], density [kg/m³], strength and stiffness
    with their growth [Pa, Pa/h]. Raises ValueError if one of the numbers is not above 0.
    """
    require_positive(layer_height=layer_height, thickness=thickness, layer_interval=layer_interval, density=density)
    layers = 1
    # Ends always: the height allowed by buckling grows with the cube root of time only.
    while True:
        height = layers * layer_height
        age = (layers - 1) * layer_interval
        crushed = density * GRAVITY * height > strength.at(age)
        buckled = height > self_buckling_height(stiffness.at(0.5 * age), thickness, density)
        if crushed or buckled:
            return layers
        layers += 1


def bond_left(wait: float) -> float:
    """Return the share of bond strength left in a joint after a wait between two layers [-].

    Parameters: wait [h]. Raises ValueError if it is negative. Read linearly from `BOND_AFTER_WAIT`, and held
    at its last value beyond.
    """
    if not wait >= 0.0:
        raise ValueError(f"wait: {wait} is below 0")
    if wait >= BOND_AFTER_WAIT[-1][0]:
        return BOND_AFTER_WAIT[-1][1]
    right = max(1, bisect_left(BOND_AFTER_WAIT, (wait, 0.0)))
    (earlier, before), (later, after) = BOND_AFTER_WAIT[right - 1], BOND_AFTER_WAIT[right]
    return before + (after - before) * (wait - earlier) / (later - earlier)
