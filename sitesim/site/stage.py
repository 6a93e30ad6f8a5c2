"""What all runs of a plan share: made once in each worker, and only read afterwards."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitesim.chance import Lognormal, stream
from sitesim.hours import Calendar, Shifts, everlasting
from sitesim.plan import Building, Node, Plan, UnitKind, day_target
from sitesim.policies import AtNotice
from sitesim.site.foresight import foreseen
from sitesim.site.sharing import stays_of
from sitesim.weather import Sky, WeatherDays, days_of_weather

_WEATHER = stream("weather", "block")


class Stage:
    """The calendars without weather, the record's open hours by kind of work, and the network's successors."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.everlasting = everlasting(plan.horizon)
        self._patterns = {name: pattern.over(plan.start, plan.days) for name, pattern in plan.calendars.items()}
        self._joint: dict[tuple[str, ...], Calendar] = {}
        self._names: dict[tuple[int, ...], tuple[str, ...]] = {}
        self._slots: dict[tuple[tuple[str, ...], bool], Shifts] = {}
        self.fortunes = _fortunes(plan)
        self.sure_draws = _sure_draws(plan, self.fortunes)
        """The streams besides those of durations from which every run is sure to draw the first number."""
        self.sure_streams = np.array(
            [*(node.duration_stream for node in plan.nodes), *self.sure_draws], dtype=np.uint64
        )
        self.cranes = frozenset(i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.CRANE)
        self.unit_shifts = tuple(self.shift((unit.hours,)) for unit in plan.units)
        self.inspector_shifts = tuple(self.shift((inspector.hours,)) for inspector in plan.inspectors)
        self.successors = _successors(plan)
        kinds = [(node.task.limits, node.task.hours, node.task.splittable) for node in plan.nodes]
        self.works = tuple(dict.fromkeys(kinds))
        """The kinds of work whose hours differ: limits, calendar where no gang gives one, whether it may be split."""
        self.work_of = tuple(map(self.works.index, kinds))
        self.time_alone = frozenset(node.index for node in plan.nodes if _is_time_alone(plan, node))
        self.start_delays: dict[int, float] | None = None
        """The start delay [h of its calendar] of each unit that is kept running, once the plain plan has told them."""
        self.day_targets = tuple(_day_targets(building) for building in plan.buildings)
        """For each printed building, by the layers in place, the layer at which a day that begins so is to end."""
        self.lives: dict[float | None, float] = {}
        """The working life [h] of concrete by the air [°C] in which it is batched, as far as that has been asked."""
        self.stays = stays_of(plan)
        self.foreseen = foreseen(plan) if any(isinstance(unit.flow, AtNotice) for unit in plan.units) else None
        climate = plan.climate
        self.sky: Sky | None = None
        self.blocks: WeatherDays | None = None
        if climate.record is not None and plan.weather_holds:
            self.sky = Sky(climate.record, climate.gust_factor, climate.limits)
            self.blocks = days_of_weather(climate, climate.record, plan.start.toordinal(), plan.days)

    def shift(self, names: tuple[str, ...]) -> Calendar:
        """Give the hours that named calendars share, without weather; no name means around the clock."""
        found = self._joint.get(names)
        if found is None:
            found = self.everlasting
            for name in names:
                found = self._patterns[name] if found is self.everlasting else found.intersect(self._patterns[name])
            self._joint[names] = found
        return found

    def names_of(self, units: tuple[int, ...]) -> tuple[str, ...]:
        """Name the calendars whose common hours hold when these units work together."""
        found = self._names.get(units)
        if found is None:
            found = self._names[units] = tuple(sorted({self.plan.units[unit].hours for unit in units}))
        return found

    def relay(self, first: int, second: int) -> str:
        """Name the calendar of two gangs of which the second carries on where the first's day of work ends.

        A day on which the first is not there is none, and one without the second ends with the first's.
        """
        units = self.plan.units
        name = f"{units[first].hours} and then {units[second].hours}"
        if name not in self._patterns:
            own, others = self.days((units[first].hours,)), self.days((units[second].hours,))
            self._patterns[name] = _relayed(own, others)
            if own.usual is not None or others.usual is not None:
                self._patterns[name].usual = _relayed(own.usual or own, others.usual or others)
        return name

    def through_breaks(self, names: tuple[str, ...]) -> Calendar:
        """Give the same hours for work that goes on through breaks: printing, a lift, a pour."""
        return self.shift(names).without_breaks()

    def has_breaks(self, names: tuple[str, ...]) -> bool:
        """Tell whether the shared hours have breaks to go through."""
        return self.through_breaks(names) is not self.shift(names)

    def days(self, names: tuple[str, ...]) -> Calendar:
        """Give the same hours as days of work, breaks included."""
        return self.shift(names).days_of_work()

    def slots(self, names: tuple[str, ...], through_breaks: bool) -> Shifts:
        """Give shifts, with their breaks bridged or not, cut into slots that the weather opens or shuts."""
        found = self._slots.get((names, through_breaks))
        if found is None:
            found = Shifts(self.through_breaks(names) if through_breaks else self.shift(names))
            self._slots[names, through_breaks] = found
        return found


def _relayed(own: Calendar, others: Calendar) -> Calendar:
    """Let others carry on where days of work end."""
    days = own.intervals()
    return Calendar([start for start, _ in days], [max(end, others.close_after(end)) for _, end in days])


def weather_stream() -> int:
    """Name the stream from which blocks of weather are drawn; the ordinal is the block's number."""
    return _WEATHER


@dataclass(frozen=True, slots=True)
class Fortunes:
    """The factors that all durations share: ``site`` and, for each of ``buildings``, a distribution and its stream.

    None where there is no spread.
    """

    site: tuple[Lognormal, int] | None
    buildings: tuple[tuple[Lognormal, int] | None, ...]


def _fortunes(plan: Plan) -> Fortunes:
    def factor(spread: float, *thing: str) -> tuple[Lognormal, int] | None:
        return None if spread == 0.0 else (Lognormal.by_mean_cv(1.0, spread), stream("fortune", *thing))

    return Fortunes(
        factor(plan.fortune.site, "site"),
        tuple(factor(plan.fortune.building, "building", building.name) for building in plan.buildings),
    )


def _day_targets(building: Building) -> tuple[int, ...]:
    shell = building.shell
    return () if shell is None else tuple(day_target(shell, done) for done in range(shell.wall.layers))


def _sure_draws(plan: Plan, fortunes: Fortunes) -> list[int]:
    seen = [node for node in plan.nodes if node.task.inspection is not None]
    return [
        *(key for node in seen for key in (node.notice_stream, node.visit_stream, node.fails_stream)),
        *(factor[1] for factor in (fortunes.site, *fortunes.buildings) if factor is not None),
    ]


def _is_time_alone(plan: Plan, node: Node) -> bool:
    """Tell whether a step is a lag, a delivery or the like: nobody is needed, and nobody comes to see it."""
    return not node.task.needs and node.task.inspection is None and node.key not in plan.state.done


def _successors(plan: Plan) -> tuple[tuple[int, ...], ...]:
    following: list[list[int]] = [[] for _ in plan.nodes]
    for node in plan.nodes:
        for earlier in node.after:
            following[earlier].append(node.index)
    return tuple(map(tuple, following))
