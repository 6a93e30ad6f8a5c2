"""A quote: the hand-over date of each home at a confidence, and the chance that all are met together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sitesim.answers.dates import SiteDates
from sitesim.answers.statistics import Estimate, proportion_interval, quantile_estimate, quantile_rank
from sitesim.ledger import HANDED_OVER

if TYPE_CHECKING:
    import pandas as pd

EARLIER = (7, 14, 28)
"""Days by which an earlier promise is shown beside the quoted one."""


@dataclass(frozen=True, slots=True)
class HomeQuote:
    """One home's quote.

    ``promised``, a working day; None where the home is not handed over in enough runs; ``low`` and ``high``, the
    sampling interval of the date behind it; ``met``, the chance that the promised date is met; ``met_if_earlier``,
    the same if the promise were so many days earlier (`EARLIER`).
    """

    building: str
    home: str
    promised: date | None
    low: date | None
    high: date | None
    met: Estimate
    met_if_earlier: tuple[Estimate, ...]


@dataclass(frozen=True, slots=True)
class Quote:
    """A quote for all homes of a site.

    ``together``, the chance that every home meets its own promised date; ``each_needs``, the confidence at which
    every home must be quoted so that all are met together at ``confidence``, with the dates that this gives, or None
    if the runs do not reach so far; ``all_homes``, the date by which all are handed over at ``confidence``.
    """

    confidence: float
    runs: int
    unfinished: int
    homes: tuple[HomeQuote, ...]
    all_homes: date | None
    all_low: date | None
    all_high: date | None
    together: Estimate
    each_needs: float | None
    dates_together: tuple[date | None, ...]


def make_quote(milestones: pd.DataFrame, runs: pd.DataFrame, dates: SiteDates, confidence: float) -> Quote:
    """Quote every home of a study, or every building where there are no homes.

    Parameters: the study's tables ``milestones`` and ``runs``; ``confidence`` between 0 and 1.
    Raises ValueError if nothing is handed over in the study.
    """
    frame = milestones[milestones["milestone"] == HANDED_OVER]
    of_homes = frame[frame["home"] != ""]
    frame = frame if of_homes.empty else of_homes
    if frame.empty:
        raise ValueError("the study hands over neither homes nor buildings")
    wide = frame.pivot(index="run", columns=["building", "home"], values="hours")
    hours = wide.to_numpy(dtype=float)
    homes = tuple(
        _quote_home(str(key[0]), str(key[1]), hours[:, i], dates, confidence) for i, key in enumerate(wide.columns)
    )
    latest = hours.max(axis=1)
    whole = quantile_estimate(latest, confidence)
    each_needs = _each_needs(hours, confidence)
    return Quote(
        confidence=confidence,
        runs=len(hours),
        unfinished=int((~runs["finished"]).sum()),
        homes=homes,
        all_homes=_promise(dates, whole.value),
        all_low=dates.date_of(whole.low) if whole.bounded_below else None,
        all_high=dates.date_of(whole.high) if whole.bounded_above else None,
        together=_share(np.all(hours <= _limits(homes, dates), axis=1)),
        each_needs=each_needs,
        dates_together=tuple(
            None
            if each_needs is None
            else _promise(dates, float(np.sort(hours[:, i])[quantile_rank(len(hours), each_needs) - 1]))
            for i in range(hours.shape[1])
        ),
    )


def _promise(dates: SiteDates, hours: float) -> date | None:
    """Round an instant [h] up to a working day."""
    day = dates.date_of(hours)
    return None if day is None else dates.working_day_from(day)


def _latest(dates: SiteDates, promised: date | None) -> float:
    """Give the latest instant [h] that meets a promise; before all time where nothing is promised."""
    return -np.inf if promised is None else dates.end_of(promised)


def _limits(homes: tuple[HomeQuote, ...], dates: SiteDates) -> NDArray[np.float64]:
    return np.array([_latest(dates, home.promised) for home in homes])


def _share(met: NDArray[np.bool_]) -> Estimate:
    return proportion_interval(int(met.sum()), len(met))


def _quote_home(building: str, home: str, hours: NDArray[np.float64], dates: SiteDates, confidence: float) -> HomeQuote:
    found = quantile_estimate(hours, confidence)
    promised = _promise(dates, found.value)
    earlier = [None if promised is None else promised - timedelta(days=days) for days in EARLIER]
    return HomeQuote(
        building,
        home,
        promised,
        dates.date_of(found.low) if found.bounded_below else None,
        dates.date_of(found.high) if found.bounded_above else None,
        _share(hours <= _latest(dates, promised)),
        tuple(_share(hours <= _latest(dates, day)) for day in earlier),
    )


def _each_needs(hours: NDArray[np.float64], confidence: float) -> float | None:
    """Find the least confidence of each home's own date at which all are met together often enough."""
    runs = len(hours)
    rank_of_run = np.empty_like(hours, dtype=np.int64)
    for i in range(hours.shape[1]):
        rank_of_run[:, i] = np.searchsorted(np.sort(hours[:, i]), hours[:, i], side="left") + 1
    # A run meets all dates at rank r if its worst home does; the smallest such r for enough of the runs:
    worst = np.where(np.isinf(hours).any(axis=1), runs + 1, rank_of_run.max(axis=1))
    needed = int(np.sort(worst)[quantile_rank(runs, confidence) - 1])
    return None if needed > runs else needed / runs
