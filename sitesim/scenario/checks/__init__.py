"""What has to fit together across a scenario, each check with its own message."""

from __future__ import annotations

from sitesim.scenario.document import Document, Trail
from sitesim.scenario.faults import Fault
from sitesim.scenario.model import ScenarioModel


def cross_faults(model: ScenarioModel, document: Document, mended: set[Trail]) -> list[Fault]:
    """Give the faults between the parts of a scenario; what hangs on a mended value is not looked at."""
    return []
