"""A scenario said back in words: what will be played, what is assumed, and what nobody should forget."""

from sitesim.scenario.telling.assumptions import tell_assumptions, tell_weather
from sitesim.scenario.telling.cautions import tell_cautions, tell_weather_cautions
from sitesim.scenario.telling.description import tell_description, tell_limits

__all__ = [
    "tell_assumptions",
    "tell_cautions",
    "tell_description",
    "tell_limits",
    "tell_weather",
    "tell_weather_cautions",
]
