"""Stresses: things that go wrong, each a small value that changes what a scenario says."""

from sitesim.scenario.stresses.draft import DoesNotApply, Draft, SiteFacts
from sitesim.scenario.stresses.laying import LaidOver, lay_over
from sitesim.scenario.stresses.reading import Stress, read_stresses, usual_stresses, usual_text
from sitesim.scenario.stresses.restarting import restarted

__all__ = [
    "DoesNotApply",
    "Draft",
    "LaidOver",
    "SiteFacts",
    "Stress",
    "lay_over",
    "read_stresses",
    "restarted",
    "usual_stresses",
    "usual_text",
]
