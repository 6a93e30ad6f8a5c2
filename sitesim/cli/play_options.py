"""What every command that plays is asked besides: with which luck, where, into which folder, and how much is shown."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from sitesim.cli.asked import load_scenario
from sitesim.cli.options import AsJson, Engine, Out, Quiet, Seed, Sets, Workers
from sitesim.cli.shown import bar, print_answer, progress_of

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.study import Progress, StudySettings
    from sitesim.study.print_days import Told


@dataclass(frozen=True)
class PlayOptions:
    """The options that all commands that play have in common, each a field as Typer reads it."""

    seed: Seed = 1
    workers: Workers = 0
    engine: Engine = "processes"
    out: Out = None
    sets: Sets = None
    quiet: Quiet = False
    as_json: AsJson = False

    def scenario(self, file: Path) -> Scenario:
        """Read a scenario with the settings that are laid over it; raises UserError with all its faults."""
        return load_scenario(file, self.sets)

    def settings(self, runs: int, until: float | None = None) -> StudySettings:
        """Give how a study of so many runs is played, or one that stops by itself; see `StudySettings`."""
        from sitesim.study import StudySettings

        return StudySettings(runs, self.seed, self.workers, self.engine, until)

    def folder(self, stem: str, scenario: Scenario, settings: StudySettings) -> Path:
        """Give the folder for a study: the one that was named, or the one under ``outputs`` that is free for it."""
        from sitesim.study import free_folder

        return self.out or free_folder(stem, scenario.digest, settings)

    def progress(self, scenario: Scenario) -> AbstractContextManager[Progress | None]:
        """Show a progress bar with the P80 so far, unless silenced or piped."""
        return progress_of(scenario, self.quiet or self.as_json)

    def bar(self, scenario: Scenario) -> AbstractContextManager[Told | None]:
        """Show a plain progress bar, unless silenced or piped."""
        return bar(scenario.name, self.quiet or self.as_json)

    def tell(self, text: str) -> None:
        """Say what a reader has to know before the answer; a program that reads JSON is told nothing."""
        if not self.as_json:
            typer.echo(text)

    def answer(self, data: object, renderable: object, *after: str) -> None:
        """Print an answer as it is asked for; ``after`` it stands what only a reader needs."""
        print_answer(data, self.as_json, renderable, *after)


def takes_play_options(command: Callable[..., None]) -> Callable[..., None]:
    """Let a command take its last parameter, ``options``, one by one as Typer reads them."""
    *own, _ = inspect.signature(command, eval_str=True).parameters.values()
    shared = inspect.signature(PlayOptions, eval_str=True).parameters

    @wraps(command)
    def with_options(**given: Any) -> None:
        options = PlayOptions(**{name: given.pop(name) for name in shared})
        command(**given, options=options)

    vars(with_options)["__signature__"] = inspect.Signature([*own, *shared.values()])
    return with_options
