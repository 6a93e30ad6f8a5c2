"""Stresses: things that go wrong, each a small value that changes what a scenario says."""

from sitesim.scenario.stresses.reading import Stress, read_stresses, usual_stresses, usual_text
from sitesim.scenario.stresses.restarting import restarted

__all__ = ["Stress", "read_stresses", "restarted", "usual_stresses", "usual_text"]
