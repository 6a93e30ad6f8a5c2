"""Places that are taken in order of arrival: a plant's trucks and bays, the chute at the pump."""

from __future__ import annotations

from collections import deque

import simpy


class Places:
    """So many places, first come first served.

    Leaner than a resource of SimPy: what is free is taken at once, and an event is made only for one who has to wait.
    Nobody who waits is ever interrupted; whoever gives up waiting is told so by the same event.
    """

    def __init__(self, env: simpy.Environment, places: int) -> None:
        self._env = env
        self._free = places
        self._waiting: deque[simpy.Event] = deque()

    def take(self) -> simpy.Event | None:
        """Take a place; where none is free, gives the event of one being handed over, whose value tells if it was."""
        if self._free > 0:
            self._free -= 1
            return None
        turn = self._env.event()
        self._waiting.append(turn)
        return turn

    def leave(self) -> None:
        """Give a place up, to the one that has waited longest."""
        if self._waiting:
            self._waiting.popleft().succeed(True)
        else:
            self._free += 1

    def give_up(self, turn: simpy.Event) -> None:
        """Wait no longer for a turn that has not come."""
        if turn in self._waiting:
            self._waiting.remove(turn)
            turn.succeed(False)
