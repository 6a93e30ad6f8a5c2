"""The engine: SimPy's environment with the same events in the same order, at less cost.

A run is some three thousand events, and much of what SimPy takes for one is calls from a small method to the next. Here
they are written out where they happen most. What an event or a process is and does stays SimPy's, but for one thing:
nobody on a site is ever interrupted, so a process does not keep what it waits for, nor the engine who is active.
"""

from __future__ import annotations

from collections.abc import Callable
from heapq import heappop, heappush
from typing import Any

import simpy
from simpy.core import SimTime, StopSimulation
from simpy.events import NORMAL, PENDING, URGENT, EventPriority, ProcessGenerator

_new: Any = object.__new__
"""Makes an event without the call of ``__init__``, which would only set two attributes."""


class Happening(simpy.Event):
    """An event, or the end of a time that passes: of one class, so that the loop over them finds the same layout."""

    def succeed(self, value: Any = None) -> simpy.Event:
        """Let the event happen at this instant. Raises RuntimeError if it is going to already."""
        if self._value is not PENDING:
            raise RuntimeError(f"{self} has already been triggered")
        self._ok = True
        self._value = value
        env = self.env
        heappush(env._queue, (env.now, NORMAL, next(env._eid), self))
        return self


class Story(simpy.Process):
    """A process that stands itself among the callbacks of what it waits for, where the loop knows it."""

    def __init__(self, env: Engine, generator: ProcessGenerator) -> None:
        self.env = env
        self.callbacks = []
        self._generator = generator
        begin: simpy.Event = _new(Happening)
        begin.env = env
        begin.callbacks = [self]
        begin._ok = True
        begin._value = None
        heappush(env._queue, (env.now, URGENT, next(env._eid), begin))

    def __call__(self, event: simpy.Event) -> None:
        """Go on after an event, in SimPy's way: it knows what to do with one that has failed or is long past."""
        self._resume(event)

    def end(self, value: Any) -> None:
        """End with what the story returned."""
        self._ok = True
        self._value = value
        heappush(self.env._queue, (self.env.now, NORMAL, next(self.env._eid), self))


class Engine(simpy.Environment):
    """SimPy's environment; ``now`` is the instant [h]."""

    now: float = 0.0

    def schedule(self, event: simpy.Event, priority: EventPriority = NORMAL, delay: SimTime = 0) -> None:
        """Let an event happen after a delay [h]."""
        heappush(self._queue, (self.now + delay, priority, next(self._eid), event))

    def event(self) -> Happening:
        """Give an event that happens when somebody lets it succeed."""
        event: Happening = _new(Happening)
        event.env = self
        event.callbacks = []
        return event

    def timeout(self, delay: SimTime = 0, value: Any = None) -> Happening:  # type: ignore[override]  # see `Happening`
        """Give the end of ``delay`` [h] from now. Raises ValueError if that is past."""
        if delay < 0:
            raise ValueError(f"Negative delay {delay}")
        event: Happening = _new(Happening)
        event.env = self
        event.callbacks = []
        event._ok = True
        event._value = value
        heappush(self._queue, (self.now + delay, NORMAL, next(self._eid), event))
        return event

    def process(self, generator: ProcessGenerator) -> Story:
        """Begin a story at this instant."""
        return Story(self, generator)

    def step(self) -> None:
        """Let the next event happen, in SimPy's way."""
        if self._queue:
            self.now = self._queue[0][0]
        super().step()

    def run(self, until: SimTime | simpy.Event | None = None) -> Any:
        """Let everything happen until an event has, and give its value; else as SimPy does.

        Raises RuntimeError if nothing is left to happen before.
        """
        if not isinstance(until, simpy.Event):
            return super().run(until)
        if until.callbacks is None:
            return until.value
        until.callbacks.append(StopSimulation.callback)
        queue = self._queue
        try:
            while queue:
                self.now, _, _, event = heappop(queue)
                callbacks = event.callbacks
                event.callbacks = None  # type: ignore[assignment]  # SimPy's sign of an event that is past
                if not event._ok:
                    _let_fail(event, callbacks)
                    continue
                for callback in callbacks:
                    if type(callback) is Story:
                        try:
                            target = callback._generator.send(event._value)
                        except StopIteration as end:
                            callback.end(end.value)
                            continue
                        if target.callbacks is None:
                            callback(target)  # what it waits for is past: it goes on at once
                        else:
                            target.callbacks.append(callback)
                    else:
                        callback(event)
        except StopSimulation as stop:
            return stop.args[0]
        raise RuntimeError(f"nothing is left to happen, and {until} has not")


def _let_fail(event: simpy.Event, callbacks: list[Callable[[simpy.Event], None]]) -> None:
    """Tell everybody of an event that has failed. Raises its exception if nobody takes care of it."""
    for callback in callbacks:
        callback(event)
    if not event.defused:
        error: BaseException = event._value
        raise error
