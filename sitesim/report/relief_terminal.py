"""A relief study in the terminal: the answer, the ranking, why, and the best together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from sitesim.answers.relief import Relieved
from sitesim.report.fitting_table import WIDTH, Choice, Column, FittingTable
from sitesim.report.laid_out import laid_out, plain_row, plain_table
from sitesim.report.relief_figures import a_day_won, mean_days, money_interval, money_signed, won_alone
from sitesim.report.relief_words import (
    HEADING,
    answer,
    more_answers,
    not_told,
    reason,
    together_in_words,
    unpriced_of,
)
from sitesim.report.shift_words import interval_of, signed
from sitesim.report.words import Style, several, together
from sitesim.scenario.reliefs import in_a_sentence
from sitesim.study.relieving import ReliefStudy

if TYPE_CHECKING:
    from rich.console import Group, RenderableType

_TITLE = "What wins days?  (working days won, + earlier; money, + dearer; with their intervals)"
_UNPRICED = "*"
_WINNERS = 8
"""How many of those that win days the terminal shows; the page shows all."""


def relief_report(study: ReliefStudy) -> Group:
    """Lay a relief study out for the terminal; the ranking takes more than 100 columns where they are."""
    from rich.text import Text

    answers = [Text(f"{HEADING}: {study.planned.name}"), Text(answer(study), style="bold")]
    return laid_out([*answers, *map(Text, more_answers(study))], _parts(study))


def _parts(study: ReliefStudy) -> Iterator[RenderableType]:
    from rich.constrain import Constrain
    from rich.text import Text

    every = shown_of(study)
    shown = every if study.asked_only else _few(every)
    if shown:
        yield Constrain(_ranking(study, shown), WIDTH)
        if len(shown) < len(every):
            yield Text(f"And {several(len(every) - len(shown), 'relief')} more that win less, on the page.")
        if any(one.name in unpriced_of(study) for one in shown):
            yield Text(f"{_UNPRICED} The scenario has no price for part of it: what it takes is on the page.")
        yield _reasons(shown)
    if study.pairs:
        yield _pairs(Style.of_basis(study.basis), study.pairs)
    untold = [name for name in not_told(study) if not study.asked_only]
    if untold:
        yield Text(f"Win nothing that the runs can tell: {together(in_a_sentence(name) for name in untold)}.")
    if study.basis.left_out:
        yield Text("\n".join(f"Does not apply: {name}: {why}." for name, why in study.basis.left_out))
    yield Text(
        f"{several(study.planned.runs, 'run')} of each, under the same weather and breakdowns. Told to win or to lose "
        "by the mean of the pairs of runs. Intervals at 95 %, for all reliefs together. Dates are chances, not "
        "guarantees, and whether a gang or a crane can be had is not known here."
    )


def _few(every: Sequence[Relieved]) -> tuple[Relieved, ...]:
    """Keep the winners that win most, and those that lose days."""
    winners = [one for one in every if one.wins]
    return (*winners[:_WINNERS], *(one for one in every if not one.wins))


def shown_of(study: ReliefStudy) -> tuple[Relieved, ...]:
    """Give the reliefs that are shown one by one: those that can be told from nothing, or all that were asked for."""
    return tuple(one for one in study.reliefs if one.distinguishable or study.asked_only)


def _ranking(study: ReliefStudy, shown: Sequence[Relieved]) -> FittingTable[Relieved]:
    style, unpriced = Style.of_basis(study.basis), unpriced_of(study)

    def name(one: Relieved) -> str:
        unfinished = f" ({several(one.unfinished, 'run')} do not end)" if one.unfinished else ""
        return f"{one.name}{_UNPRICED if one.name in unpriced else ''}{unfinished}"

    return FittingTable(_TITLE, shown, name, tuple(_choices(style)))


def _choices(style: Style) -> Iterator[Choice[Relieved]]:
    """Give the columns from all that there is down to the days alone."""
    p80: Column[Relieved] = Column("At 4 in 5", _with_interval)
    p80_alone: Column[Relieved] = Column("At 4 in 5", lambda one: won_alone(one.won_p80))
    mean: Column[Relieved] = Column("On average", lambda one: mean_days(one.won))
    mean_alone: Column[Relieved] = Column("On average", lambda one: signed(one.won.mean, 1))
    cost: Column[Relieved] = Column("Cost", lambda one: _cost_with_interval(style, one))
    cost_alone: Column[Relieved] = Column("Cost", lambda one: money_signed(style, one.cost.mean))
    a_day: Column[Relieved] = Column("A day won", lambda one: a_day_won(style, one))
    finish: Column[Relieved] = Column("4 in 5 by", lambda one: style.short_date(one.finish_p80))
    yield Choice((p80, mean, cost, a_day, finish), "")
    yield Choice((p80, mean, cost_alone, a_day, finish), "the interval of the cost")
    yield Choice((p80, mean_alone, cost_alone, a_day, finish), "the intervals of mean and cost")
    yield Choice((p80, mean_alone, cost_alone, a_day), "the intervals of mean and cost and the date at 4 in 5")
    yield Choice((p80_alone, mean_alone, cost_alone), "intervals, what a day costs and the date at 4 in 5")


def _with_interval(one: Relieved) -> str:
    within = interval_of(one.won_p80)
    return f"{won_alone(one.won_p80)} ({within})" if within else won_alone(one.won_p80)


def _cost_with_interval(style: Style, one: Relieved) -> str:
    within = money_interval(style, one.cost)
    return f"{money_signed(style, one.cost.mean)} ({within})" if within else money_signed(style, one.cost.mean)


def _reasons(shown: Sequence[Relieved]) -> RenderableType:
    table = plain_table("Why?  (calendar days of the finish, mean of the runs)", "", "What held it, as planned and now")
    for one in shown:
        plain_row(table, one.name, reason(one))
    return table


def _pairs(style: Style, pairs: Sequence[Relieved]) -> RenderableType:
    table = plain_table("The best together  (working days on average)", "", "Won", "Cost", "Against the sum")
    for one in pairs:
        plain_row(
            table, one.name, mean_days(one.won), money_signed(style, one.cost.mean), together_in_words(one.beyond)
        )
    return table
