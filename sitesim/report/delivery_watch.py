"""What there is to watch on the day that is ordered for, and which days of the record stand for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from sitesim.report.delivery_words import amount, best_of, chance, clock, reached, way_among
from sitesim.report.words import Style

Summary = Mapping[str, Any]


def watch_lines(style: Style, summary: Summary) -> list[str]:
    """Say what to watch on the day."""
    day = summary["day"]
    chances = day["chances"]
    lines = [*_load_watch_lines(day)]
    open_time = round(60 * day["open_time"])
    lines += [
        f"Washed out by {clock(day['ends']['P50']['value'])} in one run of two, "
        f"by {clock(day['ends']['P80']['value'])} in four of five.",
        f"Layer {day['to_layer']} is reached on {chance(chances['reaches_target'])} days; the day ends short of "
        f"concrete on {chance(chances['short_of_concrete'])}.",
        f"An unplanned joint (more than {open_time} min bead to bead) on {chance(chances['unplanned_joint'])} days; "
        f"preparing one takes {round(60 * day['joint_time'])} min.",
        f"Concrete too old, or failing its test, on {chance(chances['concrete_rejected'])} days; a load called off on "
        f"{chance(chances['load_called_off'])}.",
        f"Truck standby beyond the free time: {day['means']['standby_hours']['value']:.1f} h.",
    ]
    if chances["no_go"]["value"]:
        lines.insert(0, f"The morning's forecast says no go on {chance(chances['no_go'])} such days.")
    return [*lines, reach(summary)] if reach(summary) else lines


def _load_watch_lines(day: Summary) -> Iterator[str]:
    """Say of each load when it is used up, and what there is to do about the next one until then."""
    loads = day["loads"]
    for before, after in pairwise(loads):
        if before["empty"] is None:
            continue
        if after["call_at"] is None:
            then = (
                f"load {after['number']} is batched at {clock(after['batched'])}: if printing stands still then, ask "
                "the plant to hold it back"
            )
        else:
            then = (
                f"load {after['number']} is likely to be called for at about {clock(after['call_at'])}: if printing "
                "stands still then, call later"
            )
        name = f"Load {before['number']}"
        yield f"{_used_up(before, name)}; {then}."
    if loads and loads[-1]["empty"] is not None:
        which = "The last load" if loads[-1]["call_at"] is None else "The last load that is likely"
        yield f"{_used_up(loads[-1], which)}."


def _used_up(one: Summary, name: str) -> str:
    """Say when a load is used up: by its truck or, where there is one, by the holding hopper."""
    if one["lasts"] is None:
        return f"{name} is empty at about {clock(one['empty'])} (9 in 10 by {clock(one['empty_late'])})"
    return (
        f"{name} is in the hopper at about {clock(one['empty'])} and gone from it at about {clock(one['lasts'])} "
        f"(9 in 10 by {clock(one['lasts_late'])})"
    )


def weather_line(style: Style, summary: Summary) -> str:
    """Say which days of the record stand for the forecast."""
    day = summary["day"]
    weather = day["weather"]
    if weather is None:
        return "No weather record: the day meets no rain, wind, cold or heat."
    if not weather["named"]:
        return (
            f"All weather of the season: {weather['days_near']} days of the record near this date. Name the "
            'forecast, such as --weather "8 to 17 degC, dry", and only days like it are used.'
        )
    return (
        f"Forecast {weather['named']}: {weather['days_in_class']} of the {weather['days_near']} days of the record "
        f"near this date are like that; only runs with such a day are used. {_class_words(style, weather)}"
    )


def _class_words(style: Style, weather: Summary) -> str:
    """Say what the words of a class mean here."""
    of = weather["class"]

    def degrees(value: float) -> str:
        return f"{1.8 * value + 32:.0f} °F" if style.us else f"{value:.0f} °C"

    parts = []
    if of["temperatures"] is not None:
        low, high = of["temperatures"]
        within = "5 °F" if style.us else "3 °C"
        parts.append(f"a low within {within} of {degrees(low)} and a high within {within} of {degrees(high)}")
    if of["warmth"]:
        cold, hot = degrees(weather["cold_below"]), degrees(weather["hot_above"])
        told = {"cold": f"below {cold}", "mild": f"from {cold} to {hot}", "hot": f"above {hot}"}[of["warmth"]]
        parts.append(f"{of['warmth']}: the middle of low and high {told}, a third of these days")
    if of["rain"]:
        limit = "0.04 in" if style.us else "1 mm"
        parts.append(f"{of['rain']}: {'less than' if of['rain'] == 'dry' else 'at least'} {limit} of rain")
    if of["wind"]:
        gust = weather["windy_above"]
        limit = f"{gust / 0.44704:.0f} mph" if style.us else f"{gust:.1f} m/s"
        parts.append(f"{of['wind']}: gusts {'above' if of['wind'] == 'windy' else 'up to'} {limit}")
    return f"That is: {'; '.join(parts)}."


def reach(summary: Summary) -> str:
    """Say which way reaches the day's last layer most often, if that is not the cheapest."""
    style, day, best = Style.of(summary), summary["day"], best_of(summary)
    surest = min(summary["ways"], key=lambda one: (one["unfinished"]["value"], one["cost"]["value"]))
    if surest["is_best"] or surest["unfinished"]["value"] >= best["unfinished"]["value"]:
        return ""
    more = amount(style, surest["cost"]["value"] - best["cost"]["value"])
    return (
        f"Surest to reach layer {day['to_layer']}: {way_among(style, surest, summary)}, "
        f"{reached(surest):.0f} days in 100 against {reached(best):.0f}, at {more} more per {style.volume_unit}."
    )
