"""The resources of the time account, and who can do what."""

from __future__ import annotations

from dataclasses import dataclass

from sitesim.plan import Unit, UnitKind
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.sections.work import Work

BOTH_SHIFTS = "both print shifts"
"""The calendar of a print day that a second gang carries on."""


@dataclass(frozen=True)
class Roster:
    """All ``units``, and by skill the indices of the gangs that have it; ``crane`` are the indices of the cranes."""

    units: tuple[Unit, ...]
    skills: dict[str, tuple[int, ...]]
    crane: tuple[int, ...]

    def needs(self, work: Work) -> tuple[tuple[int, ...], ...]:
        """Give for each gang or crane that a task needs the units that will do."""
        gangs = tuple(self.skills[skill] for skill in work.crew)
        return (*gangs, self.crane) if work.crane else gangs


def make_roster(model: ScenarioModel) -> Roster:
    """List the units: gangs in the order of the file, cranes, printers, tents."""
    units: list[Unit] = []
    skills: dict[str, list[int]] = {}
    for name, gang in model.crews.items():
        for called in numbered(name, gang.count):
            for skill in gang.skills or (name,):
                skills.setdefault(skill, []).append(len(units))
            units.append(
                Unit(
                    called,
                    UnitKind.GANG,
                    gang.calendar,
                    gang.size,
                    gang.rate,
                    gang.overtime_rate,
                    gang.waiting_rate,
                )
            )
    first_crane = len(units)
    if uses_crane(model):
        units += [
            Unit(
                called,
                UnitKind.CRANE,
                SITE_CALENDAR,
                rate=model.crane.rate,
                overtime_rate=model.crane.rate,
                waiting_rate=model.crane.rate,
                on_call=True,
            )
            for called in numbered("crane", model.crane.count)
        ]
    crane = tuple(range(first_crane, len(units)))
    if model.walls and model.printer and model.tent:
        hours = BOTH_SHIFTS if model.printer.second_crew else units[skills[model.printer.crew][0]].hours
        units += [Unit(name, UnitKind.PRINTER, hours) for name in numbered("printer", model.printer.count)]
        units += [Unit(name, UnitKind.TENT, hours) for name in numbered("tent", model.tent.count)]
    return Roster(tuple(units), {skill: tuple(indices) for skill, indices in skills.items()}, crane)


def numbered(name: str, count: int) -> list[str]:
    """Name one thing by itself, and several by number."""
    return [name] if count == 1 else [f"{name} {number}" for number in range(1, count + 1)]


def uses_crane(model: ScenarioModel) -> bool:
    """Tell whether any task that can be played needs the crane."""
    works: list[Work] = list(model.finishing_tasks.values())
    if model.walls:
        works += model.moving_tasks.values()
        works += [work for wall in model.walls.values() for work in wall.tasks.values()]
    return any(work.crane for work in works)
