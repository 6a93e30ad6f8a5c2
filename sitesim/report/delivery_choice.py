"""What a plan of deliveries says in sentences: which supply, in what loads, and what would change that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitesim.answers.deliveries import Cheaper
from sitesim.report.delivery_order import day_answer
from sitesim.report.delivery_words import best_of, cost, load, minutes, rounded, spacing, timed, way
from sitesim.report.words import Style, together

Summary = Mapping[str, Any]


def answer(summary: Summary) -> str:
    """Say which supply to choose, in what loads, how flat that is, and what would change it."""
    style = Style.of(summary)
    if summary["day"] is not None:
        return day_answer(style, summary)
    against = summary["against"]
    if against is None:
        return f"{_order(style, summary)}{_flat(summary)}."
    difference = against["difference"]
    if difference["high"] is not None and difference["high"] < 0.0:
        more = cost(style, _turned(difference))
        first = f"{_order(style, summary)}{_flat(summary)}. Mixing on site costs {more} more"
    elif difference["low"] is not None and difference["low"] > 0.0:
        first = (
            f"Mix on site: {cost(style, against['cost'])} per {style.volume_unit} in place, "
            f"{cost(style, difference)} less than the cheapest ready-mix of this scenario "
            f"({way(style, best_of(summary), summary)})"
        )
    else:
        first = (
            f"{_order(style, summary)}{_flat(summary)}. These runs cannot tell it from mixing on site, "
            f"{cost(style, against['cost'])}"
        )
    turning = _turning_prices(style, summary)
    told = f"{first}; the two change places at {turning}." if turning else f"{first}."
    return f"{told} {_worth_of_a_day(style, summary)}"


def _worth_of_a_day(style: Style, summary: Summary) -> str:
    """Say that only print days are counted, and what a working day would have to be worth to turn the answer."""
    day = summary["turning"]["day"]
    later = day["later"]["value"]
    alone = "Counted are the print days alone"
    if day["at"] is None or later is None or not later:
        return f"{alone}: `sitesim compare` sets the finish of the site beside it."
    slower, other = ("ready-mix", "mixing on site") if later > 0.0 else ("mixing on site", "ready-mix")
    return (
        f"{alone}: {slower} ends them {abs(later):.1f} working days later, so where a day of the site is worth more "
        f"than {rounded(style, day['at'])} (site overhead alone is {style.money(day['now'])}) {other} is the cheaper; "
        "`sitesim compare` sets the finish beside it."
    )


def _turned(estimate: Mapping[str, float | None]) -> dict[str, float | None]:
    """Turn the sign of a difference."""
    low, high = estimate["low"], estimate["high"]
    value = estimate["value"]
    assert value is not None
    return {"value": -value, "low": None if high is None else -high, "high": None if low is None else -low}


def _order(style: Style, summary: Summary) -> str:
    best = best_of(summary)
    trucks = "one truck" if best["trucks"] == 1 else f"{best['trucks']} trucks"
    also = f" ({style.money(best['cost']['value'])} per m³)" if style.us else ""
    return (
        f"Order ready-mix in loads of {load(style, best['load'])}"
        + (f", {spacing(best['spacing'])} apart" if best["spacing"] else f" {timed(summary)}")
        + f", from {trucks}: "
        f"{cost(style, best['cost'])} per {style.volume_unit} in place{also}"
    )


def _flat(summary: Summary) -> str:
    """Say over which spacings the cost stays within two per cent."""
    low, high = summary["flat_spacings"]
    best = best_of(summary)
    beside = [one for one in summary["ways"] if (one["load"], one["trucks"]) == (best["load"], best["trucks"])]
    if not high or len(beside) < 2:
        return ""
    within = f"within {100 * summary['flat_share']:.0f} %"
    if low == high:
        return f"; the spacings next to it cost more than {100 * summary['flat_share']:.0f} % more"
    return f"; {round(60 * low)}–{round(60 * high)} min apart costs the same {within}"


def _turning_prices(style: Style, summary: Summary) -> str:
    turning = summary["turning"]
    parts = []
    if turning["standby"]["at"] is not None:
        parts.append(
            f"{rounded(style, turning['standby']['at'])} an hour of truck standby "
            f"(now {style.money(turning['standby']['now'])})"
        )
    if turning["blend"]["at"] is not None:
        parts.append(
            f"{rounded(style, turning['blend']['at'])} per m³ of dry blend (now {style.money(turning['blend']['now'])})"
        )
    return " or ".join(parts)


def change_rows(style: Style, summary: Summary) -> Iterator[tuple[str, str, str, str]]:
    """Tell for each quantity: what it is, what it is now, where the two change places, and what holds beyond."""
    turning = summary["turning"]
    yield (
        "truck standby, an hour",
        style.money(turning["standby"]["now"]),
        _price_point(style, turning["standby"]),
        _at_no_rate(turning["standby"])
        if turning["standby"]["at"] is None
        else f"above it mixing on site is cheaper; ready-mix then as {way(style, turning['standby']['way'], summary)}",
    )
    yield (
        "dry blend, per m³ of concrete",
        style.money(turning["blend"]["now"]),
        _price_point(style, turning["blend"]),
        "no price: mixing on site is dearer even with blend for nothing"
        if turning["blend"]["at"] is None
        else "below it mixing on site is cheaper",
    )
    day = turning["day"]
    yield (
        "a working day of the site (overhead)",
        style.money(day["now"]),
        _price_point(style, day),
        "no worth of a day: the one that is cheaper also ends its print days first"
        if day["at"] is None
        else f"above it {'mixing on site' if (day['later']['value'] or 0.0) > 0.0 else 'ready-mix'} is cheaper",
    )
    yield ("haul, one way", f"{round(60 * turning['travel']['now'])} min", *_factors(turning["travel"], minutes))
    yield (
        "rate at which the nozzle lays, per hour",
        _rate(style)(turning["print_rate"]["now"]),
        *_factors(turning["print_rate"], _rate(style)),
    )


def _at_no_rate(standby: Summary) -> str:
    """Say why no rate of truck standby makes the two change places."""
    if standby["always"] == Cheaper.READY_MIX:
        return "no rate: ready-mix stays cheaper, its trucks can be kept from standing longer than is free"
    return "no rate: ready-mix is dearer even where trucks wait for nothing"


def _price_point(style: Style, found: Summary) -> str:
    if found["at"] is None:
        return "–"
    at = rounded(style, found["at"])
    if found["low"] is None or found["high"] is None:
        return f"{at} (these runs do not bound it)"
    return f"{at} ({rounded(style, max(0.0, found['low']))} to {rounded(style, found['high'])})"


def _rate(style: Style) -> Any:
    return lambda value: f"{style.in_volume_unit(value):.2f} {style.volume_unit}"


def _factors(found: Summary, written: Any) -> tuple[str, str]:
    """Say where a quantity that was tried at a few factors makes the two change places."""
    now, tried = found["now"], found["tried"]
    if not found["turning"]:
        least, most = tried[0]["factor"], tried[-1]["factor"]
        cheaper = "ready-mix" if tried[0]["difference"]["value"] < 0 else "mixing on site"
        return "–", f"{cheaper} is cheaper from {written(least * now)} to {written(most * now)}, all that was tried"
    points, sides = [], []
    for turn in found["turning"]:
        low, high = turn["between"]
        bounds = [one for one in (turn["low"], turn["high"]) if one is not None]
        sure = (
            f"{written(bounds[0] * now)} to {written(bounds[1] * now)}"
            if len(bounds) == 2
            else "what was played does not bound it"
        )
        points.append(f"about {written(turn['factor'] * now)} ({sure})")
        before = next(one for one in tried if one["factor"] == low)
        cheaper = "ready-mix" if before["difference"]["value"] < 0 else "mixing on site"
        sides.append(
            f"below it {cheaper} is cheaper; a straight line between {written(low * now)} and {written(high * now)}"
        )
    return "; ".join(points), "; ".join(sides)


def edges(summary: Summary) -> str:
    """Say where the best lies on an edge of what was played, so that something beyond may be better."""
    if not summary["at_edge"]:
        return ""
    return (
        f"The best lies at the {together(summary['at_edge'])} that was played: something beyond may cost less. "
        "Name it with --load, --spacing or --trucks."
    )


def overhead(style: Style, summary: Summary) -> str:
    """Say what a print day more would cost besides, where it holds the date."""
    if not summary["overhead_a_day"]:
        return ""
    return (
        f"Not in these figures: {style.money(summary['overhead_a_day'])} of site overhead for each working day, where "
        "one print day more puts off the finish: compare whole sites for that."
    )


def how_sure(summary: Summary) -> list[str]:
    """Say what the runs and the intervals mean."""
    return [
        f"Each way was played {summary['runs']:,} times under the same weather and breakdowns "
        f"(seed {summary['seed']}), and compared run by run. What stands after ± is half a 95 % interval "
        "of the runs' luck; it does not cover prices or times that were put in wrong.",
        "“Cannot be told from it” means that no difference from the best, run by run, is proven; the intervals of all "
        "ways hold together at 95 %.",
        "Only the print days are played: steps between them take their expected time, need nobody and fail no "
        "inspection. The cost is that of the concrete, its trucks or mixer, its disposal, and the crew, printer and "
        "tent on print days. An unplanned joint costs its time and concrete; what the engineer may ask for besides is "
        "not in it.",
        "Where standby rate or blend price change the choice is exact, for these runs: costs are linear in them. For "
        "haul and print rate a few factors were played, ready-mix with the best of three spacings at the best load, "
        "and joined by straight lines; trucks, cycle of the mixer and all else stay as they are.",
    ]
