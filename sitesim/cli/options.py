"""Arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

FileArgument = Annotated[Path, typer.Argument(help="A scenario file (YAML).", show_default=False)]
Runs = Annotated[int, typer.Option("--runs", "-n", min=1, help="How many times the site is played.")]
Seed = Annotated[int, typer.Option("--seed", min=0, help="Names the luck: same seed, same weather and breakdowns.")]
Workers = Annotated[int, typer.Option("--workers", min=0, help="Worker processes; 0 takes one a core.")]
Engine = Annotated[str, typer.Option("--engine", help="Where runs are played: processes, or here (this process).")]
Out = Annotated[Path | None, typer.Option("--out", help="The folder for the results.")]
Sets = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="PATH=VALUE", help="Change one value of the scenario; may be given again."),
]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print the answer alone, no progress.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON for programs.")]
Until = Annotated[
    str | None,
    typer.Option("--until", metavar="TIME", help="Stop when the P80 date is known within this, such as 1d."),
]
FolderArgument = Annotated[Path, typer.Argument(help="A folder of runs.")]
