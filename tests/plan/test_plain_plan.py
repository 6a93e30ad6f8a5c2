"""The plain plan: what a bar chart would say."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rigs import network_plan, play_plan, printing_plan, ready_mix, site_mix

from sitesim.chance import Distribution, Exponential, Fixed, Pert, Triangular
from sitesim.plan import (
    DryStore,
    Fortune,
    Inspection,
    Link,
    Outage,
    Plan,
    ReadyMix,
    SiteMix,
    Stop,
    Supply,
    plain,
)


def uncertain() -> Plan:
    """Make a printed site on which everything that can be uncertain is."""
    supply = ready_mix(loading=Exponential(0.25), haul=Triangular(0.5, 1.0, 1.5), back=Exponential(1.0), refused=0.1)
    blockage = Stop("blockage", "pumped", Exponential(3.0), Fixed(0.5), loses_hose=True)
    plan = printing_plan(supply=supply, stops=(blockage,))
    inspection = Inspection(0, 0.5, Fixed(4.0))
    nodes = tuple(
        replace(
            node,
            task=replace(
                node.task,
                duration=Triangular(10.0, 40.0, 70.0),
                inspection=inspection,
            ),
        )
        if node.key.endswith("roof")
        else node
        for node in plan.nodes
    )
    inspectors = tuple(replace(inspector, notice=Exponential(8.0)) for inspector in plan.inspectors)
    return replace(plan, nodes=nodes, inspectors=inspectors, fortune=Fortune(0.2, 0.1))


def test_every_chance_is_replaced_by_its_expectation() -> None:
    plan = uncertain()
    bars = plain(plan)
    assert [node.task.duration for node in bars.nodes] == [Fixed(node.task.duration.mean) for node in plan.nodes]
    assert all(node.task.inspection is None or node.task.inspection.fails == 0.0 for node in bars.nodes)
    assert [inspector.notice for inspector in bars.inspectors] == [Fixed(8.0)]
    assert isinstance(bars.supply, ReadyMix)
    assert (bars.supply.loading, bars.supply.haul, bars.supply.back) == (Fixed(0.25), Fixed(1.0), Fixed(1.0))
    assert bars.supply.refused == 0.0
    assert bars.print_day is not None
    assert bars.print_day.stops == ()
    assert bars.fortune == Fortune(0.0, 0.0)
    assert not bars.weather_holds


def test_a_mixer_on_site_keeps_its_mean_pace_and_never_fails() -> None:
    bars = plain(printing_plan(supply=site_mix(cycle=Exponential(0.125), fails=0.05)))
    assert isinstance(bars.supply, SiteMix)
    assert (bars.supply.cycle, bars.supply.fails) == (Fixed(0.125), 0.0)


def test_what_is_lost_by_chance_is_there_and_what_is_known_is_still_lost() -> None:
    outage = Outage("strike", Link.PLANT, frozenset({740_000}), ((6.0, 9.0),), 0.3, Exponential(2.0))
    bars = plain(printing_plan(supply=ready_mix(outages=(outage,), other_customers=0.6)))
    assert isinstance(bars.supply, ReadyMix)
    assert bars.supply.outages == (replace(outage, chance=0.0),)
    assert bars.supply.other_customers == 0.0  # trucks are sent for by the expected wait, so that they are on time
    stored = plain(printing_plan(supply=site_mix(store=DryStore(4.0, 1.0, 2.0, Exponential(16.0)))))
    assert isinstance(stored.supply, SiteMix)
    assert stored.supply.store == DryStore(4.0, 1.0, 2.0, Fixed(16.0))


@pytest.mark.parametrize(
    "supply",
    [
        ready_mix(
            outages=(Outage("strike", Link.PLANT, chance=0.3, time=Exponential(9.0)),),
            other_customers=0.9,
        ),
        site_mix(store=DryStore(4.0, 1.0, 2.0, Exponential(16.0))),
    ],
)
def test_the_plain_plan_of_any_supply_has_one_end(supply: Supply) -> None:
    plan = printing_plan(supply=supply)
    assert len({max(play_plan(plan, run=run).ledger.ended.values()) for run in range(20)}) > 1
    assert len({max(play_plan(plain(plan), run=run).ledger.ended.values()) for run in range(5)}) == 1


def test_luck_changes_an_uncertain_plan_and_not_its_plain_one() -> None:
    plan = uncertain()
    assert len({max(play_plan(plan, run=run).ledger.ended.values()) for run in range(5)}) > 1
    assert len({max(play_plan(plain(plan), run=run).ledger.ended.values()) for run in range(5)}) == 1


def test_a_plan_without_chances_is_its_own_plain_plan() -> None:
    plan = printing_plan()
    assert plain(plan) == replace(plan, weather_holds=False, inspectors=plain(plan).inspectors)


@pytest.mark.parametrize("duration", [Pert(2.0, 4.0, 12.0), Triangular(2.0, 4.0, 12.0), Exponential(5.0), Fixed(5.0)])
def test_a_bar_is_as_long_as_its_expectation(duration: Distribution) -> None:
    played = play_plan(plain(network_plan({"A": ("", duration)})))
    assert played.ledger.ended[0] == pytest.approx(duration.mean, abs=1 / 8192)
