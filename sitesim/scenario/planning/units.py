"""The resources of the time account, and who can do what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitesim.plan import Hire, Unit, UnitKind
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.sections.money import Hired
from sitesim.scenario.sections.relocation import LiftingMachine
from sitesim.scenario.sections.work import Work

BOTH_SHIFTS = "both print shifts"
"""The calendar of a print day that a second gang carries on."""


@dataclass(frozen=True)
class Roster:
    """All ``units``, and by skill the indices of the gangs that have it.

    Parameters: ``lifting``, by kind the indices of the machines that lift; ``fronts``, by the name of a front, empty
    where there are none, its gantries and its tents.
    """

    units: tuple[Unit, ...]
    skills: dict[str, tuple[int, ...]]
    lifting: dict[UnitKind, tuple[int, ...]]
    fronts: dict[str, dict[UnitKind, tuple[int, ...]]]

    def needs(self, work: Work) -> tuple[tuple[int, ...], ...]:
        """Give for each gang or machine that a task needs the units that will do."""
        machines = tuple(self.lifting[kind] for kind in lifting_machines_of(work))
        return (*self.gangs(work.crew), *machines)

    def gangs(self, skills: tuple[str, ...]) -> tuple[tuple[int, ...], ...]:
        """Give for each skill that is asked for the gangs that have it."""
        return tuple(self.skills[skill] for skill in skills)


def lifting_machines_of(work: Work) -> tuple[UnitKind, ...]:
    """Name the kinds of machines that lift for a task."""
    asked = ((UnitKind.CRANE, work.crane), (UnitKind.TELEHANDLER, work.telehandler))
    return tuple(kind for kind, needed in asked if needed)


def make_roster(model: ScenarioModel) -> Roster:
    """List the units: gangs in the order of the file, cranes, telehandlers, printers, tents."""
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
                    hire=_hire(gang, gang.waiting != 0.0, gang.weekend, gang.weekend_waiting_rate),
                    flow=gang.policy(model.day_hours),
                    notice=gang.notice,
                )
            )
    lifting = {}
    for kind, machine in ((UnitKind.CRANE, model.crane), (UnitKind.TELEHANDLER, model.telehandler)):
        called_up = numbered(kind.value, machine.count) if uses(model, kind) else []
        lifting[kind] = tuple(range(len(units), len(units) + len(called_up)))
        units += [_lifting(one, kind, machine) for one in called_up]
    fronts: dict[str, dict[UnitKind, tuple[int, ...]]] = {}
    if model.walls and model.printer and model.tent:
        hours = BOTH_SHIFTS if model.printer.second_crew else units[skills[model.printer.crew][0]].hours
        for kind, counted in ((UnitKind.PRINTER, model.printer.count), (UnitKind.TENT, model.tent.count)):
            for front, names in _by_front(model, kind, counted).items():
                fronts.setdefault(front, {})[kind] = tuple(range(len(units), len(units) + len(names)))
                units += [Unit(name, kind, hours, hire=_hire_of(model, kind)) for name in names]
    return Roster(tuple(units), {skill: tuple(indices) for skill, indices in skills.items()}, lifting, fronts)


def _lifting(name: str, kind: UnitKind, machine: LiftingMachine) -> Unit:
    """Make a machine that lifts: called and paid for all its hours on call, or there from first to last."""
    rate = machine.rate
    return Unit(
        name,
        kind,
        SITE_CALENDAR,
        rate=rate,
        overtime_rate=rate,
        waiting_rate=rate,
        on_call=not machine.stays,
        hire=_hire(machine),
    )


def _hire(hired: Hired, idle_days: bool = True, weekend: float | None = None, weekend_waiting: float = 0.0) -> Hire:
    return Hire(hired.day, hired.mobilisation, hired.demobilisation, idle_days, weekend, weekend_waiting)


def _hire_of(model: ScenarioModel, kind: UnitKind) -> Hire:
    """Give what a gantry or a tent costs: all of a kind the same."""
    costs = model.costs
    if kind is UnitKind.PRINTER:
        return Hire(costs.printer_day, costs.printer_mobilisation, costs.printer_demobilisation)
    return Hire(costs.tent_day, costs.tent_mobilisation, costs.tent_demobilisation)


def _by_front(model: ScenarioModel, kind: UnitKind, counted: int | dict[str, int]) -> dict[str, list[str]]:
    """Name the gantries or tents of each front; without fronts those of the site, under no name."""
    if not model.site.fronts:
        assert isinstance(counted, int)
        return {"": numbered(kind.value, counted)}
    return {
        front: numbered(f"{kind.value} {front}", counted if isinstance(counted, int) else counted[front])
        for front in model.site.fronts
    }


def numbered(name: str, count: int) -> list[str]:
    """Name one thing by itself, and several by number."""
    return [name] if count == 1 else [f"{name} {number}" for number in range(1, count + 1)]


def uses(model: ScenarioModel, kind: UnitKind) -> bool:
    """Tell whether any task that can be played needs a machine of this kind."""
    return any(kind in lifting_machines_of(work) for _, work in works_in_play(model))


def works_in_play(model: ScenarioModel) -> Iterator[tuple[str, Work]]:
    """Give every task that can be played, with its name: without printed walls nothing is moved."""
    if model.walls and model.relocation is not None:
        yield from model.relocation.in_play.items()
    yield from model.finishing_tasks.items()
    for wall in model.walls.values():
        yield from wall.tasks.items()
