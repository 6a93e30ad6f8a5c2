"""A printed building's story as nodes, from the slab to the release of gantry and tent."""

from __future__ import annotations

from dataclasses import dataclass, field

from sitesim.chance import Fixed
from sitesim.plan import Kind, Node, Shell, Task, Wall
from sitesim.policies import Relocation, SetUpOrder, TakeDown
from sitesim.scenario.planning.network import Network, NodeDraft
from sitesim.scenario.planning.tasks import MILESTONE, TaskMaker
from sitesim.scenario.sections.wall import Wall as WallEntry

PRINTING_RANK = 3
"""The place of printing in a building's priorities: after the three tasks of setting up."""

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


@dataclass
class ShellStory:
    """The keys of a building's shell nodes, as its story is written down.

    Parameters: ``events``, for each event the key of the node that ends it; ``last``, the key of the step before,
    and ``beside`` of what else the next one waits for; ``rank``, that of the next step.
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
    _set_up(story, relocation)
    _print(story, wall)
    _take_down(story, relocation, TakeDown.WALLS)
    _finish(story, wall, relocation)
    story.aside("cure", story.tasks.cures(story.rank, wall.cure), story.events["beam"])
    _take_down(story, relocation, TakeDown.CURE)
    story.step("released", story.tasks.wait("released", Kind.MILESTONE, story.rank, MILESTONE), "released")


def _move(story: ShellStory, event: str, kind: Kind) -> None:
    work = story.tasks.model.moving_tasks[event]
    story.step(event, story.tasks.work(event, work, story.rank, kind), work.milestone or "")


def _set_up(story: ShellStory, relocation: Relocation) -> None:
    moves = [("gantry_up", Kind.GANTRY), ("tent_up", Kind.TENT)]
    if relocation.order is SetUpOrder.TENT_FIRST:
        moves.reverse()
    for event, kind in moves:
        _move(story, event, kind)
    _move(story, "calibrate", Kind.GANTRY)


def _print(story: ShellStory, wall: WallEntry) -> None:
    story.rank = PRINTING_RANK + 1
    for hold in sorted(wall.holds, key=lambda hold: hold.layer):
        steps = tuple(_shell_task(story, wall, name) for name in hold.tasks)
        story.holds[hold.layer] = (*story.holds.get(hold.layer, ()), *steps)
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
    kinds = {"printer": ("gantry_down", Kind.GANTRY), "tent": ("tent_down", Kind.TENT)}
    for thing in relocation.leave_after(event):
        _move(story, *kinds[thing])


def make_shell(story: ShellStory, wall: Wall, nodes: tuple[Node, ...]) -> Shell:
    """Give the shell of a building by the indices of its nodes."""
    index = {node.key: node.index for node in nodes}
    at = {event: index[key] for event, key in story.events.items()}
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
    )
