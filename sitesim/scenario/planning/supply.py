"""The supply of concrete in the numbers of the plan."""

from __future__ import annotations

from sitesim.plan import ReadyMix, SiteMix, Supply, in_drops
from sitesim.policies import FixedSpacing
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.money import CostRates
from sitesim.scenario.sections.supply import ReadyMixSupply, SiteMixing


def make_supply(model: ScenarioModel) -> Supply | None:
    """Give the supply with its prices, or None where nothing is printed."""
    match model.supply:
        case ReadyMixSupply() as supply if model.walls:
            return _ready_mix(supply, model.costs)
        case SiteMixing() as supply if model.walls:
            return _site_mix(supply, model.costs)
    return None


def _ready_mix(supply: ReadyMixSupply, costs: CostRates) -> ReadyMix:
    step = in_drops(supply.step)
    return ReadyMix(
        ordering=FixedSpacing(
            load=_in_steps(supply.load, supply),
            spacing=supply.spacing,
            first_arrival=supply.first_arrival,
            step=step,
            least=_in_steps(supply.least, supply),
        ),
        trucks=supply.trucks,
        bays=supply.bays,
        cut_off=supply.cut_off,
        loading=supply.loading,
        haul=supply.haul,
        back=supply.way_back,
        gate=supply.gate,
        refused=supply.refused,
        wash=supply.wash,
        price=costs.mix,
        short_load=costs.short_load,
        short_under=_in_steps(costs.short_under, supply),
        standby=costs.standby,
        standby_free=costs.standby_free,
        disposal=costs.disposal,
        cancellation=costs.cancellation,
    )


def _in_steps(volume: float, supply: ReadyMixSupply) -> float:
    """Give a volume [m³] as whole steps of the plant where it is that, so that a load of just that size equals it."""
    steps = volume / supply.step
    return round(steps) * in_drops(supply.step) if abs(steps - round(steps)) < 1e-6 else in_drops(volume)


def _site_mix(supply: SiteMixing, costs: CostRates) -> SiteMix:
    return SiteMix(
        batch=in_drops(supply.batch),
        cycle=supply.cycle,
        ready=supply.ready,
        fails=supply.batch_fails,
        blend=costs.blend,
        hands=costs.hands,
        mixer=costs.mixer,
        disposal=costs.disposal,
    )
