"""What goes wrong in a scenario, said back in words."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.trouble import HarsherWeather
from sitesim.scenario.telling.measures import Measures, day, several


def tell_trouble(model: ScenarioModel) -> list[str]:
    """Say what goes wrong on top of the luck of the runs, a line for each thing; none where nothing does."""
    trouble = model.trouble
    lines = list(_weather(trouble.weather, Measures(model.units == "us")))
    lines += [
        f"Goes wrong: {_who(one.gang)} is missing for {_days(one.lasts)} from {day(one.first)}."
        for one in trouble.missing
    ]
    lines += [
        f"Goes wrong: the printer is down for {_days(one.lasts)} after layer {one.after_layer} of {one.building}."
        for one in trouble.printer_down
    ]
    lines += [
        f"Goes wrong: the tent is lost after layer {one.after_layer} of {one.building}; another one comes after "
        f"{_days(one.lasts)} and is raised."
        for one in trouble.tent_lost
    ]
    return lines


def tell_assumptions_of_trouble(model: ScenarioModel) -> list[str]:
    """Say what is assumed of what goes wrong."""
    trouble, lines = model.trouble, []
    if trouble.weather.rain_lasts > 1.0:
        lines.append("Rain that lasts longer eats into the dry hours after each spell, at the spell's mean rate.")
    if trouble.missing:
        lines.append("Nobody stands in for a gang that is missing; its time away is neither paid nor counted as idle.")
    if trouble.printer_down or trouble.tent_lost:
        lines.append("While the printer is down or the tent is being replaced the wall waits as it stands.")
    return lines


def _weather(weather: HarsherWeather, measures: Measures) -> Iterator[str]:
    if weather.year is not None:
        alone = f"Weather of one year of the record alone, the one that begins in {weather.year}"
        yield f"{alone}, again and again as it was."
    if weather.rain_lasts != 1.0:
        yield f"Every spell of rain lasts {weather.rain_lasts:g} times as long as in the record."
    if weather.wind != 1.0:
        yield f"The wind is {weather.wind:g} times as strong as in the record."
    if weather.colder:
        yield f"The air is {measures.warming(weather.colder)} colder than in the record."
    if weather.none:
        yield "No weather is played: nothing waits for rain, wind or cold."


def _who(name: str) -> str:
    called = name.replace("_", " ")
    return f"the {called}" if called.partition(" ")[0] == "crane" else f"gang {called}"


def _days(length: float) -> str:
    return several(round(length), "day") if length == round(length) else f"{length:g} days"
