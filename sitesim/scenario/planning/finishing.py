"""The finishing tasks as nodes, for each home, building or the site."""

from __future__ import annotations

from dataclasses import dataclass, field

from sitesim.chance import Fixed
from sitesim.plan import Kind
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.planning.network import Network, NodeDraft
from sitesim.scenario.planning.tasks import TaskMaker
from sitesim.scenario.sections.finishing import After, FinishingTask

RELEASES = ("released", "tent_down")
"""What the roof waits for where gantry and tent stand in its way."""

SITE = "site"
"""The place of tasks that are done once for the whole site."""


@dataclass
class FinishingNetwork:
    """Writes the finishing nodes of a site down.

    Parameters: ``events``, for each building in building order the keys of what its shell lets others wait for;
    ``first_rank``, for each building the rank of its first finishing task.
    """

    model: ScenarioModel
    network: Network
    tasks: TaskMaker
    events: dict[str, dict[str, str]]
    first_rank: dict[str, int]
    before_roof: dict[str, list[str]] = field(default_factory=dict)
    """For each building in which tasks wait for its release, the keys of what they wait for besides, once written."""
    _buildings: list[str] = field(init=False)

    def __post_init__(self) -> None:
        self._buildings = list(self.events)

    def write(self) -> None:
        """Write down all tasks of all buildings, then those of the site."""
        for building in self._buildings:
            for name in self._sequence(building):
                if self._task(name).per != "site":
                    self._write_in_building(building, name)
        for name in self._site_tasks():
            self._write_for_site(name)

    def _task(self, name: str) -> FinishingTask:
        return self.model.finishing_tasks[name]

    def _sequence(self, building: str) -> dict[str, tuple[After, ...]]:
        finishing = self.model.finishing
        return {} if finishing is None else finishing.sequences[self.model.sequence_of(building)]

    def _rank(self, building: str, name: str) -> int:
        return self.first_rank[building] + list(self._sequence(building)).index(name)

    def _site_tasks(self) -> list[str]:
        named = [name for building in self._buildings for name in self._sequence(building)]
        return [name for name in dict.fromkeys(named) if self._task(name).per == "site"]

    def _homes(self, building: str) -> tuple[str, ...]:
        """Give the homes of a building; one without homes is done as a whole."""
        return self.model.site.buildings[building].homes or ("",)

    def _write_in_building(self, building: str, name: str) -> None:
        homes = self._homes(building) if self._task(name).per == "home" else ("",)
        for home in homes:
            waits = self._sequence(building)[name]
            after = [key for wait in waits for key in self._awaited(wait, building, home)]
            besides = self._write(name, building, home, self._rank(building, name), after, {building: home})
            releases = {key for wait in waits if wait.task in RELEASES for key in self._awaited(wait, building, home)}
            if releases:
                self.before_roof.setdefault(building, []).extend(key for key in besides if key not in releases)

    def _write_for_site(self, name: str) -> None:
        mentions = {building: "" for building in self._buildings if name in self._sequence(building)}
        after = [
            key
            for building in mentions
            for wait in self._sequence(building)[name]
            for key in self._awaited(wait, building, "")
        ]
        rank = max(self._rank(building, name) for building in mentions)
        self._write(name, "", "", rank, after, mentions)

    def _write(
        self, name: str, building: str, home: str, rank: int, after: list[str], at: dict[str, str]
    ) -> tuple[str, ...]:
        """Write a task down at a place, with its delivery, and give the keys of what it waits for.

        Parameters: ``at``, the buildings and homes that it looks at.
        """
        entry = self._task(name)
        index = self._buildings.index(building) if building else -1
        place = home or building or SITE
        if entry.delivery is not None:
            ordered = [
                key
                for looked_at, inside in at.items()
                for wait in entry.delivery.ordered_after
                if self._is_played(wait.task, looked_at)
                for key in self._awaited(wait, looked_at, inside)
            ]
            called = entry.delivery.name or f"{name} delivery"
            task = self.tasks.wait(called, Kind.DELIVERY, rank, entry.delivery.lead, SITE_CALENDAR)
            delivery = NodeDraft(f"{place}/{called}", task, index, home, tuple(dict.fromkeys(ordered)))
            after = [*after, self.network.add(delivery)]
        awaited = tuple(dict.fromkeys(after))
        self.network.add(
            NodeDraft(
                key=f"{place}/{name}",
                task=self.tasks.work(name, entry, rank),
                building=index,
                home=home,
                after=awaited,
                milestone=entry.milestone or "",
            )
        )
        return awaited

    def _is_played(self, name: str, building: str) -> bool:
        return name in self.events[building] or name in self._sequence(building) or name in self._site_tasks()

    def _awaited(self, wait: After, building: str, home: str) -> list[str]:
        """Give the keys of the nodes that a wait means at a place; with a lag, those of the lags."""
        keys = self._meant(wait.task, building, home)
        return [self._lag(key, wait) for key in keys] if wait.lag > 0.0 else keys

    def _meant(self, name: str, building: str, home: str) -> list[str]:
        if name in self.events[building]:
            return [self.events[building][name]]
        per = self._task(name).per
        if per == "site":
            return [f"{SITE}/{name}"]
        if per == "building":
            return [f"{building}/{name}"]
        homes = (home,) if home else self._homes(building)
        return [f"{each or building}/{name}" for each in homes]

    def _lag(self, key: str, wait: After) -> str:
        """Write down the lag after a node: working hours of the site, or hours that run day and night."""
        place, _, name = key.partition("/")
        building = next((b for b in self._buildings if place == b or place in self.model.site.buildings[b].homes), "")
        called = f"{name} + {wait.written}"
        if wait.drying:
            task = self.tasks.dries(called, wait.lag)
        elif wait.working:
            task = self.tasks.wait(called, Kind.CURE, 0, Fixed(wait.lag), SITE_CALENDAR)
        else:
            task = self.tasks.wait(called, Kind.CURE, 0, Fixed(wait.lag))
        index = self._buildings.index(building) if building else -1
        home = place if building and place != building else ""
        return self.network.add(NodeDraft(f"{place}/{called}", task, index, home, (key,)))
