"""The site in SimPy: what people and machines do in one run."""

from sitesim.site.play import Played, play
from sitesim.site.skies import DayWeather
from sitesim.site.stage import Stage

__all__ = ["DayWeather", "Played", "Stage", "play"]
