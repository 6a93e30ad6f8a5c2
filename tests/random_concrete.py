"""Supplies of concrete and print days drawn at random."""

from __future__ import annotations

from random import Random

from rigs import MONDAY, ready_mix, site_mix

from sitesim.chance import Exponential, Lognormal, Triangular
from sitesim.plan import DryStore, HoldingHopper, Link, Outage, PrintDay, Stop, Supply, Traffic, in_drops
from sitesim.policies import (
    AdjustTheOrder,
    ConfirmTheOrder,
    DaysNeed,
    FixedSpacing,
    LoadSizes,
    OrderingPolicy,
    WillCall,
)


def draw_supply(dice: Random, extras: Random, mornings: Random) -> Supply:
    """Draw a supply; the dice that decided before there was so much to decide still decide the same."""
    if dice.random() < 0.35:
        return site_mix(
            batch=in_drops(dice.choice((0.1, 0.25, 0.4))),
            cycle=Triangular(0.05, 0.1, 0.4),
            fails=dice.choice((0.0, 0.1)),
            clean_every=extras.choice((1e9, 1.0, 3.0)),
            clean_time=extras.choice((0.0, 0.25)),
            store=_store(extras),
        )
    sizes = LoadSizes(dice.choice((1.5, 2.5, 4.0)), 0.5, 0.5)
    spacing = dice.choice((0.5, 1.5, 2.5))
    return ready_mix(
        ordering=_ordering(extras, sizes, spacing),
        trucks=dice.randint(1, 4),
        haul=Triangular(0.7, 1.0, 2.0),
        refused=dice.choice((0.0, 0.15)),
        hours=extras.choice(("", "", "plant")),
        other_customers=extras.choice((0.0, 0.3, 0.8)),
        traffic=extras.choice(((), (Traffic(6.0, 9.0, 1.15), Traffic(15.0, 18.0, 1.05)))),
        outages=_outages(extras),
        holding=_holding(extras, sizes.load),
        cut_off=mornings.choice((15.0, 15.0, 10.0)),
        morning_call=mornings.choice((AdjustTheOrder(), AdjustTheOrder(), ConfirmTheOrder())),
        notice=mornings.choice((0.0, 0.0, 0.5, 3.0)),
    )


def _ordering(dice: Random, sizes: LoadSizes, spacing: float) -> OrderingPolicy:
    fixed = FixedSpacing(sizes, spacing, 7.0, dice.choice((None, 1.5)))
    called = WillCall(sizes, 7.0, dice.choice((1.25, 2.0)), dice.choice((0.0, 0.5)))
    return dice.choice((fixed, fixed, called, DaysNeed(sizes, 7.0, dice.choice((0.0, 0.5)))))


def _outages(dice: Random) -> tuple[Outage, ...]:
    known = frozenset(MONDAY.toordinal() + dice.randrange(5, 60) for _ in range(6))
    storm = Outage("storm", Link.ROAD, chance=0.05, time=Triangular(0.5, 2.0, 30.0))
    axle = Outage("axle", Link.TRUCK, known, ((6.0, 12.0),), 0.1, Triangular(1.0, 20.0, 100.0))
    silo = Outage("silo", Link.PLANT, known, ((0.0, 9.0), (11.0, 24.0)), 0.05, Triangular(0.25, 1.0, 60.0))
    return tuple(outage for outage in (storm, axle, silo) if dice.random() < 0.25)


def _holding(dice: Random, load: float) -> HoldingHopper | None:
    if dice.random() < 0.7:
        return None
    capacity = load * dice.choice((1.0, 1.6))
    return HoldingHopper(in_drops(capacity), 30.0, in_drops(dice.choice((0.0, 0.5))), dice.choice((1.0, 1.3)))


def _store(dice: Random) -> DryStore | None:
    if dice.random() < 0.5:
        return None
    lead = Triangular(1.0, 4.0, 30.0)
    return DryStore(in_drops(dice.choice((2.0, 6.0))), in_drops(dice.choice((0.1, 1.0))), in_drops(2.5), lead)


def draw_print_day(dice: Random, extras: Random, crew: tuple[int, ...], limits: str) -> PrintDay:
    old = extras.choice(({}, {"old_after": 2.0, "old_counts": 4.0}))
    pause = extras.choice(({}, {"pause_after": 0.25, "pause_counts": 3.0}))
    stops = (
        Stop(
            "partial block",
            "nozzle",
            Exponential(dice.choice((1.0, 8.0))),
            Lognormal.by_p50_p90(0.33, 1.0),
            True,
            **old,
            **pause,
        ),
        Stop("controller", "nozzle", Exponential(20.0), Lognormal.by_p50_p90(0.2, 0.75), False),
    )
    return PrintDay(
        crew=crew,
        limits=limits,
        rank=5,
        go_before=0.5,
        align=dice.choice((0.0, 1.0)),
        prime=dice.choice((0.0, 0.25)),
        wash_out=1.25,
        least_hours=4.0,
        priming=in_drops(0.14),
        specimens=in_drops(0.03),
        hose=in_drops(0.06),
        hopper=in_drops(dice.choice((0.1, 0.25, 1.0))),
        first_layer_share=dice.choice((0.5, 1.0)),
        shortest_interval=dice.choice((0.0, 0.25, 0.5)),
        open_time=1.0,
        working_life=dice.choice((2.0, 5.0)),
        life_falls_with_heat=dice.random() < 0.5,
        joint_time=0.75,
        joint_concrete=in_drops(0.02),
        stops=dice.choice(((), stops)),
        slump_check=extras.choice((0.0, 0.125)),
        planned_joint_time=extras.choice((0.0, 0.25)),
        planned_joint_concrete=in_drops(extras.choice((0.0, 0.02))),
        meal_after=extras.choice((1e9, 3.5)),
        meal=0.5,
        hose_life=extras.choice((1e9, 1e9, 0.5)),
        hose_clear=0.5,
        waived=extras.choice((0.0, 0.5)),
        warmth=extras.choice((0.0, 2.0)),
        least_warmth=extras.choice((-100.0, 8.0)),
    )
