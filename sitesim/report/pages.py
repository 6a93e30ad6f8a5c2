"""Pages out of a folder of runs."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sitesim.study import StudyFolder
from sitesim.study.replaying import Replayed

PAGE = "report.html"
DELIVERY_PAGE = "deliveries.html"


def write_page(path: Path) -> Path:
    """Make the page of a study again from its tables; returns its place.

    Raises StudyFolderError if the folder holds no complete study.
    """
    from sitesim.report.relief_beside import relief_beside
    from sitesim.report.study_page import build_page

    folder = StudyFolder(path)
    manifest = folder.manifest()
    summary = folder.summary()
    weeks = folder.table("weeks") if folder.has("weeks") else None
    runs, activities = folder.table("runs", manifest["runs"]), folder.table("activities")
    text = build_page(summary, runs, activities, weeks, manifest, relief_beside(path, manifest))
    folder.write_bytes(path / PAGE, text.encode())
    return path / PAGE


def write_print_day_page(path: Path, replayed: Replayed, day: int, building: str = "") -> Path | None:
    """Write the page of a print day of one run into its folder; returns its place, None if nothing was printed.

    Parameters: ``day`` of the run from 1; ``building``, only this one.
    """
    from sitesim.report.print_day_page import build_print_day_page

    text = build_print_day_page(replayed, day, building)
    if not text:
        return None
    whose = re.sub(r"[^\w]+", "-", f"-{building}") if building else ""
    file = path / f"replay-{replayed.played.run}-{day}{whose}.html"
    StudyFolder(path).write_bytes(file, text.encode())
    return file


def write_delivery_page(path: Path, summary: Mapping[str, Any]) -> Path:
    """Write the page of a plan of deliveries into its folder; returns its place."""
    from sitesim.report.delivery_page import delivery_page

    StudyFolder(path).write_bytes(path / DELIVERY_PAGE, delivery_page(summary).encode())
    return path / DELIVERY_PAGE
