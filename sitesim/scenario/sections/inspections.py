"""The sections ``inspections`` and ``learning``."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from sitesim.chance import Fixed
from sitesim.scenario.quantities import ClockQuantity, Share, SomeShare
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


class InspectionPoint(Section):
    """A hold point after a task."""

    by: Name
    fails: Share = 0.0
    rework: WorkingTime = Fixed(0.0)
    """By the gang of the task, after a visit that failed."""


class Inspections(Section):
    """The inspectors, and the tasks after which they are called."""

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
