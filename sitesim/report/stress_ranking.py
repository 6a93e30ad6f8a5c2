"""The ranking of stresses in the terminal, with as much in it as the width allows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sitesim.answers.stress import Shift
from sitesim.report.stress_words import (
    called,
    chance_to_meet,
    mean_alone,
    mean_with_interval,
    shift_alone,
    shift_with_interval,
    style_of,
)
from sitesim.report.terminal import plain_row, plain_table
from sitesim.report.words import several
from sitesim.study.stressing import StressStudy

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.table import Table

_TITLE = "What hurts most?  (shift of the finish in working days, + later, with its interval)"
_LEAST_NAME = 24
"""Fewer characters and names of stresses take too many lines."""

_LONGEST_WORD = 40
_BETWEEN = 2
_EDGES = 2


@dataclass(frozen=True)
class _Column:
    head: str
    cell: Callable[[Shift], str]

    def width(self, shifts: Sequence[Shift]) -> int:
        from rich.cells import cell_len

        lines = [*self.head.splitlines(), *(self.cell(one) for one in shifts)]
        return max(cell_len(line) for line in lines)


@dataclass(frozen=True)
class _Choice:
    """Columns beside the name, and what is left out of them, in words."""

    columns: tuple[_Column, ...]
    left_out: str


class StressRanking:
    """The stresses of a study, worst first: names stay whole, and the columns that matter least give way to them."""

    def __init__(self, study: StressStudy) -> None:
        self._shifts = study.shifts
        self._choices = tuple(_choices(study))

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[RenderableType]:
        """Give the table with the most in it that fits, and say what is left out."""
        from rich.text import Text

        fitting = (choice for choice in self._choices if self._needs(choice) <= options.max_width)
        chosen = next(fitting, self._choices[-1])
        yield self._table(chosen)
        if chosen.left_out:
            yield Text(f"Left out for want of width, and on the page: {chosen.left_out}.")

    def _needs(self, choice: _Choice) -> int:
        beside = sum(_BETWEEN + column.width(self._shifts) for column in choice.columns)
        return _EDGES + self._least_name() + beside

    def _least_name(self) -> int:
        """Give the width that the names need: that of their longest word, and room for more than one word."""
        from rich.cells import cell_len

        names = [_name(one) for one in self._shifts]
        words = max(cell_len(word) for name in names for word in name.split())
        return max(min(words, _LONGEST_WORD), min(_LEAST_NAME, max(map(cell_len, names))))

    def _table(self, choice: _Choice) -> Table:
        heads = [column.head for column in choice.columns]
        table = plain_table(_TITLE, "", *heads, numbers=tuple(range(1, len(heads) + 1)))
        table.padding = (0, 1, 0, 0)
        table.columns[0].ratio = 1
        for one in self._shifts:
            plain_row(table, _name(one), *(column.cell(one) for column in choice.columns))
        return table


def _choices(study: StressStudy) -> Iterator[_Choice]:
    """Give the columns from all that there is down to the date alone."""
    style = style_of(study)
    asked = f"Still by\n{style.short_date(study.planned.asked)}" if study.planned.asked else "Still on time"
    p80 = _Column("At 4 in 5", lambda one: shift_with_interval(one.p80))
    p50 = _Column("At 1 in 2", lambda one: shift_with_interval(one.p50))
    p50_alone = _Column("At 1 in 2", lambda one: shift_alone(one.p50))
    mean = _Column("Mean", lambda one: mean_with_interval(one.mean))
    plain_mean = _Column("Mean", lambda one: mean_alone(one.mean))
    finish = _Column("4 in 5 by", lambda one: style.short_date(one.finish_p80))
    meets = _Column(asked, lambda one: chance_to_meet(one.meets))
    yield _Choice((p80, p50, mean, finish, meets), "")
    yield _Choice((p80, p50_alone, mean, finish, meets), "the interval of the shift at 1 in 2")
    yield _Choice((p80, mean, finish, meets), "the shift at 1 in 2")
    yield _Choice((p80, plain_mean, finish, meets), "the shift at 1 in 2 and the interval of the mean")
    yield _Choice((p80, finish, meets), "the shift at 1 in 2 and the mean")
    yield _Choice((p80, finish), "the shift at 1 in 2, the mean and the chance to meet the date asked for")


def _name(shift: Shift) -> str:
    if not shift.unfinished:
        return called(shift)
    return f"{called(shift)} ({several(shift.unfinished, 'run')} do not end)"
