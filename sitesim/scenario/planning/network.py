"""The network of nodes: drafted by key, then put in an order in which each comes after what it waits for."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

from sitesim.plan import Node, Task


class CircularNetworkError(ValueError):
    """Nodes that wait for one another: ``keys``, each waiting for the next, the first again at the end."""

    def __init__(self, keys: list[str]) -> None:
        super().__init__(" -> ".join(keys))
        self.keys = keys


@dataclass
class NodeDraft:
    """A node that knows the nodes before it by their keys."""

    key: str
    task: Task
    building: int
    home: str = ""
    after: tuple[str, ...] = ()
    not_before: float = 0.0
    milestone: str = ""
    told: bool = False


@dataclass
class Network:
    """Drafts of nodes by key, in the order in which they were written down."""

    drafts: dict[str, NodeDraft] = field(default_factory=dict)

    def add(self, draft: NodeDraft) -> str:
        """Write a draft down and give its key; a key that is there already stays as it is."""
        return self.drafts.setdefault(draft.key, draft).key

    def all_before(self, key: str) -> set[str]:
        """Give the keys of all that has to be done before a node."""
        found: set[str] = set()
        waiting = list(self.drafts[key].after)
        while waiting:
            earlier = waiting.pop()
            if earlier not in found:
                found.add(earlier)
                waiting.extend(self.drafts[earlier].after)
        return found

    def nodes(self) -> tuple[Node, ...]:
        """Give the nodes in order: as written down, but each after what it waits for.

        Raises CircularNetworkError if that cannot be.
        """
        order = self._order()
        index = {key: position for position, key in enumerate(order)}
        return tuple(
            Node(
                index=index[key],
                key=key,
                task=draft.task,
                building=draft.building,
                home=draft.home,
                after=tuple(sorted(index[other] for other in set(draft.after))),
                not_before=draft.not_before,
                milestone=draft.milestone,
                told=draft.told,
            )
            for key, draft in ((key, self.drafts[key]) for key in order)
        )

    def _order(self) -> list[str]:
        keys = list(self.drafts)
        place = {key: position for position, key in enumerate(keys)}
        waiting = {key: len(set(self.drafts[key].after)) for key in keys}
        followers: dict[str, list[str]] = {key: [] for key in keys}
        for key in keys:
            for other in set(self.drafts[key].after):
                followers[other].append(key)
        free = [place[key] for key in keys if not waiting[key]]
        heapq.heapify(free)
        order: list[str] = []
        while free:
            key = keys[heapq.heappop(free)]
            order.append(key)
            for follower in followers[key]:
                waiting[follower] -= 1
                if not waiting[follower]:
                    heapq.heappush(free, place[follower])
        if len(order) < len(keys):
            raise CircularNetworkError(self._circle())
        return order

    def _circle(self) -> list[str]:
        try:
            TopologicalSorter({key: draft.after for key, draft in self.drafts.items()}).prepare()
        except CycleError as error:
            return list(reversed(error.args[1]))
        return []
