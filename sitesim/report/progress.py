"""The progress of a long study: a bar with the P80 so far."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, ProgressColumn, TextColumn, TimeRemainingColumn

from sitesim.answers.dates import SiteDates
from sitesim.answers.statistics import quantile_estimate
from sitesim.plan import Plan
from sitesim.report.words import Style
from sitesim.study import Progress as Told


@contextmanager
def progress_bar(plan: Plan, style: Style) -> Iterator[Told]:
    """Show a bar on standard error; gives the function to be told after each block of runs."""
    dates = SiteDates(plan.start, plan.calendars["site"])
    with _bar(TextColumn("{task.fields[so_far]}")) as bar:
        task = bar.add_task(plan.name, total=None, so_far="")

        def told(done: int, wanted: int, finishes: list[float]) -> None:
            bar.update(task, completed=done, total=wanted, so_far=_so_far(style, dates, finishes))

        yield told


@contextmanager
def plain_bar(title: str) -> Iterator[Callable[[int, int], None]]:
    """Show a bar on standard error; gives the function to be told how many runs are done and wanted."""
    with _bar() as bar:
        task = bar.add_task(title, total=None)
        yield lambda done, wanted: bar.update(task, completed=done, total=wanted)


def _bar(*more: ProgressColumn) -> Progress:
    """Make a bar that counts runs, with what is told of them besides, and goes away when they are done."""
    return Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("runs"),
        TimeRemainingColumn(),
        *more,
        console=Console(stderr=True),
        transient=True,
    )


def _so_far(style: Style, dates: SiteDates, finishes: list[float]) -> str:
    """Tell the P80 date so far and how well it is known."""
    if not finishes:
        return ""
    found = quantile_estimate(finishes, 0.8)
    date = dates.date_of(found.value)
    if date is None:
        return "P80: not finished within the horizon"
    earliest, latest = dates.date_of(found.low), dates.date_of(found.high) if found.bounded_above else None
    if earliest is None or latest is None or not found.bounded_below:
        return f"P80 so far {style.short_date(date.isoformat())}"
    either_side = max(dates.working_days_between(earliest, date), dates.working_days_between(date, latest))
    return f"P80 so far {style.short_date(date.isoformat())} ± {either_side} wd"
