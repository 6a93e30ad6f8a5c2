"""Loading a scenario: reading, laying over, checking; all faults in one pass."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from sitesim.scenario.checks import cross_faults
from sitesim.scenario.checks.record import record_faults, unmet_limits
from sitesim.scenario.data_files import find_data_files
from sitesim.scenario.disbelief import doubts_in_words
from sitesim.scenario.document import Document
from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.inheritance import read_with_parents, with_own_walls, with_settings
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.climate import record_form
from sitesim.scenario.planning.network import CircularNetworkError
from sitesim.scenario.planning.shells import TentHeldError
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.sections.supply import MODES
from sitesim.scenario.validation import validated
from sitesim.weather.reading import read_record
from sitesim.weather.record import WeatherRecord, WeatherRecordError


def load(path: str | Path, sets: Iterable[str] = ()) -> Scenario:
    """Read a scenario with all that it extends, and check it.

    Parameters: ``path``, a YAML file; ``sets``, settings ``path=value`` laid over it, values in YAML. Raises
    ScenarioError with all faults that were found.
    """
    return checked(Path(path), *written(Path(path), sets))


def written(path: Path, sets: Iterable[str] = ()) -> tuple[Document, list[Fault]]:
    """Read a scenario with all that it extends and settings laid over it, unchecked; and the faults of settings.

    Raises ScenarioError if a file cannot be read.
    """
    return with_settings(read_with_parents(path, MODES), sets, ScenarioModel, MODES)


def load_variants(
    path: str | Path, sets: Iterable[str], variants: Iterable[Sequence[str]]
) -> list[Scenario | ScenarioError]:
    """Read a scenario once, and give it with each of several lists of settings laid over it.

    Parameters: ``sets``, settings that all of them share. What cannot be played stands there as its error. Raises
    ScenarioError if the file cannot be read.
    """
    document, faults = written(Path(path), sets)
    made: list[Scenario | ScenarioError] = []
    for variant in variants:
        changed, more = with_settings(document, variant, ScenarioModel, MODES)
        try:
            made.append(checked(Path(path), changed, [*faults, *more]))
        except ScenarioError as error:
            made.append(error)
    return made


def checked(file: Path, document: Document, faults: Iterable[Fault] = ()) -> Scenario:
    """Check what is written and make a scenario of it.

    Parameters: ``file`` that was asked for; ``faults`` that were found already. Raises ScenarioError with all of them.
    """
    faults = [*document.faults, *faults]
    located, portable, files = find_data_files(with_own_walls(document))
    model, wrong_values, mended = validated(located)
    faults += _once(wrong_values)
    record = None
    if model is not None:
        faults += cross_faults(model, located, mended | document.unread)
        if not any(fault.path.startswith(_OF_THE_RECORD) for fault in faults):
            record = _read_record(model, located, faults)
        faults += _year_fault(model, located, record)
    if faults or model is None:
        raise ScenarioError(faults)
    doubts = doubts_in_words(model, located, model.day_hours)
    scenario = Scenario(file, model, portable.data, files, record, doubts)
    try:
        scenario.plan()
    except TentHeldError as error:
        raise ScenarioError([located.fault(("relocation", "tent_leaves"), str(error))]) from None
    except CircularNetworkError as error:  # across sequences that share a task of the site
        message = f"tasks wait for one another: {error}"
        raise ScenarioError([located.fault(("finishing", "sequences"), message)]) from None
    faults = unmet_limits(model, scenario.plan(), located)
    if faults:
        raise ScenarioError(faults)
    return scenario


_OF_THE_RECORD = ("weather.record", "weather.columns", "weather.clock", "weather.time_zone", "weather.hour_stamp")
"""What has to be right before the record is read: what is found in it would be that fault's again."""


def _year_fault(model: ScenarioModel, document: Document, record: WeatherRecord | None) -> list[Fault]:
    """Give the fault of a year that the weather record does not have, if one is asked for."""
    year = model.trouble.weather.year
    if year is None or record is None:
        return []
    first = record.first_day.year
    if first <= year < first + record.whole_years:
        return []
    years = f"whole years begin in {first} to {first + record.whole_years - 1}"
    return [document.fault(("trouble", "weather", "year"), f"{year} is not in the record, whose {years}")]


def _once(faults: list[Fault]) -> list[Fault]:
    """Leave out what is said again for each building that takes over a wrong value of the site's wall."""
    said: dict[tuple[str, int, str], Fault] = {}
    for fault in faults:
        said.setdefault((fault.file, fault.line, fault.message), fault)
    return list(said.values())


def _as_seen_from_here(path: Path) -> str:
    """Give a path from the current folder if it lies in it."""
    here = Path.cwd()
    return str(path.relative_to(here) if path.is_relative_to(here) else path)


def _why_no_file(path: Path, folder: Path) -> str:
    """Say what is wrong with the path of a record that is none of a file, as it is written in ``folder``."""
    name = path.relative_to(folder) if path.is_relative_to(folder) else path
    return (
        f"{name} is a folder; name the files in it, like years/*.csv" if path.is_dir() else f"there is no file {name}"
    )


def _read_record(model: ScenarioModel, document: Document, faults: list[Fault]) -> WeatherRecord | None:
    """Read the weather record, if one is named; what is wrong with it joins the faults."""
    if model.weather is None or not isinstance(document.get(("weather", "record")), str | list):
        return None
    paths = model.weather.record
    folder = document.folder(("weather", "record"))
    missing = [_why_no_file(path, folder) for path in paths if not path.is_file()]
    faults += [document.fault(("weather", "record"), why) for why in missing]
    if missing:
        return None
    record = None
    try:
        record = read_record(paths, record_form(model, model.weather))
    except WeatherRecordError as error:
        for found in error.faults:
            seen = _as_seen_from_here(found.path or error.path)
            faults.append(Fault(seen, found.line, "weather.record", found.message))
    except OSError as error:
        faults.append(document.fault(("weather", "record"), f"{error.filename} cannot be read: {error.strerror}"))
    if record is not None:
        faults += record_faults(model, model.weather, record, document)
    return record
