"""When a gang comes: at notice, called from another job, or late enough to go on without a break once it has begun."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple


class Stint(NamedTuple):
    """A piece of a gang's work in a plan, on the gang's own working clock.

    Parameters: ``ready`` [h], when it could begin but for the gang; ``hours`` [h] of work; ``returns``, whether it
    waits for earlier work of the gang itself, so that a later start makes it ready later too.
    """

    ready: float
    hours: float
    returns: bool = False


@dataclass(frozen=True, slots=True)
class KeptRunning:
    """A gang that begins late, so that from then on it goes from building to building without waiting.

    Parameters: ``start_delay`` [h of the gang's calendar] between its first work being ready and its beginning; None
    where it is worked out from the plain plan.
    """

    start_delay: float | None = None

    def delay(self, first_ready: float, stints: Sequence[Stint]) -> float:
        """Give the start delay [h of the gang's calendar].

        The buffer of the line of balance: the work begins so late that each piece is ready when the pieces before it
        are done, ``max(ready - work before it)``. Pieces that return to a place count as work, but call for no delay:
        none would help.

        Parameters: ``first_ready`` [h], when the first work that the gang could do is ready; ``stints``, its work in
        the order in which the plan has it done.
        """
        if self.start_delay is not None:
            return self.start_delay
        begin, before = first_ready, 0.0
        for ready, hours, returns in stints:
            if not returns:
                begin = max(begin, ready - before)
            before += hours
        return begin - first_ready


@dataclass(frozen=True, slots=True)
class AtNotice:
    """A gang that goes to another job when its work here runs out, and is called back.

    Parameters: ``stays`` [h of its calendar], for how long it waits on site for work that is expected; ``ahead`` [h of
    its calendar], how long before work is expected it is called, 0 where it is called once the work is ready.
    """

    stays: float = 0.0
    ahead: float = 0.0

    def is_called_for(self, hours_left: float) -> bool:
        """Tell whether work that is expected in so many hours [h of the gang's calendar] is a reason to call it."""
        return self.ahead > 0.0 and hours_left <= self.ahead

    def stays_for(self, hours_left: float) -> bool:
        """Tell whether work that is expected in so many hours is a reason to stay; less than 0, it is late already.

        Nobody leaves who would be called back at once.
        """
        return hours_left <= max(self.stays, self.ahead)
