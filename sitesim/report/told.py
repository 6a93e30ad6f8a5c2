"""A diary in the terminal and as data."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from sitesim.answers.printed_day import told_days
from sitesim.hours import civil_time
from sitesim.plan import Plan
from sitesim.report.diary import Day, diary
from sitesim.report.laid_out import in_width
from sitesim.report.print_day_data import day_as_data
from sitesim.report.print_day_terminal import print_day_parts
from sitesim.report.words import Style
from sitesim.site import DayWeather, Played

if TYPE_CHECKING:
    from rich.console import Group, RenderableType

_MILES_AN_HOUR = 0.44704
_INCH = 25.4


def diary_report(plan: Plan, played: Played, building: str, day: int | None, hint: str = "") -> Group:
    """Lay the diary of a run out for the terminal, day after day, or one day with its printing by the minute.

    Parameters: ``hint``, said where the day that is asked for is no print day.
    """
    from rich.text import Text

    style = Style.of_plan(plan)
    parts: list[RenderableType] = [Text(f"{plan.name}, run {played.run}", style="bold")]
    printed = [] if day is None else told_days(plan, played.ledger, day, building)
    for of_day in diary(plan, played, building, day):
        parts += ["", Text(_heading(plan, style, of_day), style="bold")]
        for told in printed:
            parts += [*print_day_parts(plan, told), ""]
        lines = [line for line in of_day.lines if not (printed and line.printing)]
        if printed and lines:
            parts.append(Text("Besides, on the site", style="bold"))
        parts += [f"{civil_time(plan.start, line.instant):%H:%M}  {line.text}" for line in lines]
    if len(parts) == 1:
        parts += ["", "Nothing happened there and then."]
    if day is not None and not printed and hint:
        parts += ["", f"This is no print day; {hint}."]
    if played.unfinished:
        parts += ["", Text(f"This run did not come to an end. {played.unfinished}", style="bold")]
    return in_width(parts)


def as_data(plan: Plan, played: Played, building: str, day: int | None) -> dict[str, Any]:
    """Give the diary of a run as plain data, and of one day its printing by the minute."""
    data: dict[str, Any] = {
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
    if day is not None:
        data["print_days"] = [day_as_data(plan, told) for told in told_days(plan, played.ledger, day, building)]
    return data


def day_heading(plan: Plan, played: Played, day: int) -> str:
    """Head a day of a run, counted from 1: its weekday, date, number and weather."""
    style = Style.of_plan(plan)
    return _heading(plan, style, Day(plan.start + timedelta(days=day - 1), played.hours.weather_of(day - 1), ()))


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
