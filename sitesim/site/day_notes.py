"""What only a reader of a run needs to know of a print day, noted while it goes on."""

from __future__ import annotations

from dataclasses import dataclass, field

import simpy

from sitesim.ledger.rows import Flow, Span
from sitesim.plan import Cause, Doing, State
from sitesim.site.pump import Lot, Pump


@dataclass(slots=True)
class DayNotes:
    """The ``spans`` of a print day by what they were spent on, and the ``flows`` of concrete to and from the pump."""

    env: simpy.Environment
    spans: list[Span] = field(default_factory=list)
    flows: list[Flow] = field(default_factory=list)

    @classmethod
    def of(cls, env: simpy.Environment, pump: Pump) -> DayNotes:
        """Begin the notes of a day, and listen to its pump."""
        notes = cls(env)
        pump.on_change = notes.add_flow
        return notes

    def add(self, start: float, end: float, state: State, cause: Cause | None, doing: Doing | None, name: str) -> None:
        """Note what the time from ``start`` to ``end`` [h] went by with; work that has no name is laying."""
        if state is State.WORKING and doing is None:
            doing = Doing.LAYING
        last = self.spans[-1] if self.spans else None
        if last is not None and last[2:] == (state, cause, doing, name) and doing in (None, Doing.LAYING):
            self.spans[-1] = last._replace(end=end)
        else:
            self.spans.append(Span(start, end, state, cause, doing, name))

    def add_flow(self, since: float, volume: float, lot: Lot) -> None:
        """Note a change of what is at the pump by a ``volume`` [m³], even since an instant [h] up to now."""
        if volume:
            self.flows.append(Flow(since, self.env.now, volume, lot.born, lot.expires))
