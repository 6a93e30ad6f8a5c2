"""What a weather record says, in words that terminal and page share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.words import Style, month_name, name_label, percent, several, together
from sitesim.scenario.telling.measures import Measures
from sitesim.study.sides_down import SIDES_DOWN

LOST_TO: Mapping[str, str] = {
    "rated gust": "gusts past the tent's limit",
    "gust": "gusts",
    "wind": "mean wind",
    "rain": "rain",
    "after rain": "drying after rain",
    "before rain": "rain about to come",
    "soaked ground": "soaked ground",
    "temperature low": "cold",
    "temperature high": "heat",
    "frost": "frost in the ground",
    "humidity": "humid air",
    "evaporation": "evaporation",
    SIDES_DOWN: "the tent's sides down",
}
"""What an hour is lost to, by the names of `sitesim.weather.BINDING_NAMES` as they are charged; sides last."""

IN_TURN = f"An hour shut by several is charged to the first of: {', '.join(LOST_TO.values())}."

LEAST_SHOWN = 0.5
"""Fewer hours than that are shown as none."""

Told = Mapping[str, Any]


def measures_of(told: Told) -> Measures:
    """Take the units that the scenario asks for."""
    return Measures(told["units"] == "us")


def answer(told: Told) -> str:
    """Say in one sentence which work the weather takes most from, and when."""
    kinds = told["kinds"]
    if not kinds:
        return f"{told['scenario']}: no work has weather limits, so nothing waits for the weather."
    most = min(kinds, key=workable_share)
    alike = [f"“{name_label(kind['kind'])}”" for kind in kinds if workable_share(kind) == workable_share(most)]
    shares, months = monthly_shares(most), told["months"]
    with_hours = [place for place, share in enumerate(shares) if share is not None]
    worst = min(with_hours, key=lambda place: shares[place] or 0.0)
    best = max(with_hours, key=lambda place: shares[place] or 0.0)
    lost = percent(1.0 - workable_share(most))
    return (
        f"{told['scenario']}: the weather takes most from {together(alike)}: {lost} of the working hours over twelve "
        f"months, {percent(1.0 - (shares[worst] or 0.0))} in {month_name(months[worst]['month'])}, "
        f"{percent(1.0 - (shares[best] or 0.0))} in {month_name(months[best]['month'])}."
    )


def workable_share(kind: Told) -> float:
    """Give the share of a kind's working hours over all months that is workable; all of none."""
    shift = sum(kind["shift_hours"])
    return float(sum(kind["workable_hours"]) / shift) if shift else 1.0


def monthly_shares(kind: Told) -> list[float | None]:
    """Give the workable share of each month; None for a month without working hours."""
    return [
        workable / shift if shift else None
        for workable, shift in zip(kind["workable_hours"], kind["shift_hours"], strict=True)
    ]


def record_line(told: Told) -> str:
    """Say what the record is and how runs draw from it."""
    style, record = Style.of(told), told["record"]
    return (
        f"Record {record['name']}: {several(record['years'], 'year')} by the {record['step']}, "
        f"{style.long_date(record['first_day'])} to {style.long_date(record['last_day'])}. {drawn_line(told)}"
    )


def span_line(told: Told) -> str:
    """Name the first and the last month."""
    first, last = told["months"][0], told["months"][-1]
    return f"{month_name(first['month'])} {first['year']} to {month_name(last['month'])} {last['year']}"


def drawn_line(told: Told) -> str:
    """Say how runs draw from the record, and how often it was drawn here."""
    drawn = told["drawn"]
    if drawn["how"] == "blocks":
        how = (
            f"in blocks of {several(drawn['block_days'], 'day')} from up to {several(drawn['window_days'], 'day')} on "
            "either side of the date"
        )
    elif len(drawn["years"]) == 1:
        how = f"as {drawn['years'][0]}, again and again"
    else:
        how = f"as whole years, {drawn['years'][0]} to {drawn['years'][-1]}"
    return f"Runs draw it {how}; here as the first {several(told['runs'], 'run')} of seed {told['seed']} do."


def few_years(told: Told) -> str:
    """Warn of a short record; nothing for a long one."""
    record = told["record"]
    if not record["few"]:
        return ""
    years = record["years"]
    if years == 1:
        return "One year is very few: nothing tells whether it was a good or a bad one, and no drawing brings another."
    return (
        f"{years} years are few: a winter or storm rarer than once in {years} years is probably not in the record, and "
        "no drawing can bring it."
    )


def record_facts(told: Told) -> list[tuple[str, str]]:
    """Give what the record holds, by name."""
    measures, record = measures_of(told), told["record"]
    warmth, humidity = record["temperature_c"], record["humidity"]
    gusts = "recorded" if record["gust_m_s"]["recorded"] else "reckoned from the mean"
    return [
        ("rain", f"{measures.rainfall(record['rain_mm_a_year'])} a year on {record['wet_days_a_year']:.0f} days"),
        (
            "temperature",
            f"{measures.temperature(warmth['mean'])} on average, {measures.temperature(warmth['lowest'])} to "
            f"{measures.temperature(warmth['highest'])}",
        ),
        (
            "wind",
            f"{measures.wind(record['wind_m_s']['mean'], 1)} on average, windiest hour "
            f"{measures.wind(record['wind_m_s']['highest_hour'])}, highest gust "
            f"{measures.wind(record['gust_m_s']['highest'])} ({gusts})",
        ),
        (
            "humidity",
            f"{percent(humidity['mean'])} on average"
            + ("" if humidity["recorded"] else ", reckoned from the day's lowest temperature"),
        ),
    ]


def hours_name(kind: Told) -> str:
    """Name the hours in which a kind of work is done."""
    names = [name_label(name) for name in kind["calendars"] if name]
    return f"hours of {together(names)}" if names else "all hours"


def rain_rows(told: Told) -> list[list[str]]:
    """Give the rain of each month and of the year, mean and spread in the record and as drawn, in the page's unit."""
    us, rows = measures_of(told).us, []
    for source in ("record", "drawn"):
        found = told["rain"][source]
        for name, key in (("mean", "mean"), ("spread between years", "spread")):
            monthly, year = found["monthly_mm"][key], found["year_mm"][key]
            if monthly is not None:
                depths = [f"{each / 25.4:.1f}" if us else f"{each:,.0f}" for each in (*monthly, year)]
                rows.append([f"{source}, {name}", *depths])
    return rows


def kept_and_lost(told: Told) -> list[str]:
    """Say what drawing keeps of the record, and what it loses."""
    measures = measures_of(told)
    own, drawn = told["rain"]["record"], told["rain"]["drawn"]
    kept = (
        f"Rain of a year: {measures.rainfall(drawn['year_mm']['mean'])} drawn, "
        f"{measures.rainfall(own['year_mm']['mean'])} in the record. A wet day is followed by a wet one in "
        f"{percent(drawn['wet_after_wet'])} drawn, {percent(own['wet_after_wet'])} in the record; wet spells last "
        f"{drawn['wet_spell_days']:.1f} days drawn, {own['wet_spell_days']:.1f} in the record; the longest has "
        f"{drawn['longest_wet_spell_days']} days in {several(told['runs'], 'year')} drawn, "
        f"{own['longest_wet_spell_days']} in the record."
    )
    return [kept, _spread_line(told, measures), *_drawn_again(told)]


def _drawn_again(told: Told) -> list[str]:
    """Say how often the same days of the record come again within one year as drawn."""
    again = told["days_drawn_again"]
    if told["drawn"]["how"] == "years" or again < LEAST_SHOWN:
        return []
    return [
        f"Of twelve months as drawn {again:.0f} days are days of the record that had come before in the same months: a "
        "block may be drawn again. Were it not, months would differ still less from year to year than they do."
    ]


def _spread_line(told: Told, measures: Measures) -> str:
    own, drawn = told["rain"]["record"]["monthly_mm"]["spread"], told["rain"]["drawn"]["monthly_mm"]["spread"]
    if own is None or drawn is None:
        return "One year has no spread from year to year: neither the record nor what is drawn can show any."
    if told["drawn"]["how"] == "years":
        years = told["drawn"]["years"]
        if len(years) == 1:
            return f"Every year is {years[0]} again: nothing differs from year to year."
        return (
            "Whole years are replayed: no season and no spell is mixed, and no other year than those of the record can "
            f"come. The spread as drawn is that of {len(years)} years coming again and again."
        )
    lost = [before - after for before, after in zip(own, drawn, strict=True)]
    place = max(range(len(lost)), key=lambda each: lost[each])
    month = month_name(told["months"][place]["month"])
    if lost[place] <= 0.0:
        return "Months differ from year to year as much as in the record."
    return (
        f"Lost: whole wet or dry months, for blocks of different years mix. From year to year the rain of {month} "
        f"spreads by {measures.rainfall(own[place])} in the record, by {measures.rainfall(drawn[place])} as drawn."
    )
