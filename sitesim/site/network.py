"""The network of steps: each begins when the last of its predecessors is done."""

from __future__ import annotations

from functools import partial

import simpy

from sitesim.ledger.rows import NOBODY, Hold
from sitesim.plan import CAUSE_OF_KIND, Node
from sitesim.site.activity import let_pass, perform
from sitesim.site.world import Front, Process, World


class Network:
    """Starts the steps of the finishing network as they become ready, and knows which are done."""

    def __init__(self, world: World) -> None:
        self._world = world
        self._nodes = world.plan.nodes
        self._successors = world.stage.successors
        self._time_alone = world.stage.time_alone
        self._left = [len(node.after) for node in world.plan.nodes]
        self._fronts: dict[int, Front] = {}
        self._awaited: dict[int, simpy.Event] = {}

    def begin(self) -> None:
        """Start every step that waits for nothing, other than those that a building's story performs."""
        for node in self._world.plan.nodes:
            if not node.after and not node.told:
                self._start(node, Front())

    def reached(self, index: int) -> Process:
        """Wait until a node is done; returns the front at its end."""
        if index not in self._fronts:
            yield self._awaited.setdefault(index, self._world.env.event())
        return self._fronts[index]

    def done(self, index: int, front: Front) -> None:
        """Take note that a node is done, and start what was waiting for it last."""
        world = self._world
        self._fronts[index] = front
        world.ledger.ended[index] = front.ready
        if index in self._awaited:
            self._awaited[index].succeed()
        left = self._left
        for following in self._successors[index]:
            left[following] -= 1
            if left[following] == 0:
                node = self._nodes[following]
                if not node.told:
                    self._start(node, front)
        world.progress.left -= 1
        if world.progress.left == 0:
            world.all_done.succeed()

    def milestone(self, index: int, front: Front) -> Front:
        """Mark a node that takes no time, such as the walls standing at height; returns the front at it."""
        now, node = self._world.env.now, self._world.plan.nodes[index]
        entry = self._world.ledger.note(index, node.key, node.task.kind, node.building, front, now, now)
        reached = Front.after(entry)
        self.done(index, reached)
        return reached

    def _start(self, node: Node, front: Front) -> None:
        """Let a step begin: time that passes by itself needs no process."""
        env = self._world.env
        if node.index in self._time_alone and node.not_before <= env.now:
            let_pass(self._world, node, front, partial(self.done, node.index))
        else:
            env.process(self._step(node, front))

    def _step(self, node: Node, front: Front) -> Process:
        if node.not_before > self._world.env.now:
            yield node.not_before - self._world.env.now
            front = front.held(Hold(node.not_before, CAUSE_OF_KIND[node.task.kind], NOBODY))
        self.done(node.index, (yield from perform(self._world, node, front)))
