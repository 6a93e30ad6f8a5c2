"""How long concrete may be used after first water."""

from __future__ import annotations

from sitesim.trade.maturity import rate_of_hardening

PUBLISHED_LIMITS = {
    "c94_older_editions": 1.5,
    "bs_8500_agitated": 2.0,
    "csa_a23_1": 2.0,
    "csa_a23_1_hot": 1.5,
}
"""Published limits from first mixing to the end of discharge [h], to start from.

ASTM C94 editions before 2021 (90 min; the 2021 edition leaves the limit to the agreement, printed on the
delivery record and waivable), BS 8500-2 for agitated trucks (2 h; waiting on site is not counted as
transport), CSA A23.1 (2 h, and 1.5 h in hot weather).
"""


def published_limit(name: str) -> float:
    """Return one of the `PUBLISHED_LIMITS` by its name [h]; ValueError names the known ones."""
    if name not in PUBLISHED_LIMITS:
        raise ValueError(f"working life {name!r} is not known; known are {', '.join(PUBLISHED_LIMITS)}")
    return PUBLISHED_LIMITS[name]


def working_life(life_at_20: float, concrete_temperature: float) -> float:
    """Return the working life of concrete at its own temperature [h].

    Above 20 °C the life is shortened in the ratio in which hardening quickens. Below 20 °C it is left as it
    is: cold concrete lasts longer, but nobody should plan on it.

    Parameters: life_at_20, the life agreed for 20 °C [h]; concrete_temperature [°C]. Raises ValueError if
    the life is not above 0. Source: rate of fib Model Code 2010, Eq. 5.1-85; using it for working life is
    an assumption.
    """
    if not life_at_20 > 0.0:
        raise ValueError(f"life_at_20: {life_at_20} is not above 0")
    return life_at_20 / max(1.0, rate_of_hardening(concrete_temperature))
