"""The order for one day in sentences, as it is read out over the telephone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from sitesim.report.delivery_words import chance, clock, earlier_clock, load, minutes, size
from sitesim.report.words import Style, together

Summary = Mapping[str, Any]


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
            f"Agree with the plant that the others are called for on the day, each {minutes(calls['lead'])} before it "
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
            f"{minutes(day['calls']['lasts'])} or less at the pace of printing, or is less than the next layer takes."
        )
    for one in calls:
        yield (
            f"Likely call for load {one['number']}: about {clock(one['call_at'])}, {load(style, one['volume_m3'])}, to "
            f"be at the gate about {clock(one['due'])}, batched about {clock(one['batched'])}, to be used by about "
            f"{earlier_clock(one['use_by'])}{_as_old_as(one)}; on {chance(one['wanted'])} days."
        )


def _as_old_as(one: Summary) -> str:
    return f", as old as what is left of load {one['as_old_as']} in the hopper" if one["as_old_as"] else ""


def _discharge_lines(style: Style, day: Summary) -> Iterator[str]:
    """Say how long the trucks stay."""
    stays = [f"load {one['number']} about {minutes(one['empty'] - one['due'])}" for one in day["loads"] if one["empty"]]
    if not stays:
        return
    holding = day["holding"]
    how = "at the pace of the printer"
    if holding:
        left = holding["let_in_at_m3"]
        how = (
            f"into the holding hopper, {load(style, holding['volume_m3'])} in about {minutes(holding['hours'])}, once "
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
                f"{chance(one['stirred'])} days."
            )


def _go_or_no_go(style: Style, day: Summary, ordered: Sequence[Summary]) -> str:
    charge = f", for {style.money(day['call_off_price'])}" if day["call_off_price"] else ""
    which = "The load ordered" if len(ordered) == 1 else "The last load"
    notice, batched = day["call_off_notice"], ordered[-1]["batched"]
    until = f"{minutes(notice)} before it is batched, {clock(batched - notice)}" if notice else ""
    adjusted = (
        " Say with the go which of them come if fewer layers than these are left to print."
        if day["morning_call_adjusts"]
        else ""
    )
    return (
        f"Go or no go at {clock(day['crew_begins'] - day['go_before'])}, before the first batch at "
        f"{clock(ordered[0]['batched'])}.{adjusted} {which} may be called off until "
        f"{until or f'it is batched, {clock(batched)}'}{charge}."
    )


def _weekday(day: str) -> str:
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    return names[date.fromisoformat(day).weekday()]
