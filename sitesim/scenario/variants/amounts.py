"""Values as they are written, made so many times as much or more by an amount."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sitesim.scenario.quantities import Quantity, number_and_unit
from sitesim.scenario.variants.draft import DoesNotApply

_HOURS = Quantity("h", "45 min", "length of time", least=0.0)
_NAMES_IN_A_SPREAD = frozenset({"kind", "unit"})


def times(value: Any, factor: float, most: float = 1e9) -> Any:
    """Give a written value times a factor.

    Parameters: ``value``, a number, a quantity or a spread of such; ``most``, the most that a bare number or a share
    may become. A factor of 1 gives the value as it is written. Raises DoesNotApply for what is not of numbers.
    """
    return value if factor == 1.0 else _each(value, lambda part: _times(part, factor, most))


def _times(part: Any, factor: float, most: float) -> Any:
    if isinstance(part, int | float):
        return min(part * factor, max(most, part))
    split = number_and_unit(part)
    if split is None:
        raise DoesNotApply(f"{part} is not a number or a quantity")
    number, unit = split
    limit = 100.0 * most if unit == "%" else most if not unit else 1e9
    return f"{min(number * factor, max(limit, number)):.12g} {unit}".strip()


def longer(value: Any, hours: float, day_hours: float) -> Any:
    """Give a written duration that takes so much longer, each of its values by the same.

    Parameters: ``hours`` [h] added, below 0 for a shorter one, none of whose values goes below 0; ``day_hours`` [h] of
    a working day. Raises DoesNotApply for what is not a duration.
    """
    if hours == 0.0:
        return value
    unit = str(value.get("unit", "")) if isinstance(value, dict) else ""

    def more(part: Any) -> str:
        return f"{max(0.0, hours_of(part, day_hours, unit) + hours):.12g} h"

    made = _each(value, more)
    return {key: inner for key, inner in made.items() if key != "unit"} if isinstance(made, dict) else made


def hours_of(written: Any, day_hours: float, unit: str = "") -> float:
    """Read a length of time [h]: a quantity, or a number of ``unit``, of working days where that is empty."""
    split = number_and_unit(written) if isinstance(written, str) else None
    if isinstance(written, str) and split is None:
        raise DoesNotApply(f"{written} is not a length of time")
    bare = split is None or not split[1]
    text = f"{split[0] if split else written} {unit or 'wd'}" if bare else written
    return _HOURS.read(text, {"day_hours": day_hours})


def _each(value: Any, change: Callable[[Any], Any]) -> Any:
    """Change every number of a written value, whatever spread it stands in."""
    if isinstance(value, list):
        return [_each(part, change) for part in value]
    if isinstance(value, dict):
        return {key: part if key in _NAMES_IN_A_SPREAD else _each(part, change) for key, part in value.items()}
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise DoesNotApply(f"{value} is not a number or a quantity")
    return change(value)
