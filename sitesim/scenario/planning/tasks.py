"""Tasks of the plan out of tasks as they are written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from sitesim.chance import Distribution, Fixed
from sitesim.plan import Inspection, Inspector, Kind, Law, Learning, Ripening, Task, WitnessPoint
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.planning.climate import in_the_tent, indoors
from sitesim.scenario.planning.supply import make_pour
from sitesim.scenario.planning.units import Roster
from sitesim.scenario.sections.inspections import Point
from sitesim.scenario.sections.relocation import TravelWork
from sitesim.scenario.sections.wall import Cure, LayerPoint, MaturityGoal, Wall
from sitesim.scenario.sections.work import Work

EVERLASTING = ""
"""The calendar that never shuts."""

MILESTONE = Fixed(0.0)


@dataclass(frozen=True)
class TaskMaker:
    """Makes tasks with their crews, learning and inspections."""

    model: ScenarioModel
    roster: Roster

    def work(self, name: str, work: Work, rank: int, kind: Kind = Kind.WORK) -> Task:
        """Make a task that a crew, or nobody of ours, does."""
        return Task(
            name=name,
            kind=kind,
            rank=rank,
            needs=self.roster.needs(work),
            duration=work.time,
            hours=work.calendar or SITE_CALENDAR,
            limits=work.limits or "",
            splittable=work.split and work.pour is None,
            learning=self._learning(name, work),
            inspection=self._inspection(name),
            pour=None if work.pour is None else make_pour(work.pour, self.model),
            pace=work.pace if isinstance(work, TravelWork) else 0.0,
            price=work.price,
        )

    def wait(self, name: str, kind: Kind, rank: int, duration: Distribution, hours: str = EVERLASTING) -> Task:
        """Make a step that takes time but nobody's hands."""
        return Task(name, kind, rank, (), duration, hours, shares_fortune=False)

    def dries(self, name: str, hours: float) -> Task:
        """Make a wait for a coat to dry indoors that takes so many ``hours`` [h] at 20 °C and half of full humidity."""
        ripening = Ripening(Law.DRYING, hours, shelter=indoors(self.model))
        return replace(self.wait(name, Kind.CURE, 0, Fixed(0.0)), ripening=ripening)

    def cures(self, rank: int, cure: Cure | None) -> Task:
        """Make the cure of a pour: its time, and the maturity that it has to reach in the tent."""
        task = self.wait("cure", Kind.CURE, rank, Fixed(0.0) if cure is None else cure.time)
        if cure is None or cure.maturity is None:
            return task
        maturity = cure.maturity
        return replace(task, ripening=Ripening(Law.MATURITY, maturity.reached, maturity.datum, in_the_tent(self.model)))

    def strengthens(self, rank: int, goal: MaturityGoal, under_tent: bool) -> Task:
        """Make the wait until the walls have a maturity: in the tent, or as if always in the open."""
        shelter = in_the_tent(self.model) if under_tent else None
        ripening = Ripening(Law.MATURITY, goal.reached, goal.datum, shelter)
        return replace(self.wait("strength", Kind.CURE, rank, Fixed(0.0)), ripening=ripening)

    def _learning(self, name: str, work: Work) -> Learning:
        learning = self.model.learning
        rate = learning.tasks.get(name, learning.default if work.crew else 1.0)
        return Learning(rate, learning.floor)

    def _inspection(self, name: str) -> Inspection | None:
        point = self.model.inspections.points.get(name)
        if point is None:
            return None
        return self._called(point)

    def held_at(self, point: LayerPoint, rank: int) -> Task:
        """Make the stop of printing after a layer until the inspector has been."""
        return Task(
            name=point.name,
            kind=Kind.MILESTONE,
            rank=rank,
            needs=self.roster.gangs(point.crew),
            duration=MILESTONE,
            hours=EVERLASTING,
            shares_fortune=False,
            inspection=self._called(point),
        )

    def witnessed(self, wall: Wall) -> dict[int, tuple[WitnessPoint, ...]]:
        """Give by layer of a wall the points to which a witness is invited."""
        points: dict[int, list[WitnessPoint]] = {}
        for point in wall.points:
            if point.kind == "witness":
                made = WitnessPoint(point.name, self._inspector(point), point.comes)
                points.setdefault(point.layer, []).append(made)
        return {layer: tuple(points[layer]) for layer in sorted(points)}

    def _inspector(self, point: Point) -> int:
        return list(self.model.inspections.inspectors).index(point.by)

    def _called(self, point: Point) -> Inspection:
        whole = self.model.inspections
        learning = Learning(whole.learning if point.learning is None else point.learning, whole.floor)
        return Inspection(
            self._inspector(point), point.fails, point.rework, learning, point.kind == "witness", point.comes
        )


def make_inspectors(model: ScenarioModel) -> tuple[Inspector, ...]:
    """List the inspectors in the order of the file."""
    return tuple(
        Inspector(
            name,
            entry.calendar,
            entry.notice,
            entry.visits_a_day,
            entry.visit,
            moved_until=inf if entry.moved_until is None else entry.moved_until,
        )
        for name, entry in model.inspections.inspectors.items()
    )
