"""What a command is asked for, made of what is written after its name."""

from __future__ import annotations

import math
import os
import shlex
import subprocess
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.study.day_order import Day


def load_scenario(file: Path, sets: list[str] | None) -> Scenario:
    """Read a scenario with its settings; raises UserError with all its faults."""
    from sitesim.scenario import load

    return load(file, sets or ())


def runs_until(runs: int | None, until: str | None) -> tuple[int, float | None]:
    """Read how often a site is played: how many times, or until its date is known well enough [h].

    Raises UserError for both at once, and for a time that is none.
    """
    from sitesim.errors import UserError
    from sitesim.study import parse_until

    if runs is not None and until is not None:
        raise UserError("--runs and --until: name one of the two; --until finds the number of runs by itself")
    return 300 if runs is None else runs, None if until is None else parse_until(until)


def as_typed(file: Path, sets: list[str] | None = None) -> str:
    """Give a file and its settings as they may be typed again."""
    words = [str(file), *(word for one in sets or () for word in ("--set", one))]
    return subprocess.list2cmdline(words) if os.name == "nt" else shlex.join(words)


def confidence_of(written: str) -> float:
    """Read a confidence in per cent, such as ``80`` or ``80 %``, as a share; raises UserError for what is none."""
    from sitesim.errors import UserError

    try:
        percent = float(written.strip().removesuffix("%"))
    except ValueError:
        percent = math.nan
    if 1.0 <= percent <= 99.0:
        return percent / 100.0
    is_share = 0.01 <= percent < 1.0 and "%" not in written
    hint = f"; {written} of all is {100.0 * percent:g}" if is_share else ""
    raise UserError(f"--confidence {written}: should be per cent, from 1 to 99{hint}; write it like 80")


def date_of(written: str, example: str) -> date:
    """Read what is written after ``--date``; raises UserError for what is no date."""
    from sitesim.errors import UserError

    try:
        return date.fromisoformat(written)
    except ValueError:
        raise UserError(f"--date {written}: is not a date; write it like {example}") from None


def print_day_of(building: str, from_layer: int, on: str, weather: str) -> Day | None:
    """Read which print day is asked about, None where it is all of them; raises UserError for half a day."""
    from sitesim.errors import UserError
    from sitesim.study.day_order import Day

    if not (building or from_layer or on or weather):
        return None
    if not (building and from_layer and on):
        raise UserError("one print day is named by --building, --from-layer and --date together")
    return Day(building, from_layer, date_of(on, "2027-05-04"), weather)
