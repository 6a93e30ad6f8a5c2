"""What each relief wins, what it costs and why: answers out of runs that share their luck with the site as planned."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from sitesim.answers.differences import (
    PairedDifference,
    PairOrder,
    QuantileShift,
    bonferroni,
    chance_less,
    paired_difference,
    quantile_shift,
    resamples_for,
)
from sitesim.answers.ratios import Crossing, crossing
from sitesim.answers.summary import cost_in_the_end
from sitesim.answers.variants import (
    PlayedVariant,
    WorkingDays,
    date_at,
    finishes_of,
    moved_causes,
    unfinished_in,
)
from sitesim.ledger import HANDED_OVER
from sitesim.plan import Holders, Plan, State, Unit, UnitKind, WaitedFor, gang_of_unit

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

_WAITED_FOR = "waited_for"
_BETWEEN = "/"
"""Between the two parts of what was waited for, in a column of text; no name holds it."""

_ON_SHIFT = (State.WORKING.value, State.MOVING.value, State.WAITING.value, State.DOWN.value)
_AT_WORK = (State.WORKING.value, State.MOVING.value, State.OVERTIME.value)
_IDLE = (State.WAITING.value, State.DOWN.value)


@dataclass(frozen=True, slots=True, eq=False)
class PlayedRelief:
    """Runs of one relief, or of the site as planned.

    Parameters: ``variant``; its tables ``milestones`` and ``time``; ``more``, the gangs and machines of which there are
    more; ``relieves``, what should hold the date less; ``parts``, the names of the reliefs that come together in it.
    """

    variant: PlayedVariant
    milestones: pd.DataFrame
    time: pd.DataFrame
    more: tuple[str, ...] = ()
    relieves: tuple[WaitedFor, ...] = ()
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Held:
    """Days of the finish [d] that one thing held: mean ``planned`` and ``now``, and how they moved pair by pair."""

    by: WaitedFor
    planned: float
    now: float
    moved: PairedDifference


@dataclass(frozen=True, slots=True)
class Idle:
    """How a gang or machine waits when there are more of it.

    Parameters: ``before`` and ``after``, how many there are; ``share_before`` and ``share_after``, the part of their
    hours on shift and on site in which they wait or are down; ``hours_before`` and ``hours_after`` [h] of waiting of
    all of them together, means of the runs; ``work_before`` [h] and ``more_work`` [h], pair by pair: the hours in which
    they work or move, all together, which grow where gangs learn by what they do themselves; ``is_gang``, no machine.
    """

    name: str
    before: int
    after: int
    share_before: float
    share_after: float
    hours_before: float
    hours_after: float
    work_before: float
    more_work: PairedDifference
    is_gang: bool

    @property
    def learns_apart(self) -> bool:
        """Tell whether more gangs take longer for the same work, as far as the runs can tell."""
        return self.is_gang and self.more_work.distinguishable and self.more_work.mean > 0


@dataclass(frozen=True, slots=True)
class HomeWon:
    """Working days by which a home is handed over earlier, mean of the pairs."""

    home: str
    won: PairedDifference


@dataclass(frozen=True, slots=True)
class Beyond:
    """What reliefs win together beyond the sum of what each wins.

    Parameters: ``sum``, the working days that the parts win one by one, added up; ``beyond`` it, run by run.
    """

    sum: float
    beyond: PairedDifference


@dataclass(frozen=True, slots=True)
class Relieved:
    """What a relief does.

    Parameters: working days won, earlier being positive: ``won``, the mean of the pairs of runs, ``won_p50`` and
    ``won_p80``, of the dates; ``finish_p50`` and ``finish_p80``, those dates, None where there is none; ``order``, the
    shares of runs that finish on an earlier day, the same and a later one; ``cost`` [currency], dearer being positive;
    ``a_day`` [currency/working day], the cost of each day won on average, None unless days are won that can be told;
    ``homes`` that are handed over; ``held``, what held the date, most moved first; ``relieved``, of that what it was to
    relieve; ``idle``, of what there is more.
    """

    name: str
    won: PairedDifference
    won_p50: QuantileShift
    won_p80: QuantileShift
    finish_p50: date | None
    finish_p80: date | None
    order: PairOrder
    cost: PairedDifference
    a_day: Crossing | None
    homes: tuple[HomeWon, ...]
    held: tuple[Held, ...]
    relieved: tuple[Held, ...]
    idle: tuple[Idle, ...]
    runs: int
    unfinished: int
    parts: tuple[str, ...] = ()
    beyond: Beyond | None = None

    @property
    def distinguishable(self) -> bool:
        """Tell whether the runs can tell it apart from no change: by the mean of the pairs, or by a date that comes."""
        return self.won.distinguishable or (math.isinf(self.won_p80.shift) and self.won_p80.distinguishable)

    @property
    def wins(self) -> bool:
        """Tell whether it wins days that can be told."""
        return self.distinguishable and (self.won.mean > 0 or self.won_p80.shift == math.inf)

    @property
    def homes_that_gain(self) -> tuple[HomeWon, ...]:
        """The homes that are handed over earlier, as far as can be told, those that gain most first."""
        gain = [home for home in self.homes if home.won.distinguishable and home.won.mean > 0]
        return tuple(sorted(gain, key=lambda home: -home.won.mean))


def rank_reliefs(
    planned: PlayedRelief,
    reliefs: Sequence[PlayedRelief],
    singles: Sequence[PlayedRelief] = (),
    confidence: float = 0.95,
) -> tuple[Relieved, ...]:
    """Rank reliefs by the days that they win at 4 in 5, then by what a day costs.

    Those whose days cannot be told apart from none come after those that win, and those that lose days last.

    Parameters: ``singles``, other reliefs that may be parts of these. For each question the intervals of all
    ``reliefs`` hold together at ``confidence`` (Bonferroni). Raises ValueError if they have different runs.
    """
    every = [planned, *reliefs, *singles]
    if any(not one.variant.runs["run"].equals(planned.variant.runs["run"]) for one in every):
        raise ValueError("the reliefs have different runs and cannot be compared pair by pair")
    comparison = _Comparison(planned, every, bonferroni(confidence, max(1, len(reliefs))), resamples_for(len(reliefs)))
    return tuple(sorted((comparison.relieved(one) for one in reliefs), key=_best_first))


def _best_first(one: Relieved) -> tuple[int, float, float, float, str]:
    group = 0 if one.wins else 2 if one.distinguishable else 1
    days = 0.0 if math.isnan(one.won_p80.shift) else one.won_p80.shift
    mean = 0.0 if math.isnan(one.won.mean) else one.won.mean
    a_day = math.inf if one.a_day is None or one.a_day.value is None else one.a_day.value
    return group, -days, a_day, -mean, one.name


class _Comparison:
    """Compares reliefs with the site as planned.

    Parameters: ``every`` variant, for the calendar that days are counted by; ``confidence`` of each interval.
    """

    def __init__(self, planned: PlayedRelief, every: Sequence[PlayedRelief], confidence: float, resamples: int) -> None:
        self._planned = planned
        self._days = WorkingDays([one.variant.plan for one in every])
        self._before = self._finish_days(planned)
        self._by_name = {one.variant.name: _days_won(self._before, self._finish_days(one)) for one in every}
        self._homes_before = self._home_days(planned)
        self._held_before = _told_by_holder(planned.variant)
        self._confidence = confidence
        self._resamples = resamples

    def relieved(self, one: PlayedRelief) -> Relieved:
        """Say what one relief does."""
        variant, now = one.variant, self._finish_days(one)
        won = paired_difference(self._before, now, self._confidence)
        costs, planned_costs = cost_in_the_end(variant.runs), cost_in_the_end(self._planned.variant.runs)
        held = self._held(one)
        return Relieved(
            name=variant.name,
            won=won,
            won_p50=quantile_shift(self._before, now, 0.5, self._confidence, self._resamples),
            won_p80=quantile_shift(self._before, now, 0.8, self._confidence, self._resamples),
            finish_p50=date_at(variant, 0.5),
            finish_p80=date_at(variant, 0.8),
            order=chance_less(now, self._before, self._confidence),
            cost=paired_difference(costs, planned_costs, self._confidence),
            a_day=self._cost_of_a_day(costs - planned_costs, _days_won(self._before, now)) if _wins(won) else None,
            homes=self._homes(one),
            held=tuple(sorted(held, key=lambda thing: (-abs(thing.moved.mean), thing.by))),
            relieved=tuple(thing for thing in held if thing.by in one.relieves),
            idle=tuple(_idle(name, self._planned, one, self._confidence) for name in one.more),
            runs=len(now),
            unfinished=unfinished_in(finishes_of(variant)),
            parts=one.parts,
            beyond=self._beyond(one),
        )

    def _finish_days(self, one: PlayedRelief) -> NDArray[np.float64]:
        return self._days.numbers(one.variant.plan.start, finishes_of(one.variant))

    def _cost_of_a_day(self, costs: NDArray[np.float64], days: NDArray[np.float64]) -> Crossing:
        """Divide the mean cost by the mean of the days won, over the pairs that end in both."""
        ended = np.isfinite(costs) & np.isfinite(days)
        return crossing(costs[ended], -days[ended], self._confidence)

    def _homes(self, one: PlayedRelief) -> tuple[HomeWon, ...]:
        now = self._home_days(one)
        each = bonferroni(self._confidence, max(1, len(now)))
        return tuple(
            HomeWon(home, paired_difference(self._homes_before[home], days, each)) for home, days in now.items()
        )

    def _home_days(self, one: PlayedRelief) -> dict[str, NDArray[np.float64]]:
        """Number the working day on which each home is handed over, run by run, in the order of the site."""
        plan = one.variant.plan
        frame = one.milestones[(one.milestones["milestone"] == HANDED_OVER) & (one.milestones["home"] != "")]
        hours = frame.pivot(index="run", columns=["building", "home"], values="hours")
        return {home: self._days.numbers(plan.start, hours[building, home].tolist()) for building, home in plan.homes}

    def _held(self, one: PlayedRelief) -> list[Held]:
        moved = moved_causes(self._held_before, _told_by_holder(one.variant), self._confidence, by=_WAITED_FOR)
        return [Held(_read(thing.cause), thing.planned, thing.now, thing.moved) for thing in moved]

    def _beyond(self, one: PlayedRelief) -> Beyond | None:
        """Compare what parts win together with the sum of what they win; None where a part, or a run, has no end."""
        if not one.parts or any(part not in self._by_name for part in one.parts):
            return None
        added = np.sum([self._by_name[part] for part in one.parts], axis=0)
        together = self._by_name[one.variant.name]
        if not np.isfinite([added, together]).all():
            return None
        return Beyond(float(added.mean()), paired_difference(together, added, self._confidence))


def _days_won(before: NDArray[np.float64], now: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give the working days won run by run; not a number where a run ends neither as planned nor now."""
    with np.errstate(invalid="ignore"):
        return before - now


def _wins(won: PairedDifference) -> bool:
    return won.distinguishable and won.mean > 0


def _told_by_holder(variant: PlayedVariant) -> PlayedVariant:
    """Give the runs with what held the date told by gang, inspector and delivery."""
    holders = Holders(variant.plan)
    causes, activities = variant.held["cause"].tolist(), variant.held["activity"].tolist()
    known: dict[tuple[str, str], str] = {}
    for key in set(zip(causes, activities, strict=True)):
        known[key] = _BETWEEN.join(holders.of(*key))
    told = [known[key] for key in zip(causes, activities, strict=True)]
    return PlayedVariant(variant.name, variant.plan, variant.runs, variant.held.assign(**{_WAITED_FOR: told}))


def _read(written: str) -> WaitedFor:
    cause, _, of = written.partition(_BETWEEN)
    return WaitedFor(cause, of)


def _idle(name: str, planned: PlayedRelief, one: PlayedRelief, confidence: float) -> Idle:
    before, after = _Waiting(name, planned), _Waiting(name, one)
    return Idle(
        name,
        before.count,
        after.count,
        before.share,
        after.share,
        before.hours,
        after.hours,
        float(before.work.mean()) if len(before.work) else 0.0,
        paired_difference(after.work, before.work, confidence),
        before.is_gang,
    )


class _Waiting:
    """The waiting of all gangs, or machines, of one name: their ``count``, mean ``hours`` [h] and ``share``.

    ``work`` [h], run by run: what they work and move, all together.
    """

    def __init__(self, name: str, one: PlayedRelief) -> None:
        called = _units_called(name, one.variant.plan)
        units = [unit.name for unit in called]
        rows = one.time[one.time["resource"].isin(units)]
        at_work = rows[rows["state"].isin(_AT_WORK)].groupby("run")["hours"].sum()
        self.work = at_work.reindex(one.variant.runs["run"], fill_value=0.0).to_numpy()
        self.is_gang = all(unit.kind is UnitKind.GANG for unit in called)
        idle = float(rows.loc[rows["state"].isin(_IDLE), "hours"].sum())
        on_shift = float(rows.loc[rows["state"].isin(_ON_SHIFT), "hours"].sum())
        self.count = len(units)
        self.hours = idle / len(one.variant.runs)
        self.share = idle / on_shift if on_shift else 0.0


def _units_called(name: str, plan: Plan) -> list[Unit]:
    """Give the gangs of a name, or the machines of a kind, whatever fronts they are on."""
    return [
        unit
        for unit in plan.units
        if name == (gang_of_unit(unit, plan.units) if unit.kind is UnitKind.GANG else unit.kind)
    ]
