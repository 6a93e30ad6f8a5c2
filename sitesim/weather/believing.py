"""What of a weather file cannot be true, or looks like another unit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import NamedTuple


class Believed(NamedTuple):
    """The values of a quantity that are believed: from ``least`` to ``most``, in ``unit``; ``called``, its name."""

    least: float
    most: float
    unit: str
    called: str


OF_A_DAY: Mapping[str, Believed] = {
    "precipitation": Believed(0.0, 2000.0, "mm", "rain of a day"),
    "high": Believed(-60.0, 60.0, "°C", "temperature"),
    "low": Believed(-60.0, 60.0, "°C", "temperature"),
    "wind": Believed(0.0, 35.0, "m/s", "mean wind of a day"),
    "humidity": Believed(0.0, 1.05, "", "relative humidity"),
}
OF_AN_HOUR: Mapping[str, Believed] = {
    "precipitation": Believed(0.0, 400.0, "mm", "rain of an hour"),
    "temperature": Believed(-60.0, 60.0, "°C", "temperature"),
    "wind": Believed(0.0, 39.9, "m/s", "mean wind of an hour"),
    "gust": Believed(0.0, 110.0, "m/s", "gust"),
    "humidity": Believed(0.0, 1.05, "", "relative humidity"),
}
"""Bounds of what is believed of a line; about the extremes ever measured where people build (assumed)."""

COLDEST_SUMMER, HOTTEST_WINTER = -15.0, 40.0
"""Temperatures [°C] not believed in the three warmest and the three coldest months outside the tropics (assumed)."""

FIRST_YEAR, LAST_YEAR = 1800, 2200
"""Years that are believed: from before the oldest records to beyond those made for climates to come (assumed)."""

_KNOT = 1852.0 / 3600.0
FAINT = 2.9
"""A wind [m/s] that gauges notice: those of the US call less than 3 knots, 1.5 m/s, calm. In mph and in knots they have
none below this number: at six stations 0 to 3 % of hours, against 16 to 38 % in m/s."""
_SOME_CALM, _HARDLY_ANY = 0.005, 0.05
_WINDY_IN_WHOLE = 4.5
"""A mean wind [m/s] from which on whole numbers are doubted: they are common in m/s, such a mean is not (assumed)."""
_TROPICS = 30.0
_TOO_MANY = 0.02
_MOST_WET = 0.9


def disbelief(believed: Believed, written: str, value: float) -> str | None:
    """Say why a value is not believed, or None; ``written`` is how it stands in the file, ``value`` in its unit."""
    if believed.least <= value <= believed.most:
        return None
    read = f"{100 * value:.5g} %" if not believed.unit else f"{value:.5g} {believed.unit}"
    return (
        f"{written} is read as {read}, which is not believed as {believed.called}; correct it, or leave it empty and "
        "it counts as a gap"
    )


def out_of_time(year: int) -> str | None:
    """Say why a year is not believed, or None."""
    if FIRST_YEAR <= year <= LAST_YEAR:
        return None
    return f"the year {year} is not believed; it should be one from {FIRST_YEAR} to {LAST_YEAR}"


def out_of_season(day: date, latitude: float | None, low: float, high: float) -> str | None:
    """Say why temperatures [°C] are not believed in that season at a latitude, or None."""
    if latitude is None or abs(latitude) < _TROPICS:
        return None
    month = day.month if latitude > 0 else (day.month + 5) % 12 + 1
    where = f"in {day:%B} at a latitude of {latitude:g}°"
    if month in (6, 7, 8) and low < COLDEST_SUMMER:
        return f"{low:.4g} °C {where} is not believed"
    if month in (12, 1, 2) and high > HOTTEST_WINTER:
        return f"{high:.4g} °C {where} is not believed"
    return None


def too_many(disbelieved: int, lines: int) -> bool:
    """Tell whether so many lines are not believed that the unit, and not the lines, will be wrong."""
    return disbelieved > max(10.0, _TOO_MANY * lines)


class Suspicion(NamedTuple):
    """A unit that is probably wrong: the ``quantity``, what was found, and whether it ``cannot_be``."""

    quantity: str
    message: str
    cannot_be: bool


class Gist(NamedTuple):
    """What a file says on the whole; what has no value is nan, and not doubted.

    warmth: mean temperature [°C]. hottest: mean of the warmest twelfth of all temperatures [°C]. blow: mean wind [m/s].
    rain_a_year [mm]. wet_a_year: lines with rain in a year. most_humid: the highest relative humidity as a share, or
    None. lines_a_year: 365 by the day, or 24 times as many by the hour. faint: the share of lines with some wind
    below `FAINT`; calm: that of lines without any. whole: whether all winds are whole numbers.
    """

    warmth: float
    hottest: float
    blow: float
    rain_a_year: float
    wet_a_year: float
    most_humid: float | None
    lines_a_year: float
    faint: float = 1.0
    calm: float = 0.0
    whole: bool = False

    @property
    def by_day(self) -> bool:
        """Whether a line is a day, and not an hour."""
        return self.lines_a_year < 1000.0


def suspected_units(gist: Gist) -> Iterator[Suspicion]:
    """Name the units that do not fit what was read; the bounds are assumed, wide of any place where people build."""
    yield from _suspected_warmth(gist.warmth, gist.hottest)
    yield from _suspected_wind(gist)
    yield from _suspected_rain(gist)
    if gist.most_humid is not None and gist.most_humid <= 0.0105:
        found = "no value is above 1 %; the column may hold shares from 0 to 1: give it the unit share"
        yield Suspicion("humidity", found, True)


def _suspected_warmth(warmth: float, hottest: float) -> Iterator[Suspicion]:
    if warmth > 35.0:
        fahrenheit = (warmth - 32.0) / 1.8
        found = f"a mean of {warmth:.1f} °C is warmer than anywhere; read as degF it would be {fahrenheit:.1f} °C"
        yield Suspicion("temperature", found, True)
    elif hottest > 50.0:
        found = (
            f"the warmest twelfth of all values has a mean of {hottest:.1f} °C, warmer than anywhere; read as degF it "
            f"would be {(hottest - 32.0) / 1.8:.1f} °C"
        )
        yield Suspicion("temperature", found, hottest > 55.0)
    elif warmth < -12.0:
        found = f"a mean of {warmth:.1f} °C is very cold; if the column is in °C already, it is {32 + 1.8 * warmth:.1f}"
        yield Suspicion("temperature", found, False)


def _suspected_wind(gist: Gist) -> Iterator[Suspicion]:
    blow = gist.blow
    would_be = f"read as km/h it would be {blow / 3.6:.1f} m/s, as mph {0.44704 * blow:.1f}, as knot {_KNOT * blow:.1f}"
    if blow > 6.0:
        found = f"a mean of {blow:.1f} m/s is {'windier than anywhere' if blow > 15.0 else 'very windy'}; {would_be}"
        yield Suspicion("wind", found, blow > 15.0)
    elif blow < 1.0:
        found = f"a mean of {blow:.2f} m/s is hardly any wind; if the column is in m/s already, it is {3.6 * blow:.1f}"
        yield Suspicion("wind", found + " (from km/h)", False)
    elif not gist.by_day and gist.calm > _SOME_CALM and gist.faint < _HARDLY_ANY:
        found = (
            f"between calm and {FAINT:g} m/s there is hardly any wind, though gauges notice 1.5 m/s (3 knots); with a "
            f"mean of {blow:.1f} m/s, {would_be}"
        )
        yield Suspicion("wind", found, False)
    elif not gist.by_day and gist.whole and blow > _WINDY_IN_WHOLE:
        found = f"all values are whole numbers, as they are in knots or mph; with a mean of {blow:.1f} m/s, {would_be}"
        yield Suspicion("wind", found, False)


def _suspected_rain(gist: Gist) -> Iterator[Suspicion]:
    rain, wet = gist.rain_a_year, gist.wet_a_year
    least_of_a_wet = 1.2 if gist.by_day else 0.25
    if rain > 4000.0:
        cannot_be = rain > 12000.0
        much = "wetter than anywhere" if cannot_be else "very wet"
        found = f"{rain:,.0f} mm a year is {much}; read as 0.1 mm it would be {rain / 10:,.0f} mm"
        yield Suspicion("precipitation", found, cannot_be)
    elif rain < 80.0:
        found = f"{rain:,.0f} mm a year is a desert; read as inch it would be {25.4 * rain:,.0f} mm"
        yield Suspicion("precipitation", found, False)
    elif 60.0 < wet < _MOST_WET * gist.lines_a_year and rain < least_of_a_wet * wet:
        line = "day" if gist.by_day else "hour"
        found = (
            f"{rain:,.0f} mm in {wet:,.0f} wet {line}s a year is hardly any each; read as inch it would be "
            f"{25.4 * rain:,.0f} mm a year"
        )
        yield Suspicion("precipitation", found, False)
