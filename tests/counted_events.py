"""Runs whose events are counted, so that one without end is told."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
import simpy

from sitesim.site.engine import Engine


class EndlessRunError(AssertionError):
    """A run that goes on and on."""


@contextmanager
def counted_events(most: int = 1_000_000) -> Iterator[list[int]]:
    """Count the events of all SimPy environments inside the block, in the list's only place.

    Runs go event by event there, in SimPy's own way. Raises EndlessRunError past ``most`` events.
    """
    count = [0]
    step = simpy.Environment.step

    def counting(env: simpy.Environment) -> None:
        count[0] += 1
        if count[0] > most:
            raise EndlessRunError(f"more than {most} events by hour {env.now}")
        step(env)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counting)
        patch.setattr(Engine, "run", simpy.Environment.run)
        yield count
