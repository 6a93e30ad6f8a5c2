"""A scenario to start from, with its weather record beside it."""

from __future__ import annotations

import shutil
from pathlib import Path

_HERE = Path(__file__).parent
_RECORD = "seattle-daily-2012-2015.csv"


def new_text() -> str:
    """Give a commented scenario that loads as it stands where its weather record lies beside it."""
    text = (_HERE / "new.yaml").read_text(encoding="utf-8")
    return text.replace("record: RECORD ", f"record: {_RECORD} ")


def write_new(path: str | Path) -> list[Path]:
    """Write a scenario to start from and its weather record beside it, and give both paths.

    Parameters: ``path``, a file that is not there yet. Raises FileExistsError if it is; a record that is there stays.
    """
    scenario = Path(path)
    record = scenario.parent / _RECORD
    scenario.parent.mkdir(parents=True, exist_ok=True)
    with scenario.open("x", encoding="utf-8") as file:
        file.write(new_text())
    if not record.exists():
        shutil.copyfile(shipped_record(), record)
    return [scenario, record]


def shipped_record() -> Path:
    """Give the weather record that comes along: inside an installed package, or among the scenarios of a checkout."""
    installed = _HERE / "data" / _RECORD
    return installed if installed.exists() else _HERE.parents[1] / "scenarios" / "weather" / _RECORD
