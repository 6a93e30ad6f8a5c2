"""A diary in the terminal and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sitesim.hours import civil_time
from sitesim.plan import Plan
from sitesim.report.diary import Day, diary
from sitesim.report.words import Style
from sitesim.site import DayWeather, Played

if TYPE_CHECKING:
    from rich.console import Group, RenderableType

_MILES_AN_HOUR = 0.44704
_INCH = 25.4


def diary_report(plan: Plan, played: Played, building: str, day: int | None) -> Group:
    """Lay the diary of a run out for the terminal, day after day."""
    from rich.console import Group
    from rich.text import Text

    style = Style(plan.units_of_measure == "us", plan.costs.currency)
    parts: list[RenderableType] = [Text(f"{plan.name}, run {played.run}", style="bold")]
    for of_day in diary(plan, played, building, day):
        parts += ["", Text(_heading(plan, style, of_day), style="bold")]
        parts += [f"{civil_time(plan.start, line.instant):%H:%M}  {line.text}" for line in of_day.lines]
    if len(parts) == 1:
        parts += ["", "Nothing happened there and then."]
    if played.unfinished:
        parts += ["", Text(f"This run did not come to an end. {played.unfinished}", style="bold")]
    return Group(*(Text(part) if isinstance(part, str) else part for part in parts))


def as_data(plan: Plan, played: Played, building: str, day: int | None) -> dict[str, Any]:
    """Give the diary of a run as plain data."""
    return {
        "scenario": plan.name,
        "run": played.run,
        "unfinished": played.unfinished,
        "days": [
            {
                "date": of_day.date.isoformat(),
                "weather": None if of_day.weather is None else of_day.weather._asdict(),
                "lines": [
                    {
                        "time": civil_time(plan.start, line.instant).isoformat(),
                        "building": line.building,
                        "text": line.text,
                    }
                    for line in of_day.lines
                ],
            }
            for of_day in diary(plan, played, building, day)
        ],
    }


def _heading(plan: Plan, style: Style, day: Day) -> str:
    number = (day.date - plan.start).days + 1
    weather = "" if day.weather is None else f" · {_weather(style, day.weather)}"
    return f"{day.date:%A} {style.long_date(day.date)} · day {number}{weather}"


def _weather(style: Style, weather: DayWeather) -> str:
    if style.us:
        low, high = weather.low * 1.8 + 32, weather.high * 1.8 + 32
        rain = f"rain {weather.rain / _INCH:.2f} in" if weather.rain else "dry"
        return f"{low:.0f} to {high:.0f} °F, {rain}, gusts to {weather.gust / _MILES_AN_HOUR:.0f} mph"
    rain = f"rain {weather.rain:.1f} mm" if weather.rain else "dry"
    return f"{weather.low:.0f} to {weather.high:.0f} °C, {rain}, gusts to {weather.gust:.0f} m/s"
