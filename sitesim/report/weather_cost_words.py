"""What the weather costs, month by month, in words and figures that add up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitesim.answers.weather_cost import MonthOfWeather, WeatherCost, dearest, total_of
from sitesim.report.rounding import adding_up
from sitesim.report.words import Style, several, together
from sitesim.study.stressing import StressStudy, WeatherAnswers

MONEY: Mapping[str, tuple[str, str]] = {
    "waiting": ("waiting", "to gangs and machines that wait for it"),
    "hire": ("hire", "of hire for that time"),
    "overhead": ("site overhead", "of site overhead for the days that it holds"),
    "penalties": ("penalties", "of penalties for the days that it holds promised dates"),
    "heating": ("heating", "to heat the tent"),
    "other": ("loads called off", "for loads called off"),
}
"""The parts of the money, as a head of a column and in a sentence."""


@dataclass(frozen=True, slots=True)
class ToldMonth:
    """A calendar month: its ``name``, tenths of working days held, and whole money by part."""

    name: str
    tenths: int
    parts: Mapping[str, int]

    @property
    def days(self) -> str:
        """The working days."""
        return f"{self.tenths / 10:.1f}"

    @property
    def money(self) -> int:
        """All of its money."""
        return sum(self.parts.values())


def told_months(months: Sequence[MonthOfWeather]) -> list[ToldMonth]:
    """Round the months so that each column adds up to its rounded sum; parts that cost nothing are left out."""
    days = adding_up([10.0 * month.cost.days for month in months])
    parts = {
        part: adding_up([getattr(month.cost, part) for month in months])
        for part in MONEY
        if any(getattr(month.cost, part) for month in months)
    }
    return [
        ToldMonth(f"{month.first:%b %Y}", days[place], {part: amounts[place] for part, amounts in parts.items()})
        for place, month in enumerate(months)
    ]


def told_in_all(months: Sequence[ToldMonth]) -> ToldMonth:
    """Add rounded months up."""
    parts = {part: sum(month.parts[part] for month in months) for part in months[0].parts}
    return ToldMonth("All months", sum(month.tenths for month in months), parts)


def exact_money(style: Style, amount: int) -> str:
    """Write an amount to the unit, so that a column adds up."""
    return f"${amount:,}" if style.currency == "USD" else f"{amount:,} {style.currency}"


def weather_sentences(style: Style, study: StressStudy) -> list[str]:
    """Say what the weather costs as planned, in which month most, and which year of the record is the worst."""
    weather = study.weather
    lines = []
    if weather.planned is not None:
        lines.append(_in_all(style, weather.planned))
        worst = dearest(weather.by_month)
        if worst is not None and len(weather.by_month) > 1:
            of_all = total_of(weather.by_month)
            lines.append(
                f"{worst.first:%B %Y} costs most: {worst.cost.days:.1f} of {_days(of_all.days)} and "
                f"{style.money(worst.cost.money)} of {style.money(of_all.money)}."
            )
    return [*lines, *year_sentences(style, weather)]


def _in_all(style: Style, cost: WeatherCost) -> str:
    amounts = {what: getattr(cost, part) for part, (_, what) in MONEY.items()}
    told = [f"{style.money(amount)} {what}" for what, amount in amounts.items() if amount > 0.0]
    money = f" and costs {style.money(cost.money)}: {together(told)}" if len(told) > 1 else ""
    money = f" and costs {told[0]}" if len(told) == 1 else money
    return f"As planned, weather holds the finish for {_days(cost.days)} on the mean of the runs{money}."


def year_sentences(style: Style, weather: WeatherAnswers) -> list[str]:
    """Say which year of the record is the worst for the site, and by what measure."""
    if weather.worst is None:
        return []
    dates = [f"{one.year}: {style.short_date(one.finish)}" for one in weather.years]
    return [
        f"The worst year on record for this site is {weather.worst}: with the weather of each year day after day as it "
        f"was, the site finishes last in it, on the mean of {several(weather.runs_a_year, 'run')} of each year "
        f"({'; '.join(dates)})."
    ]


def _days(days: float) -> str:
    return several(round(days, 1), "working day") if round(days, 1) == 1.0 else f"{days:.1f} working days"
