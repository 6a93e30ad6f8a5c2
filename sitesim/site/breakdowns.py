"""Stops of machines, as thresholds of exposure: hours of nozzle or pump after which the next one comes."""

from __future__ import annotations

from collections.abc import Sequence

from sitesim.chance import Luck
from sitesim.hours import NEVER, TICKS_AN_HOUR, on_clock
from sitesim.plan import PUMPED, Stop

_STOPS_OF_ONE_PRINTER = 1 << 20
"""Ordinals set apart for each printer, so that another printer has stops of its own."""


class Wear:
    """The exposure of one printer and its pump, and the stop that each kind has in store."""

    def __init__(self, stops: Sequence[Stop], luck: Luck, printer: int) -> None:
        self._stops = stops
        self._luck = luck
        self._counts = [printer * _STOPS_OF_ONE_PRINTER] * len(stops)
        self._exposure = 0.0
        self._due = [self._next(i) for i in range(len(stops))]
        self._first_due = min(self._due, default=NEVER)
        self._youngest = min((stop.old_after for stop in stops), default=NEVER)
        self.minds_age = self._youngest < NEVER

    def until_next(self, age: float) -> float:
        """Give the hours [h] of printing until the next stop of any kind, with concrete of an ``age`` [h]."""
        if age < self._youngest:
            return self._first_due - self._exposure
        return min(
            (due - self._exposure) / (stop.old_counts if age >= stop.old_after else 1.0)
            for stop, due in zip(self._stops, self._due, strict=True)
        )

    def until_older(self, age: float) -> float:
        """Give the hours [h] until concrete of an ``age`` [h] is old enough to count more for some kind of stop."""
        return min((stop.old_after - age for stop in self._stops if stop.old_after > age), default=NEVER)

    def is_due(self) -> bool:
        """Tell whether a stop has come, to within a tick of the clock."""
        return self._first_due - self._exposure < 1.0 / TICKS_AN_HOUR

    def run(self, hours: float, age: float) -> None:
        """Count hours [h] of printing with concrete of an ``age`` [h], in which pump and nozzle run together."""
        self._exposure += hours
        if age >= self._youngest:
            for kind, stop in enumerate(self._stops):
                if age >= stop.old_after:
                    self._due[kind] -= hours * (stop.old_counts - 1.0)
            self._first_due = min(self._due)

    def pause(self, hours: float) -> None:
        """Count a standstill [h] of the pump that has ended; the longest brings the next stop at once, and no more."""
        for kind, stop in enumerate(self._stops):
            left = self._due[kind] - self._exposure
            if hours > stop.pause_after and left > 0.0:
                self._due[kind] -= min(left, (hours - stop.pause_after) * stop.pause_counts)
        self._first_due = min(self._due, default=NEVER)

    def run_pump(self, hours: float) -> None:
        """Count hours [h] of the pump alone, such as priming: stops that go by pumped hours come so much sooner."""
        for kind, stop in enumerate(self._stops):
            if stop.measure == PUMPED:
                self._due[kind] -= hours
        self._first_due = min(self._due, default=NEVER)

    def stop(self) -> tuple[Stop, float]:
        """Take the stop that has come; returns its kind and the time [h] that clearing it takes."""
        kind = min(range(len(self._due)), key=self._due.__getitem__)
        stop = self._stops[kind]
        hours = on_clock(self._luck.draw(stop.time, stop.time_stream, self._counts[kind]))
        self._exposure = max(self._exposure, self._due[kind])
        self._counts[kind] += 1
        self._due[kind] += self._next(kind)
        self._first_due = min(self._due)
        return stop, hours

    def _next(self, kind: int) -> float:
        stop = self._stops[kind]
        return max(on_clock(self._luck.draw(stop.every, stop.every_stream, self._counts[kind])), 1 / 64)
