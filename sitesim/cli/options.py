"""Arguments and options of the commands, as Typer reads them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

FileArgument = Annotated[Path, typer.Argument(help="A scenario file (YAML).", show_default=False)]
FilesArgument = Annotated[list[Path], typer.Argument(help="Two or more scenarios; the first is the reference.")]
FolderArgument = Annotated[Path, typer.Argument(help="A folder of runs.")]
SourceArgument = Annotated[Path, typer.Argument(help="A folder of runs, or a scenario to be played now.")]
NewFileArgument = Annotated[Path, typer.Argument(help="The file to write; it must not exist.")]
RunArgument = Annotated[
    str, typer.Argument(help="The number of the run, or the confidence that it stands for: P10, P50, P80 or P90.")
]

# What is played, how often, where it goes and what is shown of it.
Runs = Annotated[int, typer.Option("--runs", "-n", min=1, help="How many times the site is played.")]
RunsUnlessUntil = Annotated[
    int | None, typer.Option("--runs", "-n", min=1, help="How many times the site is played; 300 if left out.")
]
RunsOfWay = Annotated[
    int | None, typer.Option("--runs", "-n", min=2, help="Runs of each way; 100 if left out, for one day 400.")
]
Until = Annotated[
    str | None,
    typer.Option("--until", metavar="TIME", help="Stop when the P80 date is known within this, such as 1d."),
]
Seed = Annotated[int, typer.Option("--seed", min=0, help="Names the luck: same seed, same weather and breakdowns.")]
Workers = Annotated[int, typer.Option("--workers", min=0, help="Worker processes; 0 takes one a core.")]
Engine = Annotated[str, typer.Option("--engine", help="Where runs are played: processes, or here (this process).")]
Out = Annotated[Path | None, typer.Option("--out", help="The folder for the results.")]
OutOfPage = Annotated[Path | None, typer.Option("--out", help="The folder for the page.")]
Sets = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="PATH=VALUE", help="Change one value of the scenario; may be given again."),
]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print the answer alone, no progress.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON for programs.")]

# Stresses and reliefs.
StressList = Annotated[
    Path | None, typer.Option("--stresses", help="A list of stresses (YAML); the usual ones if left out.")
]
ToBeMet = Annotated[
    str | None,
    typer.Option("--date", metavar="YYYY-MM-DD", help="A date to be met; the planned 4 in 5 if left out."),
]
OnlyStresses = Annotated[
    list[str] | None,
    typer.Option("--only", metavar="NAME", help="Only stresses with this in their name; may be given again."),
]
Months = Annotated[int, typer.Option("--months", min=0, max=24, help="Months of start that are played; 0 for none.")]
ReliefList = Annotated[
    Path | None, typer.Option("--list", help="A list of reliefs (YAML); those the scenario suggests if left out.")
]
OnlyReliefs = Annotated[
    list[str] | None,
    typer.Option(
        "--only",
        metavar="NAME",
        help="Only one more of this (tent, a gang), or reliefs with this in their name; may be given again.",
    ),
]
Pairs = Annotated[
    int | None,
    typer.Option("--pairs", min=0, max=8, help="How many of the best are played in pairs; 3, with --only none."),
]

# Deliveries, over all print days or for one.
Loads = Annotated[
    list[str] | None, typer.Option("--load", help="Loads to try: '2.5 yd^3', or a list '2, 2.5, 3 yd^3'.")
]
Spacings = Annotated[
    list[str] | None, typer.Option("--spacing", help="Minutes between arrivals to try: '90, 120, 150 min'.")
]
Trucks = Annotated[list[str] | None, typer.Option("--trucks", help="Numbers of trucks to try: 2,3.")]
Against = Annotated[
    Path | None,
    typer.Option("--against", help="A scenario of the same site with the other supply; --set supply.… leaves it."),
]
PlannedBuilding = Annotated[str, typer.Option("--building", help="Plan one print day: of this building.")]
FromLayer = Annotated[int, typer.Option("--from-layer", min=0, help="The first layer of that day.")]
PlannedDate = Annotated[str, typer.Option("--date", help="The date of that day, such as 2027-05-04.")]
Forecast = Annotated[
    str,
    typer.Option(
        "--weather", help="What the forecast says: '8 to 17 degC, dry', or cold, mild, hot, dry, wet, calm, windy."
    ),
]

# What is read off runs that have been played.
Confidence = Annotated[
    str | None,
    typer.Option("--confidence", metavar="PERCENT", help="Such as 80; the scenario's own if left out."),
]
OnlyBuilding = Annotated[str, typer.Option("--building", help="Only this building.")]
OnlyDay = Annotated[
    str | None,
    typer.Option(
        "--day",
        metavar="DAY",
        help="Only this day: its number in the run, such as 12, or its date, such as 2027-04-12. A print day is "
        "told by the minute, and drawn on a page.",
    ),
]
NoPage = Annotated[bool, typer.Option("--no-page", help="Write no page.")]
