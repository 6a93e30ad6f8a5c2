"""A site played with one more of each thing in turn, and with the best of them together, always with the same luck."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from sitesim.answers.relief import PlayedRelief, Relieved, rank_reliefs
from sitesim.answers.statistics import Estimate, mean_interval
from sitesim.answers.summary import cost_in_the_end
from sitesim.answers.variants import AsPlanned, as_planned
from sitesim.study.answering import check_that_it_ends
from sitesim.study.basis import Basis
from sitesim.study.choosing import chosen
from sitesim.study.runner import Progress, StudySettings
from sitesim.study.site_facts import PlayedFacts
from sitesim.study.theatre import PLANNED, Staged, Theatre

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.reliefs import Relief


@dataclass(frozen=True, slots=True)
class ReliefAsked:
    """What is asked of a relief study.

    Parameters: ``sets``, the settings that the scenario was loaded with; ``only``, names, or parts of names, of the
    reliefs to be played, all where empty; ``best``, how many of the best are played in pairs, 0 for none.
    """

    sets: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    best: int = 3


@dataclass(frozen=True, slots=True)
class ReliefStudy:
    """What a relief study found.

    Parameters: ``cost`` [currency] as planned, mean of the runs that end; ``reliefs``, by what they win; ``pairs`` of
    the best; ``unpriced``, for each relief what it takes that has no price; ``asked_only``, whether reliefs were named
    to be set against each other; ``basis`` of the figures.
    """

    planned: AsPlanned
    cost: Estimate
    reliefs: tuple[Relieved, ...]
    pairs: tuple[Relieved, ...]
    unpriced: tuple[tuple[str, tuple[str, ...]], ...]
    asked_only: bool
    basis: Basis


def play_reliefs(
    scenario: Scenario,
    reliefs: Sequence[Relief],
    asked: ReliefAsked,
    settings: StudySettings,
    out: Path | None,
    progress: Progress | None = None,
) -> ReliefStudy:
    """Play a scenario as planned, with each relief, and with the best of them in pairs, and compare.

    Parameters: ``out``, the folder that holds a folder for each, one under ``outputs`` named by the scenario's file
    where None. All are played as often as the one that has the most runs already, and at least as often as
    ``settings`` says. Raises UserError if a name in ``asked.only`` means no relief or the plain plan does not end,
    ScenarioError for reliefs that make no scenario, Interrupted on a keyboard interrupt: what is played is kept.
    """
    from sitesim.scenario.variants import lay_over

    check_that_it_ends(scenario)
    facts = PlayedFacts(scenario.plan())
    singles = lay_over(scenario, asked.sets, chosen(reliefs, asked.only, "relief"), facts)
    theatre = Theatre("relief", scenario, settings, out, progress)
    theatre.take(PLANNED, scenario)
    applied = theatre.take_laid(singles)
    staged, *played = theatre.play(yet_to_come=_pairs_of(min(asked.best, len(applied))))
    planned = _played(staged)
    found = [_with(relief, one) for (relief, _), one in zip(applied, played, strict=True)]
    ranked = rank_reliefs(planned, found)
    joint = lay_over(scenario, asked.sets, _pairs([relief for relief, _ in applied], ranked, asked.best), facts)
    applied_pairs = theatre.take_laid(joint)
    found_pairs = [_with(relief, one) for (relief, _), one in zip(applied_pairs, theatre.play(), strict=True)]
    told = as_planned(planned.variant, None)
    return ReliefStudy(
        planned=told,
        cost=_mean_cost(planned),
        reliefs=ranked,
        pairs=rank_reliefs(planned, found_pairs, found),
        unpriced=tuple((relief.name, relief.unpriced) for relief, _ in (*applied, *applied_pairs)),
        asked_only=bool(asked.only),
        basis=theatre.basis([*singles, *joint], applied),
    )


def _pairs_of(number: int) -> int:
    return number * (number - 1) // 2


def _pairs(reliefs: Sequence[Relief], ranked: Sequence[Relieved], best: int) -> tuple[Relief, ...]:
    """Pair the best reliefs that win days and change different things; those that are played already are left out."""
    from sitesim.scenario.reliefs import together

    by_name = {relief.name: relief for relief in reliefs}
    picked: list[Relief] = []
    for one in ranked:
        relief = by_name[one.name]
        if one.wins and len(picked) < best and all(relief.goes_with(other) for other in picked):
            picked.append(relief)
    played = {frozenset(relief.parts) for relief in reliefs}
    pairs = (together(pair) for pair in itertools.combinations(picked, 2))
    return tuple(pair for pair in pairs if frozenset(pair.parts) not in played)


def _with(relief: Relief, staged: Staged) -> PlayedRelief:
    """Give the runs of a relief under its own name."""
    return replace(_played(staged, relief.name), more=relief.more, relieves=relief.relieves, parts=relief.parts)


def _played(staged: Staged, name: str = "") -> PlayedRelief:
    return PlayedRelief(staged.played(name), staged.table("milestones"), staged.table("time"))


def _mean_cost(planned: PlayedRelief) -> Estimate:
    costs = cost_in_the_end(planned.variant.runs)
    ended = costs[costs < float("inf")]
    return mean_interval(ended) if len(ended) else Estimate(float("nan"), float("-inf"), float("inf"), 0)
