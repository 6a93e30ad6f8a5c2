"""What a command shows: its answer, its progress, and what a user can mend."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.study import Progress
    from sitesim.study.print_days import Told

BAD_INPUT, INTERRUPTED = 2, 130
"""Exit statuses; 0 is done, 1 a fault of ours."""


@contextmanager
def bar(title: str, silent: bool) -> Iterator[Told | None]:
    """Show a plain progress bar, unless silenced or piped."""
    if silent or not sys.stderr.isatty():
        yield None
        return
    from sitesim.report.progress import plain_bar

    with plain_bar(title) as told:
        yield told


def print_whole(renderable: object) -> None:
    """Print what rich can render, 100 columns wide where nobody looks at a screen."""
    from rich.console import Console

    # No markup: a name or an assumption may hold square brackets.
    console = Console(highlight=False, markup=False)
    if not console.is_terminal:
        console = Console(highlight=False, markup=False, width=100)
    console.print(renderable)


def print_answer(data: object, as_json: bool, renderable: object, *after: str) -> None:
    """Print an answer as text, with what stands ``after`` it for a reader, or its data as JSON."""
    if as_json:
        typer.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
        return
    print_whole(renderable)
    for told in after:
        typer.echo(f"\n{told}")


@contextmanager
def progress_of(scenario: Scenario, silent: bool) -> Iterator[Progress | None]:
    """Show a progress bar with the P80 so far, unless silenced or piped."""
    if silent or not sys.stderr.isatty():
        yield None
        return
    from sitesim.report.progress import progress_bar
    from sitesim.report.words import Style

    with progress_bar(scenario.plan(), Style(scenario.units == "us", scenario.currency)) as progress:
        yield progress


@contextmanager
def plain_errors() -> Iterator[None]:
    """Turn what users can mend into one line a fault and an exit status; let faults of ours show themselves."""
    from sitesim.errors import UserError
    from sitesim.study import Interrupted

    try:
        yield
    except UserError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(BAD_INPUT) from None
    except OSError as error:  # a place that cannot be read or written
        if error.filename is None:
            raise
        typer.echo(f"{error.filename}: {error.strerror}", err=True)
        raise typer.Exit(BAD_INPUT) from None
    except Interrupted as stopped:
        typer.echo(f"\nInterrupted: {stopped}. The same command goes on from there.", err=True)
        raise typer.Exit(INTERRUPTED) from None
    except KeyboardInterrupt:
        typer.echo("\nInterrupted; nothing is kept of what was not finished.", err=True)
        raise typer.Exit(INTERRUPTED) from None
