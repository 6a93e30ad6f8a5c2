"""A printed building's story as nodes, from the slab to the release of gantry and tent."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from sitesim.chance import Fixed
from sitesim.plan import Kind, Node, Shell, Task, UnitKind, Wall
from sitesim.policies import GOING, SETTLING, Relocation, TakeDown
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.network import Network, NodeDraft
from sitesim.scenario.planning.tasks import MILESTONE, TaskMaker
from sitesim.scenario.sections.wall import Wall as WallEntry

SHELL_EVENTS = (
    "slab",
    "gantry_up",
    "tent_up",
    "calibrate",
    "walls",
    "beam",
    "cure",
    "tent_down",
    "gantry_down",
    "released",
)
"""What a finishing task may wait for in every printed building, besides the tasks of its own wall."""


def shell_events(model: ScenarioModel) -> tuple[str, ...]:
    """Name what a finishing task may wait for in every printed building of a scenario."""
    if model.relocation is None:
        return SHELL_EVENTS
    strength = ["strength"] if model.relocation.strength is not None else []
    return tuple(dict.fromkeys((*SHELL_EVENTS, *model.relocation.in_play, *strength)))


def setting_up(model: ScenarioModel) -> tuple[tuple[str, Kind], ...]:
    """Name the steps that come before a building's first print day, in order, and what each moves."""
    if model.relocation is None:
        return ()
    relocation = model.relocation.policy
    coming = [(step, _KINDS[thing]) for thing in relocation.asked_for() for step in relocation.may_come(thing)]
    settling = [(step, Kind.GANTRY) for step in SETTLING]
    return tuple(step for step in (*coming, *settling) if step[0] in model.moving_tasks)


_KINDS = {"printer": Kind.GANTRY, "tent": Kind.TENT}


@dataclass
class ShellStory:
    """The keys of a building's shell nodes, as its story is written down.

    Parameters: ``events``, for each event the key of the node that ends it; ``last``, the key of the step before,
    and ``beside`` of what else the next one waits for; ``rank``, that of the next step; ``gone_beside``, of what leaves
    beside the story; ``stays_for``, of what gantry (``printer``) or tent wait for, their event past, before they leave.
    """

    network: Network
    tasks: TaskMaker
    name: str
    building: int
    rank: int = 0
    last: str = ""
    beside: tuple[str, ...] = ()
    events: dict[str, str] = field(default_factory=dict)
    holds: dict[int, tuple[str, ...]] = field(default_factory=dict)
    finish: tuple[str, ...] = ()
    gone_beside: tuple[str, ...] = ()
    stays_for: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def step(self, event: str, task: Task, milestone: str = "", told: bool = True) -> str:
        """Write down the next step of the story and give its key."""
        key = self._free_key(event)
        after = (*self.beside, self.last) if self.last else ()
        self.beside = ()
        self.network.add(NodeDraft(key, task, self.building, after=after, milestone=milestone, told=told))
        self.events[event] = key
        self.last = key
        self.rank += 1
        return key

    def aside(self, event: str, task: Task, after: str) -> str:
        """Write down a step that goes on beside the story, which waits for it before its next step; give its key."""
        earlier, self.last = self.last, after
        key = self.step(event, task, milestone=event)
        self.beside = (earlier,) if earlier != after else ()
        return key

    def _free_key(self, event: str) -> str:
        """Give the key of a step; a task done a second time in the same building is numbered."""
        key, number = f"{self.name}/{event}", 1
        while key in self.network.drafts:
            number += 1
            key = f"{self.name}/{event} {number}"
        return key


def hand_in_slab(story: ShellStory, ready: float, cure: float) -> None:
    """Write down the slab: handed in at ``ready`` [h], and cured for ``cure`` [h] before it is loaded."""
    task = story.tasks.wait("slab", Kind.HANDED_IN, 0, MILESTONE, "site")
    key = f"{story.name}/slab"
    story.network.add(NodeDraft(key, task, story.building, not_before=ready, milestone="slab"))
    story.events["slab"] = story.last = key
    if cure > 0.0:
        story.step("slab_cure", story.tasks.wait("slab_cure", Kind.CURE, 0, Fixed(cure)), told=False)
    story.rank = 0


def tell_shell(story: ShellStory, wall: WallEntry, relocation: Relocation) -> None:
    """Write down all steps from setting up to the release, in the order in which they are done."""
    _set_up(story)
    _print(story, wall)
    _take_down(story, relocation, TakeDown.WALLS)
    _gain_strength(story, relocation)
    _finish(story, wall, relocation)
    story.aside("cure", story.tasks.cures(story.rank, wall.cure), story.events["beam"])
    _take_down(story, relocation, TakeDown.CURE)
    _take_down(story, relocation, TakeDown.ROOF)
    story.beside = (*story.beside, *story.gone_beside)
    story.step("released", story.tasks.wait("released", Kind.MILESTONE, story.rank, MILESTONE), "released")


def _move(story: ShellStory, event: str, kind: Kind) -> None:
    work = story.tasks.model.moving_tasks[event]
    story.step(event, story.tasks.work(event, work, story.rank, kind), work.milestone or "")


def _set_up(story: ShellStory) -> None:
    for event, kind in setting_up(story.tasks.model):
        _move(story, event, kind)


def _gain_strength(story: ShellStory, relocation: Relocation) -> None:
    """Let the walls gain strength beside the story, and gantry or tent leave then, if that is what they wait for."""
    entry = story.tasks.model.relocation
    if entry is None or entry.strength is None:
        return
    under_tent = relocation.tent_leaves in (TakeDown.STRENGTH, TakeDown.ROOF)
    task = story.tasks.strengthens(story.rank, entry.strength, under_tent)
    key = f"{story.name}/strength"
    after = (story.events["walls"],)
    story.network.add(NodeDraft(key, task, story.building, after=after, milestone="strength"))
    story.events["strength"] = key
    main, beside, story.last, story.beside = story.last, story.beside, key, ()
    _take_down(story, relocation, TakeDown.STRENGTH)
    story.gone_beside = () if story.last == key else (story.last,)
    story.last, story.beside = main, beside


def _print(story: ShellStory, wall: WallEntry) -> None:
    story.rank += 1  # after the rank of the print days
    points = [point for point in wall.points if point.kind == "hold"]
    for layer in sorted({*(hold.layer for hold in wall.holds), *(point.layer for point in points)}):
        called = [
            story.step(point.name, story.tasks.held_at(point, story.rank)) for point in points if point.layer == layer
        ]
        named = [name for hold in wall.holds if hold.layer == layer for name in hold.tasks]
        story.holds[layer] = (*called, *(_shell_task(story, wall, name) for name in named))
    story.step("walls", story.tasks.wait("walls", Kind.MILESTONE, story.rank, MILESTONE), "walls")


def _shell_task(story: ShellStory, wall: WallEntry, name: str) -> str:
    work = wall.tasks[name]
    return story.step(name, story.tasks.work(name, work, story.rank), work.milestone or "")


def _finish(story: ShellStory, wall: WallEntry, relocation: Relocation) -> None:
    steps = []
    for name in wall.finish:
        steps.append(_shell_task(story, wall, name))
        if name == wall.pour:
            _take_down(story, relocation, TakeDown.BEAM)
    story.finish = tuple(steps)
    pour = story.network.drafts[story.events[wall.pour]]
    pour.milestone = pour.milestone or "beam"
    story.events["beam"] = pour.key


def _take_down(story: ShellStory, relocation: Relocation, event: TakeDown) -> None:
    for thing in relocation.leave_after(event):
        if thing == "printer" and relocation.gantry_waits_for_tent:
            story.stays_for[thing] = (story.events["tent_down"],)
            story.beside = (*story.beside, story.events["tent_down"])
        for step in relocation.may_go(thing):
            if step in story.tasks.model.moving_tasks:
                _move(story, step, _KINDS[thing])


class TentHeldError(ValueError):
    """A tent that stays for the roof would never be struck; the message says why."""


def hold_tents(network: Network, stories: Iterable[ShellStory], before_roof: Mapping[str, Iterable[str]]) -> None:
    """Let each tent that stays for the roof wait for all that the roof waits for besides the tent.

    A gantry that leaves by strength, and may do so later than all else, keeps the roof from going on as well. What
    comes after the release itself is left out. Parameters: ``before_roof``, by building the keys of what the tasks
    that wait for its release wait for besides. Raises TentHeldError where no task waits for the release of a building,
    or where one waits for something that waits for another building.
    """
    for story in stories:
        if "tent_down" not in story.events:
            continue
        if story.name not in before_roof:
            raise TentHeldError(
                f"no task of {story.name} waits for released, so nothing says when the roof can go on there; let the "
                "roof wait for released"
            )
        struck = story.events["tent_down"]
        stays_for = list(story.gone_beside)
        for key in dict.fromkeys(before_roof[story.name]):
            earlier = network.all_before(key)
            if struck in earlier or key == struck:
                continue
            others = [one for one in earlier if network.drafts[one].told and _is_elsewhere(network, one, story)]
            if others:
                raise TentHeldError(
                    f"the tent of {story.name} would stay until {key}, which waits for {min(others)}; a tent waits for "
                    "its own building only"
                )
            stays_for.append(key)
        story.stays_for["tent"] = tuple(stays_for)
        draft = network.drafts[struck]
        draft.after = tuple(dict.fromkeys((*draft.after, *stays_for)))


def _is_elsewhere(network: Network, key: str, story: ShellStory) -> bool:
    return network.drafts[key].building != story.building


def make_shell(
    story: ShellStory, wall: Wall, nodes: tuple[Node, ...], served_by: Mapping[UnitKind, tuple[int, ...]]
) -> Shell:
    """Give the shell of a building by the indices of its nodes.

    Parameters: ``served_by``, the gantries and tents of which any one serves it.
    """
    index = {node.key: node.index for node in nodes}
    at = {event: index[key] for event, key in story.events.items()}
    steps = {step for step, _ in setting_up(story.tasks.model)} | {step for going in GOING.values() for step in going}
    return Shell(
        wall=wall,
        ready=at.get("slab_cure", at["slab"]),
        gantry_up=at["gantry_up"],
        tent_up=at["tent_up"],
        calibrate=at["calibrate"],
        holds={layer: tuple(index[key] for key in keys) for layer, keys in story.holds.items()},
        walls=at["walls"],
        finish=tuple(index[key] for key in story.finish),
        beam=at["beam"],
        cure=at["cure"],
        gantry_down=at["gantry_down"],
        tent_down=at["tent_down"],
        released=at["released"],
        moving={step: at[step] for step in at if step in steps and step not in SHELL_EVENTS},
        strength=at.get("strength"),
        stays_for={thing: tuple(index[key] for key in keys) for thing, keys in story.stays_for.items()},
        served_by=dict(served_by),
    )
