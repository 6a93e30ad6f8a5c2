"""What to order from the plant: the loads for tomorrow, and those called for while printing goes on."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from sitesim.policies.course import Course


class TomorrowView(NamedTuple):
    """What the one who orders knows the evening before.

    ``need``: concrete [m³] for the layers ahead, with waste, priming, hose and specimens.
    ``midnight``: the clock hour [h] at which tomorrow begins.
    ``course``: works out the expected use of that concrete when the first of it is at the gate at an instant [h].
    """

    need: float
    midnight: float
    course: Callable[[float], Course]


class TodayView(NamedTuple):
    """What the one who calls the plant knows while printing goes on.

    ``now`` [h]; ``need`` [m³] of the layers left today, of which ``layer`` is the next one's; ``on_hand`` and
    ``coming`` [m³], at the pump and on order; ``pace`` [m³/h] at which printing uses it, planned stops included;
    ``until`` [h], when the day's last layer has to be in place.
    """

    now: float
    need: float
    on_hand: float
    coming: float
    pace: float
    until: float
    layer: float = 0.0

    @property
    def missing(self) -> float:
        """What is neither at the pump nor on order [m³]."""
        return self.need - self.on_hand - self.coming


class Delivery(NamedTuple):
    """One ordered load: its ``volume`` [m³] and the clock hour ``due`` [h] at the gate."""

    volume: float
    due: float


@dataclass(frozen=True, slots=True)
class LoadSizes:
    """What loads can be bought.

    Parameters: ``load`` [m³], the largest that is ordered; ``step`` [m³], the plant sells whole steps; ``least`` [m³],
    the smallest load it sells.
    """

    load: float
    step: float
    least: float

    def cut(self, need: float) -> list[float]:
        """Cut a need [m³] into full loads and a last one, rounded up to a whole step."""
        steps = max(1, math.ceil(need / self.step - 1e-9))
        steps_a_load = max(1, round(self.load / self.step))
        full, rest = divmod(steps, steps_a_load)
        volumes = [steps_a_load * self.step] * full
        if rest:
            volumes.append(max(rest * self.step, self.least))
        return volumes

    def next(self, missing: float) -> float:
        """Give the load [m³] to call for when so much [m³] is missing."""
        return self.cut(missing)[0]


class OrderingPolicy(Protocol):
    """Decides the loads of one day."""

    @property
    def first_arrival(self) -> float:
        """The time of day [h after midnight] at which the first load is due."""
        ...

    @property
    def calls(self) -> bool:
        """Tell whether the plant may be called while printing goes on."""
        ...

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Give the loads for tomorrow, in the order of their arrival."""
        ...

    def call(self, view: TodayView) -> Delivery | None:
        """Give the load to call for now, or None."""
        ...


@dataclass(frozen=True, slots=True)
class FixedSpacing:
    """Loads of one size at a fixed spacing from a first arrival.

    Parameters: ``sizes`` of the loads; ``spacing`` [h] between arrivals; ``first_arrival`` [h after midnight];
    ``top_up`` [h], how long after a call the plant can have one more load at the gate on a day that will run short,
    None if nobody calls.
    """

    sizes: LoadSizes
    spacing: float
    first_arrival: float
    top_up: float | None = None

    @property
    def calls(self) -> bool:
        """Tell whether a day that will run short is topped up."""
        return self.top_up is not None

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Cut the need into loads, one spacing after the other."""
        first = view.midnight + self.first_arrival
        return tuple(Delivery(volume, first + i * self.spacing) for i, volume in enumerate(self.sizes.cut(view.need)))

    def call(self, view: TodayView) -> Delivery | None:
        """Call for what is missing as soon as it is seen, if it can still be printed today."""
        if self.top_up is None or view.missing <= 0.0 or view.now + self.top_up >= view.until:
            return None
        return Delivery(self.sizes.next(view.missing), view.now + self.top_up)


@dataclass(frozen=True, slots=True)
class WillCall:
    """One load to begin with; each further one is called for when what is left will last little longer than the lead.

    Parameters: ``sizes`` of the loads; ``first_arrival`` [h after midnight]; ``lead`` [h] from the call to the gate;
    ``early`` [h], how much longer than that what is left should last.
    """

    sizes: LoadSizes
    first_arrival: float
    lead: float
    early: float = 0.0

    @property
    def calls(self) -> bool:
        """Tell that it lives by calls."""
        return True

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Order the first load only."""
        return (Delivery(self.sizes.next(view.need), view.midnight + self.first_arrival),)

    def call(self, view: TodayView) -> Delivery | None:
        """Call for the next load when what is in sight lasts little longer than the lead, or not for the next layer."""
        in_sight = view.on_hand + view.coming
        lasts = in_sight >= view.layer and in_sight / view.pace > self.lead + self.early
        if view.missing <= 0.0 or lasts or view.now + self.lead >= view.until:
            return None
        return Delivery(self.sizes.next(view.missing), view.now + self.lead)


@dataclass(frozen=True, slots=True)
class DaysNeed:
    """Each load stands at the gate shortly before those ahead of it are expected to be used up.

    Parameters: ``sizes`` of the loads; ``first_arrival`` [h after midnight]; ``early`` [h] before the expected end of
    the loads ahead.
    """

    sizes: LoadSizes
    first_arrival: float
    early: float

    @property
    def calls(self) -> bool:
        """Tell that everything is ordered the evening before."""
        return False

    def order(self, view: TomorrowView) -> tuple[Delivery, ...]:
        """Follow the expected use of the layers ahead; no load is due before the first arrival."""
        first = view.midnight + self.first_arrival
        course = view.course(first)
        ordered = 0.0
        deliveries = []
        for volume in self.sizes.cut(view.need):
            due = max(first, course.used_up(ordered) - self.early) if ordered else first
            deliveries.append(Delivery(volume, due))
            ordered += volume
        return tuple(deliveries)

    def call(self, view: TodayView) -> Delivery | None:
        """Call for nothing."""
        return None
