"""What the user writes: scenario files, read, checked and turned into a plan."""

from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.loading import load
from sitesim.scenario.scenario import Scenario

__all__ = ["Fault", "Scenario", "ScenarioError", "load"]
