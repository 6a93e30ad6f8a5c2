"""How a print day is expected to use its concrete."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Course:
    """The expected use of concrete through a day: between two points it is used steadily.

    Parameters: ``instants`` [h], rising; ``used`` [m³] up to each of them, never falling, from 0.
    """

    instants: tuple[float, ...]
    used: tuple[float, ...]

    def used_up(self, volume: float) -> float:
        """Tell when [h] so much concrete [m³] is expected to be used; the end of the day's course for more than all."""
        i = bisect_right(self.used, volume)
        if i == len(self.used):
            return self.instants[-1]
        if i == 0:
            return self.instants[0]
        share = (volume - self.used[i - 1]) / (self.used[i] - self.used[i - 1])
        return self.instants[i - 1] + share * (self.instants[i] - self.instants[i - 1])
