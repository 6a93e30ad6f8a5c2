"""A scenario said back in words: what will be played, what is assumed, and what nobody should forget."""

from sitesim.scenario.telling.assumptions import tell_assumptions
from sitesim.scenario.telling.cautions import tell_cautions
from sitesim.scenario.telling.description import tell_description

__all__ = ["tell_assumptions", "tell_cautions", "tell_description"]
