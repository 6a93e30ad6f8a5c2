"""The sections ``inspections`` and ``learning``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sitesim.chance import Fixed
from sitesim.scenario.quantities import ClockHours, ClockQuantity, Share, SomeShare
from sitesim.scenario.sections.section import Count, Name, Section, or_a_table
from sitesim.scenario.spreads import WorkingTime

Visit = Annotated[float, ClockQuantity("h", "1 h", "length of time", least=0.0)]


class InspectorEntry(Section):
    """Somebody who comes by appointment."""

    notice: WorkingTime
    """Between booking and the day of the visit."""
    calendar: Name = "site"
    """The calendar of appointments."""
    visits_a_day: Count = 4
    visit: Visit = 1.0
    """How long a visit takes."""
    moved_until: ClockHours | None = None
    """How long before it begins a visit can still be moved; never unless given."""


class Point(Section):
    """Where an inspector is called: work waits for a hold point, and does not wait for a witness."""

    by: Name
    kind: Literal["hold", "witness"] = "hold"
    """After a hold the work waits for a visit that passes; a witness is told beforehand and comes or not."""
    fails: Share = 0.0
    learning: SomeShare | None = None
    """What each doubling of times that a gang did the task brings ``fails`` to; as in ``inspections`` unless given."""
    rework: WorkingTime = Fixed(0.0)
    """By the gang of the task, after a visit that failed."""
    comes: Share = 1.0
    """How often a witness who could come does."""


class InspectionPoint(Point):
    """A hold point after a task, or a witness point during it."""


class Inspections(Section):
    """The inspectors, and the tasks after which they are called."""

    learning: SomeShare = 1.0
    """The rate by which chances to fail fall with each doubling of units, where a point has none of its own."""
    floor: Share = 0.0
    """No chance falls below this share of what it was at first."""

    inspectors: dict[Name, InspectorEntry] = Field(default_factory=dict)
    points: Annotated[dict[Name, InspectionPoint], or_a_table(dict[Name, InspectionPoint])] = Field(
        default_factory=dict
    )


class LearningEntry(Section):
    """Crawford unit learning: a rate for each doubling of units, by task, down to a floor."""

    floor: Share = 0.0
    """No unit takes less than this share of the first."""
    default: SomeShare = 1.0
    """The rate of tasks done by a crew that have none of their own."""
    tasks: dict[Name, SomeShare] = Field(default_factory=dict)
