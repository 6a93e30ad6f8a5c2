"""The sections ``crane`` and ``relocation``: what lifts, and how gantry and tent come and go."""

from __future__ import annotations

from typing import Literal

from sitesim.policies import SetUpOrder, TakeDown
from sitesim.scenario.quantities import MoneyPerHour
from sitesim.scenario.sections.section import Count, Section
from sitesim.scenario.sections.work import Work


class Crane(Section):
    """The crane, hired by the call."""

    count: Count = 1
    rate: MoneyPerHour = 0.0
    """With its operator, for every shift hour that it is on call, waiting for wind included."""


class MovingTasks(Section):
    """The tasks of setting up and taking down."""

    gantry_up: Work
    tent_up: Work
    calibrate: Work
    tent_down: Work
    gantry_down: Work


class RelocationEntry(Section):
    """The method of set-up, and when gantry and tent leave a building."""

    order: SetUpOrder = SetUpOrder.GANTRY_FIRST
    gantry_lift: Literal["crane", "telehandler"] = "crane"
    """What lifts the gantry."""
    gantry_leaves: TakeDown = TakeDown.CURE
    tent_leaves: TakeDown = TakeDown.CURE
    tasks: MovingTasks
