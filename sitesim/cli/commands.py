"""The commands: read arguments, call one function each, print."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from sitesim.cli.asked import as_typed, confidence_of, date_of, load_scenario, print_day_of, runs_until
from sitesim.cli.options import (
    Against,
    AsJson,
    Confidence,
    FileArgument,
    FilesArgument,
    FolderArgument,
    Forecast,
    FromLayer,
    Loads,
    Months,
    NewFileArgument,
    NoPage,
    OnlyBuilding,
    OnlyDay,
    OnlyReliefs,
    OnlyStresses,
    OutOfPage,
    Pairs,
    PlannedBuilding,
    PlannedDate,
    Quiet,
    ReliefList,
    RunArgument,
    Runs,
    RunsOfWay,
    RunsUnlessUntil,
    Seed,
    Sets,
    SourceArgument,
    Spacings,
    StressList,
    ToBeMet,
    Trucks,
    Until,
)
from sitesim.cli.play_options import PlayOptions, takes_play_options
from sitesim.cli.shown import plain_errors, print_answer, print_whole

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
@takes_play_options
def run(file: FileArgument, runs: RunsUnlessUntil = None, until: Until = None, *, options: PlayOptions) -> None:
    """Play a site many times: when it is finished, with what confidence, who waited, and why."""
    with plain_errors():
        from sitesim.report.pages import write_page
        from sitesim.report.terminal import run_report
        from sitesim.study.answering import answer

        scenario = options.scenario(file)
        settings = options.settings(*runs_until(runs, until))
        folder = options.folder(file.stem, scenario, settings)
        with options.progress(scenario) as progress:
            summary = answer(scenario, settings, folder, progress)
        page = write_page(folder)
        if runs is not None and summary["runs"] > runs:
            options.tell(f"The folder held {summary['runs']} runs already; all of them are in the answer.\n")
        report = run_report(summary, as_typed(file, options.sets))
        options.answer(summary, report, f"The page: {page}\nThe tables: {folder}")


@app.command(epilog="Example: sitesim compare scenarios/tern-quay.yaml scenarios/tern-quay-site-mixing.yaml")
@takes_play_options
def compare(files: FilesArgument, runs: Runs = 300, *, options: PlayOptions) -> None:
    """Play several scenarios under the same weather and breakdowns and set them side by side."""
    with plain_errors():
        from sitesim.report.side_by_side import as_data, comparison_report
        from sitesim.study.comparing import compare_scenarios

        scenarios = [options.scenario(file) for file in files]
        settings = options.settings(runs)
        names = [file.stem for file in files]

        def told_more(played: int) -> None:
            options.tell(f"A folder held {played} runs already, so each scenario is played as often.\n")

        with options.progress(scenarios[0]) as progress:
            compared = compare_scenarios(scenarios, names, settings, options.out, progress, told_more)
        options.answer(as_data(compared), comparison_report(compared))


@app.command(epilog="Example: sitesim stress scenarios/tern-quay.yaml --date 2027-12-17")
@takes_play_options
def stress(
    file: FileArgument,
    stresses: StressList = None,
    by: ToBeMet = None,
    only: OnlyStresses = None,
    months: Months = 12,
    usual: Annotated[
        bool,
        typer.Option(
            "--usual", help="Print the usual list, to be copied, and stop.", is_eager=True, callback=_print_usual
        ),
    ] = False,
    runs: Runs = 100,
    *,
    options: PlayOptions,
) -> None:
    """Play what may go wrong, one thing at a time and together, and every month of start: what hurts most."""
    with plain_errors():
        from sitesim.report.stress_page import write_stress_page
        from sitesim.report.stress_terminal import stress_report
        from sitesim.report.stress_words import as_data
        from sitesim.scenario.stresses import read_stresses, usual_stresses
        from sitesim.study.stressing import StressAsked, play_under_stress

        scenario = options.scenario(file)
        listed = usual_stresses() if stresses is None else read_stresses(stresses)
        to_be_met = None if by is None else date_of(by, "2027-12-17")
        asked = StressAsked(tuple(options.sets or ()), to_be_met, months, tuple(only or ()))
        settings = options.settings(runs)
        with options.progress(scenario) as progress:
            study = play_under_stress(scenario, listed, asked, settings, options.out, progress)
        page = write_stress_page(study)
        options.answer(as_data(study), stress_report(study), f"The page: {page}\nThe runs: {study.basis.folder}")


@app.command(epilog="Example: sitesim relief scenarios/tern-quay.yaml --only tent --only drywall")
@takes_play_options
def relief(
    file: FileArgument,
    listed: ReliefList = None,
    only: OnlyReliefs = None,
    pairs: Pairs = None,
    runs: Runs = 100,
    *,
    options: PlayOptions,
) -> None:
    """Play one more of each thing in turn, and the best together: what wins days, for how much, and why."""
    with plain_errors():
        from sitesim.report.relief_page import write_relief_page
        from sitesim.report.relief_terminal import relief_report
        from sitesim.report.relief_words import as_data
        from sitesim.scenario.reliefs import read_reliefs, usual_reliefs
        from sitesim.study.relieving import ReliefAsked, play_reliefs

        scenario = options.scenario(file)
        usual = usual_reliefs(scenario)
        reliefs = usual if listed is None else read_reliefs(listed, usual)
        best = pairs if pairs is not None else 0 if only else 3
        asked = ReliefAsked(tuple(options.sets or ()), tuple(only or ()), best)
        settings = options.settings(runs)
        with options.progress(scenario) as progress:
            study = play_reliefs(scenario, reliefs, asked, settings, options.out, progress)
        page = write_relief_page(study)
        options.answer(as_data(study), relief_report(study), f"The page: {page}\nThe runs: {study.basis.folder}")


@app.command(
    epilog="Example: sitesim deliveries scenarios/tern-quay.yaml --against scenarios/tern-quay-site-mixing.yaml; "
    "for one day --building B --from-layer 16 --date 2027-05-04 --weather '8 to 17 degC, dry'"
)
@takes_play_options
def deliveries(
    file: FileArgument,
    load: Loads = None,
    spacing: Spacings = None,
    trucks: Trucks = None,
    against: Against = None,
    building: PlannedBuilding = "",
    from_layer: FromLayer = 0,
    date: PlannedDate = "",
    weather: Forecast = "",
    runs: RunsOfWay = None,
    *,
    options: PlayOptions,
) -> None:
    """Find the loads, spacing and trucks that cost least over the print days, or the order for one day."""
    with plain_errors():
        from sitesim.errors import UserError
        from sitesim.report.delivery_report import delivery_report
        from sitesim.report.pages import write_delivery_page
        from sitesim.study.day_order import plan_day
        from sitesim.study.deliveries import plan_deliveries, read_supplies
        from sitesim.study.delivery_folder import claim_folder, keep
        from sitesim.study.kept_print_days import KeptPrintDays
        from sitesim.study.played_ways import Playing
        from sitesim.study.ways import Grid

        day = print_day_of(building, from_layer, date, weather)
        if day is not None and against is not None:
            raise UserError("--against: one day is planned for the supply of its own scenario; leave it out")
        settings = options.settings(runs or (400 if day else 100))
        grid = Grid.read(load or (), spacing or (), trucks or ())
        scenario, sets = options.scenario(file), options.sets or ()
        name = f"{file.stem}-deliveries" + (f"-{day.building}-{day.from_layer}" if day else "")
        folder = claim_folder(options.out or Path("outputs") / name)
        kept = KeptPrintDays(folder, options.seed)
        others = [one for one in sets if not one.lstrip().startswith("supply.")]
        other = None if against is None else load_scenario(against, others)
        with options.bar(scenario) as told:
            if day is None:
                supplies = read_supplies(scenario, other)
                own = sets if supplies.ready is scenario else others
                summary, rows = plan_deliveries(supplies, own, grid, Playing(settings, told, kept))
            else:
                summary, rows = plan_day(scenario, sets, grid, day, settings, told)
        keep(folder, scenario, other, summary, rows)
        kept.clear()
        page = write_delivery_page(folder, summary)
        options.answer(summary, delivery_report(summary), f"The page: {page}\nThe tables: {folder}")


@app.command(epilog="Example: sitesim quote outputs/tern-quay --confidence 80")
@takes_play_options
def quote(
    source: SourceArgument,
    confidence: Confidence = None,
    no_page: NoPage = False,
    runs: Runs = 300,
    *,
    options: PlayOptions,
) -> None:
    """Give hand-over dates at a confidence, by home and for all together, with what they assume; a page to print."""
    with plain_errors():
        from sitesim.errors import UserError
        from sitesim.report.quote_page import write_quote_page
        from sitesim.report.quoted import as_data, quote_report
        from sitesim.study.answering import answer
        from sitesim.study.quoting import quote_folder

        wanted = None if confidence is None else confidence_of(confidence)
        folder = source
        if source.is_dir() and options.sets:
            raise UserError(f"--set changes a scenario, but {source} holds runs that have been played")
        if not source.exists():
            raise UserError(
                f"{source}: there is neither a folder of runs nor a scenario of that name; play one with sitesim run "
                "FILE first, or name its file"
            )
        if not source.is_dir():
            scenario = options.scenario(source)
            settings = options.settings(runs)
            folder = options.folder(source.stem, scenario, settings)
            with options.progress(scenario) as progress:
                answer(scenario, settings, folder, progress)
        quoted = quote_folder(folder, wanted)
        after = [] if no_page else [f"The page: {write_quote_page(quoted, folder)}"]
        options.answer(as_data(quoted), quote_report(quoted), *after)


@app.command(epilog="Example: sitesim replay outputs/tern-quay 12 --building B")
def replay(
    folder: FolderArgument,
    run: RunArgument,
    building: OnlyBuilding = "",
    day: OnlyDay = None,
    no_page: NoPage = False,
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
        after = [] if page is None else [f"The page: {page}"]
        print_answer(as_data(*told), as_json, diary_report(*told, hint), *after)


@app.command(epilog="Example: sitesim weather scenarios/tern-quay.yaml")
def weather(
    file: FileArgument,
    runs: Runs = 300,
    seed: Seed = 1,
    out: OutOfPage = None,
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
        print_answer(told, as_json, weather_report(told), *([] if quiet else [f"The page: {page}"]))


@app.command(epilog="Example: sitesim report outputs/tern-quay")
def report(folder: FolderArgument) -> None:
    """Make the page again from the tables."""
    with plain_errors():
        from sitesim.report.pages import write_page

        typer.echo(str(write_page(folder)))


@app.command(epilog="Example: sitesim new my-site.yaml")
def new(file: NewFileArgument) -> None:
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
