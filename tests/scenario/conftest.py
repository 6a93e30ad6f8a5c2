"""What tests of scenarios share."""

from __future__ import annotations

import pytest
from cases import DEMO

from sitesim.scenario import Scenario, load


@pytest.fixture(scope="session")
def demo() -> Scenario:
    """The demo, as it is read; nothing changes it."""
    return load(DEMO)
