"""The world of one run: clock, resources, hours, luck, ledger and progress."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from sitesim.chance import Distribution, Luck
from sitesim.hours import Calendar, on_clock
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import NOBODY, Entry, Hold
from sitesim.plan import Inspection, Node, Plan
from sitesim.site.appointments import Appointments
from sitesim.site.comings import ComingCrews
from sitesim.site.crews import Crews
from sitesim.site.engine import Engine, StoryGenerator
from sitesim.site.foresight import Foresight
from sitesim.site.sharing import Homes
from sitesim.site.skies import RunHours
from sitesim.site.stage import Fortunes, Stage
from sitesim.trade.learning import unit_factor

Process = StoryGenerator
"""A SimPy process: yields events, or hours [h] to let pass; may return something to whoever yields from it."""


class Front(NamedTuple):
    """Where a story stands: since when it could go on, the entry that brought it there, and what has held it since."""

    ready: float = 0.0
    by: int = NOBODY
    holds: tuple[Hold, ...] = ()

    @classmethod
    def after(cls, entry: Entry) -> Front:
        """Stand at the end of an entry."""
        return tuple.__new__(cls, (entry.end, entry.serial, ()))

    @property
    def reached(self) -> float:
        """The instant [h] up to which the holds account for the wait."""
        return self.holds[-1].end if self.holds else self.ready

    def held(self, *holds: Hold) -> Front:
        """Add holds; those of no length are left out."""
        kept = self.holds
        reached = kept[-1].end if kept else self.ready
        for hold in holds:
            if hold.end > reached:
                kept = (*kept, hold)
                reached = hold.end
        return self if kept is self.holds else tuple.__new__(Front, (self.ready, self.by, kept))


@dataclass(slots=True)
class Progress:
    """How far a run has come: nodes left, repetitions of each task by each gang, and what could never happen."""

    left: int
    repetitions: dict[tuple[str, int], int] = field(default_factory=dict)
    never: dict[str, str] = field(default_factory=dict)


class WorkHours(dict[tuple[int, ...], tuple[Calendar, Calendar]]):
    """The hours in which one kind of work counts, by the units that do it, and the same without the weather.

    A lift or a pour goes on through breaks. What is asked for first is made then.
    """

    def __init__(self, stage: Stage, run_hours: RunHours, limits: str, hours: str, splittable: bool) -> None:
        self._stage = stage
        self._run_hours = run_hours
        self._limits = limits
        self._hours = hours
        self._splittable = splittable

    def __missing__(self, units: tuple[int, ...]) -> tuple[Calendar, Calendar]:
        names = self._stage.names_of(units) if units else (self._hours,) if self._hours else ()
        hours = self._run_hours.open(self._limits, names, through_breaks=not self._splittable)
        shift = self._stage.shift(names) if self._splittable else self._stage.through_breaks(names)
        found = self[units] = hours, shift
        return found


class World:
    """Everything that the stories of one run share."""

    def __init__(self, stage: Stage, luck: Luck) -> None:
        plan = stage.plan
        self.plan: Plan = plan
        self.horizon = plan.horizon
        self.ranks = (*(building.rank for building in plan.buildings), len(plan.buildings))
        """The rank of each building, and last, at index -1, that of the site's own work."""
        self.stage = stage
        self.luck = luck
        self.env = Engine()
        self.hours = RunHours(stage, luck)
        self.appointments = Appointments(plan.inspectors, stage.inspector_shifts, luck)
        self.ledger = Ledger()
        homes = None if plan.sharing is None else Homes(plan.sharing)
        self.crews = Crews(self.env, len(plan.units), homes)
        self.foresight: Foresight | None = None
        if any(unit.flow is not None for unit in plan.units):
            self.crews = ComingCrews(self.env, stage, luck, self.ledger, homes)
            if stage.foreseen is not None:
                self.foresight = Foresight(stage.foreseen, plan.nodes, self.ledger, self.crews.expect)
        self.progress = Progress(left=len(plan.nodes))
        self.all_done = self.env.event()
        drawn: list[float] = luck.uniforms(stage.sure_streams).tolist()
        self._drawn = drawn[: len(plan.nodes)]
        luck.keep(stage.sure_draws, drawn[len(plan.nodes) :])
        self._fortune = _draw_fortunes(stage.fortunes, luck)
        self._spent = dict(plan.state.spent)
        self._work_hours = [WorkHours(stage, self.hours, *work) for work in stage.works]

    def hours_of(self, node: Node) -> WorkHours:
        """Give the hours in which a node's work counts, by who does it."""
        return self._work_hours[self.stage.work_of[node.index]]

    def coming_factor(self, node: Node) -> float:
        """Give the learning factor of the gang that has done most of a task: what a planner counts on."""
        gangs = node.task.needs[0] if node.task.needs else (NOBODY,)
        done = max(self.progress.repetitions.get((node.task.name, gang), 0) for gang in gangs)
        return self._learned(node, done + 1)

    def begin_repetition(self, node: Node, units: tuple[int, ...]) -> float:
        """Count one more repetition of a task by the gang that begins it, and give the factor that it has earned."""
        repetitions, thing = self.progress.repetitions, (node.task.name, units[0] if units else NOBODY)
        count = repetitions[thing] = repetitions.get(thing, 0) + 1
        return 1.0 if node.task.learning.rate == 1.0 else self._learned(node, count)

    def _learned(self, node: Node, count: int) -> float:
        learning = node.task.learning
        return unit_factor(count, learning.rate, learning.floor)

    def chance_of_failing(self, node: Node, inspection: Inspection, units: tuple[int, ...]) -> float:
        """Give the chance that a visit to a node fails, which falls as the gang that does it repeats the task."""
        learning = inspection.learning
        if learning.rate == 1.0:
            return inspection.fails
        count = self.progress.repetitions[node.task.name, units[0] if units else NOBODY]
        return inspection.fails * unit_factor(count, learning.rate, learning.floor)

    def expected_hours(self, node: Node, learned: float) -> float:
        """Give the hours [h] that somebody planning the node would allow for."""
        hours = on_clock(node.task.duration.mean * learned)
        if node.task.pour is not None:
            hours = max(hours, on_clock(node.task.pour.expected_hours))
        return self._left_of(node, hours) if self._spent else hours

    def hours_of_work(self, node: Node, learned: float) -> float:
        """Draw the hours [h] that the node takes in this run."""
        task = node.task
        share = self._fortune[node.building] if task.shares_fortune else 1.0
        hours = on_clock(task.duration.inverse(self._drawn[node.index]) * learned * share)
        return self._left_of(node, hours) if self._spent else hours

    def hours_of_rework(self, node: Node, rework: Distribution, attempt: int) -> float:
        """Draw the hours [h] of the rework after a failed visit."""
        share = self._fortune[node.building] if node.task.shares_fortune else 1.0
        return on_clock(self.luck.draw(rework, node.rework_stream, attempt) * share)

    def _left_of(self, node: Node, hours: float) -> float:
        spent = self._spent.get(node.key, 0.0)
        return max(on_clock(hours - spent), 0.0) if spent else hours


def _draw_fortunes(fortunes: Fortunes, luck: Luck) -> list[float]:
    """Draw the factor that all durations of each building share; the last one, index -1, is the site's own."""
    site = 1.0 if fortunes.site is None else luck.draw(*fortunes.site)
    return [site if factor is None else site * luck.draw(*factor) for factor in fortunes.buildings] + [site]
