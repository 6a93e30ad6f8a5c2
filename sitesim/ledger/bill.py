"""A bill in whole cents: what is spent on what, for which cause, under which item."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import floor

from sitesim.plan import Cause, SpentOn

CENTS = 100
"""The parts of the currency in which a bill is kept."""

Place = tuple[SpentOn, Cause | None]
"""What money is spent on, and the cause that it is charged to; None for what the work itself takes."""


class Bill:
    """The bill of one run: whole cents from the first line on, so that they add up however they are grouped."""

    def __init__(self) -> None:
        self._cents: dict[tuple[SpentOn, Cause | None, str], int] = {}

    def add(self, spent_on: SpentOn, cause: Cause | None, item: str, amount: float) -> None:
        """Bill an ``amount`` [currency], rounded to the cent."""
        self._add(spent_on, cause, item, round(CENTS * amount))

    def share_out(self, item: str, amount: float, shares: Mapping[Place, float], rest: Place) -> None:
        """Bill an ``amount`` [currency], rounded to the cent, in parts as large as their shares.

        Parameters: ``shares``, 0 or more each, of any sum; ``rest``, the place that bears all where there are none.
        What the cents of the parts fall short of the whole goes to those that lose most by it.
        """
        cents = round(CENTS * amount)
        whole = sum(shares.values())
        if not whole > 0.0:
            self._add(*rest, item, cents)
            return
        exact = {place: cents * share / whole for place, share in shares.items()}
        parts = {place: floor(part) for place, part in exact.items()}
        short = cents - sum(parts.values())
        if short:
            losing_most = sorted(exact, key=lambda place: parts[place] - exact[place])
            for place in losing_most[:short]:
                parts[place] += 1
        for place, part in parts.items():
            self._add(*place, item, part)

    def _add(self, spent_on: SpentOn, cause: Cause | None, item: str, cents: int) -> None:
        if cents:
            line = spent_on, cause, item
            self._cents[line] = self._cents.get(line, 0) + cents

    def lines(self) -> Iterator[tuple[SpentOn, Cause | None, str, int]]:
        """Give the lines with their cents."""
        for (spent_on, cause, item), cents in self._cents.items():
            yield spent_on, cause, item, cents

    def items(self) -> dict[str, int]:
        """Give the cents of each item."""
        found: dict[str, int] = {}
        for (_, _, item), cents in self._cents.items():
            found[item] = found.get(item, 0) + cents
        return found

    def causes(self) -> dict[Cause | None, int]:
        """Give the cents charged to each cause."""
        found: dict[Cause | None, int] = {}
        for (_, cause, _), cents in self._cents.items():
            found[cause] = found.get(cause, 0) + cents
        return found

    @property
    def total(self) -> int:
        """All of it, in cents."""
        return sum(self._cents.values())
