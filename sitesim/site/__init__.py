"""The site in SimPy: what people and machines do in one run."""

from sitesim.site.play import Played, play
from sitesim.site.stage import Stage

__all__ = ["Played", "Stage", "play"]
