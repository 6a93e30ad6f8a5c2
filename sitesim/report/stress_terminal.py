"""A stress study in the terminal: the answer, the ranking, what held the date, the months of start."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sitesim.answers.stress import StartMonth
from sitesim.report.fitting_table import WIDTH
from sitesim.report.laid_out import laid_out, plain_row, plain_table
from sitesim.report.stress_ranking import stress_ranking
from sitesim.report.stress_words import (
    HEADING,
    answer,
    held_then,
    more_answers,
    put_off_note,
    short_month,
)
from sitesim.report.weather_cost_words import weather_sentences
from sitesim.report.words import Style, several
from sitesim.study.stressing import StressStudy

if TYPE_CHECKING:
    from rich.console import Group, RenderableType


def stress_report(study: StressStudy) -> Group:
    """Lay a stress study out for the terminal; the ranking takes more than 100 columns where they are."""
    from rich.text import Text

    answers = [Text(f"{HEADING}: {study.planned.name}"), Text(answer(study), style="bold")]
    return laid_out([*answers, *map(Text, more_answers(study))], _parts(study))


def _parts(study: StressStudy) -> Iterator[RenderableType]:
    from rich.constrain import Constrain
    from rich.text import Text

    style = Style.of_basis(study.basis)
    if study.shifts:
        yield Constrain(stress_ranking(study), WIDTH)
        yield _held(study)
    if study.basis.left_out:
        yield Text("\n".join(f"Does not apply: {name}: {why}." for name, why in study.basis.left_out))
    if study.doubted:
        yield Text("\n".join(f"Mind: {name}: {why}." for name, why in study.doubted))
    if lines := weather_sentences(style, study):
        yield Text("What does the weather cost?\n" + "\n".join(lines))
    if study.months:
        yield _months(style, study)
        if note := put_off_note(style, study.months):
            yield Text(note)
    yield Text(
        f"{several(study.planned.runs, 'run')} of each variant, under the same weather and breakdowns otherwise. "
        "Ranked, and told apart from no change, by the mean of the pairs of runs. "
        "Intervals at 95 %, those of the shifts for all stresses together. A stress is what it costs if it happens, "
        "not how likely it is. Dates are chances, not guarantees."
    )


def _held(study: StressStudy) -> RenderableType:
    table = plain_table(
        "What held the date then?  (calendar days of the finish; moved against the plan)",
        "",
        "Held most, and what moved",
    )
    for one in study.shifts:
        plain_row(table, one.name, held_then(one))
    return table


def _months(style: Style, study: StressStudy) -> RenderableType:
    table = plain_table(
        "In which month should we start?  (at 4 in 5; mean of working days lost to weather)",
        "Start",
        "Finish",
        "Between",
        "Days from start",
        "Lost to weather",
    )
    table.padding = (0, 1, 0, 0)
    for column in table.columns[:3]:
        column.no_wrap = True  # dates stay whole; what is said of runs that do not end may take two lines
    for column in table.columns[3:]:
        column.justify = "right"
    for one in study.months:
        plain_row(
            table,
            short_month(one.start),
            style.short_date(one.finish),
            finish_range(style, one),
            duration_of(one),
            weather_of(one),
        )
    return table


def finish_range(style: Style, month: StartMonth) -> str:
    """Write the interval of the finish at 4 in 5, with what is known of it."""
    if month.finish_low is None and month.finish_high is None:
        return "not known"
    low = "before" if month.finish_low is None else style.day_and_month(month.finish_low)
    high = "open" if month.finish_high is None else style.day_and_month(month.finish_high)
    return f"{low} – {high}"


def duration_of(month: StartMonth) -> str:
    """Write the days from start to finish at 4 in 5; and the runs that do not end."""
    if month.finish is None:
        return f"{several(month.unfinished, 'run')} of {month.runs} do not end"
    left = f" ({several(month.unfinished, 'run')} do not end)" if month.unfinished else ""
    return f"{month.days.value:.0f}{left}"


def weather_of(month: StartMonth) -> str:
    """Write the working days lost to weather with their error."""
    found = month.weather_days
    if found is None:
        return "–"
    return f"{found.value:.1f} ± {(found.high - found.low) / 2:.1f}" if month.runs > 1 else f"{found.value:.1f}"
