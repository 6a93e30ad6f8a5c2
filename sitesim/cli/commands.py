"""The commands: read arguments, call one function each, print."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from sitesim.cli.asked import as_typed, confidence_of, date_of, folder_of, load_scenario, print_day_of, settings_of
from sitesim.cli.options import AsJson, Engine, FileArgument, Quiet, Runs, Seed, Sets, Until, Workers
from sitesim.cli.shown import bar, plain_errors, print_answer, print_whole, progress_of

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode="rich",
    pretty_exceptions_enable=False,
    help="Plays a whole printed housing site many times and tells when it will be finished, and why.",
)


def _say_version(wanted: bool) -> None:
    if wanted:
        from sitesim import __version__

        typer.echo(f"sitesim {__version__}")
        raise typer.Exit


def _print_usual(wanted: bool) -> None:
    if wanted:
        from sitesim.scenario.stresses import usual_text

        typer.echo(usual_text(), nl=False)
        raise typer.Exit


@app.callback()
def sitesim(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and stop.", is_eager=True, callback=_say_version)
    ] = False,
) -> None:
    """Plays a whole printed housing site many times and tells when it will be finished, and why."""


@app.command(epilog="Example: sitesim check scenarios/tern-quay.yaml")
def check(file: FileArgument, sets: Sets = None) -> None:
    """Read a scenario: report all its faults, or say back in words what will be played."""
    with plain_errors():
        from sitesim.report.described import check_report
        from sitesim.study.answering import check_that_it_ends, described

        scenario = load_scenario(file, sets)
        print_whole(check_report(scenario, described(scenario, check_that_it_ends(scenario))))


@app.command(epilog="Example: sitesim run scenarios/tern-quay.yaml --runs 300")
def run(
    file: FileArgument,
    runs: Annotated[
        int | None, typer.Option("--runs", "-n", min=1, help="How many times the site is played; 300 if left out.")
    ] = None,
    until: Until = None,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Play a site many times: when it is finished, with what confidence, who waited, and why."""
    with plain_errors():
        from sitesim.report.pages import write_page
        from sitesim.report.terminal import run_report
        from sitesim.study.answering import answer

        scenario = load_scenario(file, sets)
        settings = settings_of(runs, seed, workers, engine, until)
        folder = out or folder_of(file, scenario, settings)
        with progress_of(scenario, quiet or as_json) as progress:
            summary = answer(scenario, settings, folder, progress)
        page = write_page(folder)
        if not as_json and runs is not None and summary["runs"] > runs:
            typer.echo(f"The folder held {summary['runs']} runs already; all of them are in the answer.\n")
        print_answer(summary, as_json, run_report(summary, as_typed(file, sets)))
        if not as_json:
            typer.echo(f"\nThe page: {page}\nThe tables: {folder}")


@app.command(epilog="Example: sitesim compare scenarios/tern-quay.yaml scenarios/tern-quay-site-mixing.yaml")
def compare(
    files: Annotated[list[Path], typer.Argument(help="Two or more scenarios; the first is the reference.")],
    runs: Runs = 300,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Play several scenarios under the same weather and breakdowns and set them side by side."""
    with plain_errors():
        from sitesim.report.side_by_side import as_data, comparison_report
        from sitesim.study.comparing import compare_scenarios

        scenarios = [load_scenario(file, sets) for file in files]
        settings = settings_of(runs, seed, workers, engine, None)
        names = [file.stem for file in files]

        def told_more(played: int) -> None:
            typer.echo(f"A folder held {played} runs already, so each scenario is played as often.\n")

        with progress_of(scenarios[0], quiet or as_json) as progress:
            compared = compare_scenarios(scenarios, names, settings, out, progress, None if as_json else told_more)
        print_answer(as_data(compared), as_json, comparison_report(compared))


@app.command(epilog="Example: sitesim stress scenarios/tern-quay.yaml --date 2027-12-17")
def stress(
    file: FileArgument,
    stresses: Annotated[
        Path | None, typer.Option("--stresses", help="A list of stresses (YAML); the usual ones if left out.")
    ] = None,
    by: Annotated[
        str | None,
        typer.Option("--date", metavar="YYYY-MM-DD", help="A date to be met; the planned 4 in 5 if left out."),
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option("--only", metavar="NAME", help="Only stresses with this in their name; may be given again."),
    ] = None,
    months: Annotated[
        int, typer.Option("--months", min=0, max=24, help="Months of start that are played; 0 for none.")
    ] = 12,
    usual: Annotated[
        bool,
        typer.Option(
            "--usual", help="Print the usual list, to be copied, and stop.", is_eager=True, callback=_print_usual
        ),
    ] = False,
    runs: Runs = 100,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Play what may go wrong, one thing at a time and together, and every month of start: what hurts most."""
    with plain_errors():
        from sitesim.report.stress_page import write_stress_page
        from sitesim.report.stress_terminal import stress_report
        from sitesim.report.stress_words import as_data
        from sitesim.scenario.stresses import read_stresses, usual_stresses
        from sitesim.study.stressing import StressAsked, play_under_stress

        scenario = load_scenario(file, sets)
        listed = usual_stresses() if stresses is None else read_stresses(stresses)
        asked = StressAsked(
            tuple(sets or ()), None if by is None else date_of(by, "2027-12-17"), months, tuple(only or ())
        )
        settings = settings_of(runs, seed, workers, engine, None)
        with progress_of(scenario, quiet or as_json) as progress:
            study = play_under_stress(scenario, listed, asked, settings, out, progress)
        page = write_stress_page(study)
        print_answer(as_data(study), as_json, stress_report(study))
        if not as_json:
            typer.echo(f"\nThe page: {page}\nThe runs: {study.folder}")


@app.command(epilog="Example: sitesim relief scenarios/tern-quay.yaml --only tent --only drywall")
def relief(
    file: FileArgument,
    listed: Annotated[
        Path | None, typer.Option("--list", help="A list of reliefs (YAML); those the scenario suggests if left out.")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="NAME",
            help="Only one more of this (tent, a gang), or reliefs with this in their name; may be given again.",
        ),
    ] = None,
    pairs: Annotated[
        int | None,
        typer.Option("--pairs", min=0, max=8, help="How many of the best are played in pairs; 3, with --only none."),
    ] = None,
    runs: Runs = 100,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Play one more of each thing in turn, and the best together: what wins days, for how much, and why."""
    with plain_errors():
        from sitesim.report.relief_page import write_relief_page
        from sitesim.report.relief_terminal import relief_report
        from sitesim.report.relief_words import as_data
        from sitesim.scenario.reliefs import read_reliefs, usual_reliefs
        from sitesim.study.relieving import ReliefAsked, play_reliefs

        scenario = load_scenario(file, sets)
        usual = usual_reliefs(scenario)
        reliefs = usual if listed is None else read_reliefs(listed, usual)
        best = pairs if pairs is not None else 0 if only else 3
        settings = settings_of(runs, seed, workers, engine, None)
        with progress_of(scenario, quiet or as_json) as progress:
            asked = ReliefAsked(tuple(sets or ()), tuple(only or ()), best)
            study = play_reliefs(scenario, reliefs, asked, settings, out, progress)
        page = write_relief_page(study)
        print_answer(as_data(study), as_json, relief_report(study))
        if not as_json:
            typer.echo(f"\nThe page: {page}\nThe runs: {study.folder}")


@app.command(
    epilog="Example: sitesim deliveries scenarios/tern-quay.yaml --against scenarios/tern-quay-site-mixing.yaml; "
    "for one day --building B --from-layer 16 --date 2027-05-04 --weather '8 to 17 degC, dry'"
)
def deliveries(
    file: FileArgument,
    load: Annotated[
        list[str] | None, typer.Option("--load", help="Loads to try: '2.5 yd^3', or a list '2, 2.5, 3 yd^3'.")
    ] = None,
    spacing: Annotated[
        list[str] | None, typer.Option("--spacing", help="Minutes between arrivals to try: '90, 120, 150 min'.")
    ] = None,
    trucks: Annotated[list[str] | None, typer.Option("--trucks", help="Numbers of trucks to try: 2,3.")] = None,
    against: Annotated[
        Path | None,
        typer.Option("--against", help="A scenario of the same site with the other supply; --set supply.… leaves it."),
    ] = None,
    building: Annotated[str, typer.Option("--building", help="Plan one print day: of this building.")] = "",
    from_layer: Annotated[int, typer.Option("--from-layer", min=0, help="The first layer of that day.")] = 0,
    date: Annotated[str, typer.Option("--date", help="The date of that day, such as 2027-05-04.")] = "",
    weather: Annotated[
        str,
        typer.Option(
            "--weather", help="What the forecast says: '8 to 17 degC, dry', or cold, mild, hot, dry, wet, calm, windy."
        ),
    ] = "",
    runs: Annotated[
        int | None,
        typer.Option("--runs", "-n", min=2, help="Runs of each way; 100 if left out, for one day 400."),
    ] = None,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Find the loads, spacing and trucks that cost least over the print days, or the order for one day."""
    with plain_errors():
        from sitesim.errors import UserError
        from sitesim.report.delivery_report import delivery_report
        from sitesim.report.pages import write_delivery_page
        from sitesim.study.deliveries import Playing, claim_folder, keep, plan_deliveries, read_supplies
        from sitesim.study.kept_print_days import KeptPrintDays
        from sitesim.study.ways import Grid

        day = print_day_of(building, from_layer, date, weather)
        if day is not None and against is not None:
            raise UserError("--against: one day is planned for the supply of its own scenario; leave it out")
        settings = settings_of(runs or (400 if day else 100), seed, workers, engine, None)
        grid = Grid.read(load or (), spacing or (), trucks or ())
        scenario = load_scenario(file, sets)
        name = f"{file.stem}-deliveries" + (f"-{day.building}-{day.from_layer}" if day else "")
        folder = claim_folder(out or Path("outputs") / name)
        kept = KeptPrintDays(folder, seed)
        others = [one for one in sets or () if not one.lstrip().startswith("supply.")]
        other = load_scenario(against, others) if against and day is None else None
        with bar(scenario.name, quiet or as_json) as told:
            if day is not None:
                from sitesim.study.day_order import plan_day

                summary, rows = plan_day(scenario, sets or (), grid, day, settings, told)
            else:
                supplies = read_supplies(scenario, other)
                own = sets or () if supplies.ready is scenario else others
                summary, rows = plan_deliveries(supplies, own, grid, Playing(settings, told, kept))
        keep(folder, scenario, other, summary, rows)
        kept.clear()
        page = write_delivery_page(folder, summary)
        print_answer(summary, as_json, delivery_report(summary))
        if not as_json:
            typer.echo(f"\nThe page: {page}\nThe tables: {folder}")


@app.command(epilog="Example: sitesim quote outputs/tern-quay --confidence 80")
def quote(
    source: Annotated[Path, typer.Argument(help="A folder of runs, or a scenario to be played now.")],
    confidence: Annotated[
        str | None,
        typer.Option("--confidence", metavar="PERCENT", help="Such as 80; the scenario's own if left out."),
    ] = None,
    runs: Runs = 300,
    seed: Seed = 1,
    workers: Workers = 0,
    engine: Engine = "processes",
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the results.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Give hand-over dates at a confidence, by home and for all together, with what they assume."""
    with plain_errors():
        from sitesim.errors import UserError
        from sitesim.report.quoted import as_data, quote_report
        from sitesim.study.answering import answer
        from sitesim.study.quoting import quote_folder

        wanted = None if confidence is None else confidence_of(confidence)
        folder = source
        if source.is_dir() and sets:
            raise UserError(f"--set changes a scenario, but {source} holds runs that have been played")
        if not source.exists():
            raise UserError(
                f"{source}: there is neither a folder of runs nor a scenario of that name; play one with sitesim run "
                "FILE first, or name its file"
            )
        if not source.is_dir():
            scenario = load_scenario(source, sets)
            settings = settings_of(runs, seed, workers, engine, None)
            folder = out or folder_of(source, scenario, settings)
            with progress_of(scenario, quiet or as_json) as progress:
                answer(scenario, settings, folder, progress)
        quoted = quote_folder(folder, wanted)
        print_answer(as_data(quoted), as_json, quote_report(quoted))


@app.command(epilog="Example: sitesim replay outputs/tern-quay 12 --building B")
def replay(
    folder: Annotated[Path, typer.Argument(help="A folder of runs.")],
    run: Annotated[
        str, typer.Argument(help="The number of the run, or the confidence that it stands for: P10, P50, P80 or P90.")
    ],
    building: Annotated[str, typer.Option("--building", help="Only this building.")] = "",
    day: Annotated[
        str | None,
        typer.Option(
            "--day",
            metavar="DAY",
            help="Only this day: its number in the run, such as 12, or its date, such as 2027-04-12. A print day is "
            "told by the minute, and drawn on a page.",
        ),
    ] = None,
    no_page: Annotated[bool, typer.Option("--no-page", help="Write no page of the print day.")] = False,
    as_json: AsJson = False,
) -> None:
    """Tell one run again: who did what, when, and what everybody waited for; a print day by the minute, and drawn."""
    with plain_errors():
        from sitesim.report.pages import write_print_day_page
        from sitesim.report.told import as_data, diary_report
        from sitesim.study.replaying import parse_day, replay_run, run_meant

        asked = None if day is None else parse_day(day)
        replayed = replay_run(folder, run_meant(folder, run), building)
        number = None if asked is None else replayed.day_of_run(asked, building)
        hint = "" if number is None else replayed.nearest_print_days(number, building)
        page = None if number is None or no_page else write_print_day_page(folder, replayed, number, building)
        told = (replayed.plan, replayed.played, building, number)
        print_answer(as_data(*told), as_json, diary_report(*told, hint))
        if page is not None and not as_json:
            typer.echo(f"\nThe page: {page}")


@app.command(epilog="Example: sitesim weather scenarios/tern-quay.yaml")
def weather(
    file: FileArgument,
    runs: Runs = 300,
    seed: Seed = 1,
    out: Annotated[Path | None, typer.Option("--out", help="The folder for the page.")] = None,
    sets: Sets = None,
    quiet: Quiet = False,
    as_json: AsJson = False,
) -> None:
    """Show what a weather record says: workable hours by month and kind of work, and what drawing keeps of it."""
    with plain_errors():
        from sitesim.report.weather_page import write_weather_page
        from sitesim.report.weather_terminal import weather_report
        from sitesim.study.weathering import study_weather

        told = study_weather(load_scenario(file, sets), runs, seed)
        page = write_weather_page(told, out or Path("outputs") / f"{file.stem}-weather")
        print_answer(told, as_json, weather_report(told))
        if not as_json and not quiet:
            typer.echo(f"\nThe page: {page}")


@app.command(epilog="Example: sitesim report outputs/tern-quay")
def report(folder: Annotated[Path, typer.Argument(help="A folder of runs.")]) -> None:
    """Make the page again from the tables."""
    with plain_errors():
        from sitesim.report.pages import write_page

        typer.echo(str(write_page(folder)))


@app.command(epilog="Example: sitesim new my-site.yaml")
def new(file: Annotated[Path, typer.Argument(help="The file to write; it must not exist.")]) -> None:
    """Write a commented scenario to start from, with the weather record that it reads."""
    with plain_errors():
        from sitesim.scenario import write_new

        for written in write_new(file):
            typer.echo(f"written: {written}")
        typer.echo(f"Next: sitesim check {as_typed(file)}, then sitesim run {as_typed(file)}")


@app.command(epilog="Example: sitesim schema > sitesim.schema.json")
def schema() -> None:
    """Print the JSON Schema of a scenario, for editors."""
    with plain_errors():
        from sitesim.scenario import json_schema

        typer.echo(json.dumps(json_schema(), indent=2, ensure_ascii=False))
