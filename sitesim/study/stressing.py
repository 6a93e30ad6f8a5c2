"""A site played under each stress of a list and from each month of start, always with the same luck."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from sitesim.answers.stress import MonthsApart, Shift, StartMonth, months_apart, rank, start_month
from sitesim.answers.variants import AsPlanned, PlayedVariant, as_planned
from sitesim.answers.weather_cost import MonthOfWeather, WeatherCost, cost_of_tables
from sitesim.hours import NEVER, civil_date
from sitesim.plan import UnitKind
from sitesim.study.answering import check_that_it_ends
from sitesim.study.basis import Basis
from sitesim.study.choosing import chosen
from sitesim.study.runner import Progress, StudySettings
from sitesim.study.site_facts import PlayedFacts
from sitesim.study.theatre import PLANNED, Staged, Theatre
from sitesim.study.weather_months import weather_by_month

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.stresses import Stress

_BUSIEST = re.compile(r"\bbusiest gang\b", re.IGNORECASE)
_WORST_YEAR = re.compile(r"\bworst year(?: on record)?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class StressAsked:
    """What is asked of a stress study.

    Parameters: ``sets``, the settings that the scenario was loaded with; ``asked``, the date to be met, the planned P80
    date where None; ``months``, how many months of start are played, the planned one counted; ``only``, names, or
    parts of names, of the stresses to be played, all where empty.
    """

    sets: tuple[str, ...] = ()
    asked: date | None = None
    months: int = 12
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class YearOfRecord:
    """A year of the weather record, and the mean finish of a few runs in it, None where one of them has none."""

    year: int
    finish: date | None


@dataclass(frozen=True, slots=True)
class WeatherAnswers:
    """What a stress study says of the weather.

    Parameters: ``by_month``, what it costs as planned in each calendar month; ``planned``, in all; ``by_start``, for
    each month of start, None where no run ends; ``years`` of the record, and the ``worst`` of them for the site, where
    that is asked about, by so many ``runs_a_year``.
    """

    by_month: tuple[MonthOfWeather, ...] = ()
    planned: WeatherCost | None = None
    by_start: tuple[WeatherCost | None, ...] = ()
    years: tuple[YearOfRecord, ...] = ()
    worst: int | None = None
    runs_a_year: int = 0


@dataclass(frozen=True, slots=True)
class StressStudy:
    """What a stress study found.

    Parameters: ``shifts``, by how much they hurt; ``weather``, what it costs; ``doubted``, names of stresses that may
    change little, with the reason; ``months`` of start in order; ``months_apart``, the best against the worst of them;
    ``basis`` of the figures.
    """

    planned: AsPlanned
    shifts: tuple[Shift, ...]
    weather: WeatherAnswers
    doubted: tuple[tuple[str, str], ...]
    months: tuple[StartMonth, ...]
    months_apart: MonthsApart | None
    basis: Basis


def play_under_stress(
    scenario: Scenario,
    stresses: Sequence[Stress],
    asked: StressAsked,
    settings: StudySettings,
    out: Path | None,
    progress: Progress | None = None,
) -> StressStudy:
    """Play a scenario as planned, under each stress and from each month of start, and compare.

    Parameters: ``out``, the folder that holds a folder for each variant, one under ``outputs`` named by the scenario's
    file where None. All are played as often as the one that has the most runs already, and at least as often as
    ``settings`` says. Raises UserError if a name in ``asked.only`` means no stress or the plain plan does not end,
    ScenarioError for stresses that make no scenario, Interrupted on a keyboard interrupt: what is played is kept.
    """
    from sitesim.scenario.stresses import restarted
    from sitesim.scenario.variants import lay_over

    check_that_it_ends(scenario)
    facts = PlayedFacts(scenario.plan())
    named = [_with_what_it_means(one, facts) for one in chosen(stresses, asked.only, "stress")]
    found = lay_over(scenario, asked.sets, named, facts)
    starts = [restarted(scenario, asked.sets, months, facts) for months in range(1, asked.months)]
    theatre = Theatre("stress", scenario, settings, out, progress)
    theatre.take(PLANNED, scenario)
    applied = theatre.take_laid(found)
    for start in starts:
        theatre.take(f"start {start.wanted:%Y-%m}", start.scenario)
    names = ["", *(stress.name for stress, _ in applied), *("" for _ in starts)]
    staged = theatre.play()
    planned, *played = (one.played(name) for one, name in zip(staged, names, strict=True))
    under_stress, months = played[: len(applied)], [planned, *played[len(applied) :]]
    told = as_planned(planned, asked.asked)
    parts = {stress.name: stress.parts for stress, _ in applied}
    return StressStudy(
        planned=told,
        shifts=rank(planned, under_stress, told.asked, parts),
        weather=_weather(staged[0], staged[1 + len(applied) :], named, facts, settings.seed, bool(asked.months)),
        doubted=tuple((one.laid.name, doubt) for one in found for doubt in one.doubts),
        months=_start_months(months, [start.wanted for start in starts]) if asked.months else (),
        months_apart=months_apart(months),
        basis=theatre.basis(found, applied),
    )


def _start_months(months: Sequence[PlayedVariant], wanted: Sequence[date]) -> tuple[StartMonth, ...]:
    """Say what each month comes to, the first being that of the plan, which begins on the day that it names."""
    planned, *later = months
    return (start_month(planned), *(start_month(one, day) for one, day in zip(later, wanted, strict=True)))


def _weather(
    planned: Staged, starts: Sequence[Staged], stresses: Sequence[Stress], facts: PlayedFacts, seed: int, by_start: bool
) -> WeatherAnswers:
    """Say what the weather costs as planned, month by month and in all, and from each month of start."""
    plan = planned.scenario.plan()
    if plan.climate.record is None or not plan.weather_holds:
        return WeatherAnswers()
    runs = planned.table("runs")
    total = _cost(planned)
    asks_years = plan.climate.record.years > 1 and any(_means_worst_year(one) for one in stresses)
    return WeatherAnswers(
        by_month=weather_by_month(plan, seed, runs.loc[runs["finished"], "run"].tolist()),
        planned=total,
        by_start=(total, *map(_cost, starts)) if by_start else (),
        years=_years(facts) if asks_years else (),
        worst=facts.worst_year if asks_years else None,
        runs_a_year=facts.runs_a_year if asks_years else 0,
    )


def _cost(staged: Staged) -> WeatherCost | None:
    day_length = staged.scenario.plan().calendars["site"].day_length
    return cost_of_tables({name: staged.table(name) for name in ("runs", "held", "cost_causes")}, day_length)


def _years(facts: PlayedFacts) -> tuple[YearOfRecord, ...]:
    start = facts.plan.start
    return tuple(
        YearOfRecord(year, None if finish == NEVER else civil_date(start, finish))
        for year, finish in facts.years.items()
    )


def _means_worst_year(stress: Stress) -> bool:
    from sitesim.scenario.stresses.kinds import WorstYear

    return any(isinstance(change, WorstYear) for change, _ in stress.steps)


def _with_what_it_means(stress: Stress, facts: PlayedFacts) -> Stress:
    """Name the gang in what is called "Busiest gang", and the year in "Worst year"; other names stay as they are."""
    from sitesim.scenario.stresses.kinds import BUSIEST, GangMissing

    climate = facts.plan.climate
    if (
        _means_worst_year(stress)
        and facts.plan.weather_holds
        and climate.record is not None
        and climate.record.years > 1
    ):
        found = _WORST_YEAR.sub(lambda found: f"{found[0]} ({facts.worst_year})", stress.name)
        stress = replace(stress, name=found)
    means_busiest = any(isinstance(change, GangMissing) and change.gang == BUSIEST for change, _ in stress.steps)
    if not means_busiest or all(unit.kind is not UnitKind.GANG for unit in facts.plan.units):
        return stress
    return replace(stress, name=_BUSIEST.sub(lambda found: f"{found[0]} ({facts.busiest_gang})", stress.name))
