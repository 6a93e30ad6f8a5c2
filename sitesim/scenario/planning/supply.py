"""The supply of concrete in the numbers of the plan."""

from __future__ import annotations

from math import inf

from sitesim.chance import Fixed
from sitesim.plan import DryStore, HoldingHopper, Outage, Pour, ReadyMix, SiteMix, Supply, Traffic, in_drops
from sitesim.policies import (
    AdjustTheOrder,
    ConfirmTheOrder,
    DaysNeed,
    FixedSpacing,
    LoadSizes,
    OrderingPolicy,
    WillCall,
)
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.money import CostRates
from sitesim.scenario.sections.supply import (
    DEFAULT_STEP,
    USUAL_CUT_OFF,
    DryStoreEntry,
    HoldingHopperEntry,
    OutageEntry,
    ReadyMixSupply,
    SiteMixing,
)
from sitesim.scenario.sections.work import PourEntry


def make_supply(model: ScenarioModel) -> Supply | None:
    """Give the supply with its prices, or None where nothing is printed."""
    match model.supply:
        case ReadyMixSupply() as supply if model.walls:
            return _ready_mix(supply, model.costs)
        case SiteMixing() as supply if model.walls:
            return _site_mix(supply, model.costs)
    return None


def _ready_mix(supply: ReadyMixSupply, costs: CostRates) -> ReadyMix:
    return ReadyMix(
        ordering=_ordering(supply),
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
        hours=supply.calendar or "",
        other_customers=supply.other_customers,
        traffic=tuple(Traffic(*span, entry.factor) for entry in supply.traffic for span in entry.hours),
        outages=tuple(map(_outage, supply.outages)),
        holding=_holding(supply.holding_hopper, costs),
        morning_call=AdjustTheOrder() if supply.morning_call == "adjust" else ConfirmTheOrder(),
        notice=supply.notice,
    )


def _ordering(supply: ReadyMixSupply) -> OrderingPolicy:
    """Give the ordering policy; what its mode needs and is missing has been told before."""
    sizes = LoadSizes(_in_steps(supply.load, supply), in_drops(supply.step), _in_steps(supply.least, supply))
    lead = supply.lead or 0.0
    match supply.ordering:
        case "will-call":
            return WillCall(sizes, supply.first_arrival, lead, supply.early)
        case "days-need":
            return DaysNeed(sizes, supply.first_arrival, supply.early)
    return FixedSpacing(sizes, supply.spacing or 0.0, supply.first_arrival, lead if supply.top_up else None)


def _outage(entry: OutageEntry) -> Outage:
    return Outage(
        entry.name,
        entry.of,
        frozenset(day.toordinal() for day in entry.on),
        entry.hours,
        entry.chance,
        entry.time or Fixed(0.0),
    )


def _holding(entry: HoldingHopperEntry | None, costs: CostRates) -> HoldingHopper | None:
    if entry is None:
        return None
    return HoldingHopper(
        capacity=in_drops(entry.capacity),
        rate=entry.capacity / entry.empties_in,
        refill_at=in_drops(entry.refill_at),
        life_factor=entry.life,
        day=costs.holding_hopper,
    )


def _in_steps(volume: float, supply: ReadyMixSupply) -> float:
    """Give a volume [m³] as whole steps of the plant where it is that, so that a load of just that size equals it."""
    steps = volume / supply.step
    return round(steps) * in_drops(supply.step) if abs(steps - round(steps)) < 1e-6 else in_drops(volume)


def make_pour(entry: PourEntry, model: ScenarioModel) -> Pour:
    """Give a pour; what it does not say of the plant is that of the printed concrete."""
    plant, costs = model.supply, model.costs
    usual = plant if isinstance(plant, ReadyMixSupply) else None
    step = in_drops(usual.step if usual else DEFAULT_STEP)
    least = in_drops(usual.least if usual else 2 * DEFAULT_STEP)
    load = round(entry.load / step) * step or step
    return Pour(
        volume=in_drops(entry.volume),
        rate=entry.rate,
        sizes=LoadSizes(load, step, min(least, load)),
        prepare=entry.prepare,
        spacing=entry.spacing or entry.load / entry.rate,
        finish=entry.finish,
        working_life=entry.working_life,
        longest_break=entry.longest_break,
        cut_off=usual.cut_off if usual else USUAL_CUT_OFF,
        loading=entry.loading or (usual.loading if usual else Fixed(0.25)),
        haul=entry.haul or (usual.haul if usual else Fixed(1.0)),
        gate=entry.gate if entry.gate is not None else usual.gate if usual else 0.0,
        refused=entry.refused if entry.refused is not None else usual.refused if usual else 0.0,
        price=entry.price,
        short_load=costs.short_load,
        short_under=in_drops(costs.short_under),
        standby=costs.standby,
        standby_free=costs.standby_free,
        disposal=costs.disposal,
    )


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
        clean_every=supply.cleaning.every if supply.cleaning else inf,
        clean_time=supply.cleaning.time if supply.cleaning else 0.0,
        store=_store(supply.store),
    )


def _store(entry: DryStoreEntry | None) -> DryStore | None:
    if entry is None:
        return None
    return DryStore(in_drops(entry.capacity), in_drops(entry.reorder_at), in_drops(entry.delivery), entry.lead)
