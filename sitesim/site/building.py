"""A printed building's story, from the slab to the day on which gantry and tent have gone."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from sitesim.hours import NEVER, on_clock
from sitesim.plan import Building, Cause, Node, Shell, UnitKind
from sitesim.policies import COMING, GOING, SETTLING, Relocation, TakeDown
from sitesim.site.activity import perform
from sitesim.site.breakdowns import Wear
from sitesim.site.campaign import Campaign
from sitesim.site.engaging import hold_machine
from sitesim.site.network import Network
from sitesim.site.supply import Supply
from sitesim.site.whereabouts import Whereabouts
from sitesim.site.world import Front, Process, World

_KINDS = {"printer": UnitKind.PRINTER, "tent": UnitKind.TENT}


class PrintedBuilding:
    """Plays one building's shell.

    Parameters: ``wear``, by printer unit the exposure to stops that goes with it from building to building;
    ``whereabouts`` of gantries and tents.
    """

    def __init__(
        self,
        world: World,
        network: Network,
        building: int,
        supply: Supply,
        wear: dict[int, Wear],
        whereabouts: Whereabouts,
    ) -> None:
        self._world = world
        self._network = network
        self._index = building
        self._building: Building = world.plan.buildings[building]
        shell = self._building.shell
        relocation = world.plan.relocation
        assert shell is not None
        assert relocation is not None
        self._shell: Shell = shell
        self._relocation: Relocation = relocation
        self._whereabouts = whereabouts
        self._serving = {thing: whereabouts.serving(shell, kind) for thing, kind in _KINDS.items()}
        self._moves = {
            "gantry_up": shell.gantry_up,
            "tent_up": shell.tent_up,
            "calibrate": shell.calibrate,
            "gantry_down": shell.gantry_down,
            "tent_down": shell.tent_down,
            **shell.moving,
        }
        self._held: dict[str, int] = {}
        self._campaign = Campaign(world, building, supply, wear, self._held)

    def play(self) -> Process:
        """Tell the story."""
        front: Front = yield from self._network.reached(self._shell.ready)
        front = yield from self._set_up(front)
        front = yield from self._print_the_walls(front)
        front = yield from self._take_down(TakeDown.WALLS, front)
        beside = self._begin_to_leave_by_strength()
        front = yield from self._leave_to_cure(self._shell.walls, front)
        for index in self._shell.finish:
            front = yield from self._step(index, front)
            front = yield from self._leave_to_cure(index, front)
        cured: Front = yield from self._network.reached(self._shell.cure)
        front = yield from self._take_down(TakeDown.CURE, _later(front, cured))
        front = yield from self._take_down(TakeDown.ROOF, front)
        front = yield from self._after_all(beside, front)
        self._network.milestone(self._shell.released, front)

    def _leave_to_cure(self, index: int, front: Front) -> Process:
        """After the pour, or after walls on which nothing is poured, begin the cure, and take down meanwhile."""
        if index != self._shell.beam:
            return front
        self._world.env.process(self._cure(front))
        return (yield from self._take_down(TakeDown.BEAM, front))

    def _cure(self, front: Front) -> Process:
        """Let the beam cure from its pour on, whatever is taken down meanwhile."""
        yield from self._step(self._shell.cure, front)

    def _set_up(self, front: Front) -> Process:
        """Ask for gantry and tent in the order of the method, and bring each onto the slab; then make them ready."""
        whereabouts = self._whereabouts
        for thing in self._relocation.asked_for():
            group = self._serving[thing]
            rank = partial(self._hours_to_bring, thing)
            front, unit = yield from hold_machine(self._world, _KINDS[thing], group, self._index, front, rank)
            self._held[thing] = unit
            steps = self._relocation.coming(thing, whereabouts.has_been_here(unit))
            way = whereabouts.way(unit, self._index)
            whereabouts.comes(unit, self._index, group)
            front = yield from self._move(COMING[thing], steps, front, unit, way)
        return (yield from self._move(SETTLING, SETTLING, front, self._held["printer"]))

    def _hours_to_bring(self, thing: str, unit: int) -> float:
        """Give the time [h] that it is expected to take to bring a thing onto this slab from where it stands.

        One that has not been here yet is out of question where those that stand here in one piece are all needed.
        """
        whereabouts = self._whereabouts
        again = whereabouts.has_been_here(unit)
        stays, group = self._relocation.stays_here(thing), self._serving[thing]
        if stays and not again and not whereabouts.takes_more_than_stand(group):
            return NEVER
        way = whereabouts.way(unit, self._index)
        steps = self._relocation.coming(thing, again)
        tasks = [self._world.plan.nodes[self._moves[step]].task for step in steps if step in self._moves]
        return sum(task.duration.mean + task.pace * way for task in tasks)

    def _take_down(self, event: TakeDown, front: Front) -> Process:
        """Bring off the slab what leaves after an event; it is free then for the building that asks next."""
        for thing in self._relocation.leave_after(event):
            front = yield from self._after_all(self._shell.stays_for.get(thing, ()), front)
            unit = self._held.pop(thing)
            again = self._whereabouts.leaves(self._serving[thing])
            steps = self._relocation.going(thing, again)
            front = yield from self._move(GOING[thing], steps, front, unit)
            if self._relocation.can_come_again(thing, again):
                self._world.crews.give_back((unit,), front.by)
        return front

    def _begin_to_leave_by_strength(self) -> tuple[int, ...]:
        """Let go, beside the story, what leaves once the walls have their maturity; gives the nodes that end that."""
        leaving = self._relocation.leave_after(TakeDown.STRENGTH)
        if leaving:
            self._world.env.process(self._leave_by_strength())
        return tuple(self._moves[step] for thing in leaving for step in GOING[thing] if step in self._moves)

    def _leave_by_strength(self) -> Process:
        assert self._shell.strength is not None
        ripe: Front = yield from self._network.reached(self._shell.strength)
        yield from self._take_down(TakeDown.STRENGTH, ripe)

    def _after_all(self, awaited: Sequence[int], front: Front) -> Process:
        """Wait until other nodes are done as well; returns the front of whatever came last."""
        for index in awaited:
            other: Front = yield from self._network.reached(index)
            front = _later(front, other)
        return front

    def _move(self, steps: Sequence[str], played: Sequence[str], front: Front, unit: int, way: float = 0.0) -> Process:
        """Do the steps of a move that this building has; those that this move does not need are done with.

        Parameters: ``steps``, all that there may be; ``played``, those that this move takes; ``way`` [m] from the slab
        before.
        """
        for step in steps:
            index = self._moves.get(step)
            if index is None:
                continue
            if step in played:
                front = yield from self._step(index, front, unit, way)
            else:
                self._network.done(index, front)
        return front

    def _step(self, index: int, front: Front, machine: int | None = None, way: float = 0.0) -> Process:
        node: Node = self._world.plan.nodes[index]
        machines = () if machine is None else (machine,)
        booked = self._campaign.visits.pop(index, None)
        front = yield from perform(self._world, node, front, machines, on_clock(node.task.pace * way), booked)
        self._network.done(index, front)
        return front

    def _print_the_walls(self, front: Front) -> Process:
        """Print day after day, and do what is due at the layers at which printing is held."""
        campaign, wall = self._campaign, self._shell.wall
        held_at = campaign.done.layers
        while campaign.done.layers < wall.layers:
            front = yield from campaign.print_day(front)
            if campaign.done.layers > held_at:
                held_at = campaign.done.layers
                for index in self._shell.holds.get(held_at, ()):
                    front = yield from self._step(index, front)
                    campaign.between = Cause.CONCRETE
        return self._network.milestone(self._shell.walls, front)


def _later(one: Front, other: Front) -> Front:
    """Give the front that was reached later, the first where both were reached at once."""
    return max(one, other, key=lambda front: front.ready)
