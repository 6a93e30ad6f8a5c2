"""Plays one site once: sets the stories going, runs until all is handed over, and says why if it never is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitesim.chance import Luck
from sitesim.hours import NEVER, on_clock
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import Entry
from sitesim.plan import PrintDay, ReadyMix, Shelter, UnitKind, plain
from sitesim.policies import KeptRunning
from sitesim.site.breakdowns import Wear
from sitesim.site.building import PrintedBuilding
from sitesim.site.flow import start_delays
from sitesim.site.heating import heated_hours
from sitesim.site.network import Network
from sitesim.site.ready_mix import ReadyMixSupply
from sitesim.site.site_mix import SiteMixSupply
from sitesim.site.skies import RunHours
from sitesim.site.stage import Stage
from sitesim.site.supply import Supply, Surroundings
from sitesim.site.whereabouts import Whereabouts
from sitesim.site.world import World
from sitesim.trade.working_life import working_life


@dataclass(frozen=True, slots=True)
class Played:
    """One run: its ledger, the reason why it could not end, empty if it did, and its weather.

    ``start_delays`` [h of its calendar] are those of the units that were kept running.
    """

    run: int
    ledger: Ledger
    unfinished: str
    hours: RunHours
    start_delays: Mapping[int, float]

    @property
    def finished(self) -> bool:
        """Tell whether everything was handed over within the horizon."""
        return not self.unfinished


def play(stage: Stage, seed: int, run: int, keep_diary: bool = False) -> Played:
    """Play one run of a plan.

    Parameters: ``stage``, what the runs of the plan share; ``seed`` of the study; ``run``, which luck; ``keep_diary``,
    whether layers and remarks are written down too.
    """
    if stage.start_delays is None:
        stage.start_delays = _start_delays(stage)
    world = World(stage, Luck(seed, run))
    if keep_diary:
        world.ledger.keep_diary()
    network = Network(world)
    network.begin()
    _begin_printing(world, network)
    if not world.plan.nodes:
        return _ended(world, run, "")
    try:
        world.env.run(until=world.all_done)
    except RuntimeError:
        # SimPy says that nothing is left to happen: somebody waits for what never comes.
        if world.all_done.triggered or world.env.peek() < NEVER:
            raise
        return _ended(world, run, who_waits(world))
    return _ended(world, run, "")


def _start_delays(stage: Stage) -> dict[int, float]:
    """Find the start delays [h of its calendar] of the units that are kept running, playing the plain plan for them."""
    if not any(isinstance(unit.flow, KeptRunning) for unit in stage.plan.units):
        return {}
    rehearsal = Stage(plain(stage.plan))

    def plain_with(delays: Mapping[int, float]) -> Sequence[Entry]:
        rehearsal.start_delays = dict(delays)
        return play(rehearsal, 0, 0).ledger.entries

    return start_delays(stage, plain_with)


def _ended(world: World, run: int, unfinished: str) -> Played:
    """Reckon what is known only at the end, and give the run."""
    if world.plan.costs.heater_hour:
        world.ledger.counts.heated_hours = heated_hours(world)
    return Played(run, world.ledger, unfinished, world.hours, world.stage.start_delays or {})


def who_waits(world: World) -> str:
    """Name the first that waits for what never comes, and what that is."""
    for key, reason in world.progress.never.items():
        return f"{key}: {reason}"
    for ask in world.crews.pending:
        wanted = " and ".join(" or ".join(world.plan.units[unit].name for unit in group) for group in ask.needs)
        if all(any(not world.crews.is_busy(unit) for unit in group) for group in ask.needs):
            return f"{ask.key}: hours in which {wanted} may do this work do not come within the horizon"
        for unit in (unit for group in ask.needs for unit in group):
            if why := world.crews.why_away(unit):
                return f"{ask.key}: {world.plan.units[unit].name} {why}"
        return f"{ask.key}: {wanted} is never given back"
    return "steps that wait for each other are never begun"


def _begin_printing(world: World, network: Network) -> None:
    plan = world.plan
    if plan.print_day is None or plan.supply is None:
        return
    supply = _open_supply(world, plan.print_day)
    printers = [i for i, unit in enumerate(plan.units) if unit.kind is UnitKind.PRINTER]
    wear = {unit: Wear(plan.print_day.stops, world.luck, n) for n, unit in enumerate(printers)}
    whereabouts = Whereabouts(plan)
    for index, building in enumerate(plan.buildings):
        if building.shell is not None:
            world.env.process(PrintedBuilding(world, network, index, supply, wear, whereabouts).play())


def _under(shelter: Shelter | None, air: float) -> float:
    """Give the temperature [°C] under a shelter when the air outside has ``air`` [°C]."""
    return air if shelter is None else max(air, min(air + shelter.rise, shelter.set_point))


def _open_supply(world: World, rules: PrintDay) -> Supply:
    """Choose the supply that the plan names."""
    shelter, lives = world.plan.printing_shelter, world.stage.lives

    def life_of(batched: float) -> float:
        air = world.hours.temperature(batched) if rules.life_falls_with_heat else None
        life = lives.get(air)
        if life is None:
            temperature = 20.0 if air is None else max(air + rules.warmth, rules.least_warmth, _under(shelter, air))
            life = lives[air] = on_clock(working_life(rules.working_life, temperature))
        return life

    plan, stage = world.plan.supply, world.stage
    around = Surroundings(world.env, world.luck, world.ledger, world.plan.start.toordinal(), life_of, rules.waived)
    if isinstance(plan, ReadyMix):
        hours = stage.shift((plan.hours,)) if plan.hours else None
        return ReadyMixSupply(around, plan, hours)
    assert plan is not None
    hours = stage.shift(("site",)) if "site" in world.plan.calendars else stage.everlasting
    return SiteMixSupply(around, plan, hours)
