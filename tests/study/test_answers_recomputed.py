"""What a study answers, worked out once more from its tables by general-purpose libraries and nothing of ours.

Oracles: numpy's order statistics and business days, scipy's exact intervals, pandas' sums, the package of holidays.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import holidays
import numpy as np
import pandas as pd
import pytest
from scipy import stats
from small_sites import SCENARIOS, low_walls_file

from sitesim.answers.comparison import Compared
from sitesim.scenario import load
from sitesim.study import StudySettings
from sitesim.study.comparing import compare_scenarios
from sitesim.study.quoting import Quoted, quote_folder

RUNS = 40
START = date(2027, 3, 1)
SHARES = {"P10": 0.1, "P50": 0.5, "P80": 0.8, "P90": 0.9}
HORIZON = "site.horizon=220 d"
"""Too few days for some of the runs, so that there are unfinished ones among them."""


@dataclass(frozen=True)
class Answered:
    folder: Path
    compared: tuple[Compared, ...]

    def tables(self, number: int = 1) -> Mapping[str, pd.DataFrame]:
        folder = next(self.folder.glob(f"{number}-*"))
        names = ("runs", "milestones", "time", "held", "costs", "loads")
        return {name: pd.read_parquet(folder / name).sort_values("run") for name in names}

    def summary(self, number: int = 1) -> dict[str, Any]:
        read: dict[str, Any] = json.loads((next(self.folder.glob(f"{number}-*")) / "summary.json").read_text())
        return read

    def quote(self, confidence: float) -> Quoted:
        return quote_folder(next(self.folder.glob("1-*")), confidence)


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> Answered:
    folder = tmp_path_factory.mktemp("answers")
    low = low_walls_file(folder)
    mixed = folder / "mixed.yaml"
    text = (SCENARIOS / "tern-quay-site-mixing.yaml").read_text()
    mixed.write_text(text.replace("extends: tern-quay.yaml", f"extends: {low.name}"))
    scenarios = [load(low, [HORIZON]), load(mixed, [HORIZON])]
    settings = StudySettings(runs=RUNS, seed=2, workers=1, engine="here")
    return Answered(folder, compare_scenarios(scenarios, ["low", "mixed"], settings, folder))


def day_of(hours: float) -> date | None:
    """Give the civil date of an instant: midnight belongs to the day before."""
    return None if math.isinf(hours) else START + timedelta(days=math.ceil(hours / 24.0) - 1)


def closed() -> list[date]:
    return sorted(holidays.country_holidays("US", subdiv="WA", years=[2027, 2028], observed=True))


def working_days(earlier: date, later: date) -> int:
    """Count the working days after the one date up to the other."""
    one_later = [day + timedelta(days=1) for day in (earlier, later)]
    return int(np.busday_count(*one_later, holidays=closed()))


def assert_quantiles(said: Mapping[str, Any], hours: np.ndarray) -> None:
    for name, share in SHARES.items():
        value = float(np.quantile(hours, share, method="inverted_cdf"))
        # Unfinished runs stand as a day beyond all others, so that scipy can rank them.
        finite = np.where(np.isinf(hours), 1e6, hours)
        interval = stats.quantile_test(finite, p=share).confidence_interval(0.95)
        low, high = (None if math.isnan(end) or end == 1e6 else day_of(end) for end in (interval.low, interval.high))
        day = day_of(value)
        told = said[name]
        assert told["hours"] == (None if math.isinf(value) else value)
        assert told["date"] == (day and day.isoformat())
        assert (told["low"], told["high"]) == (low and low.isoformat(), high and high.isoformat())
        if day is None or low is None or high is None:
            assert told["working_days_either_side"] is None
        else:
            assert told["working_days_either_side"] == max(working_days(low, day), working_days(day, high))


@pytest.mark.parametrize("number", [1, 2])
def test_dates_and_their_intervals(answered: Answered, number: int) -> None:
    tables, summary = answered.tables(number), answered.summary(number)
    finish = tables["runs"]["finish_hours"].to_numpy()
    assert len(finish) == RUNS
    assert_quantiles(summary["finish"], finish)
    unfinished = int(np.isinf(finish).sum())
    assert summary["unfinished"]["runs"] == unfinished == int((~tables["runs"]["finished"]).sum())
    assert sum(reason["runs"] for reason in summary["unfinished"]["reasons"]) == unfinished
    handed = tables["milestones"].query("milestone == 'handed over'")
    told = summary["buildings"] + summary["homes"]
    assert len(told) == 10
    for place in told:
        assert_quantiles(
            place, handed.query("building == @place['building'] and home == @place['home']")["hours"].to_numpy()
        )


def test_some_runs_do_not_end(answered: Answered) -> None:
    assert 0 < answered.summary()["unfinished"]["runs"] < RUNS / 4


@pytest.mark.parametrize("number", [1, 2])
def test_the_chance_beside_the_plain_plan(answered: Answered, number: int) -> None:
    plain = answered.summary(number)["plain_plan"]
    last_instant = ((date.fromisoformat(plain["date"]) - START).days + 1) * 24.0
    assert day_of(plain["hours"]) == date.fromisoformat(plain["date"])
    met = int((answered.tables(number)["runs"]["finish_hours"] <= last_instant).sum())
    interval = stats.binomtest(met, RUNS).proportion_ci(0.95, method="exact")
    assert plain["chance"] == pytest.approx({"value": met / RUNS, "low": interval.low, "high": interval.high})


@pytest.mark.parametrize("number", [1, 2])
def test_idle_time_by_gang_and_cause(answered: Answered, number: int) -> None:
    time = answered.tables(number)["time"]
    idle = time[time["state"].isin(["waiting", "down"])]
    by_cause = idle.groupby(["resource", "cause"])["hours"].sum() / RUNS
    on_shift = time[~time["state"].isin(["off shift", "overtime"])].groupby("resource")["hours"].sum() / RUNS
    for row in answered.summary(number)["time"]:
        mine = by_cause[row["resource"]] if row["resource"] in by_cause else pd.Series(dtype=float)
        assert row["waiting"] == pytest.approx(mine.to_dict())
        assert row["idle_hours"] == pytest.approx(mine.sum())
        assert row["on_shift_hours"] == pytest.approx(on_shift[row["resource"]])
        of_runs = (
            idle[idle["resource"] == row["resource"]].groupby("run")["hours"].sum().reindex(range(RUNS), fill_value=0)
        )
        interval = stats.ttest_1samp(of_runs, 0.0).confidence_interval(0.95)
        assert row["idle"] == pytest.approx({"value": of_runs.mean(), "low": interval.low, "high": interval.high})


@pytest.mark.parametrize("number", [1, 2])
def test_what_held_the_date_adds_up_in_every_run_that_ends(answered: Answered, number: int) -> None:
    tables = answered.tables(number)
    finish = tables["runs"].set_index("run")["finish_hours"]
    days = tables["held"].groupby("run")["days"].sum()
    ended = finish[np.isfinite(finish)]
    assert sorted(days.index) == sorted(ended.index)
    assert days.to_numpy() == pytest.approx((ended / 24.0).to_numpy(), rel=1e-12)
    by_cause = tables["held"].groupby("cause")["days"].sum() / len(ended)
    said = {row["cause"]: row["days"]["value"] for row in answered.summary(number)["held"]}
    assert said == pytest.approx(by_cause.to_dict())


@pytest.mark.parametrize("number", [1, 2])
def test_costs_and_concrete(answered: Answered, number: int) -> None:
    tables, summary = answered.tables(number), answered.summary(number)
    runs = tables["runs"].set_index("run")
    items = tables["costs"].groupby("run")["amount"].sum()
    assert items.to_numpy() == pytest.approx(runs["cost"].to_numpy(), abs=0.005)
    assert summary["cost"]["mean"]["value"] == pytest.approx(runs.loc[runs["finished"], "cost"].mean())
    parts = ["in_place", "joint_preparation", "rejected", "returned", "priming", "lost_to_blockages", "washed_out"]
    assert (runs[[f"{part}_m3" for part in parts]].sum(axis=1) == runs["batched_m3"]).all()
    for part in ("batched", *parts):
        assert summary["concrete"][f"{part}_m3"]["value"] == pytest.approx(runs[f"{part}_m3"].mean())


def by_home(answered: Answered) -> pd.DataFrame:
    handed = answered.tables()["milestones"].query("milestone == 'handed over' and home != ''")
    return handed.pivot(index="run", columns="home", values="hours")


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.85])
def test_a_quote_and_the_chance_that_all_of_it_is_met(answered: Answered, confidence: float) -> None:
    hours, quote = by_home(answered), answered.quote(confidence).quote
    assert [home.home for home in quote.homes] == list(hours.columns)
    met_by_all = np.ones(RUNS, dtype=bool)
    for home in quote.homes:
        of_home = hours[home.home].to_numpy()
        day = day_of(float(np.quantile(of_home, confidence, method="inverted_cdf")))
        promised = np.busday_offset(np.datetime64(day), 0, roll="forward", holidays=closed()).astype(date)
        assert home.promised == promised
        met = of_home <= ((promised - START).days + 1) * 24.0
        assert met.mean() >= confidence
        assert home.met.value == met.mean()
        met_by_all &= met
    interval = stats.binomtest(int(met_by_all.sum()), RUNS).proportion_ci(0.95, method="exact")
    assert (quote.together.value, quote.together.low, quote.together.high) == pytest.approx(
        (met_by_all.mean(), interval.low, interval.high)
    )
    latest = hours.max(axis=1).to_numpy()
    last = day_of(float(np.quantile(latest, confidence, method="inverted_cdf")))
    assert quote.all_homes == np.busday_offset(np.datetime64(last), 0, roll="forward", holidays=closed()).astype(date)


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.85])
def test_how_sure_each_home_has_to_be_for_all_together(answered: Answered, confidence: float) -> None:
    hours, quote = by_home(answered), answered.quote(confidence).quote
    ordered = np.sort(hours.to_numpy(), axis=0)
    needed = [
        rank / RUNS
        for rank in range(1, RUNS + 1)
        if (np.isfinite(hours) & (hours <= ordered[rank - 1])).all(axis=1).mean() >= confidence
    ]
    assert quote.each_needs == (min(needed) if needed else None)


def test_two_scenarios_run_by_run(answered: Answered) -> None:
    (low, mixed) = (answered.tables(number)["runs"].set_index("run") for number in (1, 2))
    against = answered.compared[1].against
    assert against is not None
    both = low["finished"] & mixed["finished"]
    for said, column, scale in ((against.finish_days, "finish_hours", 24.0), (against.cost, "cost", 1.0)):
        ours, theirs = mixed.loc[both, column] / scale, low.loc[both, column] / scale
        interval = stats.ttest_rel(ours, theirs).confidence_interval(0.95)
        assert (said.mean, said.low, said.high) == pytest.approx(((ours - theirs).mean(), interval.low, interval.high))
        assert said.n == int(both.sum())
    earlier = int((mixed["finish_hours"] < low["finish_hours"]).sum())
    interval = stats.binomtest(earlier, RUNS).proportion_ci(0.95, method="exact")
    assert (against.earlier.earlier.value, against.earlier.earlier.low, against.earlier.earlier.high) == pytest.approx(
        (earlier / RUNS, interval.low, interval.high)
    )
    p80 = [float(np.quantile(frame["finish_hours"], 0.8, method="inverted_cdf")) / 24.0 for frame in (mixed, low)]
    assert against.shift_p80_days.shift == pytest.approx(p80[0] - p80[1])


@pytest.mark.parametrize("number", [1, 2])
def test_the_runs_that_stand_for_the_quantiles(answered: Answered, number: int) -> None:
    finish = answered.tables(number)["runs"].set_index("run")["finish_hours"]
    for name, run in answered.summary(number)["standing_for"].items():
        assert finish[run] == np.quantile(finish, SHARES[name], method="inverted_cdf")


def test_rejected_concrete_of_the_loads_is_that_of_the_runs(answered: Answered) -> None:
    tables = answered.tables()
    loads = tables["loads"].groupby("run")[["ordered_m3", "rejected_m3", "returned_m3"]].sum()
    kept = tables["runs"].set_index("run").loc[loads.index]
    assert len(kept) == 25
    assert (loads["ordered_m3"] == kept["batched_m3"]).all()
    assert (loads["rejected_m3"] == kept["rejected_m3"]).all()
    assert (loads["returned_m3"] == kept["returned_m3"]).all()
