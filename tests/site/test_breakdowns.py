"""Stops of machines as thresholds of exposure."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rigs import play_plan, printing_plan

from sitesim.chance import Distribution, Exponential, Fixed, Lognormal, Luck, Triangular
from sitesim.hours import NEVER, on_clock
from sitesim.plan import Stop
from sitesim.site import Stage, play
from sitesim.site.breakdowns import Wear

ONE_IN_THREE_HOURS = Exponential(3.0)
HALF_AN_HOUR = Fixed(0.5)


def blockage(
    every: Distribution = ONE_IN_THREE_HOURS, time: Distribution = HALF_AN_HOUR, name: str = "blockage"
) -> Stop:
    return Stop(name, "pumped", every, time, loses_hose=False)


def exposures(wear: Wear, count: int) -> list[float]:
    """Let the machine run from stop to stop; returns the exposure [h] at each."""
    found, exposure = [], 0.0
    for _ in range(count):
        left = wear.until_next(0.0)
        wear.run(left, 0.0)
        exposure += left
        assert wear.is_due()
        wear.stop()
        found.append(exposure)
    return found


def test_a_stop_is_due_when_the_hours_between_stops_have_been_printed() -> None:
    wear = Wear([blockage(Fixed(2.0))], Luck(1, 0), 0)
    assert wear.until_next(0.0) == 2.0
    wear.run(1.25, 0.0)
    assert wear.until_next(0.0) == 0.75
    assert not wear.is_due()
    wear.run(0.75, 0.0)
    assert wear.is_due()
    assert wear.stop() == (blockage(Fixed(2.0)), 0.5)
    assert wear.until_next(0.0) == 2.0


def test_a_machine_without_stops_never_stops() -> None:
    assert Wear([], Luck(1, 0), 0).until_next(0.0) == NEVER


def test_the_hours_between_stops_are_the_draws_of_their_own_luck() -> None:
    stop, luck = blockage(), Luck(1, 7)
    gaps = [on_clock(luck.draw(stop.every, stop.every_stream, k)) for k in range(6)]
    assert exposures(Wear([stop], luck, 0), 6) == pytest.approx(np.cumsum(gaps).tolist())


def test_of_two_kinds_the_earlier_comes_first_and_the_other_keeps_its_hour() -> None:
    wear = Wear([blockage(Fixed(5.0)), blockage(Fixed(2.0), name="fault")], Luck(1, 0), 0)
    kinds = []
    for _ in range(6):
        wear.run(wear.until_next(0.0), 0.0)
        kinds.append(wear.stop()[0].name)
    assert kinds == ["fault", "fault", "blockage", "fault", "fault", "blockage"]  # at 2, 4, 5, 6, 8, 10 hours


def test_another_printer_has_other_stops() -> None:
    stops = [blockage()]
    luck = Luck(1, 0)
    first, second = exposures(Wear(stops, luck, 0), 20), exposures(Wear(stops, luck, 1), 20)
    assert not set(first) & set(second)
    assert first == exposures(Wear(stops, luck, 0), 20)


@given(st.integers(0, 1000), st.floats(1.0, 3.0), st.sampled_from([Exponential(3.0), Lognormal.by_mean_cv(3.0, 0.8)]))
def test_longer_hours_between_stops_never_bring_one_earlier(run: int, factor: float, every: Distribution) -> None:
    luck = Luck(1, run)
    often = exposures(Wear([blockage(every)], luck, 0), 10)
    seldom = exposures(Wear([blockage(every.scaled(factor))], luck, 0), 10)
    assert all(late >= early for early, late in zip(often, seldom, strict=True))


def test_stops_without_memory_come_like_a_poisson_process() -> None:
    # In 30 hours at one in three: mean 10, variance 10. 2000 runs; three standard errors: mean √(10/2000), variance
    # 10 √(2/2000 + 1/(10 · 2000)).
    def stops_in(hours: float, run: int) -> int:
        return int(np.searchsorted(exposures(Wear([blockage()], Luck(1, run), 0), 40), hours))

    counts = np.array([stops_in(30.0, run) for run in range(2000)])
    assert counts.mean() == pytest.approx(10.0, abs=3 * math.sqrt(10 / 2000))
    assert counts.var(ddof=1) == pytest.approx(10.0, abs=3 * 10 * math.sqrt(2 / 2000 + 1 / 20000))


def test_exposure_goes_with_the_printer_from_day_to_day_and_from_building_to_building() -> None:
    # One printer prints two buildings; idle hours, nights and the way between do not count.
    played = play_plan(printing_plan(buildings=2, stops=[blockage(Fixed(4.0), Fixed(0.125))]))
    counts = played.ledger.counts
    assert counts.blockages_and_faults == int(counts.nozzle_hours / 4.0)
    assert counts.blockages_and_faults >= 2


def test_two_printers_wear_each_for_itself() -> None:
    plan = printing_plan(buildings=2, printers=2, tents=2, stops=[blockage(Fixed(4.0), Fixed(0.125))])
    counts = play_plan(plan).ledger.counts
    each = counts.nozzle_hours / 2
    assert counts.blockages_and_faults == 2 * int(each / 4.0)


def test_stops_that_take_longer_to_clear_bring_no_building_earlier() -> None:
    short, long = (
        Stage(printing_plan(buildings=1, stops=[blockage(time=Triangular(0.1 * f, 0.2 * f, 0.4 * f))])) for f in (1, 3)
    )
    runs = [(play(short, 1, run).ledger, play(long, 1, run).ledger) for run in range(10)]
    assert sum(quickly.counts.blockages_and_faults for quickly, _ in runs) > 10
    for quickly, slowly in runs:
        assert max(slowly.ended.values()) >= max(quickly.ended.values())


def test_a_blockage_may_cost_what_is_in_the_hose() -> None:
    stop = Stop("blockage", "pumped", Fixed(2.0), Fixed(0.125), loses_hose=True)
    ledger = play_plan(printing_plan(buildings=1, stops=[stop])).ledger
    assert ledger.counts.blockages_and_faults > 0
    assert 0.0 < ledger.concrete.lost_to_blockages <= ledger.counts.blockages_and_faults * 0.0601


def test_priming_brings_stops_of_the_pump_nearer_and_leaves_those_of_the_nozzle() -> None:
    stops = [blockage(Fixed(2.0)), Stop("fault", "nozzle", Fixed(1.75), Fixed(0.125), loses_hose=False)]
    wear = Wear(stops, Luck(1, 0), 0)
    assert wear.until_next(0.0) == 1.75
    wear.run_pump(0.5)
    assert wear.until_next(0.0) == 1.5
    wear.run(1.5, 0.0)
    assert wear.stop()[0].measure == "pumped"
    assert wear.until_next(0.0) == 0.25


# ------------------------------------------------------------------------------------------------- age and pauses


def test_hours_with_old_concrete_count_for_more_from_its_age_on() -> None:
    stop = replace(blockage(Fixed(6.0)), old_after=2.0, old_counts=3.0)
    wear = Wear([stop], Luck(1, 0), 0)
    assert wear.minds_age
    assert (wear.until_next(1.5), wear.until_older(1.5)) == (6.0, 0.5)
    wear.run(1.5, 1.5)
    assert (wear.until_next(1.0), wear.until_next(2.0), wear.until_older(2.0)) == (4.5, 1.5, NEVER)
    wear.run(1.0, 2.0)
    assert (wear.until_next(1.0), wear.until_next(9.0)) == (1.5, 0.5)
    wear.run(0.5, 2.5)
    assert wear.is_due()
    wear.stop()
    assert (wear.until_next(0.0), wear.until_next(2.0)) == (6.0, 2.0)


def test_each_kind_has_its_own_age() -> None:
    early = replace(blockage(Fixed(6.0), name="early"), old_after=1.0, old_counts=2.0)
    late = replace(blockage(Fixed(5.0), name="late"), old_after=2.0, old_counts=9.0)
    wear = Wear([early, late], Luck(1, 0), 0)
    assert [wear.until_older(age) for age in (0.0, 1.0, 1.5, 2.0)] == [1.0, 1.0, 0.5, NEVER]
    assert (wear.until_next(0.0), wear.until_next(1.0)) == (5.0, 3.0)
    assert wear.until_next(2.0) == pytest.approx(5.0 / 9.0)
    wear.run(2.5, 1.0)
    assert (wear.until_next(0.0), wear.until_next(1.0)) == (1.0, 0.5)


def test_only_the_part_of_a_pause_beyond_its_length_counts() -> None:
    wear = Wear([replace(blockage(Fixed(6.0)), pause_after=0.5, pause_counts=4.0)], Luck(1, 0), 0)
    wear.pause(0.5)
    assert wear.until_next(0.0) == 6.0
    wear.pause(1.0)
    assert wear.until_next(0.0) == 4.0
    assert not wear.minds_age


def test_after_the_longest_pause_a_stop_comes_once() -> None:
    # Two weeks count for a thousand hours and more: one stop at the first drop, and six hours of peace.
    pausing = replace(blockage(Fixed(6.0)), pause_after=0.5, pause_counts=4.0)
    wear = Wear([pausing, blockage(Fixed(7.0), name="other")], Luck(1, 0), 0)
    wear.run(1.0, 0.0)
    wear.pause(336.0)
    assert wear.is_due()
    assert wear.stop()[0] == pausing
    assert not wear.is_due()
    assert wear.until_next(0.0) == 6.0


@given(st.integers(0, 500), st.floats(1.0, 10.0))
def test_old_concrete_never_brings_a_stop_later(run: int, counts: float) -> None:
    luck = Luck(1, run)
    young = exposures(Wear([blockage()], luck, 0), 5)
    wear = Wear([replace(blockage(), old_after=1.0, old_counts=counts)], luck, 0)
    found, exposure = [], 0.0
    for _ in range(5):
        left = wear.until_next(2.0)
        wear.run(left, 2.0)
        exposure += left
        assert wear.is_due()
        wear.stop()
        found.append(exposure)
    assert found == pytest.approx([at / counts for at in young], abs=1e-2)
