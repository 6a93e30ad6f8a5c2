"""The ranking of stresses in the terminal, with as much in it as the width allows."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.answers.stress import Shift
from sitesim.report.fitting_table import Choice, Column, FittingTable
from sitesim.report.shift_words import mean_alone, mean_with_interval, shift_alone, shift_with_interval
from sitesim.report.stress_words import called, chance_to_meet
from sitesim.report.words import Style, several
from sitesim.study.stressing import StressStudy

_TITLE = "What hurts most?  (shift of the finish in working days, + later, with its interval)"


def stress_ranking(study: StressStudy) -> FittingTable[Shift]:
    """Lay out the stresses of a study, worst first."""
    return FittingTable(_TITLE, study.shifts, _name, tuple(_choices(study)))


def _choices(study: StressStudy) -> Iterator[Choice[Shift]]:
    """Give the columns from all that there is down to the date alone."""
    style = Style.of_basis(study.basis)
    asked = f"Still by\n{style.short_date(study.planned.asked)}" if study.planned.asked else "Still on time"
    p80: Column[Shift] = Column("At 4 in 5", lambda one: shift_with_interval(one.p80))
    p50: Column[Shift] = Column("At 1 in 2", lambda one: shift_with_interval(one.p50))
    p50_alone: Column[Shift] = Column("At 1 in 2", lambda one: shift_alone(one.p50))
    mean: Column[Shift] = Column("Mean", lambda one: mean_with_interval(one.mean))
    plain_mean: Column[Shift] = Column("Mean", lambda one: mean_alone(one.mean))
    finish: Column[Shift] = Column("4 in 5 by", lambda one: style.short_date(one.finish_p80))
    meets: Column[Shift] = Column(asked, lambda one: chance_to_meet(one.meets))
    yield Choice((p80, p50, mean, finish, meets), "")
    yield Choice((p80, p50_alone, mean, finish, meets), "the interval of the shift at 1 in 2")
    yield Choice((p80, mean, finish, meets), "the shift at 1 in 2")
    yield Choice((p80, plain_mean, finish, meets), "the shift at 1 in 2 and the interval of the mean")
    yield Choice((p80, finish, meets), "the shift at 1 in 2 and the mean")
    yield Choice((p80, finish), "the shift at 1 in 2, the mean and the chance to meet the date asked for")


def _name(shift: Shift) -> str:
    if not shift.unfinished:
        return called(shift)
    return f"{called(shift)} ({several(shift.unfinished, 'run')} do not end)"
