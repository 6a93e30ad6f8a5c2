"""Reliefs: what money or effort could buy to bring the date forward, each a small value that changes a scenario."""

from sitesim.scenario.reliefs.reading import read_reliefs
from sitesim.scenario.reliefs.relief import Relief, in_a_sentence, together, with_article
from sitesim.scenario.reliefs.usual import usual_reliefs

__all__ = ["Relief", "in_a_sentence", "read_reliefs", "together", "usual_reliefs", "with_article"]
