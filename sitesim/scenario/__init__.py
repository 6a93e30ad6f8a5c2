"""What the user writes: scenario files, read, checked and turned into a plan."""

from sitesim.scenario.faults import Fault, ScenarioError
from sitesim.scenario.loading import load, load_variants
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.schema import json_schema
from sitesim.scenario.starting import new_text, write_new

__all__ = ["Fault", "Scenario", "ScenarioError", "json_schema", "load", "load_variants", "new_text", "write_new"]
