"""Stresses: things that go wrong, each a small value that changes what a scenario says."""

from sitesim.scenario.stresses.draft import DoesNotApply, Draft, SiteFacts
from sitesim.scenario.stresses.reading import Stress, read_stresses, usual_stresses, usual_text
from sitesim.scenario.stresses.stressing import Stressed, restarted, stressed

__all__ = [
    "DoesNotApply",
    "Draft",
    "SiteFacts",
    "Stress",
    "Stressed",
    "read_stresses",
    "restarted",
    "stressed",
    "usual_stresses",
    "usual_text",
]
