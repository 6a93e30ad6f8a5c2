"""The best of several ways, how flat it is, and where two supplies change places."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from sitesim.answers.deliveries import (
    Cheaper,
    Rivals,
    Tried,
    TurningPrice,
    Way,
    best_of,
    flat_spacings,
    turning_blend,
    turning_day,
    turning_factors,
    turning_standby,
    weigh,
)
from sitesim.answers.delivery_costs import Prices, cost_of
from sitesim.answers.statistics import Estimate
from sitesim.ledger.print_days import COLUMNS

Columns = dict[str, NDArray[np.float64]]
LUCK = np.array([0.0, 30.0, -20.0, 10.0, -20.0])
"""What all ways share: dear runs are dear for each."""


def runs(cost: float, standby: float = 0.0, finished: bool = True, noise: float = 0.0, batched: float = 0.0) -> Columns:
    """Make five runs of 10 m³ that cost so much without standby, and share their luck."""
    columns = {name: np.zeros(5) for name in COLUMNS}
    own = noise * np.array([1.0, -1.0, 1.0, -1.0, 0.0])
    return columns | {
        "in_place_m3": np.full(5, 10.0),
        "crew_cost": cost + LUCK + own,
        "standby_hours": np.full(5, standby),
        "batched_m3": np.full(5, batched),
        "finished": np.full(5, float(finished)),
    }


WAYS = [Way(2.0, spacing, 3) for spacing in (1.0, 1.5, 2.0, 2.5)]


def test_the_best_is_the_cheapest_and_shared_luck_does_not_blur_it() -> None:
    found = weigh(WAYS, [runs(1030.0), runs(1000.0), runs(1010.0), runs(1200.0)], Prices())
    assert best_of(found).way == WAYS[1]
    assert best_of(found).cost.value == pytest.approx(100.0)
    assert [one.against_best.value for one in found] == pytest.approx([3.0, 0.0, 1.0, 20.0])
    assert [one.is_tied for one in found] == [False, True, False, False]
    assert [one.is_flat for one in found] == [False, True, True, False]  # within two per cent
    assert flat_spacings(found) == (1.5, 2.0)


def test_what_the_runs_cannot_tell_from_the_best_is_tied() -> None:
    found = weigh(WAYS[:2], [runs(1000.0), runs(1001.0, noise=200.0)], Prices())
    assert [one.is_tied for one in found] == [True, True]


def test_a_way_that_does_not_end_in_all_runs_is_never_the_best() -> None:
    found = weigh(WAYS[:2], [runs(500.0, finished=False), runs(1000.0)], Prices())
    assert best_of(found).way == WAYS[1]
    assert found[0].unfinished.value == 1.0
    assert not found[0].is_flat
    assert best_of(weigh(WAYS[:2], [runs(500.0, finished=False), runs(1000.0)], Prices(), False)).way == WAYS[0]


def test_the_turning_standby_rate_is_that_of_the_way_which_stays_cheapest() -> None:
    # At 100 /h: A 1000 + 5 · 100 = 1500, B 1300 + 1 · 100 = 1400; mixing on site 1600. A alone would turn at 120 /h,
    # B at 300 /h: ready-mix, ordered as is best at each rate, is cheaper up to 300 /h.
    mixed = runs(1600.0)
    found = turning_standby(WAYS[:2], [runs(1000.0, 5.0), runs(1300.0, 1.0)], Prices(standby=100.0), mixed, Prices())
    assert isinstance(found, TurningPrice)
    assert found.way == WAYS[1]
    assert found.price.value == pytest.approx(300.0)
    at_that_rate = cost_of(runs(1300.0, 1.0), Prices(standby=300.0)).mean()
    assert at_that_rate == pytest.approx(cost_of(mixed, Prices()).mean())


@pytest.mark.parametrize("standby", [0.0, 5.0])
def test_ready_mix_that_is_dearer_with_trucks_for_nothing_never_turns(standby: float) -> None:
    found = turning_standby(WAYS[:1], [runs(2000.0, standby)], Prices(standby=100.0), runs(1600.0), Prices())
    assert found is Cheaper.SITE_MIX


def test_cheaper_ready_mix_whose_trucks_never_stand_stays_cheaper_at_every_rate() -> None:
    found = turning_standby(WAYS[:1], [runs(1000.0, 0.0)], Prices(standby=100.0), runs(1600.0), Prices())
    assert found is Cheaper.READY_MIX


def test_one_way_without_standby_keeps_ready_mix_cheaper_though_others_turn() -> None:
    # The second way turns at 600 / 5 = 120 /h; the first costs 1300 against 1600 at whatever rate.
    sides = Prices(standby=100.0), runs(1600.0), Prices()
    assert turning_standby(WAYS[:2], [runs(1300.0, 0.0), runs(1000.0, 5.0)], *sides) is Cheaper.READY_MIX
    # A dearer way without standby is no help: the other's own rate stands.
    found = turning_standby(WAYS[:2], [runs(1700.0, 0.0), runs(1000.0, 5.0)], *sides)
    assert isinstance(found, TurningPrice)
    assert found.price.value == pytest.approx(120.0)


def test_mixing_on_site_that_is_dearer_with_blend_for_nothing_never_turns() -> None:
    found = turning_blend(WAYS[:1], [runs(900.0)], Prices(), runs(1000.0, batched=12.0), Prices(blend=260.0))
    assert found is Cheaper.READY_MIX


def test_the_turning_price_of_blend() -> None:
    # Mixing on site 1000 + 12 m³ of blend, ready-mix 2200: the same at 100 /m³.
    found = turning_blend(WAYS[:1], [runs(2200.0)], Prices(), runs(1000.0, batched=12.0), Prices(blend=260.0))
    assert isinstance(found, TurningPrice)
    assert found.price.value == pytest.approx(100.0)


def tried(factor: float, difference: float, half: float = 1.0) -> Tried:
    found = Estimate(difference, difference - half, difference + half, 5)
    return Tried(factor, WAYS[0], Rivals(found, found, found))


def test_the_turning_factor_lies_on_the_line_between_two_that_were_tried() -> None:
    found = turning_factors([tried(0.6, -8.0), tried(1.5, 6.0), tried(0.8, -4.0), tried(1.0, -0.5), tried(1.25, 0.5)])
    assert [one.factor for one in found] == pytest.approx([1.125])
    assert found[0].between == (1.0, 1.25)
    assert (found[0].low, found[0].high) == (0.8, 1.5)  # the nearest at which the runs tell the two apart


def test_no_change_of_sign_is_no_turning() -> None:
    assert turning_factors([tried(0.6, -8.0), tried(1.0, -3.0)]) == []


def test_a_factor_at_which_both_cost_the_same_turns_once_and_only_if_the_cheaper_one_changes() -> None:
    found = turning_factors([tried(0.8, -4.0), tried(1.0, 0.0), tried(1.5, 6.0)])
    assert [(one.factor, one.between) for one in found] == [(1.0, (0.8, 1.5))]
    assert turning_factors([tried(0.8, -4.0), tried(1.0, 0.0), tried(1.5, -6.0)]) == []


def test_the_worth_of_a_day_that_turns_the_answer_is_the_saving_over_the_days() -> None:
    # Ready-mix saves 1,000 a run and ends four working days later: at 250 a day both cost the same.
    days = np.array([20.0, 21.0, 22.0, 21.0, 20.0])
    ready = runs(4000.0) | {"campaign_days": days + 4.0}
    mixed = runs(5000.0) | {"campaign_days": days}
    day = turning_day(ready, Prices(), mixed, Prices())
    assert day.price.value == pytest.approx(250.0)
    assert day.later.value == 4.0
