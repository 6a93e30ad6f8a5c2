"""What a plan of deliveries says in sentences: which supply, in what loads, and what would change that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import pairwise
from typing import Any

from sitesim.answers.deliveries import Cheaper
from sitesim.report.words import Style, significant, together

_YARD = 0.9144

Summary = Mapping[str, Any]

FIGURES: Mapping[str, str] = {
    "rejected_m3": "concrete rejected",
    "returned_m3": "concrete returned",
    "waiting_hours": "printer waiting for concrete, hours",
    "unplanned_joints": "unplanned joints",
    "standby_hours": "truck standby, hours",
    "print_days": "print days",
    "days_short_of_concrete": "days that end short of concrete",
    "loads_called_off": "loads called off",
    "overtime_hours": "crew overtime, hours",
}
"""The figures of a way of supply, by column."""


def load(style: Style, volume: float) -> str:
    """Write the size of a load [m³]."""
    return f"{round(style.in_volume_unit(volume), 2):g} {style.volume_unit}"


def spacing(hours: float) -> str:
    """Write a spacing [h]."""
    return f"{round(60.0 * hours)} min"


_WITHOUT_SPACING: Mapping[str, str] = {"will-call": "as called for", "days-need": "by the day's need"}
"""How loads come that have no spacing, by the mode in which they are ordered."""


def timed(summary: Summary) -> str:
    """Say how loads come that have no spacing."""
    return _WITHOUT_SPACING.get(summary["ordering"], "as ordered")


def way(style: Style, one: Summary, summary: Summary) -> str:
    """Write a way of ready-mix."""
    trucks = "truck" if one["trucks"] == 1 else "trucks"
    return f"{_load_and_spacing(style, one, summary)} from {one['trucks']} {trucks}"


def _load_and_spacing(style: Style, one: Summary, summary: Summary) -> str:
    apart = f"every {spacing(one['spacing'])}" if one["spacing"] else timed(summary)
    return f"{load(style, one['load'])} {apart}"


def way_among(style: Style, one: Summary, summary: Summary) -> str:
    """Write a way of ready-mix among others; trucks are named where they differ."""
    if len({other["trucks"] for other in summary["ways"]}) > 1:
        return way(style, one, summary)
    return _load_and_spacing(style, one, summary)


def per_volume(style: Style, cubic_metre: float) -> float:
    """Give an amount per m³ in the unit of volumes."""
    return cubic_metre * _YARD**3 if style.us else cubic_metre


def cost(style: Style, estimate: Mapping[str, float | None], digits: int = 4) -> str:
    """Write a cost per volume [currency/m³] with its error, in the unit of volumes."""
    converted = {end: None if value is None else per_volume(style, value) for end, value in estimate.items()}
    return style.mean_money(converted)


def amount(style: Style, cubic_metre: float) -> str:
    """Write a cost per volume [currency/m³] without its error."""
    return style.money(per_volume(style, cubic_metre))


def best_of(summary: Summary) -> Summary:
    """Give the best of the ways."""
    found: Summary = next(one for one in summary["ways"] if one["is_best"])
    return found


def own_of(summary: Summary) -> Summary | None:
    """Give the way that the scenario names, if it was played."""
    own = summary["own"]
    names = ("load", "spacing", "trucks")
    return next((one for one in summary["ways"] if all(abs(one[name] - own[name]) < 1e-6 for name in names)), None)


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
        f"than {_rounded(style, day['at'])} (site overhead alone is {style.money(day['now'])}) {other} is the cheaper; "
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
            f"{_rounded(style, turning['standby']['at'])} an hour of truck standby "
            f"(now {style.money(turning['standby']['now'])})"
        )
    if turning["blend"]["at"] is not None:
        parts.append(
            f"{_rounded(style, turning['blend']['at'])} per m³ of dry blend "
            f"(now {style.money(turning['blend']['now'])})"
        )
    return " or ".join(parts)


def _rounded(style: Style, value: float) -> str:
    return style.money(significant(value, 3))


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
    yield ("haul, one way", f"{round(60 * turning['travel']['now'])} min", *_factors(turning["travel"], _minutes))
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
    at = _rounded(style, found["at"])
    if found["low"] is None or found["high"] is None:
        return f"{at} (these runs do not bound it)"
    return f"{at} ({_rounded(style, max(0.0, found['low']))} to {_rounded(style, found['high'])})"


def _minutes(hours: float) -> str:
    return f"{round(60 * hours)} min"


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


def day_answer(style: Style, summary: Summary) -> str:
    """Say what to order for one day, in a sentence."""
    day = summary["day"]
    low, high = summary["flat_spacings"]
    flat = (
        f"; {round(60 * low)}–{round(60 * high)} min apart costs the same within {100 * summary['flat_share']:.0f} %"
        if low != high
        else ""
    )
    ordered, calls = _ordered(day), _calls(day)
    also = [f"{load(style, one['volume_m3'])} at about {clock(one['due'])}" for one in calls]
    called = f"; then likely {together(also)}, called for on the day" if also else ""
    return (
        f"{day['called']} {day['building']}, layers {day['from_layer']}–{day['to_layer']}: "
        f"{_loads(style, ordered)} at the gate at {', '.join(clock(one['due']) for one in ordered)}{called}{flat}."
    )


def _ordered(day: Summary) -> list[Summary]:
    """List the loads that are ordered the day before."""
    return [one for one in day["loads"] if one["call_at"] is None]


def _calls(day: Summary) -> list[Summary]:
    """List the loads that are likely to be called for on the day."""
    return [one for one in day["loads"] if one["call_at"] is not None]


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def _loads(style: Style, loads: Sequence[Summary]) -> str:
    sizes = [size(style, one["volume_m3"]) for one in loads]
    count = _NUMBERS[len(loads)] if len(loads) < len(_NUMBERS) else str(len(loads))
    noun = "load" if len(loads) == 1 else "loads"
    if len(set(sizes)) == 1:
        return f"{count} {noun} of {sizes[0]} {style.volume_unit}"
    return f"{count} {noun} of {together(sizes)} {style.volume_unit}"


def size(style: Style, volume: float) -> str:
    """Write the number of a load's size [m³] without its unit."""
    return f"{round(style.in_volume_unit(volume), 2):g}"


def clock(hours: float | None) -> str:
    """Write an instant [h after midnight] as a time of day, to the minute."""
    if hours is None:
        return "–"
    minutes = round(60.0 * hours)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}" + (" next day" if minutes >= 24 * 60 else "")


def earlier_clock(hours: float) -> str:
    """Write an instant [h after midnight] rounded down to five minutes, for a limit."""
    return clock(int(12.0 * hours + 1e-9) / 12.0)


def order_lines(style: Style, summary: Summary) -> list[str]:
    """Give the order as it is read out over the telephone."""
    day = summary["day"]
    by = datetime.fromisoformat(day["order_by"])
    ordered, calls = _ordered(day), _calls(day)
    return [
        f"{summary['scenario']}, {_weekday(day['date'])}, {style.long_date(day['date'])}. Place the order by "
        f"{by:%H:%M} on {_weekday(by.date().isoformat())}, {style.day_and_month(by.date())}.",
        *_what_to_order(style, summary),
        *(_load_line(style, one) for one in ordered),
        *_call_lines(style, day, calls),
        *_discharge_lines(style, day),
        *_stirring_lines(style, day),
        _go_or_no_go(style, day, ordered),
        "No water is added at the plant beyond the mix, on the way or on site.",
    ]


def _what_to_order(style: Style, summary: Summary) -> Iterator[str]:
    """Say how much is ordered now, and what is agreed with the plant for the day."""
    day = summary["day"]
    ordered, calls = _ordered(day), day["calls"]
    number = summary["best"]["trucks"] if calls else min(summary["best"]["trucks"], len(ordered))
    trucks = "one truck" if number == 1 else f"{number} trucks"
    volume = load(style, sum(one["volume_m3"] for one in ordered))
    if calls:
        likely = load(style, sum(one["volume_m3"] for one in day["loads"]))
        yield f"{_loads(style, ordered).capitalize()} now, of the printing mix agreed; no other load is ordered yet."
        yield (
            f"Agree with the plant that the others are called for on the day, each {_minutes(calls['lead'])} before it "
            f"is to be at the gate, from {trucks}; {likely} in all are likely."
        )
    else:
        yield f"{_loads(style, ordered).capitalize()}, {volume} in all, of the printing mix agreed, from {trucks}."
    if day["top_up"]:
        yield "Agree with the plant that one more load may be called for if the day runs short."


def _load_line(style: Style, one: Summary) -> str:
    return (
        f"Load {one['number']}: {load(style, one['volume_m3'])}, at the gate {clock(one['due'])}, batched "
        f"{clock(one['batched'])}, to be used by {earlier_clock(one['use_by'])}{_as_old_as(one)}."
    )


def _call_lines(style: Style, day: Summary, calls: Sequence[Summary]) -> Iterator[str]:
    """Say when to call for a load, and when the calls are likely to come."""
    if day["calls"]:
        yield (
            "Call for the next load when what is at the pump and on its way lasts "
            f"{_minutes(day['calls']['lasts'])} or less at the pace of printing, or is less than the next layer takes."
        )
    for one in calls:
        yield (
            f"Likely call for load {one['number']}: about {clock(one['call_at'])}, {load(style, one['volume_m3'])}, to "
            f"be at the gate about {clock(one['due'])}, batched about {clock(one['batched'])}, to be used by about "
            f"{earlier_clock(one['use_by'])}{_as_old_as(one)}; on {_chance(one['wanted'])} days."
        )


def _as_old_as(one: Summary) -> str:
    return f", as old as what is left of load {one['as_old_as']} in the hopper" if one["as_old_as"] else ""


def _discharge_lines(style: Style, day: Summary) -> Iterator[str]:
    """Say how long the trucks stay."""
    stays = [
        f"load {one['number']} about {_minutes(one['empty'] - one['due'])}" for one in day["loads"] if one["empty"]
    ]
    if not stays:
        return
    holding = day["holding"]
    how = "at the pace of the printer"
    if holding:
        left = holding["let_in_at_m3"]
        how = (
            f"into the holding hopper, {load(style, holding['volume_m3'])} in about {_minutes(holding['hours'])}, once "
            f"{f'no more than {load(style, left)}' if left else 'nothing'} is left in it"
        )
    yield f"Trucks empty {how}; on site from due to empty: {together(stays)}."


def _stirring_lines(style: Style, day: Summary) -> Iterator[str]:
    """Say which loads may take the age of what is left in a holding hopper though that is not likely."""
    for one in day["loads"]:
        if one["stirred"] is not None:
            left = load(style, day["holding"]["not_stirred_m3"])
            yield (
                f"If more than the {left} of the pump's own hopper is left when load {one['number']} has been let in, "
                f"it counts as old as that and is to be used by {earlier_clock(one['stirred_use_by'])}: on "
                f"{_chance(one['stirred'])} days."
            )


def _go_or_no_go(style: Style, day: Summary, ordered: Sequence[Summary]) -> str:
    charge = f", for {style.money(day['call_off_price'])}" if day["call_off_price"] else ""
    which = "The load ordered" if len(ordered) == 1 else "The last load"
    return (
        f"Go or no go at {clock(day['crew_begins'] - day['go_before'])}, before the first batch at "
        f"{clock(ordered[0]['batched'])}. {which} may be called off until it is batched, "
        f"{clock(ordered[-1]['batched'])}{charge}."
    )


def watch_lines(style: Style, summary: Summary) -> list[str]:
    """Say what to watch on the day."""
    day = summary["day"]
    chances = day["chances"]
    lines = [*_load_watch_lines(day)]
    open_time = round(60 * day["open_time"])
    lines += [
        f"Washed out by {clock(day['ends']['P50']['value'])} in one run of two, "
        f"by {clock(day['ends']['P80']['value'])} in four of five.",
        f"Layer {day['to_layer']} is reached on {_chance(chances['reaches_target'])} days; the day ends short of "
        f"concrete on {_chance(chances['short_of_concrete'])}.",
        f"An unplanned joint (more than {open_time} min bead to bead) on {_chance(chances['unplanned_joint'])} days; "
        f"preparing one takes {round(60 * day['joint_time'])} min.",
        f"Concrete too old, or failing its test, on {_chance(chances['concrete_rejected'])} days; a load called off on "
        f"{_chance(chances['load_called_off'])}.",
        f"Truck standby beyond the free time: {day['means']['standby_hours']['value']:.1f} h.",
    ]
    if chances["no_go"]["value"]:
        lines.insert(0, f"The morning's forecast says no go on {_chance(chances['no_go'])} such days.")
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


def _chance(found: Mapping[str, float | None] | None) -> str:
    if found is None or found["value"] is None:
        return "an unknown number of"
    low, high = found["low"], found["high"]
    within = "" if low is None or high is None else f" ({100 * low:.0f} to {100 * high:.0f})"
    count = "under 1" if 0.0 < found["value"] < 0.0095 else f"{100 * found['value']:.0f}"
    return f"{count} in 100{within}"


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


def reached(one: Summary) -> float:
    """Give on how many days in 100 a way reaches the day's last layer."""
    return 100.0 * (1.0 - float(one["unfinished"]["value"]))


def impossible(one: Summary) -> str:
    """Say why a way was not played."""
    written = (f"{one['load']} every {one['spacing']}" if one["spacing"] else one["load"]).replace("^3", "³")
    return f"{written} from {one['trucks']} trucks: {one['reason']}"


def _weekday(day: str) -> str:
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    return names[date.fromisoformat(day).weekday()]


DAY_CAUTION = (
    "A plan, not a guarantee: the engineer of record and the producer decide what may be used and until when, by the "
    "delivery record and the test at the gate. Never add water."
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
