"""A scenario said back in words: what will be played, what is assumed, and what nobody should forget."""

from sitesim.scenario.telling.assumptions import tell_assumptions
from sitesim.scenario.telling.cautions import tell_cautions, tell_weather_cautions
from sitesim.scenario.telling.description import tell_description
from sitesim.scenario.telling.weather import assume_weather, tell_limits

__all__ = [
    "assume_weather",
    "tell_assumptions",
    "tell_cautions",
    "tell_description",
    "tell_limits",
    "tell_weather_cautions",
]
