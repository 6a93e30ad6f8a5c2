"""A weather record made harsher: longer rain, stronger wind, colder air, or one of its years alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from sitesim.plan.climate import HourlyRecord
from sitesim.plan.site import Climate


def with_longer_rain(record: HourlyRecord, factor: float) -> HourlyRecord:
    """Give the record in which every spell of rain lasts longer.

    Parameters: ``factor``, 1 or more, by which its hours are multiplied. The hours added carry the spell's mean rain
    and come out of the dry hours that follow it; where these are too few, rain runs into rain and the rest is lost.
    Fractions of hours are carried from spell to spell. Raises ValueError for a factor below 1.
    """
    if factor < 1.0:
        raise ValueError(f"rain that lasts {factor} times as long would be shorter")
    if factor == 1.0:
        return record
    rain = record.rain.reshape(-1).copy()
    wet = np.concatenate([[False], rain > 0.0, [False]])
    starts = np.flatnonzero(wet[1:] & ~wet[:-1])
    ends = np.flatnonzero(~wet[1:] & wet[:-1])
    limits = np.append(starts[1:], len(rain))
    owed = 0.0
    for start, end, limit in zip(starts.tolist(), ends.tolist(), limits.tolist(), strict=True):
        owed += (factor - 1.0) * (end - start)
        whole = int(owed)
        owed -= whole
        rain[end : min(end + whole, limit)] = max(0.01, round(100.0 * float(rain[start:end].mean())) / 100.0)
    return replace(record, rain=rain.reshape(record.rain.shape))


def with_stronger_wind(record: HourlyRecord, factor: float) -> HourlyRecord:
    """Give the record whose wind, and whose gusts where it has any, are so many times as strong."""
    if factor == 1.0:
        return record
    gust = None if record.gust is None else _hundredths(record.gust * factor)
    return replace(record, wind=_hundredths(record.wind * factor), gust=gust)


def colder(record: HourlyRecord, degrees: float) -> HourlyRecord:
    """Give the record in which the air is colder by so many degrees [°C], as humid in relative terms (assumption)."""
    return record if degrees == 0.0 else replace(record, temperature=_hundredths(record.temperature - degrees))


def years_of(record: HourlyRecord) -> dict[int, slice]:
    """Give the whole years of a record as slices of its days, by the civil year in which each begins."""
    first = date.fromordinal(int(record.days[0]))
    edges = [_anniversary(first, year).toordinal() - first.toordinal() for year in range(record.years + 1)]
    edges[-1] = len(record.days)
    return {first.year + year: slice(edges[year], edges[year + 1]) for year in range(record.years)}


def one_year(record: HourlyRecord, year: int) -> HourlyRecord:
    """Give one of the years of a record alone.

    Parameters: ``year``, the civil year in which it begins. Raises ValueError for a year that the record has not.
    """
    years = years_of(record)
    if year not in years:
        raise ValueError(f"{record.name} has no whole year that begins in {year}; it has {', '.join(map(str, years))}")
    kept = years[year]
    return replace(
        record,
        days=record.days[kept],
        years=1,
        temperature=record.temperature[kept],
        wind=record.wind[kept],
        rain=record.rain[kept],
        humidity=None if record.humidity is None else record.humidity[kept],
        gust=None if record.gust is None else record.gust[kept],
    )


def in_one_year(climate: Climate, year: int) -> Climate:
    """Give the climate in which one year of the record comes again and again, day after day as it was.

    Raises ValueError for a year that the record has not, or where there is no record.
    """
    if climate.record is None:
        raise ValueError("there is no weather record, and no year of it")
    return replace(climate, record=one_year(climate.record, year), replayed=(0,))


def _anniversary(first: date, years: int) -> date:
    if (first.month, first.day) == (2, 29):
        return date(first.year + years, 3, 1)
    return first.replace(year=first.year + years)


def _hundredths(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Round to whole hundredths, as the record is, so that limits cut alike on every processor."""
    return np.asarray(np.rint(100.0 * values) / 100.0)
