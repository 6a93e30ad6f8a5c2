"""The loads of one print day: which are ordered, which are likely calls, and until when each is to be used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import mode
from typing import NamedTuple

from sitesim.answers.statistics import Estimate, proportion_interval, quantile
from sitesim.hours import NEVER
from sitesim.ledger.book import Ledger
from sitesim.ledger.rows import REFUSED, REPLACEMENT, Flow, Load
from sitesim.plan import HoldingHopper, Plan, ReadyMix, plain
from sitesim.policies import FixedSpacing, WillCall
from sitesim.site import Stage, play
from sitesim.site.weather_class import DaysNear, WeatherClass, life_on_a_warm_day
from sitesim.study.print_days import PlayedPrintDays

_LIKELY = 0.5
"""What comes on at least this share of the days is likely."""


class InHopper(NamedTuple):
    """What becomes of a load in the holding hopper.

    ``oldest``, the number of the oldest load that it is mixed with, or its own; ``lasts`` [h], when all of it, and all
    that came before it, is used up, thrown away or washed out.
    """

    oldest: int
    lasts: float


@dataclass(frozen=True, slots=True)
class OrderedLoad:
    """One load of a print day; volume [m³], instants [h after midnight of the day].

    ``call_at``, when it is likely to be called for, None where it is ordered the day before; ``wanted``, on which share
    of the days it is called for. ``use_by`` holds for the mixture where the load is likely to be stirred into what is
    left in a holding hopper: it is then ``as_old_as`` the load of that number. Where that is not likely, but so on some
    days, ``stirred`` tells on which share of them, and ``stirred_use_by``. ``begun``, ``empty`` and
    ``empty_late``, discharge of its truck in one run of two and, late, in nine of ten; ``lasts`` and ``lasts_late``,
    when it is used up in a holding hopper.
    """

    number: int
    volume_m3: float
    due: float
    batched: float
    use_by: float
    call_at: float | None = None
    wanted: Estimate | None = None
    as_old_as: int | None = None
    stirred: Estimate | None = None
    stirred_use_by: float | None = None
    begun: float | None = None
    empty: float | None = None
    empty_late: float | None = None
    lasts: float | None = None
    lasts_late: float | None = None


def ordered_loads(
    plan: Plan, played: PlayedPrintDays, near: DaysNear | None, of: WeatherClass, seed: int
) -> list[OrderedLoad]:
    """Give each load of the day, ordered or likely to be called for, and what the runs say of it.

    An ordered load is batched when it would be with all times as expected; one that is called for, as it is in the
    middle of the runs. It is to be used within the working life on a warm day of the class, which a holding hopper may
    lengthen, or shorten where it is stirred into older concrete.

    Parameters: ``plan`` of the print day; ``played``, its runs with their loads; ``seed`` under which they were played.
    """
    supply = _supply_of(plan)
    stage, expected = Stage(plan), play(Stage(plain(plan)), 0, 0).ledger
    printed = [row.run for row in played.rows if row.print_days]
    fates: dict[int, list[InHopper]] = {}
    if supply.holding is not None:
        fates = _fates_in_runs(stage, seed, printed)
    found: list[OrderedLoad] = []
    for one in _placed_in_time(plan, expected, _by_number(played), len(printed)):
        life = life_on_a_warm_day(stage, near, of, one.batched)
        mine = replace(one, use_by=one.batched + life * (supply.holding.life_factor if supply.holding else 1.0))
        if supply.holding is not None and found:
            mine = _stirred(mine, found[-1], fates.get(one.number, []))
        if one.number in fates:
            lasts = [fate.lasts for fate in fates[one.number]]
            mine = replace(mine, lasts=quantile(lasts, 0.5), lasts_late=quantile(lasts, 0.9))
        found.append(mine)
    return found


def loads_on_order(plan: Plan) -> int:
    """Count the loads that are ordered the day before."""
    supply = _supply_of(plan)
    if isinstance(supply.ordering, WillCall):
        return 1
    if isinstance(supply.ordering, FixedSpacing):
        plan = replace(plan, supply=replace(supply, ordering=replace(supply.ordering, top_up=None)))
    return play(Stage(plain(plan)), 0, 0).ledger.counts.loads


def let_in_at(holding: HoldingHopper, volume: float) -> float:
    """Give what may be left [m³] in a holding hopper when a load of a ``volume`` [m³] is let in."""
    return max(0.0, min(holding.refill_at, holding.capacity - volume))


def fates_in_hopper(flows: Sequence[Flow], loads: Sequence[Load]) -> dict[int, InHopper]:
    """Tell for each number of a load that a holding hopper took on a day what became of it there.

    Parameters: ``flows`` to and from the pump, in the order in which they ended.
    """
    ended = {load.discharge_ended: load.number for load in loads if load.verdict != REFUSED}
    of_age = {load.batched: load.number % REPLACEMENT for load in loads}
    leaving = [flow for flow in flows if flow.volume < 0.0]
    found: dict[int, InHopper] = {}
    let_in = 0.0
    for flow in flows:
        if flow.volume > 0.0:
            let_in += flow.volume
            if flow.end in ended:
                found[ended[flow.end]] = InHopper(of_age.get(flow.born, ended[flow.end]), _all_gone(leaving, let_in))
    return found


def _all_gone(leaving: Sequence[Flow], volume: float) -> float:
    """Give the instant [h] at which so much [m³] has left the pump, oldest first."""
    gone = 0.0
    for flow in leaving:
        if gone - flow.volume >= volume - 1e-9:
            return flow.start + (volume - gone) / -flow.volume * (flow.end - flow.start)
        gone -= flow.volume
    return leaving[-1].end if leaving else 0.0


def _fates_in_runs(stage: Stage, seed: int, runs: Sequence[int]) -> dict[int, list[InHopper]]:
    found: dict[int, list[InHopper]] = {}
    for run in runs:
        ledger = play(stage, seed, run, keep_diary=True).ledger
        flows = [flow for day in ledger.printed or () for flow in day.flows]
        for number, fate in fates_in_hopper(flows, ledger.loads).items():
            found.setdefault(number, []).append(fate)
    return found


def _stirred(load: OrderedLoad, before: OrderedLoad, in_runs: Sequence[InHopper]) -> OrderedLoad:
    """Give a load with the age that it takes from what is left of those before it, as is likely or on some days."""
    older = [fate.oldest for fate in in_runs if fate.oldest != load.number]
    if not older:
        return load
    use_by = min(load.use_by, before.use_by)
    if len(older) >= _LIKELY * len(in_runs):
        return replace(load, use_by=use_by, as_old_as=mode(older))
    return replace(load, stirred=proportion_interval(len(older), len(in_runs)), stirred_use_by=use_by)


def _by_number(played: PlayedPrintDays) -> dict[int, list[Load]]:
    in_runs: dict[int, list[Load]] = {}
    for _, load in played.loads:
        if load.number < REPLACEMENT:
            in_runs.setdefault(load.number, []).append(load)
    return in_runs


def _placed_in_time(plan: Plan, expected: Ledger, in_runs: dict[int, list[Load]], days: int) -> list[OrderedLoad]:
    """Give volumes and times of the loads that are ordered, and of those likely to be called for."""
    as_expected = {load.number: load for load in expected.loads}
    on_order = loads_on_order(plan)
    found = []
    for number in sorted({*as_expected, *in_runs}):
        loads = in_runs.get(number, [])
        if number <= on_order:
            found.append(_on_order(plan, as_expected.get(number), loads))
        elif len(loads) >= _LIKELY * days > 0.0:
            found.append(_likely_call(plan, loads, days))
    return [_with_discharge(one, in_runs.get(one.number, [])) for one in found]


def _on_order(plan: Plan, as_expected: Load | None, in_runs: Sequence[Load]) -> OrderedLoad:
    load = as_expected or in_runs[0]
    batched = as_expected.batched if as_expected else load.due - _supply_of(plan).expected_lead
    return OrderedLoad(load.number, load.ordered, load.due, batched, batched)


def _likely_call(plan: Plan, in_runs: Sequence[Load], days: int) -> OrderedLoad:
    ordering = _supply_of(plan).ordering
    lead = ordering.lead if isinstance(ordering, WillCall) else 0.0
    if isinstance(ordering, FixedSpacing):
        lead = ordering.top_up or 0.0
    due = quantile([load.due for load in in_runs], 0.5)
    batched = quantile([load.batched for load in in_runs], 0.5)
    return OrderedLoad(
        in_runs[0].number,
        mode(load.ordered for load in in_runs),
        due,
        batched,
        batched,
        call_at=due - lead,
        wanted=proportion_interval(len(in_runs), days),
    )


def _with_discharge(load: OrderedLoad, in_runs: Sequence[Load]) -> OrderedLoad:
    """Give a load with the times at which its truck discharges, if it does in any run."""
    placed = [one for one in in_runs if one.verdict != REFUSED and one.discharge_ended < NEVER]
    if not placed:
        return load
    ended = [one.discharge_ended for one in placed]
    begun = quantile([one.discharge_begun for one in placed], 0.5)
    return replace(load, begun=begun, empty=quantile(ended, 0.5), empty_late=quantile(ended, 0.9))


def _supply_of(plan: Plan) -> ReadyMix:
    supply = plan.supply
    assert isinstance(supply, ReadyMix)
    return supply
