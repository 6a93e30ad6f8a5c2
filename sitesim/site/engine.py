"""The engine: SimPy's environment with the same events in the same order, at less cost.

A run is some three thousand events, and much of what SimPy takes for one is calls from a small method to the next. Here
they are written out where they happen most. What an event or a process is and does stays SimPy's, but for one thing:
nobody on a site is ever interrupted, so a process does not keep what it waits for, nor the engine who is active.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable
from heapq import heappop, heappush
from typing import Any

import simpy
from simpy.core import SimTime, StopSimulation
from simpy.events import NORMAL, PENDING, URGENT, EventPriority

StoryGenerator = Generator[simpy.Event | float, Any, Any]
"""What a story is told by: it yields what it waits for, an event or hours [h]."""

_new: Any = object.__new__
"""Makes an event without the call of ``__init__``, which would only set two attributes."""


class Happening(simpy.Event):
    """An event, or the end of a time that passes: of one class, so that the loop over them finds the same layout."""

    env: Engine

    def succeed(self, value: Any = None) -> simpy.Event:
        """Let the event happen at this instant. Raises RuntimeError if it is going to already."""
        if self._value is not PENDING:
            raise RuntimeError(f"{self} has already been triggered")
        self._ok = True
        self._value = value
        env = self.env
        heappush(env._queue, (env.now, NORMAL, next(env._eid), self, None))
        return self


class Story(simpy.Process):
    """A process that stands itself in the queue while it sleeps, and among the callbacks of an event that it waits for.

    It may yield hours [h] instead of the event of their end, which would be made for nobody else: then it sleeps, and
    its place in the queue says how to ``wake`` it.
    """

    env: Engine
    _generator: Any

    def __init__(self, env: Engine, generator: StoryGenerator) -> None:
        self.env = env
        self.callbacks = []
        self._generator = generator
        self.wake = generator.send
        heappush(env._queue, (env.now, URGENT, next(env._eid), self, self.wake))

    def __call__(self, event: simpy.Event) -> None:
        """Go on after an event, in SimPy's way: it knows what to do with one that has failed or is long past."""
        self._resume(event)

    def _resume(self, event: simpy.Event) -> None:
        generator: StoryGenerator = self._generator
        self._generator = _InEvents(self.env, generator)
        try:
            super()._resume(event)
        finally:
            self._generator = generator

    def end(self, value: Any) -> None:
        """End with what the story returned."""
        self._ok = True
        self._value = value
        heappush(self.env._queue, (self.env.now, NORMAL, next(self.env._eid), self, None))

    def wait_for(self, target: simpy.Event | float) -> None:
        """Wait for an event, or for hours [h] to pass. Raises ValueError if these are less than none."""
        if not isinstance(target, simpy.Event):
            if target < 0.0:
                raise ValueError(f"Negative delay {target}")
            env = self.env
            heappush(env._queue, (env.now + target, NORMAL, next(env._eid), self, self.wake))
        elif target.callbacks is None:
            self(target)  # it is past: the story goes on at once
        else:
            target.callbacks.append(self)


class _InEvents:
    """A story as SimPy reads it: the end of hours that it sleeps is an event like any other."""

    def __init__(self, env: Engine, generator: StoryGenerator) -> None:
        self._env = env
        self._generator = generator

    def send(self, value: Any) -> simpy.Event:
        """Go on with the value of an event."""
        return self._env.as_event(self._generator.send(value))

    def throw(self, error: BaseException) -> simpy.Event:
        """Go on with the exception of an event that has failed."""
        return self._env.as_event(self._generator.throw(error))


class Engine(simpy.Environment):
    """SimPy's environment; ``now`` is the instant [h]."""

    now: float = 0.0
    _queue: list[Any]
    """What is to happen: when [h], its priority and number, the event or the story, and what wakes it if it sleeps."""

    def schedule(self, event: simpy.Event, priority: EventPriority = NORMAL, delay: SimTime = 0) -> None:
        """Let an event happen after a delay [h]."""
        heappush(self._queue, (self.now + delay, priority, next(self._eid), event, None))

    def event(self) -> Happening:
        """Give an event that happens when somebody lets it succeed."""
        event: Happening = _new(Happening)
        event.env = self
        event.callbacks = []
        event._value = PENDING
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
        heappush(self._queue, (self.now + delay, NORMAL, next(self._eid), event, None))
        return event

    def call_later(self, then: Callable[[Any], None], priority: EventPriority, delay: SimTime = 0) -> None:
        """Call ``then`` after a delay [h], among all that happens at that instant by its priority."""
        event = self.event()
        event._ok = True
        event._value = None
        event.callbacks.append(then)
        self.schedule(event, priority, delay)

    def as_event(self, target: simpy.Event | float) -> simpy.Event:
        """Give what a story yields as an event: hours [h] as their end."""
        return target if isinstance(target, simpy.Event) else self.timeout(target)

    def process(self, generator: StoryGenerator) -> Story:
        """Begin a story at this instant."""
        return Story(self, generator)

    def step(self) -> None:
        """Let the next event happen, in SimPy's way."""
        queue = self._queue
        if queue:
            self.now, priority, number, event, wakes = queue[0]
            if wakes is not None:
                story, event = event, self.event()
                event._ok = True
                event._value = None
                event.callbacks.append(story)
            queue[0] = self.now, priority, number, event  # as SimPy has it
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
        number = self._eid
        try:
            while queue:
                now, _, _, event, wake = heappop(queue)
                self.now = now
                if wake is not None:
                    try:
                        target = wake(None)
                    except StopIteration as end:
                        event.end(end.value)
                        continue
                    if type(target) is float and target >= 0.0:
                        heappush(queue, (now + target, NORMAL, next(number), event, wake))
                    else:
                        event.wait_for(target)
                    continue
                callbacks = event.callbacks
                event.callbacks = None  # SimPy's sign of an event that is past
                if not event._ok:
                    _let_fail(event, callbacks)
                    continue
                for callback in callbacks:
                    if type(callback) is not Story:
                        callback(event)
                        continue
                    wake = callback.wake
                    try:
                        target = wake(event._value)
                    except StopIteration as end:
                        callback.end(end.value)
                        continue
                    if type(target) is float and target >= 0.0:
                        heappush(queue, (now + target, NORMAL, next(number), callback, wake))
                    else:
                        callback.wait_for(target)
        except StopSimulation as stop:
            return stop.args[0]
        raise RuntimeError(f"nothing is left to happen, and {until} has not")


def _let_fail(event: simpy.Event, callbacks: Iterable[Callable[[simpy.Event], None]]) -> None:
    """Tell everybody of an event that has failed. Raises its exception if nobody takes care of it."""
    for callback in callbacks:
        callback(event)
    if not event.defused:
        error: BaseException = event._value
        raise error
