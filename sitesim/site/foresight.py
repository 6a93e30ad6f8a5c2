"""When work will be ready, as far as the steps before it are under way: what gangs are called by, and stay for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from sitesim.ledger.book import Ledger
from sitesim.plan import Kind, Node, Plan
from sitesim.policies import AtNotice
from sitesim.site.crews import Needs


class Foreseen(NamedTuple):
    """What hangs together of the network.

    ``before`` gives for each step of a gang called at notice the steps that it waits for; ``behind``, the other way.
    """

    before: dict[int, tuple[int, ...]]
    behind: dict[int, tuple[int, ...]]


def foreseen(plan: Plan) -> Foreseen:
    """Find the steps that gangs called at notice wait for; a milestone stands for what it waits for itself.

    Walls at height are no such milestone: nobody knows beforehand on which day they will be. Nor is it known when a
    building's story comes to a step: that waits for gantry and tent, too, and is called for when it is ready.
    """
    called = {unit for unit, each in enumerate(plan.units) if isinstance(each.flow, AtNotice)}
    sudden = {building.shell.walls for building in plan.buildings if building.shell is not None}
    before = {
        node.index: _before(plan, node, sudden)
        for node in plan.nodes
        if not node.told and node.key not in plan.state.done
        if any(not called.isdisjoint(group) for group in node.task.needs)
    }
    behind: dict[int, list[int]] = {}
    for index, awaited in before.items():
        for earlier in awaited:
            behind.setdefault(earlier, []).append(index)
    return Foreseen(before, {earlier: tuple(following) for earlier, following in behind.items()})


def _before(plan: Plan, node: Node, sudden: set[int]) -> tuple[int, ...]:
    found: dict[int, None] = {}
    waiting = list(node.after)
    while waiting:
        index = waiting.pop(0)
        earlier = plan.nodes[index]
        if earlier.task.kind is Kind.MILESTONE and index not in sudden:
            waiting.extend(earlier.after)
        else:
            found[index] = None
    return tuple(found)


class Foresight:
    """Foresees in one run when the work of gangs called at notice will be ready.

    Parameters: ``expect``, told the key and the needs of a step and when [h] it should be ready.
    """

    def __init__(
        self,
        network: Foreseen,
        nodes: Sequence[Node],
        ledger: Ledger,
        expect: Callable[[str, Needs, float], None],
    ) -> None:
        self.behind = network.behind
        self._before = network.before
        self._nodes = nodes
        self._ended = ledger.ended
        self._expect = expect
        self._ends: dict[int, float] = {}

    def begun(self, index: int, end: float) -> None:
        """Take note that a step has begun and should be done at an instant [h], or at another than was thought."""
        self._ends[index] = end
        for following in self.behind.get(index, ()):
            ends = [self._ended.get(earlier, self._ends.get(earlier)) for earlier in self._before[following]]
            known = [each for each in ends if each is not None]
            if len(known) == len(ends):
                node = self._nodes[following]
                self._expect(node.key, node.task.needs, max(*known, node.not_before))
