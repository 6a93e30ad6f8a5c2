"""A task as the user writes it: who does it, for how long, under which limits."""

from __future__ import annotations

from sitesim.scenario.sections.section import Name, Names, Section
from sitesim.scenario.spreads import WorkingTime


class Work(Section):
    """What is done, by which crew, in which time."""

    time: WorkingTime
    """A number or [low, likely, high] in working days, or quantities."""
    crew: Names = ()
    """The skill that it needs, or several that work together."""
    crane: bool = False
    limits: Name | None = None
    """The kind of work, among ``weather.limits``, whose weather limits hold."""
    split: bool = True
    """Whether it may be left overnight; false for a pour or a lift."""
    calendar: Name | None = None
    """The calendar where no crew gives one."""
    milestone: Name | None = None
    """The name of the milestone that its end is."""
